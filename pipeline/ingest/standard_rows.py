"""Answers of the open standards as rows under our own column names, in the words of the course."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from pipeline.course import Course, Item
from pipeline.ingest.marker import Marker
from pipeline.ingest.questions import Questions
from pipeline.records import Verdict
from pipeline.standards import QtiItem
from pipeline.standards.answer_records import ItemAnswer, LeftOut, Response
from pipeline.tables import BrokenRow
from pipeline.wording import asked_by

COLUMNS = (
    "student", "item", "answer", "answered_at", "attempt", "section", "quiz", "score", "points",
    "seconds", "problem", "count", "source_place",
    "source_id",
)  # fmt: skip
Cells = list[str] | BrokenRow
_JOIN = "; "
_NO_TEXT = (
    "the question has values of its own for each student, and its text, to put them in, is not "
    "here: put the QTI package with the questions into the folder `standards`, and run again"
)
_IDENTIFIERS = (
    "answers that name an option by its identifier alone: put the QTI package with the questions "
    "into the folder `standards`"
)
_OTHER_ADDRESS = (
    "questions whose address ends as that of another one in an earlier export, so that they may be "
    "others and are taken for none of the list: export them with their text, or give each an id of "
    "its own"
)


@dataclass
class StandardRows:
    """Turns answers of one file into rows.

    Args:
        course: whose list of questions decides what a question is called, and what its parts are.
        package: name in results -> question of a QTI package.
        addresses: every question of the file, where they are told by addresses.
        told: question -> the address by whose end it was told, here or in an earlier file.
        notes: phrase -> how many answers it is true of.
    """

    course: Course
    package: Mapping[str, QtiItem]
    addresses: frozenset[str] = frozenset()
    told: dict[str, str] = field(default_factory=dict)
    notes: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self._questions = Questions(self.course.items)
        self._items: dict[str, Item] = {item.id: item for item in self.course.items}
        self._called: dict[tuple[str, str], str] = {}
        self._ends = Counter(map(_end_of, self.addresses))
        self._marker = Marker(self.course.items, decimal_comma=self.course.reading.decimal_comma)

    def rows(self, answer: ItemAnswer | LeftOut, place: str) -> Iterator[Cells]:
        """Rows of one answer: one, or one a part where the course lists parts.

        Args:
            answer: what the standard's reader gave.
            place: where it stands, for people.
        """
        if isinstance(answer, LeftOut):
            yield BrokenRow(answer.reason, needs_look=answer.needs_look, place=place)
            return
        if answer.note:
            self.notes[answer.note] += 1
        known = self.package.get(answer.item)
        name = self._named(answer.item, answer.called or (known.body if known else ""))
        problem = self._problem(answer, known, name)
        if problem is None:
            yield BrokenRow(_NO_TEXT, place=place)
            return
        responses = _asked(answer.responses, known)
        parts = {f"{name}.{one.identifier}": one for one in responses}
        if not answer.templates:
            self._hold_keys(name, parts, known)
        if len(responses) > 1 and self._questions.ids & set(parts):
            for part, one in parts.items():
                yield self._row(answer, part, self._text(one, known), problem, place, part=True)
        else:
            texts = (self._text(one, known) for one in responses)
            yield self._row(answer, name, _JOIN.join(filter(None, texts)), problem, place)

    def _hold_keys(self, name: str, parts: Mapping[str, Response], known: QtiItem | None) -> None:
        """Note a key of the export that is not right by the list of questions."""
        if known is None and any(one.base_type == "identifier" for one in parts.values()):
            return
        whole = len(parts) == 1 or not self._questions.ids & set(parts)
        told = [replace(one, values=one.correct, base_type="") for one in parts.values()]
        texts = [self._text(one, known) for one in told]
        pairs = [(name, _JOIN.join(texts))] if whole else zip(parts, texts, strict=True)
        for item, key in pairs:
            verdict = self._marker.verdict(item, key) if all(texts) else Verdict.NO_KEY
            if verdict in (Verdict.WRONG, Verdict.UNREADABLE, Verdict.TOO_COARSE):
                listed = self._items[item].answer or "the computed one"
                self.notes[
                    f"answers to {item}, whose key in the export is {key} and in the list "
                    f"{listed}, so that one of the two may be wrong"
                ] += 1

    def _row(
        self, answer: ItemAnswer, item: str, text: str, problem: str, place: str,
        *, part: bool = False,
    ) -> list[str]:  # fmt: skip
        cells = dict.fromkeys(COLUMNS, "") | {
            "student": answer.student,
            "item": item,
            "answer": text,
            "answered_at": answer.answered_at,
            "attempt": "" if answer.attempt is None else str(answer.attempt),
            "section": answer.section,
            "quiz": answer.quiz,
            "score": "" if part else _plain_number(answer.score),
            "points": "" if part else _plain_number(answer.points),
            "seconds": _plain_number(answer.seconds),
            "problem": problem,
            "count": "" if answer.student else "1",
            "source_place": place,
            "source_id": answer.source,
        }
        return list(cells.values())

    def _named(self, item: str, called: str) -> str:
        """The question of the course that is meant; its name in the file where none is.

        An address is told by itself, by the question's text, or by its end, where no other
        question of this file or an earlier one ends so.
        """
        key = item, called
        if key not in self._called:
            self._called[key] = self._look_up(item, called)
        return self._called[key]

    def _look_up(self, item: str, called: str) -> str:
        if found := self._questions.find(item):
            return found
        if called and (found := self._questions.find(called)):
            return found
        end = _end_of(item)
        if end == item or self._ends[end] > 1 or end not in self._questions.ids:
            return item
        if self.told.setdefault(end, item) != item:
            self.notes[_OTHER_ADDRESS] += 1
            return item
        self.notes[f"questions told by the end of their address, after {item[: -len(end)]}"] += 1
        return end

    def _problem(self, answer: ItemAnswer, known: QtiItem | None, name: str) -> str | None:
        """The question as this student saw it where it has values of its own; "" where not.

        Returns:
            None where a listed question has such values, and no text to put them in.
        """
        listed = self._items.get(name)
        if not answer.templates or listed is None or listed.place == "skip":
            return ""
        if known is not None and known.filled({}) == known.body:
            return ""  # nothing of it is printed
        own = _put_in(listed.problem, answer.templates)
        if own != listed.problem:
            return own
        filled = known.filled(answer.templates) if known is not None else None
        return (asked_by(filled).problem or None) if filled else None

    def _text(self, response: Response, known: QtiItem | None) -> str:
        shown = next(
            (one for one in known.interactions if one.response == response.identifier), None
        ) if known is not None else None  # fmt: skip
        if shown is not None and shown.options:
            return _JOIN.join(
                " -> ".join(map(shown.shown, value.split())) if "air" in response.base_type
                else shown.shown(value)
                for value in response.values
            )  # fmt: skip
        if response.base_type == "identifier" and response.values:
            self.notes[_IDENTIFIERS] += 1
        if response.base_type == "point":
            return _JOIN.join(f"({', '.join(value.split())})" for value in response.values)
        return _JOIN.join(response.values)

    def sentences(self) -> tuple[str, ...]:
        """What is to be known of the file, each with how many answers it is true of."""
        return tuple(f"{what}: {count:,}" for what, count in self.notes.items())


def _asked(responses: Iterable[Response], known: QtiItem | None) -> list[Response]:
    """Responses in the order of the question's boxes; buttons and hints are none of them."""
    given = {one.identifier: one for one in responses}
    if known is not None:
        ordered = [given[one.response] for one in known.interactions if one.response in given]
        if ordered:
            return ordered
    return list(given.values())


def _end_of(address: str) -> str:
    return re.split(r"[/#]", address.rstrip("/#"))[-1]


def _put_in(problem: str, values: Mapping[str, str]) -> str:
    """A problem of the list with a student's values in place of `{A}`."""
    names = "|".join(map(re.escape, values))
    return re.sub(rf"\{{({names})\}}", lambda found: _bracketed(values[found[1]]), problem)


def _bracketed(value: str) -> str:
    return value if re.fullmatch(r"\w+(?:\.\d+)?", value) else f"({value})"


def _plain_number(value: float | None) -> str:
    return "" if value is None else f"{value:.6f}".rstrip("0").rstrip(".")
