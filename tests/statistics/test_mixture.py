"""Weights of known components against published and closed-form values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse

from pipeline.tagging.mixture import estimable, fit, gram, identical_columns, influence, variance

LINKAGE = np.array([[3 / 4, 1 / 2], [0, 1 / 4], [0, 1 / 4], [1 / 4, 0]])
TWO_ITEMS = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 1.0]])


def each_alone(cells: list[int]) -> sparse.csr_array:
    """One student an answer."""
    column = np.repeat(np.arange(len(cells)), cells)
    return sparse.csr_array((np.ones(column.size), (np.arange(column.size), column)))


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
    robust = variance(influence(LINKAGE, counts, weights, each_alone(cells)))[0] ** 0.5
    assert robust == pytest.approx(0.0515, abs=0.004)


def test_two_items_of_which_one_cannot_tell() -> None:
    """Closed form: {A, B} = 40 and A = 30, B = 10 give .75 and .25, standard error .0685."""
    cells = [40, 30, 10]
    design = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 1.0]])
    counts = np.array(cells, dtype=float)
    weights = fit(design, counts)
    size = sum(cells)
    spread = variance(influence(design, counts, weights, each_alone(cells)))[0]

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
    assert identical_columns(gram(np.array([[1.0, 0, 1], [0, 1, 0]]))) == [[0, 2], [1]]


def test_only_what_the_cells_fix_is_estimable() -> None:
    """Two components share their one cell: neither is fixed, the third is."""
    assert estimable(gram(np.array([[1.0, 1, 0], [0, 0, 1]]))).tolist() == [False, False, True]
    assert estimable(gram(TWO_ITEMS)).all()


def test_a_sum_of_columns_is_not_estimable_even_without_twins() -> None:
    """A = B + C cell by cell, no two columns alike: no one of the three is fixed."""
    design = np.array([[0.5, 1.0, 0.0], [0.5, 0.0, 1.0]])

    assert not estimable(gram(design)).any()


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
