"""Answers out of Caliper events; 1EdTech Caliper Analytics 1.2.

All events are our own.
"""

from __future__ import annotations

import io
import json
from contextlib import nullcontext
from typing import Any

import pytest

from pipeline.errors import InputError
from pipeline.standards.answer_records import ItemAnswer, LeftOut
from pipeline.standards.caliper import CaliperEvents

CONTEXT = "http://purl.imsglobal.org/ctx/caliper/v1p2"
HOME = "https://northfold.example"
ATTEMPT = {
    "id": f"{HOME}/attempts/9",
    "type": "Attempt",
    "count": 2,
    "startedAtTime": "2026-02-03T10:15:00.000Z",
    "endedAtTime": "2026-02-03T10:15:30.000Z",
    "assignable": {"id": f"{HOME}/quiz/1", "type": "Assessment", "name": "Quiz 1"},
}


def event(kind: str = "FillinBlankResponse", **more: Any) -> dict[str, Any]:
    made: dict[str, Any] = {
        "@context": CONTEXT,
        "id": "urn:uuid:c51570e4-f8ed-4c18-bb3a-dfe51b2cc594",
        "type": "AssessmentItemEvent",
        "actor": {"id": f"{HOME}/users/17", "type": "Person", "name": "Ann Other",
                  "otherIdentifiers": [{"identifier": "ann@northfold.example"}]},
        "action": "Completed",
        "object": {"id": f"{HOME}/items/root-1", "type": "AssessmentItem", "name": "x^2 = 4"},
        "eventTime": "2026-02-03T10:15:30.000Z",
        "generated": {"id": f"{HOME}/r/1", "type": kind, "values": ["2", "-2"],
                      "attempt": ATTEMPT},
        "group": {"id": f"{HOME}/s/1", "type": "CourseSection", "courseNumber": "MAT 101-02",
                  "academicSession": "Spring 2026"},
    }  # fmt: skip
    made.update(more)
    return {name: value for name, value in made.items() if value is not None}


def envelope(*data: Any) -> dict[str, Any]:
    return {"sensor": HOME, "sendTime": "2026-02-03T11:00:00.000Z", "dataVersion": CONTEXT,
            "data": list(data)}  # fmt: skip


def grade(attempt: Any, given: float = 1, most: float = 1) -> dict[str, Any]:
    return {
        "type": "GradeEvent", "action": "Graded", "actor": f"{HOME}/grader", "object": attempt,
        "generated": {"type": "Score", "attempt": f"{HOME}/attempts/whole", "scoreGiven": given,
                      "maxScore": most, "comment": "well done, Ann"},
    }  # fmt: skip


def read(content: Any, notes: list[str] | None = None) -> list[ItemAnswer | LeftOut]:
    data = content if isinstance(content, bytes) else json.dumps(content).encode()
    file = CaliperEvents(lambda: nullcontext(io.BytesIO(data)), "a.json")
    return list(file.answers([] if notes is None else notes))


@pytest.mark.parametrize(
    "content",
    [
        envelope(event()), [event()], event(),
        "\n".join([json.dumps(event()), json.dumps(grade(f"{HOME}/other"))]).encode(),
    ],
    ids=["envelope", "array", "event", "lines"],
)  # fmt: skip
def test_every_form_holds_the_same_answer(content: Any):
    """Caliper 1.2, section 4 (envelope); array and lines: common practice."""
    found = read(content)[0]

    assert isinstance(found, ItemAnswer)
    assert (found.student, found.item) == (f"{HOME}/users/17", f"{HOME}/items/root-1")
    assert found.responses[0].values == ("2", "-2")
    assert (found.attempt, found.seconds) == (2, 30.0)
    assert (found.quiz, found.section, found.called) == ("Quiz 1", "MAT 101-02", "x^2 = 4")
    assert "Ann" not in repr(found)
    assert "ann@" not in repr(found)


