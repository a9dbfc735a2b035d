"""Answers out of Caliper 1.2 events: envelopes, arrays, single events, JSON Lines.

Source: 1EdTech Caliper Analytics 1.2: section 4 (envelope, entities as object or IRI, anonymous
actors), Assessment and Grading profiles. `name`, `otherIdentifiers` and `comment` are never read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, BinaryIO

from pipeline.standards.answer_records import ItemAnswer, LeftOut, Response
from pipeline.standards.durations import seconds_of
from pipeline.standards.json_reading import JsonRecords
from pipeline.standards.json_values import mapping, number, plain, text

__all__ = ["event_answers"]

_INSIDE = frozenset({"data"})
_VERSION = "http://purl.imsglobal.org/ctx/caliper/v1p2"
_ANONYMOUS = "http://purl.imsglobal.org/caliper/Person"
_NO_EVENT = "no event: expected an object with type, actor, action and object (Caliper 1.2, 4.1)"
_ENTITY = "a description of something, which is no answer"
_OTHER = "an event of another kind, which holds no answer"
_NOBODY = "nobody is named: expected an actor with an id (Caliper 1.2, 4.4)"
_NO_LEARNER = "given by somebody who is no learner in this course"
_NO_RESPONSE = "the event names no response, so what was answered is not known"
_ELSEWHERE = (
    "the response is named by its address alone, and is not described in the file: export with "
    "entities as objects"
)
_PLAIN = (
    "a plain Response, whose text stands under no agreed name: export with the response types of "
    "Caliper 1.2, such as FillinBlankResponse"
)
_GRADE = "a grade of something else than an answer in this file"


@dataclass
class _Heard:
    """What a first look at the file brings together.

    Args:
        grades: id of an attempt -> score and maximum, the last one said.
        entities: id -> a response that is described apart from its event.
        answered: ids of attempts that an answer in the file was given in.
    """

    grades: dict[str, tuple[float | None, float | None]] = field(default_factory=dict)
    entities: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    answered: set[str] = field(default_factory=set)


def event_answers(stream: BinaryIO, name: str, notes: list[str]) -> Iterator[ItemAnswer | LeftOut]:
    """Answers of one file of events, in its order; a grade joins the answer that it is given to.

    A skipped question is a blank. An answer of an anonymous actor has the student "".

    Args:
        stream: of the file's bytes, which can be read twice.
        name: how messages call it.
        notes: is told what is to be known of the whole file, once all answers are drawn.

    Raises:
        InputError: no JSON, or over a budget; names file, line and column.
    """
    heard = _first_look(stream, name)
    stream.seek(0)
    records = JsonRecords(stream, name, _INSIDE)
    for record in records:
        if record.broken:
            yield LeftOut(record.line, record.broken)
            continue
        found = _answer(record.value, record.line, heard)
        if found is not None:
            yield found
    versions = {text(one.get("dataVersion")) for one in records.envelopes} - {_VERSION}
    if versions:
        notes.append(f"envelopes of another version than {_VERSION}; read as if they were of it")


def _first_look(stream: BinaryIO, name: str) -> _Heard:
    heard = _Heard()
    for record in JsonRecords(stream, name, _INSIDE):
        one = mapping(record.value)
        kind = text(one.get("type"))
        if kind == "GradeEvent":
            score = mapping(one.get("generated"))
            given = number(score.get("scoreGiven")), number(score.get("maxScore"))
            heard.grades[_id(one.get("object"))] = given
        elif kind == "AssessmentItemEvent":
            heard.answered.add(_attempt(mapping(one.get("generated")))[0])
        elif kind.endswith("Response"):
            heard.entities[_id(one)] = one
    # A response that is named by its address was given in the attempt that its description names.
    heard.answered |= {_attempt(one)[0] for one in heard.entities.values()}
    return heard


def _answer(value: Any, line: int, heard: _Heard) -> ItemAnswer | LeftOut | None:
    """An answer, or why there is none; None for a grade that belongs to an answer."""
    one = mapping(value)
    kind = text(one.get("type"))
    if not kind:
        return LeftOut(line, _NO_EVENT)
    if kind == "GradeEvent":
        joined = _id(one.get("object")) in heard.answered - {""}
        return None if joined else LeftOut(line, _GRADE, needs_look=False)
    if not kind.endswith("Event"):
        return LeftOut(line, _ENTITY, needs_look=False)
    action = text(one.get("action")).rpartition("#")[2]
    if kind != "AssessmentItemEvent" or action not in ("Completed", "Skipped"):
        return LeftOut(line, _OTHER, needs_look=False)
    return _item_event(one, line, action, heard)


def _item_event(
    event: Mapping[str, Any], line: int, action: str, heard: _Heard
) -> ItemAnswer | LeftOut:
    actor, item = _id(event.get("actor")), _id(event.get("object"))
    if not actor or not item:
        return LeftOut(line, _NOBODY if item else _NO_EVENT)
    roles = mapping(event.get("membership")).get("roles")
    if isinstance(roles, list) and roles and not any("Learner" in str(one) for one in roles):
        return LeftOut(line, _NO_LEARNER, needs_look=False)
    generated = event.get("generated")
    response = mapping(generated) or heard.entities.get(_id(generated), {})
    values: tuple[str, ...] = ()
    if action == "Completed":
        if not generated:
            return LeftOut(line, _NO_RESPONSE)
        if not response:
            return LeftOut(line, _ELSEWHERE)
        found = _values(response)
        if found is None:
            return LeftOut(line, _PLAIN)
        values = found
    attempt, details = _attempt(response)
    score, points = heard.grades.get(attempt, (None, None)) if attempt else (None, None)
    count = details.get("count")
    described = mapping(event.get("object"))
    return ItemAnswer(
        line=line,
        student="" if actor == _ANONYMOUS else actor,
        item=item,
        responses=(Response("", values),),
        answered_at=text(event.get("eventTime")),
        attempt=count if isinstance(count, int) and 0 < count < 1000 else None,
        score=score,
        points=points,
        seconds=_seconds(details),
        quiz=_quiz(details, described),
        section=text(mapping(event.get("group")).get("courseNumber")),
        called=text(described.get("name")),
    )


def _values(response: Mapping[str, Any]) -> tuple[str, ...] | None:
    """Values of a response; None where it has none under an agreed name."""
    several, one = response.get("values"), response.get("value")
    if isinstance(several, list):
        return tuple(found for value in several if (found := plain(value)))
    if one is not None:
        return tuple(filter(None, [plain(one)]))
    return None


def _attempt(response: Mapping[str, Any]) -> tuple[str, Mapping[str, Any]]:
    """Id of the attempt that a response was given in, and what is said of it."""
    attempt = response.get("attempt")
    return _id(attempt), mapping(attempt)


def _seconds(attempt: Mapping[str, Any]) -> float | None:
    if duration := text(attempt.get("duration")):
        return seconds_of(duration)
    times = [text(attempt.get(name)) for name in ("startedAtTime", "endedAtTime")]
    try:
        first, last = (datetime.fromisoformat(one) for one in times)
        return max(0.0, (last - first).total_seconds())
    except (ValueError, TypeError):
        return None


def _quiz(attempt: Mapping[str, Any], item: Mapping[str, Any]) -> str:
    """Name of the assessment that the question belongs to, else the end of its address."""
    for one in (item.get("isPartOf"), attempt.get("assignable")):
        if one and _id(one) != _id(item):
            return text(mapping(one).get("name")) or _id(one).rstrip("/").rpartition("/")[2]
    return ""


def _id(entity: Any) -> str:
    """Id of an entity, given as an object or by its address."""
    return text(entity) or text(mapping(entity).get("id"))
