"""Hidden cells stay hidden: a published example and the attacker's linear program."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.statistics.disclosure import audit, complementary, exposed, primary, two_way

COUNTY = np.array([[15.0, 1, 3, 1], [20, 10, 10, 15], [3, 10, 10, 2], [12, 14, 7, 2]])
"""US Federal Statistical Policy Working Paper 22 (1994, 2005), the example table; from memory."""
LIMIT = 5


def mask(*cells: tuple[int, int]) -> np.ndarray:
    whole = np.zeros((5, 5), dtype=bool)
    for row, column in cells:
        whole[row - 1, column - 1] = True
    return whole.ravel()


SMALL = ((1, 2), (1, 3), (1, 4), (3, 1), (3, 4), (4, 4))


def test_six_cells_are_small() -> None:
    counts, _ = two_way(COUNTY)

    assert (primary(counts, LIMIT) == mask(*SMALL)).all()


def test_hiding_the_small_cells_alone_hides_nothing() -> None:
    """The audit returns all six exactly."""
    counts, equations = two_way(COUNTY)
    low, high = audit(counts, primary(counts, LIMIT), equations)

    assert low == pytest.approx(counts)
    assert high == pytest.approx(counts)


def test_two_in_every_row_and_column_still_leak_one() -> None:
    """Row 1 + row 2 - column 2 - column 3 leaves the cell (1, 4) alone: it must be 1."""
    counts, equations = two_way(COUNTY)
    hidden = mask(*SMALL, (2, 2), (2, 3), (4, 1))
    low, high = audit(counts, hidden, equations)
    ranges = np.stack([low, high], axis=1)[[1, 2, 3, 10, 13, 18]]

    assert ranges == pytest.approx(np.array([[0, 4], [0, 4], [1, 1], [1, 5], [0, 4], [0, 4]]))
    assert exposed(counts, hidden, equations, LIMIT).any()


def test_the_integer_program_needs_no_more_than_nine_cells() -> None:
    """Nine cells protect the table: every small cell may be 0 to at least 4."""
    counts, equations = two_way(COUNTY)
    hidden = complementary(counts, equations, LIMIT, np.ones(25) + 8 * mask_of_totals())

    assert hidden.sum() == 9
    assert not exposed(counts, hidden, equations, LIMIT).any()


def mask_of_totals() -> np.ndarray:
    whole = np.zeros((5, 5))
    whole[4] = whole[:, 4] = 1
    return whole.ravel()


def test_a_table_without_small_cells_stays_whole() -> None:
    counts, equations = two_way(np.full((3, 3), 20.0))

    assert not complementary(counts, equations, LIMIT).any()


@settings(max_examples=15, deadline=None)
@given(st.lists(st.lists(st.integers(0, 25), min_size=4, max_size=4), min_size=4, max_size=4))
def test_what_is_chosen_passes_the_attack(rows: list[list[int]]) -> None:
    counts, equations = two_way(np.array(rows, dtype=float))
    hidden = complementary(counts, equations, LIMIT)

    assert (hidden | ~primary(counts, LIMIT)).all()
    assert not exposed(counts, hidden, equations, LIMIT).any()
