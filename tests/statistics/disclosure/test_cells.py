"""When a cell is printed, that it is printed once, and that each answer stands in one cell."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from pipeline.statistics.disclosure.cells import (
    UNIT,
    Cell,
    Part,
    Rules,
    closed_weeks,
    counted,
    doublings,
    settle,
)
from pipeline.statistics.disclosure.noise import added, cell_key

RULES = Rules(bytes(range(32)), 10)
NAMES = ("wrong", "fall", "quiz", "lines")
WIDE = 7


def part(weeks: dict[int, dict[int, tuple[int, int]]], first: int = 0) -> Part:
    """Answers and wrong ones by week and student, to questions numbered from `first`."""
    rows = [
        (week, (student << 32) + (week << 16) + first + question, int(question < y))
        for week, who in sorted(weeks.items())
        for student, (n, y) in who.items()
        for question in range(n)
    ]
    week, mark, y = (np.array(column, dtype=np.int64) for column in zip(*rows, strict=True))
    return Part(NAMES, week, mark.astype(np.uint64), np.ones_like(y), y, -np.ones_like(y))


def some(students: range, n: int = 6, y: int = 2) -> dict[int, tuple[int, int]]:
    return dict.fromkeys(students, (n, y))


def cells_of(rows: Part, closed: int, rules: Rules = RULES, start: int = 0) -> list[Cell]:
    return list(settle(rows, start, closed, rules))


def weeks_of(cells: list[Cell]) -> list[tuple[int, int]]:
    return [(one.first, one.last) for one in cells]


def printed(rows: Part, rules: Rules = RULES, pattern: str = "") -> dict[str, Any]:
    (cell,) = cells_of(rows, 10, rules)
    return counted(cell, pattern, cell.part.y * UNIT, WIDE, rules)


def test_each_closed_period_is_a_cell() -> None:
    assert weeks_of(cells_of(part({1: some(range(30)), 2: some(range(30))}), 2)) == [(0, 1), (2, 2)]


def test_a_period_that_is_not_closed_waits() -> None:
    assert weeks_of(cells_of(part({1: some(range(30)), 2: some(range(30))}), 1)) == [(0, 1)]


def test_too_few_students_wait_for_the_next_period() -> None:
    cells = cells_of(part({1: some(range(9)), 2: some(range(30))}), 2)

    assert weeks_of(cells) == [(0, 2)]
    assert len(cells[0].part.mark) == 39 * 6


def test_answers_that_come_late_are_counted_with_a_later_period() -> None:
    """Not with the one of their date, which is printed: that would be a second look at it."""
    late = part({1: some(range(20, 40)), 6: some(range(30))})
    cells = cells_of(late, 6, start=4)

    assert weeks_of(cells) == [(4, 4), (5, 6)]
    assert set(cells[0].part.week) == {1}


def test_an_answer_is_told_once_whatever_its_week_term_topic_and_setting() -> None:
    rows = part({1: some(range(30))})
    moved = replace(rows, week=rows.week + 5, names=("wrong", "spring", "exam", "slopes"))
    more = part({1: some(range(30), n=8)})

    assert len(moved.untold(rows.mark).mark) == 0
    assert len(more.untold(rows.mark).mark) == 60


def test_of_an_outcome_a_student_is_told_once() -> None:
    """One answer more would be a second look at whether the bar is met."""
    outcome = replace(part({1: some(range(30), n=8)}), names=("outcome", "fall", "", "solves"))
    told = part({1: some(range(20), n=1)}).mark

    assert set(outcome.untold(told).mark >> np.uint64(32)) == set(range(20, 30))


@pytest.mark.parametrize("wrong", [0, 1, 9, 10, 30])
def test_how_many_were_wrong_decides_no_cell(wrong: int) -> None:
    """That a line was shown proved that ten were wrong."""
    few = some(range(30), 6, 0) | some(range(wrong), 6, 6)

    assert weeks_of(cells_of(part({1: few, 2: some(range(30))}), 2)) == [(0, 1), (2, 2)]


@pytest.mark.parametrize(("students", "least", "most"), [(9, 0, 0), (10, 0, 0.12), (18, 0.9, 1)])
def test_whether_a_cell_is_printed_hardly_turns_on_one_student(
    students: int, least: float, most: float
) -> None:
    """Of a class of ten, most keys printed one of which all took part, and none if one did not."""
    rows = part({1: some(range(students))})
    shown = [bool(cells_of(rows, 1, Rules(bytes([key]) * 32, 10))) for key in range(200)]

    assert least <= np.mean(shown) <= most


def test_the_same_answers_get_the_same_figures_in_any_order() -> None:
    rows = part({1: some(range(30))})
    turned = rows.at(np.arange(len(rows.mark))[::-1])

    assert printed(rows) == printed(turned)


def test_two_errors_that_are_alike_print_no_equal_counts() -> None:
    """Equal counts said that no answer parts the two, and other ones that one student's does."""
    rows = part({1: some(range(30))})
    hits, answers = set(), set()
    for number in range(40):
        rules = Rules(bytes([number]) * 32, 10)
        first, second = (printed(rows, rules, name) for name in ("one", "other"))
        hits.add(first["hits"] == second["hits"])
        answers.add(first["answers"] == second["answers"] == printed(rows, rules)["answers"])

    assert False in hits
    assert answers == {True}  # they are the same answers, and their mean would tell the number


