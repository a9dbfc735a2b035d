from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.course import Break, Term

SPRING = Term(
    "2026-spring",
    "Spring 2026",
    date(2026, 1, 12),
    15,
    (Break(date(2026, 3, 16), date(2026, 3, 20)), Break(date(2026, 4, 3), date(2026, 4, 3))),
)


@pytest.mark.parametrize(
    ("day", "week"),
    [
        ("2026-01-11", None),
        ("2026-01-12", 1),
        ("2026-01-18", 1),
        ("2026-01-19", 2),
        ("2026-03-15", 9),
        ("2026-03-16", 9),  # first day of the break: the week before
        ("2026-03-20", 9),
        ("2026-03-22", 9),  # the Sunday behind it: no teaching week of its own
        ("2026-03-23", 10),
        ("2026-04-02", 11),
        ("2026-04-03", 11),  # a single free day does not move the weeks
        ("2026-04-06", 12),
        ("2026-05-03", 15),
        ("2026-05-04", None),
    ],
)
def test_a_day_has_its_teaching_week(day: str, week: int | None):
    assert week == SPRING.week_of(date.fromisoformat(day))


def test_a_day_outside_is_never_clamped():
    assert SPRING.week_of(date(2025, 12, 31)) is None
    assert SPRING.week_of(date(2026, 8, 1)) is None
    assert SPRING.last_day == date(2026, 5, 3)


def test_a_break_behind_the_last_week_belongs_to_the_term():
    term = Term("t", "t", date(2026, 1, 5), 2, (Break(date(2026, 1, 19), date(2026, 1, 23)),))

    assert term.week_of(date(2026, 1, 23)) == 2
    assert term.week_of(date(2026, 1, 24)) is None


def test_a_break_in_the_middle_of_a_week_belongs_to_that_week():
    """Thanksgiving: Thursday and Friday of week 14 stay in week 14."""
    term = Term("t", "t", date(2026, 8, 24), 16, (Break(date(2026, 11, 26), date(2026, 11, 27)),))

    assert [term.week_of(date(2026, 11, day)) for day in (25, 26, 27, 28)] == [14] * 4
    assert term.week_of(date(2026, 11, 30)) == 15


def test_a_term_without_dates_has_no_weeks():
    term = Term("all answers", "All answers", None, 1)

    assert term.week_of(date(2026, 1, 1)) is None
    assert list(term.days()) == []


@given(
    first=st.dates(date(2020, 1, 1), date(2030, 1, 1)),
    weeks=st.integers(1, 20),
    start=st.integers(0, 100),
    length=st.integers(0, 20),
)
def test_weeks_never_go_back_and_none_is_lost(first: date, weeks: int, start: int, length: int):
    pause = Break(first + timedelta(start), first + timedelta(start + length))
    term = Term("t", "t", first, weeks, (pause,))
    numbers = [term.week_of(day) for day in term.days()]

    assert None not in numbers
    assert numbers == sorted(numbers)
    assert set(numbers) == set(range(1, weeks + 1))
    for week in range(1, weeks + 1):
        begin, end = term.week_days(week)
        assert (end - begin).days == 6
        assert begin in pause or term.week_of(begin) == week
