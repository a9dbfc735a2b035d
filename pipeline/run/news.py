"""What a run brought, and what a change of the rules moved, in plain words."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from pipeline.errors import InternalError
from pipeline.warehouse import Warehouse, reading

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


MOST_SHOWN = 8
LEAST = 0.05
"""Tags are sums of shares; less than this is the rounding of an estimate."""


@dataclass(frozen=True, slots=True)
class Tagged:
    """Tags of all terms under one version of the rules.

    Args:
        rule_set: fingerprint of the rules.
        program: fingerprint of those that concern every answer.
        totals: error, or `unexplained` -> sum of the shares of all wrong answers.
    """

    rule_set: str
    program: str
    totals: Mapping[str, float]


def tagged_before(database: Path) -> Tagged | None:
    """Read the tags of a database; None where there is none, or one of another shape."""
    if not database.exists():
        return None
    with reading(database) as warehouse:
        try:
            return tagged_now(warehouse)
        except InternalError:
            return None


def tagged_now(warehouse: Warehouse) -> Tagged | None:
    """Read the tags of an open database; None before its first run."""
    if not warehouse.holds("store.course") or not warehouse.holds("staging.tag_total"):
        return None
    course, tags = warehouse.frame("store.course"), warehouse.frame("staging.tag_total")
    if not len(course):
        return None
    pairs = zip(tags["pattern"], tags["tags"], strict=True)
    totals = {str(name): float(total) for name, total in pairs}
    row = course.iloc[0]
    return Tagged(str(row["rule_set"]), str(row.get("program")), totals)


def moved(before: Tagged | None, after: Tagged | None) -> Iterator[str]:
    """Say what another version of the rules moved, the largest changes first.

    Args:
        before: tags under the rules of the last run; None when there was none.
        after: tags of today.
    """
    if before is None or after is None or before.rule_set == after.rule_set:
        return
    names = {*before.totals, *after.totals}
    pairs = [(name, before.totals.get(name, 0.0), after.totals.get(name, 0.0)) for name in names]
    changed = [pair for pair in pairs if abs(pair[2] - pair[1]) >= LEAST]
    changed.sort(key=lambda pair: (-abs(pair[2] - pair[1]), pair[0]))
    yield (
        f"{_what_changed(before, after)}; {len(changed) or 'no'} errors moved"
        + (", as tags before -> after:" if changed else "")
    )
    for name, old, new in changed[:MOST_SHOWN]:
        yield f"  {name}: {old:,.1f} -> {new:,.1f}"
    if len(changed) > MOST_SHOWN:
        yield f"  and {len(changed) - MOST_SHOWN} more"


def _what_changed(before: Tagged, after: Tagged) -> str:
    versions = f"({before.rule_set[:8]} to {after.rule_set[:8]})"
    if before.program != after.program:
        return f"The rules changed {versions}: the answers of all terms were tagged anew"
    return (
        f"The course's own errors, options or tags by hand changed {versions}: the answers that "
        "they concern were tagged anew"
    )