def test_a_share_of_an_answer_moves_a_count_by_one_with_that_chance_alone() -> None:
    """Rounded to the next whole number, a tenth of an answer could be what makes it."""
    (cell,) = cells_of(part({1: some(range(30))}), 1)
    units = cell.part.y * UNIT
    units[-1] += UNIT // 10
    moved = []
    for number in range(200):
        rules = Rules(bytes([number]) * 32, 10)
        place = "|".join(("error", *NAMES[1:], "e"))
        noise = added(rules.secret, place, cell_key(cell.part.mark, units), WIDE)
        moved.append(counted(cell, "e", units, WIDE, rules)["hits"] - noise - 60)

    assert set(moved) == {0, 1}
    assert 0.03 < np.mean(moved) < 0.2


def test_more_is_added_where_a_topic_has_many_questions_whoever_answered_them() -> None:
    assert [doublings("wrong", most) for most in (1, 12, 22, 23, 60)] == [7, 7, 7, 8, 10]
    assert [doublings("outcome", served) for served in (1, 2, 3)] == [5, 7, 9]


def test_periods_close_by_answers_after_them_and_no_clock() -> None:
    seen = {"fall": {1: 12, 2: 3, 3: 24}, "spring": {2: 30}}
    closed = dict(closed_weeks(seen, [("fall", 15), ("spring", 15)], RULES))

    assert closed["fall"] > 15  # a later term has answers
    assert closed["spring"] == 1


def test_few_later_answers_close_nothing() -> None:
    closed = dict(closed_weeks({"fall": {2: 30, 3: 9}}, [("fall", 15)], RULES))

    assert closed == {"fall": 1}


def test_the_last_period_closes_by_the_last_week_of_the_term() -> None:
    rules = Rules(RULES.secret, 10, 100)
    open_, done = (
        dict(closed_weeks({"fall": {14: 30, 15: last}}, [("fall", 15)], rules)) for last in (9, 30)
    )

    assert open_ == {"fall": 0}
    assert done["fall"] > 15


@pytest.mark.parametrize(("length", "closed"), [(10**6, 1303), (0, 10**6)])
def test_without_terms_calendar_weeks_close_and_what_has_no_date_at_once(
    length: int, closed: int
) -> None:
    weeks = {1303: 9, 1304: 30} if length else {0: 30}

    assert dict(closed_weeks({"all": weeks}, [("all", length)], RULES)) == {"all": closed}


@pytest.mark.parametrize(("then", "ends"), [(1, [5, 6, 7, 8]), (4, [8])])
def test_other_periods_open_no_week_that_was_printed(then: int, ends: list[int]) -> None:
    """The same answers by week and by month were two looks, each of the first strength."""
    rows = part({week: some(range(30)) for week in range(1, 9)})
    before = cells_of(rows, 4, replace(RULES, weeks=5 - then))
    told = np.concatenate([cell.part.mark for cell in before])
    after = cells_of(rows.untold(told), 8, replace(RULES, weeks=then), start=5)

    assert [one.last for one in after] == ends
    assert sum(len(one.part.mark) for one in (*before, *after)) == len(rows.mark)
