"""Courses of any size for measuring: fixed questions, many answers, written column by column."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import chain, zip_longest
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import UsageError
from synthetic_data.answer_texts import RIGHT, all_texts
from synthetic_data.calendar import TERMS
from synthetic_data.course import prepare_folder, write_course_key
from synthetic_data.course_files import course_settings, item_rows
from synthetic_data.question_bank import PLACES, problem_pools
from synthetic_data.questions import Question
from synthetic_data.roster import SECTIONS, student_ids
from synthetic_data.tables import write_table
from synthetic_data.tendencies import CAUSES, base_rates, rule_mask
from synthetic_data.truth import TRUTH

_HEADINGS = ("student", "section", "item", "attempt", "answered_at", "answer")
_MOMENTS = 2000  # distinct times in a week


@dataclass(frozen=True)
class WrittenBenchmark:
    """A benchmark course that was written.

    Args:
        folder: the course folder.
        answers: rows written.
        pairs: distinct pairs of question and answer text that can occur.
    """

    folder: Path
    answers: int
    pairs: int


@dataclass(frozen=True)
class _Sheet:
    """One question with all that may be typed to it.

    Args:
        texts: ready for a CSV cell, with the end of the line.
        typed: the same as typed.
        causes: why each text is typed.
        cumulated: running sum of their chances.
    """

    question: Question
    texts: NDArray[np.object_]
    typed: tuple[str, ...]
    causes: tuple[str, ...]
    cumulated: NDArray[np.float64]


def synth(
    folder: Path,
    *,
    students: int = 25_000,
    items: int = 400,
    answers: int = 1_000_000,
    seed: int = 1,
) -> WrittenBenchmark:
    """Write a course folder with one export of fixed questions, and the truth of every text.

    Answers are drawn for each question apart, so the students have no tendencies of their own;
    for statistics use `write_course`.

    Args:
        folder: new, empty, or an earlier invented course.
        students: distinct students over both terms.
        items: number of questions.
        answers: rows; beyond students times items, further tries are added.
        seed: starting point of the random numbers.

    Raises:
        UsageError: a size below 1, or more questions than there are.
        CourseError: the folder holds something else.
    """
    if min(students, items, answers) < 1:
        raise UsageError("synth: students, items and answers are each at least 1.")
    prepare_folder(folder)
    questions = _questions(items)
    sheets = [_sheet(question) for question in questions]
    write_table(folder / "items.csv", item_rows(questions))
    settings = course_settings(questions, [])
    (folder / "course.toml").write_text(settings, encoding="utf-8")
    write_course_key(folder / "pseudonym.key", seed)
    _write_truth(folder, sheets)
    _write_answers(folder / "exports" / "answers.csv", sheets, students, (0, answers), seed)
    return WrittenBenchmark(folder, answers, sum(len(sheet.typed) for sheet in sheets))


def add_answers(
    path: Path, *, students: int, items: int, answers: tuple[int, int], seed: int = 1
) -> None:
    """Write another export of a course of `synth`, for measuring a second run.

    Args:
        path: of the file, in `exports/`.
        students: as the course was written with.
        items: as the course was written with.
        answers: first number and number after the last, counted on from what is there.
        seed: as the course was written with.
    """
    sheets = [_sheet(question) for question in _questions(items)]
    _write_answers(path, sheets, students, answers, seed)


def _questions(count: int) -> list[Question]:
    """Questions of all topics in turn, each with one set of numbers."""
    pools = [[(pool, problem) for problem in pool.problems] for pool in problem_pools()]
    in_turn = [one for one in chain.from_iterable(zip_longest(*pools)) if one]
    if count > len(in_turn):
        raise UsageError(f"synth: there are {len(in_turn)} different questions, not {count}.")
    return [
        Question(
            f"{PLACES[pool.topic].prefix}-{number:04d}",
            pool.topic,
            (problem,),
            PLACES[pool.topic].quiz_week,
            f"Quiz {PLACES[pool.topic].quiz_week}",
            "quiz",
            method=pool.method,
            numbers=pool.numbers,
        )
        for number, (pool, problem) in enumerate(in_turn[:count], 1)
    ]


def _sheet(question: Question) -> _Sheet:
    problem = question.problems[0]
    rates = dict(zip(CAUSES, base_rates(0, question.week) * rule_mask(problem), strict=True))
    rates[RIGHT] = max(0.1, 1 - sum(rates.values()))
    chances: dict[str, tuple[str, float]] = {}
    for cause, found in all_texts(problem).items():
        shares = np.diff(found.cumulated, prepend=0.0) * rates.get(cause, 0.0)
        for text, share in zip(found.texts, shares, strict=True):
            owner, before = chances.get(text, (cause, 0.0))
            joined = owner if cause in owner.split(" / ") else f"{owner} / {cause}"
            chances[text] = (joined, before + float(share))
    weights = np.cumsum([share for _, share in chances.values()])
    return _Sheet(
        question,
        np.array([_cell(text) for text in chances], dtype=object),
        tuple(chances),
        tuple(cause for cause, _ in chances.values()),
        weights / weights[-1],
    )


def _cell(text: str) -> str:
    buffer = io.StringIO()
    csv.writer(buffer, lineterminator="\n").writerow(["", text])
    return buffer.getvalue()


def _write_truth(folder: Path, sheets: list[_Sheet]) -> None:
    """For each text of each question why it is typed; several causes are joined by ` / `."""
    rows = (
        [sheet.question.id, text, cause]
        for sheet in sheets
        for text, cause in zip(sheet.typed, sheet.causes, strict=True)
    )
    write_table(folder / TRUTH / "texts.csv", [["item", "answer", "planted"], *rows])


def _write_answers(
    path: Path, sheets: list[_Sheet], students: int, answers: tuple[int, int], seed: int
) -> None:
    """Answer n goes to question n mod items; its students take turns, then come again."""
    random = np.random.default_rng([seed, answers[0]])
    ids = student_ids(np.random.default_rng(seed), students)
    sections = [SECTIONS[place % len(SECTIONS)] for place in range(students)]
    front = np.array(
        [f"{one},{section}," for one, section in zip(ids, sections, strict=True)], object
    )
    with path.open("w", encoding="utf-8", newline="") as stream:
        stream.write(",".join(_HEADINGS) + "\n")
        for sheet, attempt, chosen in _blocks(sheets, students, answers):
            stream.write("".join(_block(random, sheet, attempt, chosen, front)))


def _blocks(
    sheets: list[_Sheet], students: int, answers: tuple[int, int]
) -> Iterator[tuple[_Sheet, int, NDArray[np.int64]]]:
    """Cuts the numbers of the answers into runs of one question and one try."""
    for place, sheet in enumerate(sheets):
        turn, last = (-((place - number) // len(sheets)) for number in answers)
        while turn < last:
            attempt, first = divmod(turn, students)
            size = min(students - first, last - turn)
            yield sheet, attempt + 1, np.arange(first, first + size)
            turn += size


def _block(
    random: np.random.Generator,
    sheet: _Sheet,
    attempt: int,
    chosen: NDArray[np.int64],
    front: NDArray[np.object_],
) -> list[str]:
    """The lines of one question and one try; half of the students sat in the first term."""
    drawn = np.searchsorted(sheet.cumulated, random.random(len(chosen)), side="right")
    drawn = np.minimum(drawn, len(sheet.typed) - 1)
    moments = _moments(sheet.question.week, attempt)
    term = (chosen >= len(front) // 2).astype(np.int64)
    when = moments[term * _MOMENTS + random.integers(0, _MOMENTS, len(chosen))]
    middle = f"{sheet.question.id},{attempt},"
    lines: list[str] = (front[chosen] + middle + when + sheet.texts[drawn]).tolist()
    return lines


def _moments(week: int, attempt: int) -> NDArray[np.object_]:
    """Times of the week in the first term, then in the second."""
    made = []
    for term in TERMS:
        start = datetime.combine(term.monday(week), datetime.min.time()) + timedelta(hours=9)
        start += timedelta(minutes=attempt - 1)
        made += [start + timedelta(minutes=4 * step) for step in range(_MOMENTS)]
    return np.array([moment.isoformat(timespec="minutes") for moment in made], dtype=object)
