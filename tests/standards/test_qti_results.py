"""Answers out of QTI results; 1EdTech QTI Results Reporting 2.1 (2012), 2.2 (2015), 3.0 (2022).

All sample files are our own.
"""

from __future__ import annotations

import io

import pytest

from pipeline.errors import InputError
from pipeline.standards.answer_records import ItemAnswer, LeftOut, seconds_of
from pipeline.standards.qti_results import result_answers

XSD = "http://www.imsglobal.org/xsd/"
SPACES = [f"{XSD}imsqti_result_v{version}" for version in ("2p1", "2p2", "3p0")]


def response(*values: str, name: str = "RESPONSE", cardinality: str = "single") -> str:
    given = "".join(f"<value>{value}</value>" for value in values)
    return (
        f'<responseVariable identifier="{name}" cardinality="{cardinality}" baseType="string">'
        f"<candidateResponse>{given}</candidateResponse></responseVariable>"
    )


def attempts(number: object) -> str:
    return response(str(number), name="numAttempts")


def result(inner: str, item: str = "q1", at: str = "2026-02-03T10:15:00",
           status: str = "final") -> str:  # fmt: skip
    return (
        f'<itemResult identifier="{item}" datestamp="{at}" sessionStatus="{status}">{inner}'
        "</itemResult>\n"
    )


def file_of(*results: str, student: str = "20417", space: str = SPACES[0]) -> bytes:
    context = f'<context sourcedId="{student}"/>' if student else "<context/>"
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<assessmentResult xmlns="{space}">\n{context}\n'
        f'<testResult identifier="Quiz 1" datestamp="2026-02-03T10:30:00"/>\n{"".join(results)}'
        "</assessmentResult>"
    ).encode()


def read(*results: str, **how: str) -> list[ItemAnswer | LeftOut]:
    return list(result_answers(io.BytesIO(file_of(*results, **how)), "a.xml"))


def answers(*results: str) -> list[tuple[str, int | None, tuple[str, ...]]]:
    found = [one for one in read(*results) if isinstance(one, ItemAnswer)]
    return [(one.item, one.attempt, one.responses[0].values) for one in found]


@pytest.mark.parametrize("space", SPACES)
@pytest.mark.parametrize("prefix", ["", "r"])
def test_every_version_is_told_by_its_namespace_under_any_prefix(space: str, prefix: str):
    """Results keep their names in 3.0; only the namespace differs (QTI 3.0 Results 1.0, XSD)."""
    data = file_of(result(response("2"))).replace(SPACES[0].encode(), space.encode())
    if prefix:
        data = data.replace(b"xmlns=", b"xmlns:r=").replace(b"</", b"</r:")
        for name in (b"assessmentR", b"context", b"testR", b"itemR", b"responseV", b"candidateR",
                     b"value>"):  # fmt: skip
            data = data.replace(b"<" + name, b"<r:" + name)
    (one,) = result_answers(io.BytesIO(data), "a.xml")

    assert isinstance(one, ItemAnswer)
    assert (one.student, one.item, one.quiz, one.responses[0].values) == (
        "20417", "q1", "Quiz 1", ("2",),
    )  # fmt: skip


def test_an_answer_carries_score_time_and_the_values_of_its_own_version():
    """outcomeVariable SCORE with normalMaximum, templateVariable, duration, datestamp."""
    inner = (
        response("3x")
        + attempts(1)
        + response("PT1M32,5S", name="duration")
        + '<templateVariable identifier="A" cardinality="single" baseType="integer">'
        "<value>3</value></templateVariable>"
        '<outcomeVariable identifier="SCORE" cardinality="single" baseType="float" '
        'normalMaximum="2"><value>1.5</value></outcomeVariable>'
        "<candidateComment>my name is in here</candidateComment>"
    )
    (one,) = read(result(inner))

    assert isinstance(one, ItemAnswer)
    assert (one.score, one.points, one.seconds, one.templates) == (1.5, 2.0, 92.5, {"A": "3"})
    assert (one.answered_at, one.attempt, one.line) == ("2026-02-03T10:15:00", 1, 5)
    assert "my name" not in repr(one)


def test_attempts_are_in_order_of_time_not_of_the_file():
    """Several itemResults of an item are its attempts, in no order (Results Reporting, example)."""
    first = result(response("2"), at="2026-02-03T10:00:00")
    second = result(response("4"), at="2026-02-03T11:00:00")

    assert answers(second, first) == [("q1", 1, ("2",)), ("q1", 2, ("4",))]


def test_num_attempts_counts_where_it_is_given():
    """Built-in variable numAttempts: the last attempt alone may be reported."""
    assert answers(result(response("4") + attempts(3))) == [("q1", 3, ("4",))]


