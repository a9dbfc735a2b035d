"""The worked example and the failing rule of thumb, beside what our own choice does to them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pipeline.statistics.disclosure import audit, protect, ranges, two_way
from pipeline.statistics.disclosure.linked import Linked
from tests.calibration.small_cells import random_table, rule_of_two

pytestmark = pytest.mark.thorough

# Federal Statistical Policy Working Paper 22 (1994, revised 2005), chapter on tables of counts:
# delinquent children by county and education of the head of household; from memory.
CHILDREN = np.array([[15, 1, 3, 1], [20, 10, 10, 15], [3, 10, 10, 2], [12, 14, 7, 2]])
LIMIT = 5
PRIMARY = [(0, 1), (0, 2), (0, 3), (2, 0), (2, 3), (3, 3)]


def hidden_cells(linked: Linked, cells: list[tuple[int, int]]) -> NDArray[np.bool_]:
    hidden = np.zeros(linked.size, dtype=bool)
    hidden[[row * 4 + column for row, column in cells]] = True
    return hidden


def test_the_totals_are_those_of_the_working_paper() -> None:
    values = two_way(CHILDREN, LIMIT).values[16:]

    assert values.tolist() == [20, 55, 25, 35, 50, 35, 30, 20, 135]


def test_small_cells_alone_are_recovered_exactly() -> None:
    linked = two_way(CHILDREN, LIMIT)
    hidden = hidden_cells(linked, PRIMARY)
    low, high = ranges(linked, hidden, [r * 4 + c for r, c in PRIMARY])

    assert low == pytest.approx([1, 3, 1, 3, 2, 2])
    assert high == pytest.approx([1, 3, 1, 3, 2, 2])


def test_two_gaps_in_every_row_and_column_still_leak_one_cell() -> None:
    linked = two_way(CHILDREN, LIMIT)
    hidden = hidden_cells(linked, [*PRIMARY, (1, 1), (1, 2), (3, 0)])
    low, high = ranges(linked, hidden, [r * 4 + c for r, c in PRIMARY])

    assert list(zip(low.round(), high.round(), strict=True)) == [
        (0, 4), (0, 4), (1, 1), (1, 5), (0, 4), (0, 4),
    ]  # fmt: skip


def test_the_integer_program_needs_three_more_cells_and_leaks_none() -> None:
    linked = two_way(CHILDREN, LIMIT)
    hidden = protect(linked)
    assert hidden is not None
    low, high = ranges(linked, hidden, [r * 4 + c for r, c in PRIMARY])

    assert hidden.sum() == 9
    assert (high - low >= LIMIT).all()
    assert audit(linked, hidden, whole=True).passed


def test_the_rule_of_two_fails_often_and_the_integer_program_never() -> None:
    """A run of ours on 300 tables: exact recovery in 7.7 %, narrower than 5 in 77 % by the rule.

    The rates depend on how tables are drawn, so wide margins are asserted; the whole experiment is
    `python -m tests.calibration.small_cells`.
    """
    generator = np.random.default_rng(4)
    exact = narrow = ours = tables = 0
    for _ in range(40):
        table = random_table(generator)
        linked = two_way(table, LIMIT)
        if not linked.targets:
            continue
        tables += 1
        hidden = np.zeros(linked.size, dtype=bool)
        hidden[:36] = rule_of_two(table).ravel()
        low, high = ranges(linked, hidden, [target.row for target in linked.targets])
        exact += bool((high - low < 0.5).any())
        narrow += bool((high - low < LIMIT - 0.5).any())
        chosen = protect(linked)
        ours += chosen is not None and audit(linked, chosen).passed

    assert tables >= 38
    assert exact >= 1
    assert narrow >= 0.4 * tables
    assert ours == tables


def test_a_table_without_small_cells_stays_whole() -> None:
    linked = two_way(np.full((3, 3), 20), LIMIT)
    hidden = protect(linked)

    assert hidden is not None
    assert not hidden.any()


@settings(max_examples=6)
@given(st.lists(st.lists(st.integers(0, 25), min_size=4, max_size=4), min_size=4, max_size=4))
def test_what_is_chosen_passes_the_attack_or_nothing_is_chosen(rows: list[list[int]]) -> None:
    """A table whose known totals are smaller than the range asked for cannot be protected."""
    table = np.array(rows)
    linked = two_way(table, LIMIT)
    hidden = protect(linked)

    if hidden is None:
        everything = ~linked.known
        assert not audit(linked, everything).passed
    else:
        assert audit(linked, hidden).passed
        assert hidden[: table.size][(table.ravel() > 0) & (table.ravel() < LIMIT)].all()
