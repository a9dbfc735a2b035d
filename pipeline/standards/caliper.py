"""Answers out of Caliper 1.2 events: envelopes, arrays, single events, JSON Lines.

Source: 1EdTech Caliper Analytics 1.2: section 4 (envelope, entities as object or IRI, anonymous
actors), Assessment and Grading profiles. `name`, `otherIdentifiers` and `comment` are never read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, ClassVar

from pipeline.standards.answer_records import ItemAnswer, LaterWord, LeftOut, Response, seconds_of
from pipeline.standards.events import EventFile
from pipeline.standards.json_reading import Paths, at, mapping, number, plain, read_at, text

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
_GRADE = "a grade of no answer in this file; it goes to the answer if an earlier file brought it"


class CaliperEvents(EventFile):
    """One file of events; a grade joins the answer that it is given to.

    A skipped question is a blank. An answer of an anonymous actor has the student "".
    """

    inside: ClassVar[frozenset[str]] = frozenset({"data"})

    def __init__(self, *file: Any) -> None:
        self._grades: dict[str, tuple[float | None, float | None]] = {}  # the last one said
        self._described: dict[str, Mapping[str, Any]] = {}  # responses apart from their events
        self._answered: set[str] = set()  # ids of attempts
        super().__init__(*file)

    @property
    def later(self) -> LaterWord:
        """Grades of answers in earlier files."""
        grades = {one: told for one, told in self._grades.items() if one not in self._answered}
        return LaterWord(grades=grades)

    def _hear(self, one: Mapping[str, Any]) -> None:
        kind = text(one.get("type"))
        if kind == "GradeEvent":
            given = (number(at(one, f"generated.{name}")) for name in ("scoreGiven", "maxScore"))
            self._grades[_id(one.get("object"))] = next(given), next(given)
        elif kind == "AssessmentItemEvent":
            self.items.add(_id(one.get("object")))
            self._answered.add(_id(at(one, "generated.attempt")))
        elif kind.endswith("Response"):
            self._described[_id(one)] = one
            # A response that an event names by its address was given in the attempt named here.
            self._answered.add(_id(one.get("attempt")))
        self._answered.discard("")

    def _answer(self, one: Mapping[str, Any], line: int) -> ItemAnswer | LeftOut | None:
        kind = text(one.get("type"))
        action = text(one.get("action")).rpartition("#")[2]
        if kind == "GradeEvent" and _id(one.get("object")) in self._answered:
            return None
        if why := _why_none(one, kind, action):
            return LeftOut(line, why, needs_look=why in (_NO_EVENT, _NOBODY))
        generated = one.get("generated")
        response = mapping(generated) or self._described.get(_id(generated), {})
        values = _values(response)
        if action == "Completed" and values is None:
            why = _NO_RESPONSE if not generated else _PLAIN if response else _ELSEWHERE
            return LeftOut(line, why)
        actor, attempt = _id(one.get("actor")), _id(response.get("attempt"))
        score, points = self._grades.get(attempt, (None, None)) if attempt else (None, None)
        return ItemAnswer(
            line=line,
            student="" if actor == _ANONYMOUS else actor,
            responses=(Response("", values or () if action == "Completed" else ()),),
            score=score,
            points=points,
            source=attempt,
            **read_at({**one, "generated": response}, _PATHS),
        )

    def _notes(self, envelopes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
        if {text(one.get("dataVersion")) for one in envelopes} - {_VERSION}:
            yield f"envelopes of another version than {_VERSION}; read as if they were of it"


def _why_none(one: Mapping[str, Any], kind: str, action: str) -> str:
    """Why an event holds no answer of a learner; "" where it does."""
    if not kind:
        return _NO_EVENT
    if kind == "GradeEvent":
        return _GRADE
    if not kind.endswith("Event"):
        return _ENTITY
    if kind != "AssessmentItemEvent" or action not in ("Completed", "Skipped"):
        return _OTHER
    if not _id(one.get("object")):
        return _NO_EVENT
    if not _id(one.get("actor")):
        return _NOBODY
    roles = at(one, "membership.roles")
    no_learner = isinstance(roles, list) and roles and not any("Learner" in str(r) for r in roles)
    return _NO_LEARNER if no_learner else ""


def _values(response: Mapping[str, Any]) -> tuple[str, ...] | None:
    """Values of a response; None where it has none under an agreed name."""
    several, one = response.get("values"), response.get("value")
    given = several if isinstance(several, list) else None if one is None else [one]
    return None if given is None else tuple(filter(None, map(plain, given)))


def _seconds(attempt: Any) -> float | None:
    if duration := text(at(attempt, "duration")):
        return seconds_of(duration)
    times = [text(at(attempt, name)) for name in ("startedAtTime", "endedAtTime")]
    try:
        first, last = map(datetime.fromisoformat, times)
        return max(0.0, (last - first).total_seconds())
    except (ValueError, TypeError):
        return None


def _count(value: Any) -> int | None:
    return value if isinstance(value, int) and 0 < value < 1000 else None


def _named(entity: Any) -> str:
    """Name of an entity, else the end of its address."""
    return text(at(entity, "name")) or _id(entity).rstrip("/").rpartition("/")[2]


def _id(entity: Any) -> str:
    """Id of an entity, given as an object or by its address."""
    return text(entity) or text(at(entity, "id"))


_PATHS: Paths = {
    "item": (_id, ("object",)),
    "answered_at": (text, ("eventTime",)),
    "attempt": (_count, ("generated.attempt.count",)),
    "seconds": (_seconds, ("generated.attempt",)),
    "quiz": (_named, ("object.isPartOf", "generated.attempt.assignable")),
    "section": (text, ("group.courseNumber",)),
    "called": (text, ("object.name",)),
}
