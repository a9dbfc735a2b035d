"""Pooled odds ratios against published tables, and with students who answer often."""

from __future__ import annotations

import pandas as pd
import pytest

from pipeline.statistics.term_changes import pooled_odds

CENTERS = [
    (11, 25, 10, 27), (16, 4, 22, 10), (14, 5, 7, 12), (2, 14, 1, 16), (6, 11, 0, 12),
    (1, 10, 0, 10), (1, 4, 1, 8), (4, 2, 6, 1),
]  # fmt: skip
"""Agresti, Categorical Data Analysis, eight centers: drug and control; from memory."""

BIRTHS = [(19, 33, 4, 40), (6, 4, 5, 11), (5, 7, 20, 35)]
"""Low weight and not, smokers then others, by race: birthwt of R's MASS; counts from memory."""

RABBITS = [(0, 6, 0, 5), (3, 3, 0, 6), (6, 0, 2, 4), (5, 1, 6, 0), (2, 0, 5, 0)]
"""Agresti (1990): penicillin at once, cured and died, then delayed; counts from memory."""

ADMISSIONS = [
    (512, 313, 89, 19), (353, 207, 17, 8), (120, 205, 202, 391), (138, 279, 131, 244),
    (53, 138, 94, 299), (22, 351, 24, 317),
]  # fmt: skip
"""Berkeley, six departments, men admitted and rejected, then women: R's UCBAdmissions."""


def one_answer_each(strata: list[tuple[int, int, int, int]], repeats: int = 1) -> pd.DataFrame:
    """A row per answer of its own student; `repeats` gives each student the answer again."""
    rows = [
        (f"q{at:02}", term, wrong, f"{at}-{term}-{wrong}-{who}")
        for at, cells in enumerate(strata)
        for (term, wrong), count in zip(
            [("new", 1), ("new", 0), ("old", 1), ("old", 0)], cells, strict=True
        )
        for who in range(count)
        for _ in range(repeats)
    ]
    return pd.DataFrame(rows, columns=["item", "term", "wrong", "student"])


@pytest.mark.parametrize(
    ("strata", "ratio", "low", "high"),
    [
        # Read in a public copy of an R manual on Agresti's book.
        pytest.param(CENTERS, 2.134549, 1.177590, 3.869174, id="eight-centers"),
        # The help page of R's epiR.
        pytest.param(BIRTHS, 3.09, 1.49, 6.39, id="birth-weights"),
        # R's mantelhaen.test.
        pytest.param(ADMISSIONS, 0.9046968, 0.7719, 1.0603, id="admissions"),
    ],
)
def test_published_ratios(
    strata: list[tuple[int, int, int, int]], ratio: float, low: float, high: float
) -> None:
    """With one answer a student the interval is the published one."""
    pooled = pooled_odds(one_answer_each(strata), "old", "new")

    assert pooled is not None
    assert pooled.odds_ratio == pytest.approx(ratio, abs=0.005)
    assert [pooled.low, pooled.high] == pytest.approx([low, high], abs=0.006)


def test_rabbits() -> None:
    """Agresti (1990), as in the help of R's mantelhaen.test: 7; the last stratum tells nothing."""
    pooled = pooled_odds(one_answer_each(RABBITS), "old", "new")

    assert pooled is not None
    assert pooled.odds_ratio == pytest.approx(7)
    assert [pooled.low, pooled.high] == pytest.approx([1.026713, 47.725133], rel=1e-6)
    assert pooled.questions == 3


def test_departments_differ() -> None:
    """Breslow-Day 18.8, p .002 for the admissions; 8.0 with p about .33 for the centers."""
    apart = pooled_odds(one_answer_each(ADMISSIONS), "old", "new")
    alike = pooled_odds(one_answer_each(CENTERS), "old", "new")

    assert apart is not None
    assert alike is not None
    assert apart.homogeneity_p == pytest.approx(0.002, abs=5e-4)
    assert alike.homogeneity_p > 0.3


def test_answers_given_four_times_are_not_four_times_the_evidence() -> None:
    """Each student's answer four times over: the interval by students hardly changes."""
    once = pooled_odds(one_answer_each(CENTERS), "old", "new")
    often = pooled_odds(one_answer_each(CENTERS, 4), "old", "new")

    assert once is not None
    assert often is not None
    assert often.odds_ratio == pytest.approx(once.odds_ratio)
    assert [often.low, often.high] == pytest.approx([once.low, once.high], rel=1e-9)


def test_nothing_to_compare_gives_no_ratio() -> None:
    assert pooled_odds(one_answer_each([(0, 6, 0, 5), (2, 0, 5, 0)]), "old", "new") is None
