"""One student's page: each answer, how it was read, and what was made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
from jinja2 import Environment, PackageLoader, StrictUndefined

from pipeline.course import Course, read_course, read_key
from pipeline.errors import CourseError, UsageError
from pipeline.ingest import Pseudonyms, read_tombstones
from pipeline.run.conduct import DATABASE
from pipeline.run.rules import must_start_afresh
from pipeline.storage import written_whole
from pipeline.warehouse import Warehouse, reading


@dataclass(frozen=True, slots=True)
class Sought:
    """A student who was asked for; lives in memory only.

    Args:
        normal: the id as the course's rules have it.
        pseudonyms: all that the student can have; one, unless terms are kept apart.
        keyed: turns ids into pseudonyms and tombstones.
    """

    normal: str
    pseudonyms: tuple[str, ...]
    keyed: Pseudonyms

    def __repr__(self) -> str:
        return "Sought(...)"  # no error report may hold the id

    def answers(self, warehouse: Warehouse) -> pd.DataFrame:
        """Rows of the table `answers` that are this student's."""
        return warehouse.select("answers", "student", self.pseudonyms)

    def was_erased(self, course: Course) -> bool:
        """Whether the course has a tombstone for the student."""
        return self.keyed.tombstone(self.normal) in read_tombstones(course.folder, self.keyed)


def seek(course: Course, warehouse: Warehouse, student: str) -> Sought:
    """Work out under which pseudonyms a student is stored.

    Args:
        course: holds the key and the rules of identity.
        warehouse: names the terms, where each has pseudonyms of its own.
        student: the id as typed.

    Raises:
        UsageError: nothing was typed, or the id is that of a test account.
    """
    keyed = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    normal = keyed.normal(student)
    if not normal:
        raise UsageError("No id was given. Type the student's id as the exports have it.")
    if keyed.is_test_account(normal):
        raise UsageError("This is a test account: [privacy] test_accounts leaves it out.")
    terms = {"", *warehouse.frame("store.term")["term"], *(term.id for term in course.terms)}
    found = {keyed.of(normal, term) for term in terms}
    return Sought(normal, tuple(sorted(found)), keyed)


def refuse_outdated(course: Course) -> None:
    """Stop where the database does not fit program, settings or key.

    Raises:
        CourseError: there is none, or it has to be brought up to date first.
    """
    database = course.folder / "course.duckdb"
    with reading(database):
        pass
    if must_start_afresh(course, database):
        raise CourseError(
            "The settings or the program have changed since the last run. Run the course first: "
            "lostroot run DIR"
        )


STUDENT_PAGE = "one-student.html"
_VERDICTS = {
    "right": "right",
    "right-other-form": "right, but not in the form asked",
    "right-if-meant": "right if brackets were meant",
    "too-coarse": "rounded too far to judge",
    "wrong": "wrong",
    "unreadable": "we could not read it",
    "blank": "nothing answered",
    "no-key": "no right answer is known, not judged",
}


@dataclass(frozen=True, slots=True)
class ShownAnswer:
    """One answer as the page prints it; `reasons` are (share in percent, sentence)."""

    question: str
    problem: str
    when: str
    attempt: str
    typed: str
    read_as: str
    verdict: str
    remark: str
    reasons: tuple[tuple[int, str], ...]
    unexplained: int | None
    score: str
    source: str


def show_student(folder: Path, student: str) -> Path:
    """Write one student's page into the course folder, readable by its owner only.

    Args:
        folder: the course folder.
        student: the id as typed; it is not written.

    Returns:
        The page; an earlier one is replaced, so that only one lies about.

    Raises:
        UsageError: nothing is stored under this id.
        CourseError: the course has to be run first, or the page cannot be written.
    """
    course = read_course(folder)
    refuse_outdated(course)
    with reading(folder / DATABASE) as warehouse:
        sought = seek(course, warehouse, student)
        answers = sought.answers(warehouse)
        if answers.empty:
            raise UsageError(_unknown(erased=sought.was_erased(course)))
        shown = list(_shown(warehouse, answers))
    return _write(folder / STUDENT_PAGE, _page(course, shown))


def _unknown(*, erased: bool) -> str:
    if erased:
        return "This student was erased from the course; nothing is stored."
    return (
        "No stored answer has this id. Check how it is spelled, and whether the exports use "
        "another one, such as a number in place of an e-mail address. Answers that were rejected "
        "are not stored; the quality page lists their files and lines."
    )


def _shown(warehouse: Warehouse, answers: pd.DataFrame) -> Iterator[ShownAnswer]:
    keys = [int(key) for key in answers["response"]]
    tags = warehouse.select("tags", "response", keys)
    says = warehouse.frame("store.pattern").set_index("pattern")["sentence"].to_dict()
    of_answer = dict(list(tags.groupby("response")))
    for row in answers.sort_values(["answered_at", "item", "attempt", "line"]).to_dict("records"):
        own = of_answer.get(row["response"], tags.iloc[:0])
        known = own[own["pattern"] != "unexplained"].sort_values("share", ascending=False)
        rest = own.loc[own["pattern"] == "unexplained", "share"].sum()
        yield ShownAnswer(
            question=_text(row["item"]),
            problem=_text(row["problem"]),
            when=_when(row["answered_at"]),
            attempt=_text(row["attempt"]),
            typed=_text(row["answer"]),
            read_as=_text(row["read_as"]),
            verdict=_VERDICTS.get(_text(row["verdict"]), "stored, not judged"),
            remark=_text(row["reason"]),
            reasons=tuple(_reasons(known, says)),
            unexplained=round(100 * rest) if len(own) else None,
            score=_score(row),
            source=f"{row['file']}, {_text(row['source_place']) or 'line ' + _text(row['line'])}",
        )


def _reasons(tags: pd.DataFrame, says: dict[Any, Any]) -> Iterator[tuple[int, str]]:
    for faults, share in zip(tags["faults"], tags["share"], strict=True):
        if share >= 0.005:
            yield round(100 * share), " And: ".join(str(says.get(one, one)) for one in faults)


def _text(value: object) -> str:
    return "" if value is None or pd.isna(value) else str(value)  # type: ignore[call-overload]


def _when(value: object) -> str:
    return f"{value:%Y-%m-%d %H:%M} UTC" if isinstance(value, pd.Timestamp) else "no time given"


def _score(row: dict[Any, Any]) -> str:
    if pd.isna(row["score"]):
        return "none"
    of = "" if pd.isna(row["points"]) else f" of {row['points']:g}"
    return f"{row['score']:g}{of}"


def _page(course: Course, answers: list[ShownAnswer]) -> str:
    loader = PackageLoader("pipeline.student", "templates")
    pages = Environment(loader=loader, autoescape=True, undefined=StrictUndefined)
    template = pages.get_template("one-student.html.j2")
    return template.render(title=course.title, answers=answers, day=date.today().isoformat())


def _write(path: Path, text: str) -> Path:
    """Write for the owner's eyes: the rights are set before the first byte."""
    with written_whole(path, for_owner=True) as fresh:
        fresh.write_text(text, encoding="utf-8", newline="\n")
    return path
