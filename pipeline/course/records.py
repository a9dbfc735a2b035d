"""What a course folder says, its questions too, as frozen records that know of no file format."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Annotated, Literal, TypeAlias

from pipeline.course.calendar import Break, Term
from pipeline.course.exports import ExportMap, Setting
from pipeline.course.hand_tags import HandTag
from pipeline.course.keyfile import key_fingerprint, read_key
from pipeline.course.standard_files import StandardFiles
from pipeline.fingerprints import fingerprint
from pipeline.records import MissingBrackets, Numbers, OwnPattern, Request

__all__ = [
    "PERIODS",
    "Break",
    "Course",
    "Lesson",
    "Outcome",
    "OwnPattern",
    "Privacy",
    "Quiz",
    "ReadingSettings",
    "Term",
    "Topic",
]

Week: TypeAlias = Annotated[int | None, (1, 53)]
"""A teaching week, counted from 1."""
Share: TypeAlias = Annotated[float, (0, 1)]
METHODS = ("factoring", "square-root", "complete-square", "formula")


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice question; `pattern` is the error that it was written to catch."""

    text: str
    pattern: str | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One version of one question.

    Args:
        id: the question's name in the exports.
        topic: id of its topic.
        task: an algebra task, or `judge`, `choice`, `skip`.
        problem: the question in typed notation; an answer's own row may override it.
        answer: the key; None leaves it to be computed.
        form: the form asked for; None takes the task's default.
        numbers: `real` or `complex`.
        outcome: id of the outcome that it gives evidence for; None takes the topic's.
        options: for `choice`, in the order of the file.
        quiz: the quiz that it belongs to.
        week: the teaching week that it is assigned to, from 1.
        method: the procedure that the course taught for it.
        start: date (ISO) or term from which this version is in force; "" from the beginning.
        correction: this version mends a mistake, and answers given before it are judged by it.
        asked: what is to be given, where that is not the unknown itself.
        keep: which solutions count, an inequality.
        follows: id of the earlier part whose answer stands in the problem.
        template: the problem as written, where `problem` has the earlier part's answer put in.
        wording: the question as its source words it; exports may name it by that.
        same: id of the question that it asks again with other numbers.
        line: where it stands in the items file, from 1.
    """

    id: str
    topic: str
    task: str
    problem: str
    answer: str | None = None
    form: str | None = None
    numbers: Numbers = "real"
    outcome: str | None = None
    options: tuple[Option, ...] = ()
    quiz: str | None = None
    week: int | None = None
    method: str | None = None
    start: str = ""
    correction: bool = False
    asked: str | None = None
    keep: str | None = None
    follows: str | None = None
    template: str | None = None
    wording: str | None = None
    same: str | None = None
    line: int = 0

    @property
    def place(self) -> Literal["task", "judge", "choice", "skip"]:
        """How far its answers are worked on: `task` for the algebra tasks, else the task itself."""
        match self.task:
            case "judge" | "choice" | "skip" as other:
                return other
            case _:
                return "task"

    def request(self, answer: str = "") -> Request:
        """The question with an answer to it, as the stages after this one take it."""
        return Request(
            self.task, self.problem, answer, self.answer, numbers=self.numbers, form=self.form,
            method=self.method, asked=self.asked, keep=self.keep,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Topic:
    """A topic of the course.

    Args:
        id: its name in the items file.
        title: name on the pages.
        first_week: teaching week in which it begins, from 1.
        outcome: id of the outcome that it serves.
        needs: ids of the topics that it rests on.
        weight: how much an error in it costs, by marks or as a prerequisite; 1 is usual, and one
            outside of its range would decide the order all by itself.
    """

    id: str
    title: str
    first_week: Week = None
    outcome: str | None = None
    needs: tuple[str, ...] = ()
    weight: Annotated[float, (0.1, 10.0)] = 1.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """A learning outcome and the bar that a student must reach.

    Args:
        id: its name.
        statement: what a student can do.
        target: share of students hoped to meet it, 0 to 1.
        bar: share of questions that a student must get right, 0 to 1.
        evidence: settings or quizzes whose answers count; empty means all.
        attempt: which attempt counts.
        fewest: questions that a student must have answered to be counted at all.
    """

    id: str
    statement: str
    target: Share = 0.7
    bar: Share = 0.7
    evidence: tuple[str, ...] = ()
    attempt: Literal["first", "last"] = "first"
    fewest: Annotated[int, (1, 1000)] = 3


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson or video; no sections means every section of the course."""

    date: date
    title: str
    topics: tuple[str, ...] = ()
    patterns: tuple[str, ...] = ()
    sections: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Quiz:
    """Facts that all answers of one quiz share, where neither item nor export says otherwise."""

    id: str
    week: Week = None
    setting: Setting | None = None
    supervised: bool | None = None
    calculator: bool | None = None


