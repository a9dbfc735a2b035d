"""Formulas that a run cannot wait for a library for, against that library."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import (
    power_proportions_2indep,
    proportion_confint,
    proportions_ztest,
)

from pipeline.statistics.change import POWER, smallest_visible
from pipeline.statistics.intervals import wilson
from pipeline.statistics.multiplicity import benjamini_hochberg, holm
from pipeline.statistics.term_changes import question_differences

DICE = np.random.default_rng(20260112)


@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.95])
def test_wilson_of_none_some_and_all(confidence: float) -> None:
    answers = np.repeat(np.arange(1.0, 60.0), 3)
    events = answers * np.tile([0, 0.37, 1], 59)

    low, high = wilson(events, answers, confidence=confidence)
    expected = proportion_confint(events, answers, alpha=1 - confidence, method="wilson")

    assert low == pytest.approx(expected[0], abs=1e-12)
    assert high == pytest.approx(expected[1], abs=1e-12)


@pytest.mark.parametrize("places", [1, 3, 9])
def test_adjusted_p_values_with_ties(places: int) -> None:
    p = np.round(DICE.random(40) ** 3, places)

    assert holm(p) == pytest.approx(multipletests(p, method="holm")[1])
    assert benjamini_hochberg(p) == pytest.approx(multipletests(p, method="fdr_bh")[1])


@pytest.mark.parametrize(("before", "old", "new"), [(0.3, 40, 90), (0.9, 300, 60), (0.5, 80, 80)])
def test_the_smallest_visible_difference_has_the_power(before: float, old: int, new: int) -> None:
    base = min(before, 1 - before)
    found = smallest_visible(before, old, new)

    power = power_proportions_2indep(found, base, new, ratio=old / new, return_results=False)
    assert power == pytest.approx(POWER)


@pytest.mark.parametrize(("wrong_before", "wrong_after"), [(3, 11), (12, 12), (19, 1), (0, 4)])
def test_two_rates_of_one_question(wrong_before: int, wrong_after: int) -> None:
    sizes = {"old": (wrong_before, 20), "new": (wrong_after, 25)}
    answers = pd.DataFrame(
        {
            "term": term, "setting": "quiz", "topic": "roots", "item": "q", "item_from": "",
            "student": f"{term}{number}", "wrong": int(number < wrong),
        }
        for term, (wrong, size) in sizes.items()
        for number in range(size)
    )  # fmt: skip

    found = question_differences(answers, [("old", "new")])["p"]

    expected = proportions_ztest([wrong_after, wrong_before], [25, 20])[1]
    assert found.tolist() == pytest.approx([expected])
