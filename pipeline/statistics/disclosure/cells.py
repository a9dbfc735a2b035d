"""Cells of the tables for everyone: when they are printed, with which figures, when anew.

A cell holds the answers of one term, setting and topic that were given in some weeks. Periods are
pooled until enough students stand behind a cell; every answer stands in one cell alone, so that no
two printed counts tell of the same answer, and a topic's count is the sum of its cells. A cell
knows its weeks and questions, so that neither other periods nor other topics make a first look of
what was printed before.
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
    drawn_below,
    few_less,
    record_keys,
)

__all__ = ["LEAST", "NAMES", "UNIT", "Cell", "Part", "Rules", "closed_weeks",
           "fewest_changed", "settle"]  # fmt: skip

NAMES = ("subject", "term", "setting", "topic", "pattern")

UNIT = 1 << 20
"""Shares of answers are whole numbers of these parts of one, the same on any machine."""

LEAST = {"wrong": 7, "reading": 6, "error": 6, "outcome": 4}
"""Variance of what is added, at least, as a power of 2: in answers; of outcomes, in students.

It bounds what all looks together can say of one student's number of wrong answers on a topic, to
one who knows everything else but the key. Such a one weighs each number by the chance of what was
printed. In the table of a variance, chances of neighbors stand in one ratio, e^d, so that another
number changes the weight by e^d at most: d is .125 for right and wrong. Errors share an answer, and
a share of it moves a count by one with that chance alone: all of them together weigh e^(e^d - 1) at
most, with d = .176. A second look counts a quarter of this and each later one half of the one
before (`_wider`): half as much again for all that ever come. Together that is e^.47, whatever is
drawn. So where n + 1 numbers are as likely beforehand, none gets a probability of more than
1 / (1 + r + ... + r^n), where r is e^-.47: .496 of two answers, less of more. One answer alone has
two values, and the likelier of them at most .616. Whether a bar is met weighs e^.35 more, and comes
with eight answers or more (`shared_bar`): .5 after three looks at it."""

DOUBT = 4
"""Variance, as a power of 2, of how many students must have changed for a new print.

Who hands in something is known. But where answers are judged otherwise, that a count is printed
anew, or not, says a little of whether the student's are: it weighs e^.35 at most each time."""

ALL_WEEKS = 10**6

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Rules:
    """What printing rests on.

    Args:
        secret: the course's pseudonym key.
        limit: fewest distinct students of a cell.
        weeks: of a period.
    """

    secret: bytes
    limit: int
    weeks: int = 1