PERIODS = {"week": 1, "month": 4, "semester": 100}
"""Weeks of a period of the edition for everyone."""


@dataclass(frozen=True, slots=True)
class Privacy:
    """Identity and disclosure settings.

    Args:
        issuer: who gave out the student ids; the same id of two issuers is two students.
        key_file: where the pseudonym key lies.
        limit: groups of fewer students are hidden on pages.
        fold_case: whether ids that differ only in case are the same student.
        test_accounts: ids, `*` allowed, of accounts that are no students.
        link_terms: whether a student keeps one pseudonym over all terms.
        after_load: what becomes of an export that was loaded: it stays, is moved to `move_to`, or
            is replaced by a copy with pseudonyms in place of ids.
        release: whether a run writes a student-level extract with random codes for research.
        shared_weeks: weeks of a period after which counts for everyone are printed.
        move_to: folder for loaded exports; None for a folder `loaded` in the course folder.
    """

    key_file: Path
    issuer: str = "institution"
    limit: Annotated[int, (3, 1000)] = 10
    fold_case: bool = True
    test_accounts: tuple[str, ...] = ()
    link_terms: bool = True
    after_load: Literal["keep", "move", "pseudonymize"] = "keep"
    move_to: Path | None = None
    release: bool = False
    shared_weeks: int = PERIODS["month"]


@dataclass(frozen=True, slots=True)
class ReadingSettings:
    """How answers are read and judged."""

    decimal_comma: bool = False
    min_places: Annotated[int, (0, 12)] = 2
    missing_brackets: MissingBrackets = "apart"


@dataclass(frozen=True, slots=True)
class Course:
    """A course folder, read and checked.

    Args:
        folder: the folder itself; only file names inside it may reach a page.
        hand_tags: answers that a person laid to an error.
        tags_left_out: why some of them were left out, a sentence a row.
        defaults: one sentence per default that was used.
        unfinished: how many drafted questions wait for a person, a sentence where any does.
        standards: what the folder `standards` says of questions and classes.
        margin: difference of two shares, 0 to 1, under which a change counts as small.
        declared_terms: False when the terms are worked out from the answers.
    """

    folder: Path
    title: str
    time_zone: str
    items: tuple[Item, ...]
    privacy: Privacy
    terms: tuple[Term, ...] = ()
    topics: tuple[Topic, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    lessons: tuple[Lesson, ...] = ()
    quizzes: tuple[Quiz, ...] = ()
    exports: tuple[ExportMap, ...] = ()
    patterns: tuple[OwnPattern, ...] = ()
    hand_tags: tuple[HandTag, ...] = ()
    tags_left_out: tuple[str, ...] = ()
    reading: ReadingSettings = field(default_factory=ReadingSettings)
    defaults: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()
    declared_terms: bool = True
    margin: float = 0.05
    standards: StandardFiles = field(default_factory=StandardFiles)

    @property
    def quiz_weeks(self) -> dict[str, int]:
        """Quiz -> the teaching week that it is assigned to, where declared."""
        return {quiz.id: quiz.week for quiz in self.quizzes if quiz.week is not None}

    @property
    def fingerprint(self) -> str:
        """Sixteen hex digits over all that stored answers rest on, most facts of items apart.

        Covers calendar, time zone, the rules of identity, and whose text is not stored. Where it
        has changed, exports have to be loaded anew; a change of maps touches single files alone.
        """
        privacy = self.privacy
        copied = privacy.after_load == "pseudonymize"
        identity = (privacy.issuer, privacy.fold_case, privacy.link_terms, privacy.test_accounts)
        calendar = [(term.id, term.first_day, term.breaks) for term in self.terms]
        skipped = sorted({item.id for item in self.items if item.place == "skip"})
        reading = (self.time_zone, self.quizzes, self.reading, skipped)
        return fingerprint(repr((calendar, identity, reading, copied, self.standards.digest)))

    @property
    def maps_fingerprint(self) -> str:
        """Sixteen hex digits over all column maps, wherever they stand in the settings."""
        return fingerprint(repr([replace(one, line=0) for one in self.exports]))

    @property
    def loaded_folder(self) -> Path:
        """Where loaded exports go when they are moved."""
        return self.privacy.move_to or self.folder / "loaded"

    @property
    def key_fingerprint(self) -> str:
        """Sixteen hex digits that tell this course's pseudonym key from any other.

        Raises:
            CourseError: the key is missing or protects nobody.
        """
        return key_fingerprint(read_key(self.privacy.key_file))
