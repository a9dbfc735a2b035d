"""A table under a header: what its columns say of whole rows, told by all cells, then by names."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import ClassVar

from pipeline.course import ExportMap
from pipeline.ingest.column_facts import Column, reasons
from pipeline.ingest.columns import EXPORT_FIELDS, OTHER, meanings, standard_field
from pipeline.ingest.facts import is_setting
from pipeline.ingest.header import HeaderRow
from pipeline.ingest.marker import Marked, Marker
from pipeline.ingest.proposal import (
    NOT_USED,
    ColumnRemark,
    Proposal,
    assigned,
    is_part_of_a_name,
    named_students,
)
from pipeline.ingest.questions import Questions

SIGNS = "=^+*/√"
"""Of mathematics, of which most columns that are no answers hold none."""
_FEW = 60
_WHOLE_NAME, _PARTS_OF_A_NAME = "full name", 2
_NEARLY_ALL = 0.9
_HALF, _DATED = 0.5, 0.8
_NAMED = 0.6
"""Of the words of a header, what has to speak for a field, so that leaving it out is said."""
_DIGITS = re.compile(r"\d+")
_LETTER = re.compile(r"(?<![^\W\d_])[^\W\d_](?![^\W\d_])")
_NUMBERED = re.compile(r"9.*[^\W\d_]|[^\W\d_].*9")
_LONGEST_SPAN = 400
"""Days: dates that lie farther apart, such as those of births, are no times of answers."""

Judge = Callable[[Column], float]


class Layout(ABC):
    """A table, its columns measured against each other row by row.

    Args:
        header: the names.
        below: cells of the rows below it, none wider than the header.
        questions: of the course.
        marker: judges answers.
    """

    near = 0.12
    """Two columns whose scores are no farther apart can both be meant."""

    def __init__(
        self,
        header: HeaderRow,
        below: Sequence[Sequence[str]],
        questions: Questions,
        marker: Marker,
    ) -> None:
        self.header = header
        # Column names that come again further down are no row of the table.
        below = [cells for cells in below if tuple(cells) != header.cells] or below
        self.height = len(below)
        self.questions = questions
        self.marker = marker
        width = len(header.names)
        texts = zip(*((*cells, *[""] * (width - len(cells))) for cells in below), strict=True)
        self.every = [Column(at, header.names[at], cells) for at, cells in enumerate(texts)]
        self.columns = [one for one in self.every if one.name and one.filled]
        self._parts: dict[int, tuple[str, ...]] = {}
        names_of_people = [one for one in self.columns if is_part_of_a_name(one.name)]
        if len(names_of_people) == _PARTS_OF_A_NAME:
            self.columns.append(self._joined(names_of_people, _WHOLE_NAME, " "))
        # A rank by the headers alone settles ties whatever the order of the columns.
        names = sorted({one.name for one in self.columns})
        self._rank = {name: rank for rank, name in enumerate(names)}
        self._why: dict[tuple[str, int], str] = {}

    def _joined(self, parts: Sequence[Column], name: str, between: str) -> Column:
        """Columns that say one thing together, as if the table had a column of it."""
        cells = zip(*(one.texts for one in parts), strict=True)
        whole = Column(len(self.every), name, [between.join(both).strip() for both in cells])
        self._parts[whole.place] = tuple(one.name for one in parts)
        self.every.append(whole)
        return whole

    def headers_of(self, place: int) -> tuple[str, ...]:
        """The column of a place by its header; those that it was joined from."""
        return self._parts.get(place) or (self.header.names[place],)

    @abstractmethod
    def structure(self, one: Column) -> float | None:
        """How much a column is built like ids of students, from 0 to 1; None if it cannot be."""

    def of_rows(self) -> dict[str, Judge]:
        """Field that any row may have -> what speaks for a column."""
        return {
            "student": self.student,
            "answered_at": self._answered_at,
            "section": lambda one: self._of_few("section", one),
            "term": lambda one: self._of_few("term", one),
            "quiz": self._quiz,
            "setting": self._setting,
            "supervised": lambda one: self._flag("supervised", one),
            "calculator": lambda one: self._flag("calculator", one),
        }

    def assigned(
        self, judges: Mapping[str, Judge], taken: Mapping[str, int], used: Collection[int] = ()
    ) -> dict[str, int]:
        """Fields laid to the columns that are left, and those taken before: field -> place."""
        gone = {*taken.values(), *used}
        free = [one for one in self.columns if one.place not in gone]
        free.sort(key=lambda one: -one.says("answer"))  # what may be judged is limited
        scores = {
            (name, one.place): judge(one) - 1e-6 * self._rank[one.name]
            for one in free
            for name, judge in judges.items()
        }
        found = {**taken, **assigned(scores)}
        alone: dict[str, tuple[Callable[[Column, Mapping[str, int]], object], str]] = {
            "student": (self._tells_students_apart, self.like_students),
            # When an answer was marked is not when it was given.
            "answered_at": (
                lambda one, _: _is_timed(one) and not one.says("score"),
                "the only column of dates",
            ),
            "section": (self._is_of_groups, "the only column of groups of students, by codes"),
        }
        for name, (holds, why) in alone.items() if judges.keys() >= alone.keys() else ():
            gone |= {*found.values()}
            left = [one for one in self.columns if one.place not in gone and holds(one, found)]
            if name not in found and len(left) == 1:
                found[name] = left[0].place
                self.why(name, left[0], why)
        return found

    def why(self, field: str, one: Column, *parts: object) -> None:
        """Remember why a column may be a field."""
        self._why[field, one.place] = reasons(*parts)

    # what speaks for each field, from 0 to about 1

    def student(self, one: Column) -> float:
        """What speaks for ids of students."""
        if one.dates > 0.5 or one.is_machine or (structure := self.structure(one)) is None:
            return 0.0
        if any(one.name in parts for parts in self._parts.values()):
            return 0.0
        named = one.says("student") and "its name"
        self.why("student", one, structure > 0.3 and self.like_students, named)
        names = one.is_of_names and any(_is_code_of(other, one) for other in self.columns)
        return 0.55 * structure + one.person_score - 0.5 * names

    asked: ClassVar[Mapping[str, str]] = {"answered_at": "dates", "section": "class sections"}
    """Field -> what a column that its name says to be of it holds, where none was taken for it."""

    like_students = ""
    """What is said of a column that is built like ids of students."""

    def _answered_at(self, one: Column) -> float:
        if not one.date_score:
            return 0.0
        early = float(one.times.mean()) <= min(self._times)
        said = early and len(self._times) > 1 and "no other is earlier"
        named = one.says("answered_at") and "its name"
        self.why("answered_at", one, "its values are dates", said, named)
        return one.date_score + 0.15 * early

    @cached_property
    def _times(self) -> list[float]:
        """When those columns of dates were, on the average, that do not say they are of a start."""
        return [float(one.times.mean()) for one in self.columns if one.date_score >= 0.3] or [0.0]

    # what the one column that is left holds, whatever its name speaks of

    def _tells_students_apart(self, one: Column, _: Mapping[str, int]) -> bool:
        """Whether it is built like ids of students, and holds codes or whole names of people."""
        built = self.structure(one) if one.dates < _HALF and not one.is_machine else None
        written = one.is_of_names or one.looks_coded > _NEARLY_ALL
        return written and one.says_other < _NEARLY_ALL and (built or 0.0) > _HALF

    def _is_of_groups(self, one: Column, found: Mapping[str, int]) -> bool:
        """Whether it groups students by codes, such as 014 and 022, or Rm 12 and Rm 14.

        Other groups, such as those of a device or a form, are asked about: see `unread`.
        """
        if "student" not in found or not _may_group(self.every[found["student"]], one):
            return False
        otherwise = {*meanings(one.name)} - {"section", "term", "quiz"}
        built = {_DIGITS.sub("9", _LETTER.sub("b", text)) for text in one.counts}
        numbered = all(map(_NUMBERED.search, built)) and len(built) < len(one.counts)
        otherwise |= {OTHER for text in one.counts if OTHER in meanings(text)}
        return not otherwise and (_is_coded(one) or numbered)

    def _of_few(self, field: str, one: Column) -> float:
        """A column of few texts that its name says the meaning of."""
        name = one.says(field)
        few = len(one.counts) <= max(3, min(_FEW, self.height // 2))
        if not name or not few or one.dates > 0.5:
            return 0.0
        if name < _NAMED and self.names_questions(one) > 0.5:
            return 0.0
        if field == "quiz" and one.says("section") >= name:
            return 0.0  # a group of a course, as in German compounds, is one of people
        self.why(field, one, "its name, and few different texts")
        return 0.3 + 0.5 * name - 0.4 * one.says_other

    def _quiz(self, one: Column) -> float:
        if self._names_quizzes(one):
            self.why("quiz", one, "it holds names of quizzes that the questions have")
            return 0.9
        sure = max(0.6, one.says_other, one.says("score"))  # a total of a quiz is no quiz
        return self._of_few("quiz", one) if one.numbers < 0.9 or one.says("quiz") > sure else 0.0

    def _names_quizzes(self, one: Column) -> bool:
        return one.share(lambda text: bool(self.questions.of_quiz(text))) > 0.8

    def _setting(self, one: Column) -> float:
        name = one.says("setting")
        if one.share(is_setting) < 0.8 or not (name or len(one.counts) > 1):
            return 0.0
        self.why("setting", one, "it says practice, quiz or exam")
        return 0.4 + 0.4 * name

    def _flag(self, field: str, one: Column) -> float:
        if not one.says(field) or not one.is_flag:
            return 0.0
        self.why(field, one, "its name, and yes or no in its cells")
        return 0.4 + 0.5 * one.says(field)

    def names_questions(self, one: Column) -> float:
        """Share of the cells that name questions of the course."""
        return one.share(self.questions.find)

    # what is said

    def proposed(
        self,
        chosen: ExportMap,
        said: Mapping[str, tuple[str, str]],
        marked: Marked,
        doubts: Iterable[str],
        told: Collection[str] = (),
    ) -> Proposal:
        """A map, but for what it leaves out, with doubts of its layout and what all maps say.

        Columns of answers may have told fields besides.
        """
        fields = chosen.columns
        left = tuple(one.name for one in self.columns
                     if one.name not in said and standard_field(one.name) in self.own)  # fmt: skip
        held = self.unread({**dict.fromkeys(told, ()), **fields}, said) if left else {}
        return Proposal(
            map=replace(chosen, left_out=left),
            header=self.header,
            remarks=self.remarks(said),
            right=marked.right,
            answers=marked.read,
            judged=marked.seen,
            doubts=(
                *self.doubts(fields, said),
                *self.crossing_times(fields),
                *(  # a map of ours must not hide them for ever
                    f"{name!r} cannot be read as its name says, though it seems to hold {what}. "
                    "Decide by a map with it under `columns`, or under `left_out`"
                    for name, what in held.items()
                    if name in left
                ),
                *doubts,
            ),
            cautions=tuple(self.cautions(fields)),
        )

    own: ClassVar[Collection[str]] = EXPORT_FIELDS
    """Fields that a column says by its name alone."""

    @staticmethod
    def headless(student: Column) -> str | None:
        """Why the row of names is none, where it holds a student; None where it holds none."""
        if not student.is_headless:
            return None
        return (
            "the row that would name the columns holds an id like those below it, so the row of "
            "names is not there: add one, such as `student,item,answer`"
        )

    def doubts(self, fields: Mapping[str, tuple[str, ...]], used: Collection[str]) -> Iterator[str]:
        """Columns that can be the student as well as the one that was taken for it."""
        if "student" not in fields:
            return
        mine = self.of_students(fields["student"])
        least = self.student(mine) - self.near
        for one in self.columns:
            if one.name in used or self.student(one) <= least or _same_groups(mine, one):
                continue
            if one.place == len(self.header.names):
                continue
            rest = [f"{name} = {list(headers)!r}"
                    for name, headers in fields.items() if name != "student"]  # fmt: skip
            said = ", ".join([f"student = {mine.name!r}", *rest])
            yield (
                f"{mine.name!r} and {one.name!r} can both be the student. Decide by a map: "
                f"[[exports]] columns = {{ {said} }}"
            )

    def crossing_times(self, fields: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
        """Columns of times that are now before, now after those that were taken."""
        mine = self.column(fields["answered_at"][0]) if "answered_at" in fields else None
        for one in self.columns if mine else ():
            if mine is None or one is mine or one.date_score < mine.date_score - self.near:
                continue
            rows = [(mine.times.get(a), one.times.get(b))
                    for a, b in zip(mine.texts, one.texts, strict=True)]  # fmt: skip
            gaps = [a - b for a, b in rows if a is not None and b is not None and a != b]
            later = sum(gap > 0 for gap in gaps)
            if min(later, len(gaps) - later) > len(gaps) / 20:
                yield (
                    f"{mine.name!r} and {one.name!r} can both be when it was answered, and neither "
                    "is always the earlier one. Decide by a map with one of them as `answered_at`"
                )

    def cautions(self, fields: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
        """What may be meant otherwise, though the map stands."""
        if "student" in fields and (told := named_students(self.of_students(fields["student"]))):
            yield told

    def unread(self, fields: Mapping[str, Sequence[str]], used: Collection[str]) -> dict[str, str]:
        """Columns that nothing was found for and that are worth a question: header -> what.

        Args:
            fields: that have a column, with its headers.
            used: headers that are taken for something.
        """
        free = [one for one in self.columns if one.name not in used]
        found: dict[str, str] = {}
        if "section" not in fields and "student" in fields:
            students = self.of_students(fields["student"])
            found |= {one.name: "class sections" for one in free
                      if _may_group(students, one)}  # fmt: skip
        if "answered_at" not in fields:
            found |= {one.name: "dates" for one in free if _is_timed(one)
                      or (one.looks_timed and not one.times.size)}  # fmt: skip
        for field, what in self.asked.items():
            named = [one for one in free if one.says(field) >= _NAMED > one.says_other
                     and not (field == "answered_at" and one.is_of_small_numbers)]  # fmt: skip
            told = [one for one in named if field == "section" or one.share(_DIGITS.search) > _HALF]
            found |= {one.name: what for one in told if field not in fields}
        found |= {one.name: "answers" for one in self.other_answers(free)}
        return found

    @abstractmethod
    def other_answers(self, free: Sequence[Column]) -> Iterator[Column]:
        """Columns among some that hold answers to questions of the course."""

    def remarks(self, said: Mapping[str, tuple[str, str]]) -> tuple[ColumnRemark, ...]:
        """One for each column that has a name.

        Args:
            said: header -> field, and why where no field's own reason is known.
        """
        return tuple(
            ColumnRemark(one.name, taken, self._why.get((taken, one.place), why))
            for one in self.every[: len(self.header.names)]
            if one.name
            for taken, why in [said.get(one.name, (NOT_USED, ""))]
        )

    def of_students(self, headers: Sequence[str]) -> Column:
        """The column of the student, or that of the whole names of two."""
        joined = (at for at, parts in self._parts.items() if parts == tuple(headers))
        return self.every[next(joined)] if len(headers) > 1 else self.column(headers[0])

    def column(self, name: str) -> Column:
        """The first column of a name."""
        return next(one for one in self.every if one.name == name)

    def few_of_student(self, students: Column, one: Column) -> bool:
        """Whether nearly every student has one text of a column, as with no seconds or weeks."""
        seen: dict[str, set[str]] = defaultdict(set)
        for student, text in zip(students.texts, one.texts, strict=True):
            if text:
                seen[student].add(text)
        return sum(len(found) > 1 for found in seen.values()) <= len(seen) / 5


def _is_code_of(code: Column, names: Column) -> bool:
    """Whether a column has codes, one for each person whom another column calls by name."""
    few = len(names.counts) <= len(code.counts) <= 1.5 * len(names.counts)
    if not few or code.looks_coded < _NEARLY_ALL or code.is_numbering or code.dates > _HALF:
        return False
    pairs = {pair for pair in zip(code.texts, names.texts, strict=True) if all(pair)}
    return len(pairs) == len(code.counts)


def _is_timed(one: Column) -> bool:
    """Whether it holds dates, or seconds since 1970, that lie in one school year."""
    days = [*one.times] if one.dates >= _DATED else [second / 86_400 for second in one.seconds]
    return bool(days) and max(days) - min(days) < _LONGEST_SPAN


def _may_group(students: Column, one: Column) -> bool:
    """Whether a column says one of few things of each student, as sections do."""
    few = 1 < len(one.counts) <= len(students.counts) / 3 and min(one.counts.values()) > 1
    # What only some have is a remark, no section of all.
    if not few or one.filled < _NEARLY_ALL * students.filled or one.is_flag:
        return False
    if (not _is_coded(one) and one.numbers > 0.5) or one.says_other or one.says("score"):
        return False
    if one.looks_timed or one.share(lambda text: any(sign in text for sign in "=^*√")) > 0.3:
        return False
    pairs = {pair for pair in zip(students.texts, one.texts, strict=True) if all(pair)}
    each = {student for student, _ in pairs}
    return len(pairs) == len(each) > len(students.counts) / 2


def _is_coded(one: Column) -> bool:
    return all(text.isdecimal() and len(text) > 2 for text in one.counts)


def _same_groups(one: Column, other: Column) -> bool:
    """Whether two columns tell the same people apart, all but a few."""
    pairs = {pair for pair in zip(one.texts, other.texts, strict=True) if all(pair)}
    return len(pairs) <= 1.05 * min(len(one.counts), len(other.counts))
