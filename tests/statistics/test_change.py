"""Mix and rate, what could have been shown, and equivalence."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.proportion import power_proportions_2indep

from pipeline.statistics.change import effective, rate_and_mix, smallest_visible, within_margin
from pipeline.statistics.intervals import square_and_add, wilson
from pipeline.statistics.patterns import Combined
from tests.statistics.test_stratified import ADMISSIONS


def side(events: int, size: int, design: float = 1.0) -> Combined:
    rate = events / size
    variance = design * rate * (1 - rate) / size
    return Combined(rate, variance, size, size, np.zeros(0), np.zeros(0, dtype=bool))


def test_admissions_are_a_matter_of_mix() -> None:
    """Berkeley, men less women: crude .4452 - .3035 = -.0360 by rates + .1777 by mix.

    Computed from the published table by Kitagawa's formula.
    """
    men_in, men_out, women_in, women_out = np.array(ADMISSIONS).T
    men, women = men_in + men_out, women_in + women_out
    rates, mix = rate_and_mix(women_in / women, women, men_in / men, men)

    assert men_in.sum() / men.sum() == pytest.approx(0.4452, abs=5e-5)
    assert women_in.sum() / women.sum() == pytest.approx(0.3035, abs=5e-5)
    assert [rates, mix] == pytest.approx([-0.0360, 0.1777], abs=5e-5)
    assert rates + mix == pytest.approx(men_in.sum() / men.sum() - women_in.sum() / women.sum())


def test_the_same_mix_makes_no_part() -> None:
    rates, mix = rate_and_mix([0.1, 0.4], [10, 30], [0.2, 0.3], [20, 60])

    assert mix == pytest.approx(0)
    assert rates == pytest.approx(0.25 * 0.1 - 0.75 * 0.1)


@pytest.mark.parametrize(("design", "expected"), [(1, 0.135), (2, 0.193)])
def test_what_200_answers_a_side_could_show(design: float, expected: float) -> None:
    """From 30 % at 80 % power, by inversion of statsmodels' power_proportions_2indep."""
    given = side(60, 200, design)

    assert effective(given) == pytest.approx(200 / design)
    found = smallest_visible(0.3, effective(given), effective(given))
    assert found == pytest.approx(expected, abs=5e-4)
    power = power_proportions_2indep(found, 0.3, 200 / design, return_results=False)
    assert power == pytest.approx(0.8)


def test_power_of_fifty_a_group() -> None:
    """R's help of power.prop.test: 50 a group, .50 against .75 have power .740."""
    power = power_proportions_2indep(0.25, 0.5, 50, return_results=False)

    assert power == pytest.approx(0.740, abs=5e-4)
    assert smallest_visible(0.5, 50, 50) > 0.25


def test_two_students_could_show_nothing() -> None:
    assert np.isnan(smallest_visible(0.3, 2, 2))
    assert np.isnan(smallest_visible(0.0, 1000, 1.5))
    assert np.isnan(smallest_visible(0.5, float("inf"), 30))
    assert np.isnan(smallest_visible(0.3, 0, 100))
    assert np.isnan(smallest_visible(float("nan"), 50, 50))


def test_no_settled_difference_is_not_equivalence() -> None:
    """65 of 100 against 70 of 100, margin ten points: 90 % from -.1570 to .0586 by method 10."""
    low, high = square_and_add(
        0.65, wilson(65, 100, confidence=0.9), 0.70, wilson(70, 100, confidence=0.9)
    )

    assert [float(low), float(high)] == pytest.approx([-0.1570, 0.0586], abs=5e-5)
    assert not within_margin(side(70, 100), side(65, 100), 0.10)
    assert within_margin(side(7000, 10_000), side(6800, 10_000), 0.10)
