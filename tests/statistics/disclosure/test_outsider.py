"""Attacks on the edition for everyone: those that once worked, and one that knows almost all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

from pipeline.statistics.disclosure import cells
from pipeline.statistics.disclosure.cells import UNIT, Cell, Rules, settle
from pipeline.statistics.disclosure.noise import table
from tests.calibration import outsider
from tests.calibration.outsider import (
    MANY,
    RECOVERED,
    Told,
    attack,
    kept_from,
    summed_up,
    together,
)
from tests.statistics.disclosure.test_cells import NAMES, part, some

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


def test_shares_of_errors_do_not_bound_one_another() -> None:
    """Ten wrong answers, all laid to three errors: any two of the counts told the third."""
    n = dict.fromkeys(range(30), (6, 2))

    def editions(rules: Rules) -> tuple[list[Cell], list[Cell]]:
        whole = part({1: n})
        laid = [whole.y * share // 8 for share in (4, 2, 2)]
        errors = [
            replace(whole, names=("error", *NAMES[1:4], name), y=y)
            for name, y in zip("abc", laid, strict=True)
        ]
        cells = [cell for one in errors for cell in settle(one, [], 1, rules)]
        assert sum(int(one.y.sum()) for one in errors) // UNIT == 60
        return settle(whole, [], 1, rules), cells

    assert exact(editions, 0) <= BY_CHANCE


def test_an_outcome_does_not_vanish_with_the_evidence_of_two_students() -> None:
    """It did from the second edition on, which told that these two had too little."""
    names = ("outcome", "fall", "", "solves equations", "")
    rules = Rules(KEYS[1], 10, 4)
    ends = [replace(part({999: some(range(n), 1, 1)}), names=names) for n in (30, 28)]
    first = settle(ends[0], [], 10**6, rules)
    second = settle(ends[1], first, 10**6, rules)

    assert [one.students >= 10 for one in first] == [True]
    assert second == first


def hidden_changes(students: int, count: int) -> Iterator[tuple[float, float]]:
    """Least and most that each hidden change of a count can be, by a linear program over editions.

    Unknown are all true counts, of wrong answers and of those laid to each error, of each cell of
    each edition. What was printed bounds them by the most that can be added; how many answers
    there are is known.
    """
    one = outsider.course(students, np.random.default_rng(1))
    for topic, cells_of in _printed(one, count).items():
        for cell, states in cells_of.items():
            bounds, rows, limits = [], [], []
            for place, (answers, hits, most) in enumerate(states):
                low, high = max(hits - most, 0), min(hits + most, answers)
                assert low <= high, (topic, cell)
                bounds.append((low, high))
                if place:
                    new = answers - states[place - 1][0]
                    step = np.zeros(len(states))
                    step[place], step[place - 1] = 1, -1
                    rows += [step, -step]
                    limits += [max(new, 0) + students, students]
            for row in rows[::2]:
                ends = [
                    linprog(sign * row, A_ub=rows, b_ub=limits, bounds=bounds).fun * sign
                    for sign in (1, -1)
                ]
                yield ends[0], ends[1]


def _printed(one: outsider.Course, count: int) -> dict[int, dict[tuple[int, int], list]]:
    found: dict[int, dict[tuple[int, int], list]] = defaultdict(lambda: defaultdict(list))
    for edition, now in enumerate(outsider.editions(one, count, 1, KEYS[0]), start=1):
        for (topic, error), printed in now.printed.items():
            for cell in printed if error == "" else ():
                if not np.isnan(cell.hits):
                    weeks = outsider.weeks_of(topic)
                    inside = (weeks >= cell.first) & (weeks <= cell.last)
                    answers = int(one.kinds(edition)[:, topic][:, inside].sum())
                    most = len(table(int(cell.doublings))) // 2
                    found[topic][cell.first, cell.last].append((answers, cell.hits, most))
    return found


@pytest.mark.thorough
def test_linear_programs_over_nine_editions_find_no_exact_change() -> None:
    """Of 479 hidden changes of 18 students 211 came out exactly, 440 to under ten values."""
    widths = [most - least for least, most in hidden_changes(18, 9)]

    assert len(widths) > 10
    assert min(widths) >= 10


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("students", "editions", "weeks"), [(18, (4, 9), 1), (30, (9, 13), 4), (18, (15,), 100)]
)
def test_an_outsider_who_knows_all_but_one_student_learns_no_count(
    students: int, editions: tuple[int, ...], weeks: int
) -> None:
    for told in attack(students, editions, weeks, 1).values():
        assert_nothing_is_told([told])


@pytest.mark.thorough
def test_nor_from_the_files_of_three_courses_of_a_department_together(tmp_path: Path) -> None:
    """Tables, workbook and charts of every edition that was kept."""
    courses = [attack(18, (5,), 1, start, tmp_path / str(start))[5] for start in (1, 2, 3)]

    assert len(list(tmp_path.glob("*/reports/kept/*-shared"))) == 12
    assert_nothing_is_told(courses)
    assert_nothing_is_told(together(courses), MANY)


def assert_nothing_is_told(courses: list[Told], fewest: int = 1) -> None:
    rows = summed_up(courses)
    rows = rows[rows["answers"] >= fewest]

    assert len(rows) > 10
    assert kept_from(rows)
    assert not (rows["true"] > RECOVERED).any()


@pytest.mark.thorough
def test_the_same_outsider_learns_every_count_where_nothing_is_added(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Else the attack would prove nothing."""
    monkeypatch.setattr(cells, "added", lambda *_: 0)
    monkeypatch.setattr(outsider, "_weights", lambda _: np.ones(1))
    told = [summed_up([one]) for one in attack(18, (9, 13), 1, 1).values()]

    assert {len(rows) > 50 for rows in told} == {True}
    assert all((rows["true"] > RECOVERED).all() for rows in told)
