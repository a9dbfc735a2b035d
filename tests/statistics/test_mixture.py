"""Weights of known components against published and closed-form values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse

from pipeline.tagging.mixture import (
    Vector,
    covariance,
    fit,
    identical_columns,
    influence,
    shortfall,
    variance,
)

LINKAGE = np.array([[3 / 4, 1 / 2], [0, 1 / 4], [0, 1 / 4], [1 / 4, 0]])


def each_alone(cells: list[int]) -> sparse.csr_array:
    """One student an answer."""
    column = np.repeat(np.arange(len(cells)), cells)
    return sparse.csr_array((np.ones(column.size), (np.arange(column.size), column)))


def sandwich(design: Vector, cells: list[int], weights: Vector) -> Vector:
    """Variances clustered by student, of one answer each, with hardly any prior."""
    prior = np.full(len(weights), 1e-9)
    open_ = covariance(design, np.array(cells, dtype=float), weights, prior)
    return variance(influence(design, weights, each_alone(cells), open_))


def test_the_linkage_counts_of_dempster_laird_and_rubin() -> None:
    """Dempster, Laird and Rubin (1977), section 1: counts 125, 18, 20, 34 give .6268215."""
    weights = fit(LINKAGE, np.array([125.0, 18, 20, 34]))

    assert weights[0] == pytest.approx(0.6268215, abs=1e-7)


def test_the_linkage_information_gives_its_standard_error() -> None:
    """The same example: information 377.5, standard error .0515."""
    cells = [125, 18, 20, 34]
    counts = np.array(cells, dtype=float)
    weights = fit(LINKAGE, counts)
    chance = LINKAGE @ weights
    slope = (LINKAGE @ np.array([1.0, -1.0])) / chance
    information = (counts * slope**2).sum()

    assert information == pytest.approx(377.5, abs=0.1)
    assert information**-0.5 == pytest.approx(0.0515, abs=5e-5)
    robust = sandwich(LINKAGE, cells, weights)[0] ** 0.5
    assert robust == pytest.approx(0.0515, abs=0.004)


def test_two_items_of_which_one_cannot_tell() -> None:
    """Closed form: {A, B} = 40 and A = 30, B = 10 give .75 and .25, standard error .0685."""
    cells = [40, 30, 10]
    design = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 1.0]])
    counts = np.array(cells, dtype=float)
    weights = fit(design, counts)
    size = sum(cells)
    spread = sandwich(design, cells, weights)[0]

    assert weights == pytest.approx([0.75, 0.25])
    assert (spread * (size - 1) / size) ** 0.5 == pytest.approx(0.0685, abs=5e-5)


def test_three_patterns_that_two_items_part_differently() -> None:
    """Closed form: {A, B} = 60, {C} = 40 and {A} = 35, {B, C} = 65 give .35, .25, .40."""
    design = np.array([[1.0, 1, 0], [0, 0, 1], [1, 0, 0], [0, 1, 1]])

    assert fit(design, np.array([60.0, 40, 35, 65])) == pytest.approx([0.35, 0.25, 0.40], abs=1e-6)


def test_components_that_no_cell_parts_keep_equal_weights() -> None:
    design = np.array([[1.0, 1, 0], [0, 0, 1]])

    assert fit(design, np.array([30.0, 70])) == pytest.approx([0.15, 0.15, 0.7])


def test_identical_columns_are_one_group() -> None:
    design = np.array([[1.0, 0, 1], [0, 1, 0]])

    assert identical_columns(design.T @ design) == [[0, 2], [1]]


def test_the_model_error_of_the_linkage_is_that_of_its_information() -> None:
    """Dempster, Laird and Rubin (1977) again: information 377.5."""
    cells = np.array([125.0, 18, 20, 34])
    open_ = covariance(LINKAGE, cells, fit(LINKAGE, cells), np.full(2, 1e-9))

    assert open_[0, 0] == pytest.approx(1 / 377.5, rel=1e-3)
    assert open_.sum() == pytest.approx(0, abs=1e-12)


def test_half_an_answer_beforehand_gives_the_mean_of_the_shares() -> None:
    """Jeffreys's prior on three cells of their own: (n + 1/2) / (N + 3/2)."""
    counts = np.array([9.0, 1, 0])
    weights = fit(np.eye(3), counts, prior=np.full(3, 0.5))

    assert weights == pytest.approx((counts + 0.5) / 11.5)


def test_beforehand_is_all_there_is_where_the_cells_tell_nothing() -> None:
    """Two components in one cell: as wide apart as the prior lets them be, a half and a half."""
    design, counts, prior = np.array([[1.0, 1, 0], [0, 0, 1]]), np.array([60.0, 40]), [0.5] * 3
    weights = fit(design, counts, prior=np.array(prior))
    open_ = covariance(design, counts, weights, np.array(prior))
    both = np.array([1.0, 1, 0])

    assert weights[0] == pytest.approx(weights[1])
    assert open_[0, 0] ** 0.5 > 0.25
    assert (both @ open_ @ both) ** 0.5 == pytest.approx((0.6 * 0.4 / 100) ** 0.5, rel=0.02)


def test_answers_against_an_absent_component_are_counted() -> None:
    """Forty answers at the one cell that only the other reaches speak against it; none there do."""
    design = np.array([[1.0, 1, 0], [1, 0, 0], [0, 0, 1]])
    against = shortfall(design, np.array([60.0, 40, 0]), np.array([1.0, 0, 0]))

    assert against == pytest.approx([0, 40, 100])


def test_one_student_tells_nothing_of_the_spread() -> None:
    assert np.isinf(variance(np.zeros((1, 2)))).all()


@given(st.lists(st.integers(1, 50), min_size=4, max_size=4))
def test_weights_are_a_maximum(counts: list[int]) -> None:
    """No small move within the simplex is more likely."""
    design = np.array([[1.0, 0.2, 0.0], [0, 0.5, 0.1], [0, 0.3, 0.4], [0, 0, 0.5]])
    seen = np.array(counts, dtype=float)
    weights = fit(design, seen)
    best = seen @ np.log(design @ weights)

    assert weights.sum() == pytest.approx(1)
    for giver, taker in ((0, 1), (1, 0), (1, 2), (2, 1), (0, 2), (2, 0)):
        moved = weights.copy()
        step = min(1e-3, moved[giver])
        moved[giver] -= step
        moved[taker] += step
        assert seen @ np.log(np.maximum(design @ moved, 1e-300)) <= best + 1e-7
