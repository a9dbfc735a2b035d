"""Intervals against published values; the source stands beside each check."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from pipeline.statistics.intervals import (
    cluster_variance,
    clustered,
    clustered_from_variance,
    newcombe_paired,
    square_and_add,
    wilson,
)
from tests.statistics.wheezing import children

WEIL_TREATED = (
    (12, 12), (11, 11), (10, 10), (9, 9), (10, 11), (9, 10), (9, 10), (8, 9), (8, 9), (4, 5),
    (7, 9), (4, 7), (5, 10), (3, 6), (3, 10), (0, 7),
)  # fmt: skip
WEIL_CONTROL = (
    (13, 13), (12, 12), (9, 9), (9, 9), (8, 8), (8, 8), (12, 13), (11, 12), (9, 10), (9, 10),
    (8, 9), (11, 13), (4, 5), (5, 7), (7, 10), (7, 10),
)  # fmt: skip
"""Rats that lived through lactation, by litter; Weil (1970), from memory."""


def six_sums(pairs: tuple[tuple[int, int], ...]) -> tuple[float, ...]:
    y, n = np.array(pairs, dtype=float).T
    return len(y), y.sum(), n.sum(), (y * y).sum(), (y * n).sum(), (n * n).sum()


@pytest.mark.parametrize(
    ("events", "answers", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson(events: int, answers: int, low: float, high: float) -> None:
    """Newcombe (1998), Statistics in Medicine 17:857-872, Table I, method 3."""
    limits = wilson(events, answers)

    assert limits[0] == pytest.approx(low, abs=5e-5)
    assert limits[1] == pytest.approx(high, abs=5e-5)


@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
        ((10, 10), (0, 10), 0.6075, 1.0),
    ],
)
def test_square_and_add(
    first: tuple[int, int], second: tuple[int, int], low: float, high: float
) -> None:
    """Newcombe (1998), Statistics in Medicine 17:873-890, Table II, method 10."""
    limits = square_and_add(
        first[0] / first[1], wilson(*first), second[0] / second[1], wilson(*second)
    )

    assert limits[0] == pytest.approx(low, abs=5e-5)
    assert limits[1] == pytest.approx(high, abs=5e-5)


def test_square_and_add_of_a_rare_event() -> None:
    """7/34 against 1/34: .0189 to .3404; Fagerland, Lydersen and Laake, test file of their book."""
    limits = square_and_add(7 / 34, wilson(7, 34), 1 / 34, wilson(1, 34))

    assert float(limits[0]) == pytest.approx(0.0189, abs=5e-5)
    assert float(limits[1]) == pytest.approx(0.3404, abs=5e-5)


@pytest.mark.parametrize(
    ("table", "low", "high"),
    [
        ((36, 12, 2, 0), 0.0569, 0.3404),
        ((18, 12, 2, 18), 0.0562, 0.3290),
        ((53, 0, 0, 1), -0.0729, 0.0729),
        ((0, 30, 0, 0), 0.8395, 1.0),
        ((59, 6, 16, 80), -0.1186, -0.0046),
        ((1, 1, 7, 12), -0.507, -0.026),
    ],
)
def test_paired(table: tuple[int, int, int, int], low: float, high: float) -> None:
    """Newcombe (1998), Statistics in Medicine 17:2635-2650; the fifth from the tables of
    Fagerland, Lydersen and Laake; the last from memory (Fagerland et al. 2013, 2014)."""
    limits = newcombe_paired(*table)

    assert float(limits[0]) == pytest.approx(low, abs=5e-4)
    assert float(limits[1]) == pytest.approx(high, abs=5e-4)


def test_the_variance_of_litters() -> None:
    """Rao and Scott (1992), Biometrics 48:577-585, Table 1: design effect 1.232495."""
    sums = six_sums(WEIL_CONTROL)
    rate, answers = sums[1] / sums[2], sums[2]
    spread = float(cluster_variance(*sums))

    assert rate == pytest.approx(0.8987, abs=5e-5)
    assert spread**0.5 == pytest.approx(0.026645, abs=5e-7)
    assert spread / (rate * (1 - rate) / answers) == pytest.approx(1.232495, abs=5e-6)


def test_the_variance_of_treated_litters() -> None:
    """The same table, treated: 112 of 145, design effect 3.952861; counts by litter from memory."""
    sums = six_sums(WEIL_TREATED)
    rate, answers = sums[1] / sums[2], sums[2]
    spread = float(cluster_variance(*sums))

    assert (sums[1], answers) == (112, 145)
    assert spread**0.5 == pytest.approx(0.069226, abs=5e-7)
    assert spread / (rate * (1 - rate) / answers) == pytest.approx(3.952861, abs=5e-6)
    assert rate * (1 - rate) / spread == pytest.approx(36.7, abs=0.05)


def test_the_variance_of_wheezing_children() -> None:
    """R's geepack and statsmodels on the same children: standard error .01112611045."""
    frame = children()
    by_child = frame.groupby("student")["shown"].agg(["sum", "size"]).astype(int)
    sums = six_sums(tuple(by_child.itertuples(index=False, name=None)))

    assert float(cluster_variance(*sums)) ** 0.5 == pytest.approx(0.01112611045, abs=5e-12)


@given(st.lists(st.lists(st.booleans(), min_size=1, max_size=6), min_size=3, max_size=12))
def test_the_six_sums_equal_the_library(students: list[list[bool]]) -> None:
    """Cluster-robust least squares of statsmodels, to nine digits."""
    flat = [(who, float(event)) for who, events in enumerate(students) for event in events]
    frame = pd.DataFrame(flat, columns=["student", "y"])
    sums = six_sums(tuple((sum(events), len(events)) for events in students))
    spread = float(cluster_variance(*sums))
    if frame["y"].nunique() == 1:
        assert spread == pytest.approx(0.0, abs=1e-12)
        return
    model = smf.ols("y ~ 1", frame).fit(cov_type="cluster", cov_kwds={"groups": frame["student"]})

    # The library adds (N - 1) / (N - K), which is 1 for a mean.
    assert spread == pytest.approx(float(model.cov_params().iloc[0, 0]), rel=1e-9, abs=1e-14)


def test_the_interval_of_a_zero_rate_counts_students_not_answers() -> None:
    """Wilson at m (z / t) squared students, however many answers each gave."""
    m = 12
    low, high = clustered(m, 0, 500, 0, 0, 500**2 / m)
    size = m * (stats.norm.ppf(0.975) / stats.t.ppf(0.975, m - 1)) ** 2

    assert float(low) == 0
    assert float(high) == pytest.approx(float(wilson(0, size)[1]))


def test_one_student_tells_nothing() -> None:
    low, high = clustered(1, 1, 2, 1, 2, 4)

    assert (float(low), float(high)) == (0, 1)


@given(st.floats(0, 1), st.floats(1e-8, 0.2), st.integers(2, 400), st.integers(2, 100))
def test_an_interval_holds_its_rate(
    rate: float, spread: float, answers: int, students: int
) -> None:
    low, high = clustered_from_variance(rate, spread, answers, students)

    assert 0 <= float(low) <= rate <= float(high) <= 1


def test_equal_students_with_independent_answers_are_nearly_plain_wilson() -> None:
    """With one answer each the effective size is (m - 1), shrunk by the t quantile."""
    m, y = 400, 120
    low, high = clustered(m, y, m, y, y, m)
    plain = wilson(y, m)

    assert float(low) == pytest.approx(float(plain[0]), abs=2e-3)
    assert float(high) == pytest.approx(float(plain[1]), abs=2e-3)
    assert float(high - low) > float(plain[1] - plain[0])
