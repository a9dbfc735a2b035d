"""Attacks on the edition for everyone: those that once worked, and one that knows almost all."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from pipeline.statistics.disclosure.cells import Cell, Rules, settle
from tests.calibration.outsider import AVERAGE, MOST, RECOVERED, attack
from tests.statistics.disclosure.test_cells import part, some

KEYS = [bytes([number]) * 32 for number in range(60)]
BY_CHANCE = 0.2
"""Share of keys under which a difference of two changed counts may come out right by chance."""


def exact(editions: Callable[[Rules], tuple[list[Cell], list[Cell]]], truth: float) -> float:
    """Share of keys under which an earlier edition less a later one is the student's record."""
    hits = []
    for key in KEYS:
        one, other = editions(Rules(key, 10))
        hits.append(sum(c.hits for c in other) - sum(c.hits for c in one) == truth)
    return float(np.mean(hits))


def test_twenty_answers_handed_in_late_are_no_difference_of_two_editions() -> None:
    """Edition 2 carries over, edition 3 prints anew: 3 less 1 was the late student's record."""
    others = {1: some(range(29), 20, 6)}
    late = {1: others[1] | {29: (20, 13)}}
    more = {1: late[1] | some(range(10), 21, 6)}  # ten others, none of them wrong

    def editions(rules: Rules) -> tuple[list[Cell], list[Cell]]:
        first = settle(part(others), [], 1, rules)
        second = settle(part(late), first, 1, rules)
        assert second == first
        return first, settle(part(more), second, 1, rules)

    assert exact(editions, 13) <= BY_CHANCE


def test_an_erased_student_is_no_difference_of_two_editions() -> None:
    everyone = {1: some(range(29), 20, 6) | {29: (20, 13)}}

    def editions(rules: Rules) -> tuple[list[Cell], list[Cell]]:
        before = settle(part(everyone), [], 1, rules)
        return before, settle(part({1: some(range(29), 20, 6)}), [], 1, rules)

    assert exact(editions, -13) <= BY_CHANCE


def test_a_count_and_the_counts_of_its_parts_do_not_add_up_exactly() -> None:
    """53 - 14 - 18 - 16 was the hidden count: now each of these has something added."""

    def editions(rules: Rules) -> tuple[list[Cell], list[Cell]]:
        parts = [settle(part({p: some(range(30), 9, 3)}), [], p, rules) for p in (1, 2, 3)]
        return [], [cell for cells in parts for cell in cells]

    assert exact(editions, 270) <= BY_CHANCE


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("students", "editions", "weeks"), [(18, 5, 1), (18, 15, 4), (30, 9, 4), (30, 15, 100)]
)
def test_an_outsider_who_knows_all_but_one_student_learns_no_count(
    students: int, editions: int, weeks: int
) -> None:
    told = attack(students, editions, weeks, 1)[:, 0]

    assert len(told) > 20
    assert told.mean() <= AVERAGE
    assert told.max() <= MOST
    assert not (told > RECOVERED).any()
