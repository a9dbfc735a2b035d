"""Teaching weeks of a term: seven-day blocks from its first day, weeks of break left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

_BLOCK = timedelta(days=7)
_DAY = timedelta(days=1)
_SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Break:
    """Days without teaching, both ends included."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last


@dataclass(frozen=True)
class Term:
    """A term of so many teaching weeks.

    Args:
        id: its name in exports and on pages.
        title: its name in full.
        first_day: first day of week 1; None for a term whose answers carry no date.
        weeks: number of teaching weeks, at least 1.
        breaks: in order of time, inside the term, not overlapping.

    A block of seven days whose weekdays all lie in breaks is no teaching week. A shorter break
    leaves its week as it is. Source of the seven-day blocks: common practice.
    """

    id: str
    title: str
    first_day: date | None
    weeks: int
    breaks: tuple[Break, ...] = ()

    @cached_property
    def _blocks(self) -> dict[date, int]:
        """First day of every teaching week -> its number."""
        starts = (start for start in self._block_starts() if not self._is_off(start))
        return {next(starts): number for number in range(1, self.weeks + 1)}

    def _block_starts(self) -> Iterator[date]:
        start = self._begin
        while True:
            yield start
            start += _BLOCK

    @property
    def _begin(self) -> date:
        """First day, where the term has one; callers have asked before."""
        return self.first_day or date.min

    def _is_off(self, start: date) -> bool:
        days = [start + number * _DAY for number in range(7)]
        teaching = [day for day in days if day.weekday() < _SATURDAY]
        return all(any(day in pause for pause in self.breaks) for day in teaching)

    @cached_property
    def last_day(self) -> date:
        """Last day that belongs to the term; a break right after the last week is part of it."""
        end = max(self._blocks) + _BLOCK - _DAY
        for pause in sorted(self.breaks, key=lambda pause: pause.first):
            if pause.first <= end + _DAY:
                end = max(end, pause.last)
        return end

    def __contains__(self, day: date) -> bool:
        return self.first_day is not None and self.first_day <= day <= self.last_day

    def week_of(self, day: date) -> int | None:
        """Teaching week of a day, from 1; None outside the term, which is never clamped.

        A day of a break belongs to the week before the break began.
        """
        if day not in self:
            return None
        for pause in self.breaks:
            if day in pause:
                before = pause.first - _DAY
                return self.week_of(before) if before >= self._begin else 1
        while day >= self._begin:
            start = self._begin + (day - self._begin) // _BLOCK * _BLOCK
            if start in self._blocks:
                return self._blocks[start]
            day -= _BLOCK
        return 1

    def week_days(self, week: int) -> tuple[date, date]:
        """First and last day of a teaching week.

        Raises:
            KeyError: the term has no such week.
        """
        start = {number: first for first, number in self._blocks.items()}[week]
        return start, start + _BLOCK - _DAY

    def days(self) -> Iterator[date]:
        """Every day of the term, in order; none of a term without dates."""
        if self.first_day is None:
            return
        for number in range((self.last_day - self.first_day).days + 1):
            yield self.first_day + number * _DAY
