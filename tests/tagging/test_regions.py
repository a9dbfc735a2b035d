"""Answers that are regions: ends typed as decimals, and how much a chance region can show."""

from __future__ import annotations

import random

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.priors import (
    UNEXPLAINED,
    UNEXPLAINED_LONE_BOUNDARY,
    UNEXPLAINED_SMALL_INTEGERS,
)

MOST_CHANCE = 0.05


@pytest.mark.parametrize(
    ("problem", "answer", "expected"),
    [
        ("3x < -4", "x > -1.33", "inequality-sign-turned-needlessly"),
        ("-3x < 4", "(-oo, -1.33)", "inequality-sign-not-turned"),
        ("x^2 - 2x - 5 < 0", "x < -1.45 or x > 3.45", "between-and-outside-swapped"),
    ],
)
def test_ends_at_two_places_are_matched(problem: str, answer: str, expected: str) -> None:
    assert examine(Request("solve", problem, answer)).patterns[0].id == expected


@pytest.mark.parametrize(
    ("problem", "answer", "expected"),
    [
        ("|2x - 1| >= 5", "-2 >= x >= 3", "or-taken-for-and"),
        ("|2x - 1| >= 5", "3 <= x <= -2", "or-taken-for-and"),
        ("x^2 - x - 6 > 0", "3 < x < -2", "or-taken-for-and"),
        ("|2x - 1| <= 5", "-2 >= x >= 3", "between-and-outside-swapped"),
    ],
)
def test_no_chain_that_no_number_meets_is_right(problem: str, answer: str, expected: str) -> None:
    found = examine(Request("solve", problem, answer))

    assert found.verdict is Verdict.WRONG
    assert expected in {one.id for one in found.patterns}


@pytest.mark.parametrize(
    ("problem", "answer"),
    [
        ("|2x - 1| >= 5", "x <= -2 or x >= 3"),
        ("|2x - 1| >= 5", "x <= -2 and x >= 3"),
        ("|2x - 1| <= 5", "-2 <= x <= 3"),
        ("|2x - 1| <= 5", "3 >= x >= -2"),
    ],
)
def test_a_chain_in_either_order_and_two_rays_are_right(problem: str, answer: str) -> None:
    assert examine(Request("solve", problem, answer)).verdict is Verdict.RIGHT


@pytest.mark.parametrize(
    ("problem", "answer"),
    [
        ("3x < -4", "x > -1.3"),
        ("3x < -4", "x >= -1.35"),
        ("x^2 - 2x - 5 < 0", "x < -1.45 or x > 3.54"),
    ],
)
def test_ends_at_one_place_or_off_are_not(problem: str, answer: str) -> None:
    assert examine(Request("solve", problem, answer)).patterns == ()


@pytest.mark.parametrize(
    ("task", "problem", "answer", "rest"),
    [
        ("solve", "-3x < 12", "x < -4", UNEXPLAINED_SMALL_INTEGERS),
        ("solve", "-3x < 4", "x < -4/3", UNEXPLAINED),
        ("domain", "1/(x^2 - 9)", "(-oo, 0) U (0, 3) U (3, oo)", UNEXPLAINED_SMALL_INTEGERS),
        ("domain", "sqrt(x - 3)", "x <= 3", UNEXPLAINED_LONE_BOUNDARY),
        ("domain", "sqrt(2x - 5)", "x >= 2/5", UNEXPLAINED),
    ],
)
def test_small_whole_ends_leave_more_unexplained(
    task: str, problem: str, answer: str, rest: float
) -> None:
    found = examine(Request(task, problem, answer))
    total = sum(one.weight for one in found.patterns) + rest

    assert found.unexplained == pytest.approx(rest / total)


def chance(rng: random.Random) -> str:
    low, high = sorted(rng.sample(range(-9, 10), 2))
    sign = rng.choice(["<", ">", "<=", ">="])
    return rng.choice(
        [
            f"x {sign} {low}",
            f"[{low}, oo)",
            f"x != {low}",
            f"({low}, {high})",
            f"x != {low}, x != {high}",
            f"x < {low} or x > {high}",
        ]
    )


def question(rng: random.Random) -> str:
    a, b, c = (rng.choice([n for n in range(-9, 10) if n]) for _ in range(3))
    return rng.choice(
        [
            f"sqrt({b}x + {abs(b) * abs(a)})",
            f"1/(x - {abs(a)})",
            f"log({abs(b)}x + {abs(a)})",
            f"1/((x - {abs(a)})(x + {abs(c)}))",
            f"sqrt(x + {abs(a)})/(x - {abs(c)})",
            f"sqrt({a * a} - x^2)",
        ]
    )


def test_chance_regions_are_seldom_explained_by_one_fault() -> None:
    rng = random.Random("chance regions")
    wrong = explained = 0
    for _ in range(60):
        problem = question(rng)
        for _ in range(6):
            found = examine(Request("domain", problem, chance(rng)))
            wrong += found.verdict is Verdict.WRONG
            explained += any(len(p.faults) == 1 and p.share > 0.5 for p in found.patterns[:1])

    assert wrong > 300
    assert explained / wrong <= MOST_CHANCE