@dataclass(frozen=True, slots=True)
class Part:
    """What students add to one row of a table, in order of weeks.

    Args:
        names: subject, term, setting, topic, pattern.
        week: when, as a teaching week.
        student: their numbers.
        n: answers.
        y: of these those that count, in `UNIT` parts of one.
        questions: ids of the questions that it counts.
    """

    names: tuple[str, ...]
    week: Numbers
    student: Keys
    n: Numbers
    y: Numbers
    questions: frozenset[str] = frozenset()

    def within(self, first: int, last: int) -> Part:
        """The part of some weeks."""
        rows = slice(*np.searchsorted(self.week, (first, last + 1)))
        return replace(
            self, week=self.week[rows], student=self.student[rows], n=self.n[rows], y=self.y[rows]
        )


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as printed; the fields are columns of `store.shared_printed`.

    One that is no longer printed keeps weeks, questions, marks and how often it was looked at.
    """

    first: int
    last: int
    answers: float
    hits: float
    students: float
    doublings: float
    prints: int
    questions: frozenset[str]
    marks: Keys

    @staticmethod
    def of(row: Mapping[Any, Any]) -> Cell:
        """Take a cell from a row of `store.shared_printed`."""
        values = {field.name: row[field.name] for field in fields(Cell)}
        marks = np.asarray(row["marks"], dtype=np.uint64)
        return Cell(**values | {"questions": frozenset(row["questions"]), "marks": marks})

    def hidden(self) -> Cell:
        """The cell without its figures: they may be printed anew, never at the first strength."""
        nothing = float("nan")
        return replace(self, answers=nothing, hits=nothing, students=nothing, doublings=nothing)


def settle(
    part: Part, before: Sequence[Cell], closed: int, rules: Rules, seen: Sequence[Cell] = ()
) -> list[Cell]:
    """Print the cells of one row: those of before, then what is new and closed.

    Args:
        part: the row's answers.
        before: its cells as they stand in the edition that printed them, in order of weeks.
        closed: the last week to which no more answers are expected.
        rules: what printing rests on.
        seen: cells of other rows that may have counted the same answers.

    Returns:
        The cells, hidden ones among them. One that was printed keeps its figures until about as
        many students as the limit asks have changed since; answers that came to it late wait for
        that.
    """
    found, start, seen = [], 0, [*before, *seen]
    for old in before:
        rows = part.within(old.first, old.last)
        rows = replace(rows, questions=part.questions | old.questions)
        again = np.isnan(old.answers) or _many_changed(old, rows, rules)
        now = _printed(rows, old.first, old.last, seen, rules) if again else old
        found.append(now or old.hidden())
        start = old.last + 1
    ends = np.unique(-(-part.week // rules.weeks) * rules.weeks)
    for last in ends[(ends >= start) & (ends <= closed)].tolist():
        now = _printed(part.within(start, last), start, last, seen, rules)
        if now:
            found.append(now)
            start = now.last + 1
    return found


def _marks(part: Part) -> Keys:
    """Student in the upper half of each number, what the student adds in a week in the lower."""
    keys = record_keys(part.student, part.week, part.n, part.y)
    half = np.uint64(32)
    return np.sort((part.student >> half << half) | (keys >> half))


def _many_changed(old: Cell, part: Part, rules: Rules) -> bool:
    """Whether about as many students as the limit add something else than before.

    Whether exactly so many do would tell of the one whom an outsider does not know.
    """
    marks = _marks(part)
    half = np.uint64(32)
    changed = len(np.unique(np.setxor1d(old.marks, marks) >> half))
    place = "|".join(("changed", *part.names, str(old.first), str(old.prints)))
    key = int(marks.sum(dtype=np.uint64))
    return changed > 0 and changed + added(rules.secret, place, key, DOUBT) >= fewest_changed(
        len(np.unique(marks >> half)), rules.limit
    )


def fewest_changed(students: int, limit: int) -> int:
    """How many students must have changed for a new print: it is blurred more than the old one."""
    return max(limit, students // 2)


def _printed(part: Part, first: int, last: int, seen: Sequence[Cell], rules: Rules) -> Cell | None:
    """The figures of a cell; None where too few students took part.

    Who took part is known to others; how many of them were wrong decides nothing here.
    """
    who, place = np.unique(part.student, return_inverse=True)
    if len(who) < rules.limit:
        return None
    where = "|".join(part.names[1:4])
    key = cell_key(part.student, part.week, part.n)
    y = int(part.y.sum())
    # Shares of answers move a little with the class: another sum is another count.
    hit_key = cell_key(part.student, part.week, part.y) + (y + UNIT // 2) // UNIT
    # Rounded by chance, else a small share of one answer could be what makes the next number.
    of_it = (
        y + drawn_below(rules.secret, f"rounded|{'|'.join(part.names)}|{hit_key}", UNIT)
    ) // UNIT
    behind = len(who) - few_less(rules.secret, where, key)
    if behind < rules.limit:
        return None
    prints = 1 + max((one.prints for one in seen if _same(one, part, first, last)), default=0)
    of_each = np.bincount(place, part.n).astype(np.int64)
    # The answers alone set it, for both: it is printed, and those that count are secret.
    wide = _doublings(part.names[0], of_each, rules.limit) + _wider(prints)
    answers = max(int(part.n.sum()) + added(rules.secret, where, key, wide), 1)
    # Two errors that are alike but for one student's answer would tell it by equal draws.
    hits = of_it + added(rules.secret, "|".join(part.names), hit_key, wide)
    return Cell(
        first, last, float(answers), float(hits), float(behind), float(wide), prints,
        part.questions, _marks(part),
    )  # fmt: skip


def _same(cell: Cell, part: Part, first: int, last: int) -> bool:
    """Whether a cell that was printed may have counted answers of a part in some weeks."""
    weeks = cell.first <= last and first <= cell.last
    known = cell.questions and part.questions
    return weeks and not (known and cell.questions.isdisjoint(part.questions))


def _doublings(subject: str, answers: Numbers, limit: int) -> int:
    """Variance, as a power of 2: of half of what those who answered most have on average."""
    most = int(np.sort(answers)[-limit:].sum())
    found = LEAST[subject]
    while ((2 * limit) ** 2 << found) < most**2:
        found += 1
    return found


def _wider(prints: int) -> int:
    """Doublings of the variance at a later look: four deviations, then twice those of before."""
    return 2 * prints if prints > 1 else 0


def closed_weeks(
    seen: Mapping[str, Mapping[int, int]], terms: Sequence[tuple[str, int]], rules: Rules
) -> Iterator[tuple[str, int]]:
    """The last closed week of each term.

    A period is closed when enough students answered after it; the last one of a term, when enough
    answered in its last week with questions or in a later term.

    Args:
        seen: by term and week, students who gave their last answer of the term in it.
        terms: ids in order of time, each with its last week with questions.
        rules: what printing rests on.
    """
    later = 0
    for term, length in reversed(terms):
        last_weeks = seen.get(term, {})
        total, closed = -(-length // rules.weeks), 0
        for period in range(1, total + 1):
            after = min(period * rules.weeks + 1, length)
            count = max(later, sum(n for week, n in last_weeks.items() if week >= after))
            if count - few_less(rules.secret, f"closed|{term}|{period}", count) >= rules.limit:
                closed = period
        yield term, closed * rules.weeks if closed < total else ALL_WEEKS
        later = max(later, sum(last_weeks.values()))