def test_entities_may_be_addresses():
    """Caliper 1.2: any entity may be an object or its IRI."""
    response = {"id": f"{HOME}/r/1", "type": "MultipleChoiceResponse", "value": "C",
                "attempt": f"{HOME}/attempts/9"}  # fmt: skip
    bare = event(actor=f"{HOME}/users/17", object=f"{HOME}/items/root-1", generated=f"{HOME}/r/1")
    found = read(envelope(bare, response, grade(f"{HOME}/attempts/9", 0.5, 2)))

    assert isinstance(found[0], ItemAnswer)
    assert (found[0].responses[0].values, found[0].score, found[0].points) == (("C",), 0.5, 2.0)
    assert len(found) == 2


@pytest.mark.parametrize(
    ("kind", "given", "values"),
    [
        ("FillinBlankResponse", {"values": ["2", "-2"]}, ("2", "-2")),
        ("MultipleChoiceResponse", {"value": "C"}, ("C",)),
        ("MultipleResponseResponse", {"values": ["A", "C"]}, ("A", "C")),
        ("TrueFalseResponse", {"value": "true"}, ("true",)),
        ("SelectTextResponse", {"values": ["x = 2"]}, ("x = 2",)),
        ("FillinBlankResponse", {"values": []}, ()),
        ("Response", {"extensions": {"text": "2"}}, None),
    ],
)
def test_kinds_of_responses(kind: str, given: Any, values: tuple[str, ...] | None):
    """Caliper 1.2, Response and its subtypes; a plain Response has no agreed place for text."""
    (found,) = read(event(generated={"id": "r", "type": kind, "attempt": "a", **given}))

    if values is None:
        assert isinstance(found, LeftOut)
        assert found.needs_look
    else:
        assert isinstance(found, ItemAnswer)
        assert found.responses[0].values == values


@pytest.mark.parametrize("attempt", [ATTEMPT["id"], ATTEMPT])
def test_a_grade_joins_by_the_attempt_that_it_is_given_to(attempt: Any):
    """The attempt of `generated` is that of the whole assessment; `object` names the item's."""
    found = read(envelope(event(), grade(attempt, 5, 5)))

    assert len(found) == 1
    assert isinstance(found[0], ItemAnswer)
    assert (found[0].score, found[0].points) == (5.0, 5.0)
    assert "well done" not in repr(found)


def test_a_grade_of_something_else_is_no_answer():
    found = read(envelope(event(), grade(f"{HOME}/attempts/whole")))

    assert isinstance(found[0], ItemAnswer)
    assert found[0].score is None
    assert isinstance(found[1], LeftOut)
    assert not found[1].needs_look


def test_a_skipped_question_is_a_blank():
    """AssessmentItemEvent Skipped has no attempt and no response."""
    (found,) = read(event(action="Skipped", generated=None))

    assert isinstance(found, ItemAnswer)
    assert (found.responses[0].values, found.attempt) == ((), None)


def test_an_anonymous_actor_is_no_student():
    """Caliper 1.2, 4.4: the type's own IRI stands for an agent that is not disclosed."""
    (found,) = read(event(actor="http://purl.imsglobal.org/caliper/Person"))

    assert isinstance(found, ItemAnswer)
    assert found.student == ""


@pytest.mark.parametrize(
    ("content", "why", "look"),
    [
        (event(action="Started"), "another kind", False),
        (event(type="NavigationEvent"), "another kind", False),
        ({"id": "x", "type": "Person"}, "a description", False),
        ({"id": "x"}, "no event", True),
        (event(actor=None), "nobody is named", True),
        (event(generated=None), "names no response", True),
        (event(generated=f"{HOME}/r/7"), "by its address alone", True),
        (event(membership={"roles": ["Instructor"]}), "no learner", False),
    ],
)
def test_what_is_no_answer_is_left_out(content: Any, why: str, look: bool):
    (found,) = read(content)

    assert isinstance(found, LeftOut)
    assert why in found.reason
    assert found.needs_look is look


def test_another_version_is_told():
    notes: list[str] = []
    read(envelope(event()) | {"dataVersion": CONTEXT.replace("v1p2", "v1p1")}, notes)

    assert "another version" in notes[0]


def test_what_is_no_json_is_refused_with_its_place():
    with pytest.raises(InputError, match=r"a\.json:1:1: not JSON"):
        read(b"data: envelope")
