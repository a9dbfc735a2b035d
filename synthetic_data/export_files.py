"""Answers as the export files that a college would hand over, long or wide, with their truth."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

import numpy as np

from synthetic_data.calendar import TERMS
from synthetic_data.classroom import Answer
from synthetic_data.mishaps import Mishap, plant_mishaps
from synthetic_data.tables import FileKind, write_table

LONG = (
    "student", "section", "quiz", "setting", "item", "attempt", "answered_at", "problem",
    "answer", "work", "score",
)  # fmt: skip
# the exam comes from another system, with headings and dates of its own
EXAM_HEADINGS = {
    "student": "Student number",
    "section": "Class section",
    "quiz": "Exam",
    "item": "Question",
    "answered_at": "Handed in",
    "answer": "Response",
    "score": "Points",
}
PLAIN = ("student", "section", "term", "quiz", "item", "answered_at", "answer")
WIDE_HEADINGS = ("Student", "Section", "Submitted")


@dataclass
class Exports:
    """What was written.

    Args:
        files: names inside `exports/`.
        placed: every stored answer with its file and line.
        mishaps: every planted row.
    """

    files: list[str] = field(default_factory=list)
    placed: list[tuple[str, int, Answer]] = field(default_factory=list)
    mishaps: list[Mishap] = field(default_factory=list)


def _stored(file: str) -> str:
    """The name by which the database knows an export."""
    return f"exports/{file}"


def _iso(answer: Answer) -> str:
    return answer.moment.isoformat(timespec="minutes")


_CELLS: dict[str, Callable[[Answer], str]] = {
    "student": lambda one: one.student,
    "section": lambda one: one.section,
    "term": lambda one: TERMS[one.term].id,
    "quiz": lambda one: one.question.quiz,
    "setting": lambda one: one.question.setting,
    "item": lambda one: one.question.id,
    "attempt": lambda one: str(one.attempt),
    "answered_at": _iso,
    "problem": lambda one: one.problem if one.question.is_randomized else "",
    "answer": lambda one: one.text,
    "work": lambda one: one.work,
    "score": lambda one: str(one.score),
}


def _by(
    answers: Iterable[Answer], key: Callable[[Answer], str]
) -> Iterator[tuple[str, list[Answer]]]:
    ordered = sorted(answers, key=lambda one: (key(one), one.moment, one.student))
    for name, group in groupby(ordered, key=key):
        yield name, list(group)


def write_long(
    folder: Path, answers: list[Answer], kind: FileKind, random: np.random.Generator
) -> Exports:
    """A row for each answer, three files a term, with rows planted to be rejected."""
    done = Exports()
    for name, group in _by(answers, lambda one: f"{TERMS[one.term].id}-{one.question.setting}"):
        file = f"{name}.{kind}"
        is_exam = group[0].question.setting == "exam"
        fields = tuple(EXAM_HEADINGS) if is_exam else LONG
        cells = dict(_CELLS)
        if is_exam:
            cells["answered_at"] = lambda one: one.moment.strftime("%m/%d/%Y %H:%M")
        rows = [[cells[column](one) for column in fields] for one in group]
        places = {column: place for place, column in enumerate(fields)}
        # the text of a question that is not read is not stored, so no conflict could be told
        origins = [place for place, one in enumerate(group) if one.question.kind != "skip"]
        rows, lines, mishaps = plant_mishaps(random, rows, places, _stored(file), kind, origins)
        headings = [EXAM_HEADINGS[column] for column in fields] if is_exam else list(fields)
        write_table(folder / file, [headings, *rows])
        done.files.append(file)
        done.placed += [(_stored(file), line, one) for line, one in zip(lines, group, strict=True)]
        done.mishaps += mishaps
    return done


def write_plain_long(folder: Path, answers: list[Answer], kind: FileKind) -> Exports:
    """A row for each answer, one file a term, with nothing that a wide table cannot hold."""
    done = Exports()
    for term, group in _by(answers, lambda one: TERMS[one.term].id):
        file = f"{term}.{kind}"
        rows = [[_CELLS[column](one) for column in PLAIN] for one in group]
        write_table(folder / file, [list(PLAIN), *rows])
        done.files.append(file)
        done.placed += [(_stored(file), line, one) for line, one in enumerate(group, 2)]
    return done


def _wide_name(answer: Answer) -> str:
    return f"{TERMS[answer.term].id}-{answer.question.quiz.lower().replace(' ', '-')}"


def write_wide(folder: Path, answers: list[Answer], kind: FileKind) -> Exports:
    """A row for each student and a column for each question, one file a set of questions."""
    done = Exports()
    for name, group in _by(answers, _wide_name):
        file = f"{name}.{kind}"
        items = list(dict.fromkeys(one.question.id for one in group))
        rows: list[list[str]] = [[*WIDE_HEADINGS, *items]]
        for line, (_, own) in enumerate(groupby(group, key=lambda one: one.student), 2):
            sheet = {one.question.id: one for one in own}
            first = next(iter(sheet.values()))
            texts = [sheet[item].text if item in sheet else "" for item in items]
            rows.append([first.student, first.section, _iso(first), *texts])
            done.placed += [(_stored(file), line, one) for one in sheet.values()]
        write_table(folder / file, rows)
        done.files.append(file)
    return done