def test_an_answer_handed_in_again_unchanged_is_the_first_one_again():
    """A candidate who passes by resubmits what was there; it is no second answer."""
    again = [
        result(response("2") + attempts(1), at="2026-02-03T10:00:00"),
        result(response("2") + attempts(2), at="2026-02-03T11:00:00"),
        result(response("4") + attempts(3), at="2026-02-03T12:00:00"),
    ]
    found = [one for one in read(*again) if isinstance(one, ItemAnswer)]

    assert [(one.attempt, one.answered_at[11:13]) for one in found] == [
        (1, "10"), (1, "10"), (3, "12"),
    ]  # fmt: skip


def test_the_last_state_of_an_attempt_counts():
    """Two results of one numAttempts are states of one attempt (sessionStatus)."""
    early = result(response("2") + attempts(1), at="2026-02-03T10:00:00",
                   status="pendingSubmission")  # fmt: skip
    late = result(response("4") + attempts(1), at="2026-02-03T10:05:00")

    assert answers(early, late) == [("q1", 1, ("4",))]


@pytest.mark.parametrize(
    ("inner", "status", "values"),
    [
        (response(""), "final", ()),  # <value></value>
        (response(), "final", ()),  # <candidateResponse></candidateResponse>
        (response("").replace("<candidateResponse><value></value></candidateResponse>", ""),
         "final", ()),
        (response("") + attempts(0), "initial", None),
        (response("") + attempts(0), "final", None),
        (response("2"), "initial", None),
        (attempts(1), "final", None),
    ],
)  # fmt: skip
def test_a_blank_is_a_blank_and_what_was_not_begun_is_nothing(
    inner: str, status: str, values: tuple[str, ...] | None
):
    """`initial` is for sessions with numAttempts 0; an empty value is no answer."""
    (one,) = read(result(inner, status=status))

    if values is None:
        assert isinstance(one, LeftOut)
        assert not one.needs_look
    else:
        assert isinstance(one, ItemAnswer)
        assert one.responses[0].values == values


def test_a_file_that_was_handed_in_is_not_read():
    upload = response("UEsDBBQ", name="UPLOAD").replace('"string"', '"file"')
    alone, both = read(result(response("2") + upload), result(upload, item="q2"))

    assert isinstance(alone, LeftOut)
    assert alone.reason.startswith("what was handed in is a file")
    assert isinstance(both, ItemAnswer)
    assert [one.identifier for one in both.responses] == ["RESPONSE"]


def test_a_result_of_nobody_is_sent_back():
    """context@sourcedId is the only identity, and may be missing under the schema."""
    (one,) = read(result(response("2")), student="")

    assert isinstance(one, LeftOut)
    assert one.needs_look
    assert "no sourcedId" in one.reason


def test_built_in_variables_are_no_answers():
    """numAttempts, duration, completionStatus, and clocks of sections such as S01.duration."""
    inner = (
        response("2")
        + attempts(1)
        + response("100", name="duration")
        + response("31.5", name="S01.duration")
        + response("completed", name="completionStatus")
    )
    (one,) = read(result(inner))

    assert isinstance(one, ItemAnswer)
    assert [each.identifier for each in one.responses] == ["RESPONSE"]


def test_several_values_and_records():
    """Cardinality multiple and ordered have several values; fields of a record are named."""
    record = (
        '<responseVariable identifier="R" cardinality="record"><candidateResponse>'
        '<value fieldIdentifier="floatValue" baseType="float">0.5</value>'
        '<value fieldIdentifier="stringValue" baseType="string">1/2</value>'
        "</candidateResponse></responseVariable>"
    )
    several = read(result(response("A", "C", cardinality="multiple")), result(record, item="q2"))

    assert [one.responses[0].values for one in several if isinstance(one, ItemAnswer)] == [
        ("A", "C"), ("1/2",),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("100", 100.0), ("92.25", 92.25), ("92,25", 92.25), ("PT1M32.131795S", 92.131795),
        ("PT1M59,57131S", 119.57131), ("PT2H", 7200.0), ("P1DT1S", 86401.0), ("0", 0.0),
        ("", None), ("PT", None), ("-5", None), ("soon", None), ("1e3", None), ("P9999D", None),
    ],
)  # fmt: skip
def test_durations(text: str, seconds: float | None):
    """A float number of seconds by the type; ISO 8601 with point or comma in samples."""
    assert seconds_of(text) == seconds


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (file_of().replace(b"v2p1", b"v9p9"), "imsqti_result_v2p1 (2.1)"),
        (file_of().replace(b' xmlns="', b' data="'), "is in the namespace (none); expected"),
        (file_of(result("<responseVariable>")), "a.xml:5:"),
        (file_of(result(response("2")))[:-40], "a.xml:5:229: not well-formed XML"),
        (b"<!DOCTYPE x><assessmentResult/>", "declares a document type"),
        (b"<other/>", "expected assessmentResult"),
    ],
)
def test_a_broken_file_is_refused_with_its_place(data: bytes, said: str):
    with pytest.raises(InputError) as refused:
        list(result_answers(io.BytesIO(data), "a.xml"))

    assert said in str(refused.value)
