"""Writes the invented course: items, settings, exports, and the truth beside them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import numpy as np

from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError
from synthetic_data.calendar import TERMS
from synthetic_data.classroom import Answer, class_answers
from synthetic_data.course_files import course_settings, item_rows
from synthetic_data.export_files import (
    EXAM_HEADINGS,
    WIDE_HEADINGS,
    Exports,
    write_long,
    write_plain_long,
    write_wide,
)
from synthetic_data.question_bank import question_bank
from synthetic_data.roster import enroll
from synthetic_data.tables import FileKind, write_table
from synthetic_data.truth import TRUTH, write_truth
from synthetic_data.unnamed_rules import with_unnamed_rules

Layout = Literal["long", "wide", "long-plain"]
DEFAULT_SEED = 20260112


@dataclass(frozen=True)
class WrittenCourse:
    """A course folder that was written.

    Args:
        folder: the course folder.
        truth: the folder beside `exports/` that no stage reads.
        files: names of the exports.
        students: distinct students.
        answers: rows (in a wide table: cells) that are good.
        duplicates: planted rows that repeat another one.
        broken: planted rows that must be rejected and want a look.
        left_out: planted rows of a test account, rejected on purpose.
    """

    folder: Path
    truth: Path
    files: tuple[str, ...]
    students: int
    answers: int
    duplicates: int
    broken: int
    left_out: int

    @property
    def rows_to_reject(self) -> int:
        """All rows that a run must reject, for whatever reason."""
        return self.broken + self.left_out


def write_course(
    folder: Path,
    *,
    students_per_term: int = 300,
    seed: int = DEFAULT_SEED,
    layout: Layout = "long",
    file_kind: FileKind = "csv",
    unnamed: bool = False,
) -> WrittenCourse:
    """Write a course folder of two terms and, apart, the truth about every answer.

    `long` is the whole course: up to three tries, randomized numbers, scores, broken rows.
    `wide` and `long-plain` hold one and the same smaller course, which both shapes can carry: one
    try, the same numbers for all, one time for a set of questions, no scores, no unlisted
    questions, no broken rows. The same seed gives the same bytes.

    Args:
        folder: new, empty, or an earlier course of this function, which is written over.
        students_per_term: students in each term, at least 20.
        seed: starting point of the random numbers.
        layout: shape of the exports.
        file_kind: kind of the exports and of the items file.
        unnamed: whether some students follow wrong rules that no catalogue has.

    Raises:
        CourseError: the folder holds something else.
    """
    prepare_folder(folder)
    random = np.random.default_rng(seed)
    plain = layout != "long"
    questions = tuple(one for one in question_bank() if one.listed or not plain)
    rosters = enroll(random, students_per_term)
    answers = [
        answer
        for roster in rosters
        for answer in class_answers(random, roster, questions, plain=plain)
    ]
    if unnamed:
        answers = list(with_unnamed_rules(random.spawn(1)[0], answers))
    if plain:
        answers = _handed_in(answers)
    exports = _write_exports(folder / "exports", answers, layout, file_kind, random)
    write_table(folder / f"items.{file_kind}", item_rows(questions), sheet="items")
    maps = list(_maps(exports.files, layout))
    (folder / "course.toml").write_text(course_settings(questions, maps), encoding="utf-8")
    write_course_key(folder / "pseudonym.key", seed)
    write_truth(folder / TRUTH, exports, questions, plain)
    ends = [mishap.ends_as for mishap in exports.mishaps]
    return WrittenCourse(
        folder=folder,
        truth=folder / TRUTH,
        files=tuple(exports.files),
        students=len({answer.student for answer in answers}),
        answers=len(answers),
        duplicates=ends.count("duplicate"),
        broken=ends.count("rejected"),
        left_out=ends.count("left out"),
    )


def _handed_in(answers: list[Answer]) -> list[Answer]:
    """Without those who left a whole set of questions blank: a wide table has no row for them."""
    written = {(one.term, one.student, one.question.quiz) for one in answers if one.text}
    return [one for one in answers if (one.term, one.student, one.question.quiz) in written]


def prepare_folder(folder: Path) -> None:
    """Make the folder, or clear what an earlier invented course left in it.

    Raises:
        CourseError: the folder holds something else.
    """
    if folder.exists() and any(folder.iterdir()) and not (folder / TRUTH).is_dir():
        raise CourseError(
            f"{folder.name}: holds files that are not of the invented course; "
            "expected a new or empty folder. Nothing was changed; choose another name."
        )
    (folder / "exports").mkdir(parents=True, exist_ok=True)
    stale = [folder / "items.csv", folder / "items.xlsx", *(folder / "exports").iterdir()]
    for path in stale:
        path.unlink(missing_ok=True)


def _write_exports(
    folder: Path,
    answers: list[Answer],
    layout: Layout,
    kind: FileKind,
    random: np.random.Generator,
) -> Exports:
    match layout:
        case "long":
            return write_long(folder, answers, kind, random)
        case "wide":
            return write_wide(folder, answers, kind)
        case _:
            return write_plain_long(folder, answers, kind)


def _maps(files: Iterable[str], layout: Layout) -> Iterator[dict[str, Any]]:
    """The `[[exports]]` that the files need."""
    if layout == "long":
        exams = [file for file in files if "-exam." in file]
        yield {
            "files": exams,
            "layout": "long",
            "date_order": "MDY",
            "columns": {field: [heading] for field, heading in EXAM_HEADINGS.items()},
        }
    elif layout == "wide":
        fields = dict(zip(("student", "section", "answered_at"), WIDE_HEADINGS, strict=True))
        for file in files:
            term = next(term.id for term in TERMS if file.startswith(term.id))
            quiz = Path(file).stem.removeprefix(f"{term}-").replace("-", " ").capitalize()
            yield {
                "files": [file],
                "layout": "wide",
                "term": term,
                "quiz": quiz,
                "blank": "unanswered",
                "columns": {field: [heading] for field, heading in fields.items()},
            }


def write_course_key(path: Path, seed: int) -> None:
    """A key worked out from the seed, so that two courses of one seed get the same pseudonyms.

    That is no secret, and need not be one: these students do not exist.
    """
    path.unlink(missing_ok=True)
    write_key(path)
    notice = [line for line in path.read_text("utf-8").splitlines() if line.startswith("#")]
    digits = hashlib.sha256(f"invented course {seed}".encode()).hexdigest()
    path.write_text("\n".join([*notice, digits, ""]), encoding="utf-8")
