"""What a course folder says, as frozen records: no record here knows of a file format."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Literal

from pipeline.course.calendar import Break, Term
from pipeline.records import Numbers

__all__ = [
    "ALGEBRA_TASKS",
    "METHODS",
    "SETTINGS",
    "Break",
    "Course",
    "ExportMap",
    "Item",
    "Lesson",
    "Option",
    "Outcome",
    "OwnPattern",
    "Privacy",
    "Quiz",
    "ReadingSettings",
    "Term",
    "Topic",
]

ALGEBRA_TASKS = (
    "solve",
    "square-constant",
    "expand",
    "factor",
    "simplify",
    "evaluate",
    "discriminant",
    "vertex",
)
METHODS = ("factoring", "square-root", "complete-square", "formula")
SETTINGS = ("practice", "quiz", "exam")


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
    line: int = 0

    @property
    def place(self) -> Literal["task", "judge", "choice", "skip"]:
        """How far its answers are worked on: `task` for the algebra tasks, else the task itself."""
        match self.task:
            case "judge" | "choice" | "skip" as other:
                return other
            case _:
                return "task"


@dataclass(frozen=True, slots=True)
class Topic:
    """A topic of the course; `needs` are the topics that it rests on."""

    id: str
    title: str
    first_week: int | None = None
    outcome: str | None = None
    needs: tuple[str, ...] = ()


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
    target: float = 0.7
    bar: float = 0.7
    evidence: tuple[str, ...] = ()
    attempt: Literal["first", "last"] = "first"
    fewest: int = 3


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
    week: int | None = None
    setting: str | None = None
    supervised: bool | None = None
    calculator: bool | None = None


@dataclass(frozen=True, slots=True)
class OwnPattern:
    """An error pattern of the course's own: wrong answers as formulas in the problem's numbers."""

    id: str
    sentence: str
    task: str
    wrong: tuple[str, ...]
    skill: str = "own"
    source: str | None = None


@dataclass(frozen=True, slots=True)
class ExportMap:
    """How the columns of some export files are to be taken.

    Args:
        files: glob patterns inside `exports/`.
        layout: `long`, a row per answer, or `wide`, a row per student.
        columns: field of ours -> headers; several headers of `answer` are boxes to be joined.
        questions: wide only: header -> item id; several headers of one item are boxes.
        sheet: worksheet of a workbook; None takes the first one that is not hidden.
        join: what stands between joined boxes.
        term, section, quiz, setting, supervised, calculator, date: facts of the whole file.
        date_order: order of day and month in numeric dates; None works it out from the column.
        time_zone: zone of times without offset; None takes the course's.
        blank: what an empty cell of a wide file means.
        totals: further words that mark a row of totals.
        line: where the map stands in the settings, from 1; 0 for one that was worked out.
    """

    files: tuple[str, ...]
    layout: Literal["long", "wide"] = "long"
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    questions: Mapping[str, str] = field(default_factory=dict)
    sheet: str | None = None
    join: str = "; "
    term: str | None = None
    section: str | None = None
    quiz: str | None = None
    setting: str | None = None
    supervised: bool | None = None
    calculator: bool | None = None
    date: date | None = None
    date_order: Literal["MDY", "DMY", "YMD"] | None = None
    time_zone: str | None = None
    blank: Literal["not asked", "unanswered"] = "not asked"
    totals: tuple[str, ...] = ()
    line: int = 0


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
        after_load: what becomes of an export that was loaded.
    """

    key_file: Path
    issuer: str = "institution"
    limit: int = 10
    fold_case: bool = True
    test_accounts: tuple[str, ...] = ()
    link_terms: bool = True
    after_load: Literal["keep", "move", "pseudonymize"] = "keep"


@dataclass(frozen=True, slots=True)
class ReadingSettings:
    """How answers are read."""

    decimal_comma: bool = False
    min_places: int = 2


@dataclass(frozen=True, slots=True)
class Course:
    """A course folder, read and checked.

    Args:
        folder: the folder itself; only file names inside it may reach a page.
        defaults: one sentence per default that was used.
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
    reading: ReadingSettings = field(default_factory=ReadingSettings)
    defaults: tuple[str, ...] = ()
    declared_terms: bool = True

    @property
    def quiz_weeks(self) -> dict[str, int]:
        """Quiz -> the teaching week that it is assigned to, where declared."""
        return {quiz.id: quiz.week for quiz in self.quizzes if quiz.week is not None}
