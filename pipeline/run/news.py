"""What this run's new answers brought, in plain words."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass, field

import pandas as pd

PLACE = ["file", "line", "item"]
_NAMED = 6


@dataclass
class News:
    """What was stored now.

    Args:
        answers: how many.
        students: pseudonyms of those who gave them.
        items: questions that they were given to.
        first, last: days of the answers; None where none has a day.
        sections: class sections that were not seen before, of enough students; none on the first
            run.
        questions: how many questions were answered for the first time.
        limit: fewest students of whom a number is told.
        before: file, line and question of answers that are only read again: none of them is new.
    """

    answers: int = 0
    students: set[str] = field(default_factory=set)
    items: set[str] = field(default_factory=set)
    first: pd.Timestamp | None = None
    last: pd.Timestamp | None = None
    sections: list[str] = field(default_factory=list)
    questions: int = 0
    limit: int = 0
    before: frozenset[tuple[Hashable, ...]] = frozenset()

    def see(self, stored: pd.DataFrame) -> None:
        """Count a batch of stored rows."""
        if self.before:
            stored = stored[~pd.MultiIndex.from_frame(stored[PLACE]).isin(self.before)]
        self.answers += len(stored)
        self.students |= set(stored["student"].dropna().unique())
        self.items |= set(stored["item"].dropna().unique())
        days = stored["answered_on"].dropna()
        if len(days):
            self.first = min(filter(None, (self.first, days.min())))
            self.last = max(filter(None, (self.last, days.max())))

    def lines(self) -> Iterator[str]:
        """One sentence, and another on what was not seen before."""
        if not self.answers:
            return
        when = ""
        if self.first is not None and self.last is not None:
            first, last = (f"{day:%b} {day.day}" for day in (self.first, self.last))
            when = f", given on {first}" if first == last else f", given from {first} to {last}"
        who = _counted(len(self.students), "student")
        if 0 < len(self.students) < self.limit:
            who = f"fewer than {self.limit} students"
        yield (
            f"New: {_counted(self.answers, 'answer')} of {who} "
            f"to {_counted(len(self.items), 'question')}{when}"
        )
        first_seen = []
        if self.questions:
            first_seen.append(_counted(self.questions, "question"))
        if self.sections:
            word = "class section" if len(self.sections) == 1 else "class sections"
            more = f" and {len(self.sections) - _NAMED} more" if self.sections[_NAMED:] else ""
            first_seen.append(f"{word} {', '.join(self.sections[:_NAMED])}{more}")
        if first_seen and (self.sections or self.questions < len(self.items)):
            yield f"Seen for the first time: {' and '.join(first_seen)}"


def _counted(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"
