"""Cells of the tables for everyone: when they are printed, with which figures, when anew.

A cell holds the answers of one term, setting and topic that were given in some periods. Periods are
pooled until enough students stand behind a cell; every answer stands in one cell alone, so that no
two printed counts tell of the same answer, and a topic's count is the sum of its cells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.statistics.disclosure.noise import (
    Keys,
    added,
    cell_key,
    few_less,
    record_keys,
    step,
)

__all__ = ["NAMES", "Cell", "Part", "Rules", "settle"]

NAMES = ("subject", "term", "setting", "topic", "pattern")

LEAST = {"wrong": 8.0, "reading": 8.0, "error": 8.0, "outcome": 2.0}
"""Standard deviation of what is added, at least, in answers; of outcomes, in students."""

OF_MOST = 0.5
"""And at least this part of what the students with most add on average to the cell."""

WIDER = 0.75
"""What is added grows with the number of looks at a cell to this power."""

DOUBT = 2.0
"""Standard deviation, in students, of how many must have changed before a cell is printed anew."""

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Rules:
    """What printing rests on.

    Args:
        secret: the course's pseudonym key.
        limit: fewest distinct students of a cell.
    """

    secret: bytes
    limit: int


@dataclass(frozen=True, slots=True)
class Part:
    """What students add to one row of a table, in order of periods.

    Args:
        names: subject, term, setting, topic, pattern.
        period: when.
        student: their numbers.
        n: answers.
        y: of these those that count.
    """

    names: tuple[str, ...]
    period: NDArray[np.int64]
    student: Keys
    n: Numbers
    y: Numbers

    def within(self, first: int, last: int) -> Part:
        """The part of some periods."""
        rows = slice(*np.searchsorted(self.period, (first, last + 1)))
        return Part(self.names, self.period[rows], self.student[rows], self.n[rows], self.y[rows])


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as printed; the fields are columns of `store.shared_printed`.

    One that is no longer printed keeps its periods, its marks and how often it was looked at.
    """

    first: int
    last: int
    answers: float
    hits: float
    students: float
    answers_sd: float
    hits_sd: float
    prints: int
    marks: Keys

    @staticmethod
    def of(row: Mapping[Any, Any]) -> Cell:
        """Take a cell from a row of `store.shared_printed`."""
        values = {field.name: row[field.name] for field in fields(Cell)}
        return Cell(**values | {"marks": np.asarray(row["marks"], dtype=np.uint64)})

    def hidden(self) -> Cell:
        """The cell without its figures: they may be printed anew, never at the first strength."""
        nothing = float("nan")
        return replace(
            self, answers=nothing, hits=nothing, students=nothing,
            answers_sd=nothing, hits_sd=nothing,
        )  # fmt: skip

    def counts(self, part: Part) -> bool:
        """Whether at least half of a row's records are those of this cell."""
        return 2 * len(np.intersect1d(self.marks, _marks(part))) >= max(len(self.marks), 1)


def settle(part: Part, before: Sequence[Cell], closed: int, rules: Rules) -> list[Cell]:
    """Print the cells of one row: those of before, then what is new and closed.

    Args:
        part: the row's answers.
        before: its cells as they stand in the edition that printed them, in order of periods.
        closed: the last period to which no more answers are expected.
        rules: what printing rests on.

    Returns:
        The cells, hidden ones among them. One that was printed keeps its figures until about as
        many students as the limit asks have changed since; answers that came to it late wait for
        that.
    """
    found, start = [], 0
    for old in before:
        rows = part.within(old.first, old.last)
        again = np.isnan(old.answers) or _many_changed(old, rows, rules)
        now = _printed(rows, old.first, old.last, old.prints + 1, rules) if again else old
        found.append(now or old.hidden())
        start = old.last + 1
    periods = np.unique(part.period)
    for last in periods[(periods >= start) & (periods <= closed)]:
        now = _printed(part.within(start, int(last)), start, int(last), 1, rules)
        if now:
            found.append(now)
            start = now.last + 1
    return found


def _marks(part: Part) -> Keys:
    """Student in the upper half of each number, what the student adds in a period in the lower."""
    keys = record_keys(part.student, part.period, part.n, part.y)
    half = np.uint64(32)
    return np.sort((part.student >> half << half) | (keys >> half))


def _many_changed(old: Cell, part: Part, rules: Rules) -> bool:
    """Whether about as many students as the limit add something else than before.

    Whether exactly so many do would tell of the one whom an outsider does not know.
    """
    marks = _marks(part)
    changed = len(np.unique(np.setxor1d(old.marks, marks) >> np.uint64(32)))
    place = "|".join(("changed", *part.names, str(old.first), str(old.prints)))
    key = int(marks.sum(dtype=np.uint64))
    return changed > 0 and changed + added(rules.secret, place, key, DOUBT) >= rules.limit


def _printed(part: Part, first: int, last: int, prints: int, rules: Rules) -> Cell | None:
    """The figures of a cell; None where too few students took part.

    Who took part is known to others; how many of them were wrong decides nothing here.
    """
    who, place = np.unique(part.student, return_inverse=True)
    if len(who) < rules.limit:
        return None
    n, y = (np.bincount(place, one).astype(float).round(5) for one in (part.n, part.y))
    total, of_it = (int(np.floor(one.sum().round(4) + 0.5)) for one in (n, y))
    where = "|".join(part.names[1:4])
    key = cell_key(part.student, part.period, part.n)
    # Shares of answers move a little with the class: another sum is another count.
    hit_key = cell_key(part.student, part.period, part.y) + of_it
    behind = float(len(who) - few_less(rules.secret, where, key))
    if behind < rules.limit:
        return None
    # The answers alone set it, for both: it is printed, and those that count are secret.
    wide = _spread(part.names[0], n, rules.limit) * prints**WIDER
    answers = max(total + added(rules.secret, where, key, wide), 1)
    hits = of_it + added(rules.secret, where, hit_key, wide)
    return Cell(first, last, float(answers), float(hits), behind, wide, wide, prints, _marks(part))


def _spread(subject: str, values: Numbers, limit: int) -> float:
    most = np.partition(values, len(values) - limit)[-limit:].mean()
    return step(max(LEAST[subject], OF_MOST * float(most)))


def closed_periods(
    seen: Mapping[str, Mapping[int, int]],
    terms: Sequence[tuple[str, int]],
    weeks: int,
    rules: Rules,
) -> Iterator[tuple[str, int]]:
    """The last closed period of each term.

    A period is closed when enough students answered after it; the last one of a term, when enough
    answered in its last week with questions or in a later term.

    Args:
        seen: by term and week, students who gave their last answer of the term in it.
        terms: ids in order of time, each with its last week with questions.
        weeks: weeks of a period.
        rules: what printing rests on.
    """
    later = 0
    for term, length in reversed(terms):
        last_weeks = seen.get(term, {})
        total, closed = -(-length // weeks), 0
        for period in range(1, total + 1):
            after = min(period * weeks + 1, length)
            count = max(later, sum(n for week, n in last_weeks.items() if week >= after))
            if count - few_less(rules.secret, f"closed|{term}|{period}", count) >= rules.limit:
                closed = period
        yield term, closed if closed < total else 10**6
        later = max(later, sum(last_weeks.values()))
