"""An export in which nearly every answer has numbers of its own, for measuring."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import islice, product
from pathlib import Path

import numpy as np

from synthetic_data.calendar import TERMS
from synthetic_data.course import prepare_folder, write_course_key
from synthetic_data.course_files import course_settings, item_rows
from synthetic_data.problems import Problem
from synthetic_data.question_bank import PLACES
from synthetic_data.questions import Question
from synthetic_data.roster import SECTIONS, student_ids
from synthetic_data.tables import write_table
from synthetic_data.truth import TRUTH
from synthetic_data.typing_habits import spellings
from synthetic_data.wrong_rules.linear import linear_two_steps
from synthetic_data.wrong_rules.parabola import formula

_HEADINGS = ("student", "section", "item", "attempt", "answered_at", "problem", "answer")
_RIGHT = 0.6  # share of right answers; the others follow some wrong rule
_NAMES = ("LIN-X", "QFO-X")


def synth_randomized(folder: Path, *, problems: int = 100_000, seed: int = 1) -> int:
    """Write a course of two randomized questions in which every answer has numbers of its own.

    Args:
        folder: new, empty, or an earlier invented course.
        problems: number of distinct problems and of answers, at most about 180,000.
        seed: starting point of the random numbers.

    Returns:
        The number of answers written.

    Raises:
        CourseError: the folder holds something else.
    """
    prepare_folder(folder)
    random = np.random.default_rng(seed)
    made = [*islice(_linear(), problems - problems // 2), *islice(_formula(), problems // 2)]
    topics = ("linear-equations", "quadratic-formula")
    questions = [
        Question(name, topic, (problem,), PLACES[topic].quiz_week, "", "quiz")
        for name, topic, problem in zip(_NAMES, topics, (made[0], made[-1]), strict=True)
    ]
    write_table(folder / "items.csv", item_rows(questions))
    (folder / "course.toml").write_text(course_settings([], []), encoding="utf-8")
    write_course_key(folder / "pseudonym.key", seed)
    rows = list(_rows(random, made))
    write_table(folder / "exports" / "answers.csv", [_HEADINGS, *(row[:-1] for row in rows)])
    truth = ((row[2], row[5], row[6], row[7]) for row in rows)
    write_table(folder / TRUTH / "texts.csv", [("item", "problem", "answer", "planted"), *truth])
    return len(rows)


def _linear() -> Iterator[Problem]:
    for a, b, c in product(range(2, 30), range(2, 60), range(-50, 51)):
        if c - b not in (0, a):
            yield linear_two_steps(a, b, c)


def _formula() -> Iterator[Problem]:
    for a, b, c in product(range(2, 12), range(-60, 61), range(-60, 61)):
        if b and c and b * b > 4 * a * c:
            yield formula(a, b, c)


def _rows(random: np.random.Generator, made: list[Problem]) -> Iterator[list[str]]:
    """Each student has fifty answers to each question, every one a try of its own."""
    tries = 50
    ids = student_ids(random, len(made) // tries + 1)
    start = datetime.combine(TERMS[0].monday(9), datetime.min.time()) + timedelta(hours=9)
    points = random.random((len(made), 3))
    for number, (problem, point) in enumerate(zip(made, points, strict=True)):
        place, attempt = divmod(number, tries)
        cause, text = _answer(problem, point)
        yield [
            ids[place],
            SECTIONS[place % len(SECTIONS)],
            _NAMES[problem.text.count("^2")],
            str(attempt + 1),
            (start + timedelta(minutes=number % 7000)).isoformat(timespec="minutes"),
            problem.text,
            text,
            cause,
        ]


def _answer(
    problem: Problem, point: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> tuple[str, str]:
    rules = list(problem.wrong)
    cause = "right" if point[0] < _RIGHT else rules[int(point[1] * len(rules))]
    value = problem.right if cause == "right" else problem.wrong[cause][0]
    ways = spellings(value, problem.letter)
    return cause, ways[int(point[2] * len(ways))][1]
