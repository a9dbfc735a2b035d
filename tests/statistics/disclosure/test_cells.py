"""When a cell is printed, when it keeps its figures, and that each answer stands in one cell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.statistics.disclosure.cells import (
    LEAST,
    UNIT,
    Cell,
    Part,
    Rules,
    closed_weeks,
    settle,
)
from pipeline.statistics.disclosure.noise import added, cell_key

RULES = Rules(bytes(range(32)), 10)
NAMES = ("wrong", "fall", "quiz", "lines", "")


def part(weeks: dict[int, dict[int, tuple[int, int]]], *questions: str) -> Part:
    """Answers and wrong ones by week and student."""
    rows = [(p, s, n, y) for p, who in sorted(weeks.items()) for s, (n, y) in who.items()]
    week, student, n, y = (np.array(column) for column in zip(*rows, strict=True))
    numbers = student.astype(np.uint64) << np.uint64(40)
    return Part(NAMES, week, numbers, n, y * UNIT, frozenset(questions or ("q1", "q2")))


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
    assert {one.doublings for one in cells} == {12.0 if answers == 120 else float(LEAST["wrong"])}


def test_the_same_answers_get_the_same_figures() -> None:
    answers = part({1: some(range(30))})

    assert figures(settle(answers, [], 1, RULES)) == figures(settle(answers, [], 1, RULES))


def test_two_errors_that_are_alike_print_no_equal_counts() -> None:
    """Equal counts said that no answer parts the two, and other ones that one student's does."""
    alike = part({1: some(range(30))})
    named = [replace(alike, names=("error", *NAMES[1:4], name)) for name in ("one", "other")]
    hits, answers = set(), set()
    for number in range(40):
        rules = Rules(bytes([number]) * 32, 10)
        first, second = (settle(one, [], 1, rules)[0] for one in named)
        hits.add(first.hits == second.hits)
        answers.add(first.answers == second.answers)

    assert False in hits
    assert answers == {True}  # they are the same answers, and their mean would tell the number


def test_a_share_of_an_answer_moves_a_count_by_one_with_that_chance_alone() -> None:
    """Rounded to the next whole number, a tenth of an answer could be what makes it."""
    whole = part({1: some(range(30))})
    one_more = replace(whole, y=whole.y + np.r_[UNIT // 10, np.zeros(29, dtype=np.int64)])
    moved = []
    for number in range(200):
        rules = Rules(bytes([number]) * 32, 10)
        place, key = "|".join(NAMES), cell_key(one_more.student, one_more.week, one_more.y) + 60
        noise = added(rules.secret, place, key, LEAST["wrong"])
        moved.append(settle(one_more, [], 1, rules)[0].hits - noise - 60)

    assert set(moved) == {0, 1}
    assert 0.03 < np.mean(moved) < 0.2


def test_figures_stay_until_about_enough_students_have_changed_since_they_were_printed() -> None:
    first = settle(part({1: some(range(30))}), [], 1, RULES)
    three = settle(part({1: some(range(30)) | some(range(3), y=4)}), first, 1, RULES)
    most = settle(part({1: some(range(30)) | some(range(20), y=4)}), three, 1, RULES)

    assert figures(three) == figures(first)
    assert figures(most) != figures(first)
    assert [one.prints for one in most] == [2]


@pytest.mark.parametrize("changed", [14, 15])
def test_that_a_cell_is_printed_anew_does_not_tell_whether_the_fifteenth_changed(
    changed: int,
) -> None:
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

    assert again[0].doublings == first[0].doublings + 4


def test_few_of_many_students_bring_no_new_print() -> None:
    """A late answer of one in eight blurred what all others had handed in."""
    first = settle(part({1: some(range(120))}), [], 1, RULES)
    late = settle(part({1: some(range(120)) | some(range(15), 7, 2)}), first, 1, RULES)

    assert figures(late) == figures(first)


def test_a_cell_that_has_shrunk_under_the_limit_is_withdrawn() -> None:
    first = settle(part({1: some(range(30))}), [], 1, RULES)

    gone = settle(part({1: some(range(9))}), first, 1, RULES)
    back = settle(part({1: some(range(30))}), gone, 1, RULES)

    assert np.isnan([gone[0].answers, gone[0].hits, gone[0].students]).all()
    assert [one.prints for one in back] == [2]


def test_more_is_added_where_students_have_many_answers() -> None:
    few, many = (settle(part({1: some(range(30), n=n, y=n // 2)}), [], 1, RULES) for n in (6, 120))

    assert many[0].doublings > 2 + few[0].doublings


def test_periods_close_by_answers_after_them_and_no_clock() -> None:
    seen = {"fall": {1: 12, 2: 3, 3: 14}, "spring": {2: 30}}
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
    assert done["fall"] >= 1


WEEKLY, MONTHLY = (Rules(RULES.secret, 10, weeks) for weeks in (1, 4))
EIGHT_WEEKS = {week: some(range(30)) for week in range(1, 9)}


@pytest.mark.parametrize(("first", "then"), [(MONTHLY, WEEKLY), (WEEKLY, MONTHLY)])
def test_other_periods_open_no_week_that_was_printed(first: Rules, then: Rules) -> None:
    """The same answers by week and by month were two looks, each of the first strength."""
    before = settle(part({week: EIGHT_WEEKS[week] for week in range(1, 5)}), [], 4, first)
    after = settle(part(EIGHT_WEEKS), before, 8, then)

    assert figures(after[: len(before)]) == figures(before)
    assert [one.first for one in after][len(before)] == 5
    assert {one.prints for one in after} == {1}


def test_answers_that_moved_to_another_topic_are_no_first_look() -> None:
    """A topic cut in two: its answers were printed under the name that both had."""
    whole = settle(part({1: some(range(30))}, "q1", "q2"), [], 1, RULES)
    half, other = part({1: some(range(30), 3, 1)}, "q2"), part({1: some(range(30))}, "q3")

    assert [one.prints for one in settle(half, [], 1, RULES, whole)] == [2]
    assert [one.prints for one in settle(other, [], 1, RULES, whole)] == [1]


def test_questions_that_left_a_topic_stay_among_those_it_was_printed_with() -> None:
    whole = settle(part({1: some(range(30))}, "q1", "q2"), [], 1, RULES)
    again = settle(part({1: some(range(30), 3, 1)}, "q1"), whole, 1, RULES)

    assert [(one.prints, one.questions) for one in again] == [(2, {"q1", "q2"})]
