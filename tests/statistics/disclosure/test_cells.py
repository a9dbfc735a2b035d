"""When a cell is printed, when it keeps its figures, and that each answer stands in one cell."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.statistics.disclosure.cells import Cell, Part, Rules, closed_periods, settle
from pipeline.statistics.disclosure.noise import step

RULES = Rules(bytes(range(32)), 10)
NAMES = ("wrong", "fall", "quiz", "lines", "")


def part(periods: dict[int, dict[int, tuple[int, int]]]) -> Part:
    """Answers and wrong ones by period and student."""
    rows = [(p, s, n, y) for p, who in sorted(periods.items()) for s, (n, y) in who.items()]
    period, student, n, y = (np.array(column) for column in zip(*rows, strict=True))
    return Part(
        NAMES, period, student.astype(np.uint64) << np.uint64(40),
        n.astype(float), y.astype(float),
    )  # fmt: skip


def some(students: range, n: int = 6, y: int = 2) -> dict[int, tuple[int, int]]:
    return dict.fromkeys(students, (n, y))


def figures(cells: list[Cell]) -> list[tuple[int, int, float, float]]:
    return [(one.first, one.last, one.answers, one.hits) for one in cells]


def test_each_closed_period_is_a_cell() -> None:
    cells = settle(part({1: some(range(30)), 2: some(range(30))}), [], 2, RULES)

    assert [(one.first, one.last) for one in cells] == [(0, 1), (2, 2)]


def test_a_period_that_is_not_closed_waits() -> None:
    cells = settle(part({1: some(range(30)), 2: some(range(30))}), [], 1, RULES)

    assert [one.last for one in cells] == [1]


def test_too_few_students_wait_for_the_next_period() -> None:
    cells = settle(part({1: some(range(9)), 2: some(range(30))}), [], 2, RULES)

    assert [(one.first, one.last) for one in cells] == [(0, 2)]


@pytest.mark.parametrize("wrong", [0, 1, 9, 10, 30])
@pytest.mark.parametrize("answers", [6, 120])
def test_how_many_were_wrong_decides_neither_cells_nor_what_is_added(
    wrong: int, answers: int
) -> None:
    """That a line was shown proved that ten were wrong; the size of the noise told of them too."""
    few = some(range(30), answers, 0) | some(range(wrong), answers, answers)
    cells = settle(part({1: few, 2: some(range(30), answers, 2)}), [], 2, RULES)

    assert [(one.first, one.last) for one in cells] == [(0, 1), (2, 2)]
    assert {one.hits_sd for one in cells} == {max(8.0, step(answers / 2))}


def test_the_same_answers_get_the_same_figures() -> None:
    answers = part({1: some(range(30))})

    assert figures(settle(answers, [], 1, RULES)) == figures(settle(answers, [], 1, RULES))


def test_figures_stay_until_about_enough_students_have_changed_since_they_were_printed() -> None:
    first = settle(part({1: some(range(30))}), [], 1, RULES)
    three = settle(part({1: some(range(30)) | some(range(3), y=4)}), first, 1, RULES)
    most = settle(part({1: some(range(30)) | some(range(20), y=4)}), three, 1, RULES)

    assert figures(three) == figures(first)
    assert figures(most) != figures(first)
    assert [one.prints for one in most] == [2]


@pytest.mark.parametrize("changed", [9, 10])
def test_that_a_cell_is_printed_anew_does_not_tell_whether_the_tenth_changed(changed: int) -> None:
    prints = []
    for key in range(60):
        rules = Rules(bytes([key]) * 32, 10)
        first = settle(part({1: some(range(30))}), [], 1, rules)
        later = part({1: some(range(30)) | some(range(changed), y=4)})
        prints.append(settle(later, first, 1, rules)[0].prints)

    assert 0.1 < np.mean(np.equal(prints, 2)) < 0.9


def test_changes_add_up_over_editions_that_did_not_print_them() -> None:
    cells = settle(part({1: some(range(30))}), [], 1, RULES)
    for changed in (3, 6, 20):
        now = part({1: some(range(30)) | some(range(changed), y=5)})
        before, cells = cells, settle(now, cells, 1, RULES)

    assert figures(before) != figures(cells)


def test_more_is_added_each_time_that_a_cell_is_printed_anew() -> None:
    first = settle(part({1: some(range(30))}), [], 1, RULES)
    again = settle(part({1: some(range(30), y=3)}), first, 1, RULES)

    assert again[0].hits_sd == pytest.approx(first[0].hits_sd * 2**0.75)


def test_a_cell_that_has_shrunk_under_the_limit_is_withdrawn() -> None:
    first = settle(part({1: some(range(30))}), [], 1, RULES)

    gone = settle(part({1: some(range(9))}), first, 1, RULES)
    back = settle(part({1: some(range(30))}), gone, 1, RULES)

    assert np.isnan([gone[0].answers, gone[0].hits, gone[0].students]).all()
    assert [one.prints for one in back] == [2]


def test_more_is_added_where_students_have_many_answers() -> None:
    few, many = (settle(part({1: some(range(30), n=n, y=n // 2)}), [], 1, RULES) for n in (6, 120))

    assert many[0].hits_sd > 2 * few[0].hits_sd


def test_periods_close_by_answers_after_them_and_no_clock() -> None:
    seen = {"fall": {1: 12, 2: 3, 3: 14}, "spring": {2: 30}}
    closed = dict(closed_periods(seen, [("fall", 15), ("spring", 15)], 1, RULES))

    assert closed["fall"] > 15  # a later term has answers
    assert closed["spring"] == 1


def test_few_later_answers_close_nothing() -> None:
    closed = dict(closed_periods({"fall": {2: 30, 3: 9}}, [("fall", 15)], 1, RULES))

    assert closed == {"fall": 1}


def test_the_last_period_closes_by_the_last_week_of_the_term() -> None:
    rules = RULES
    open_, done = (
        dict(closed_periods({"fall": {14: 30, 15: last}}, [("fall", 15)], 100, rules))
        for last in (9, 30)
    )

    assert open_ == {"fall": 0}
    assert done["fall"] >= 1
