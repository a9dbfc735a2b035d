"""Cells of the tables for everyone: which answers stand in one, when it is printed, and as what.

A cell holds answers of one term, setting and topic that were given in closed periods, and is
printed once. An answer that stands in a printed cell is counted in no other, whatever its week,
term, setting, topic or the name of an error is later: so there is one look at each, by
construction. Periods are pooled until enough students took part; what comes late is counted with a
later period. A topic's count is the sum of its cells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from pipeline.statistics.disclosure.noise import (
    Keys,
    added,
    cell_key,
    drawn_below,
    few_less,
)
from pipeline.statistics.patterns import members
from pipeline.tagging.evidence import FIRST_PATTERN, USUAL, Evidence

NAMES = ("subject", "term", "setting", "topic", "pattern")

UNIT = 1 << 20
"""Shares of answers are whole numbers of these parts of one, the same on any machine."""

LEAST = {"wrong": 128, "outcome": 32}
"""Variance of what is added to each count of a cell, at least: in answers, or in students.

It bounds what the one look can say of one student's number of wrong answers on a topic, to one who
knows everything else but the key. Such a one weighs each number by the chance of what was printed.
In the table of a variance, chances of neighbors stand in one ratio, e^d, so that another number
changes the weight by e^d at most: d is .125 for wrong answers, and for all of them, should one be
blank in place of wrong. Errors share an answer, and a share of it moves a count by one with that
chance alone: all of them together weigh e^(e^d - 1) at most. Together that is e^.383, whatever is
drawn. So where n + 1 numbers are as likely beforehand, none gets a probability of more than
1 / (1 + r + ... + r^n), where r is e^-.383: .47 of two answers, less of more. One answer alone has
two values, and the likelier of them at most .595. Whether a bar is met weighs e^.498 more, blanks
included, and comes with eight answers or more (`shared_bar`): .45."""

ALL_WEEKS = 10**6

_Numbers = NDArray[np.int64]


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
    """The answers of one row of a table that stand in no printed cell.

    Args:
        names: subject, term, setting, topic.
        week: when each was given, as a teaching week.
        mark: what each is: student in the upper half, question and day in the lower one.
        n: what each adds to the count: 1; of a student's answers for an outcome, 1 for one of them.
        y: of this what counts: wrong, or the bar is met.
        row: place of each in the evidence on errors, -1 for none.
    """

    names: tuple[str, ...]
    week: _Numbers
    mark: Keys
    n: _Numbers
    y: _Numbers
    row: _Numbers

    def at(self, rows: NDArray[np.bool_]) -> Part:
        """Some of the answers."""
        found = {name: getattr(self, name)[rows] for name in ("week", "mark", "n", "y", "row")}
        return replace(self, **found)

    def untold(self, told: Keys) -> Part:
        """What was not told: answers; of outcomes, students of whom no answer was."""
        known = np.isin(self.mark, told)
        if self.names[0] == "outcome":
            known = np.isin(students_of(self.mark), students_of(self.mark[known]))
        return self.at(~known)


@dataclass(frozen=True, slots=True)
class Cell:
    """Answers that are printed together, once, and the weeks that it stands for."""

    first: int
    last: int
    part: Part


def students_of(marks: Keys) -> Keys:
    """The student's half of each mark."""
    return marks >> np.uint64(32)


def settle(part: Part, start: int, closed: int, rules: Rules) -> Iterator[Cell]:
    """Cut what was not printed before into cells: closed periods, pooled until enough took part.

    Args:
        part: the row's answers.
        start: the week after the last that was printed of the row; earlier answers count as of it.
        closed: the last week to which no more answers are expected.
        rules: what printing rests on.
    """
    ends = -(-np.maximum(part.week, start) // rules.weeks) * rules.weeks
    pooled = np.zeros(len(ends), dtype=bool)
    for last in np.unique(ends[ends <= closed]).tolist():
        pooled |= ends == last
        where = "|".join((*part.names[1:4], str(last)))
        behind = len(np.unique(students_of(part.mark[pooled])))
        if behind - few_less(rules.secret, where) >= rules.limit:
            yield Cell(start, last, part.at(pooled))
            start, pooled = last + 1, np.zeros(len(ends), dtype=bool)


def counted(cell: Cell, pattern: str, units: _Numbers, wide: int, rules: Rules) -> dict[str, Any]:
    """The perturbed counts of a cell: columns of `store.shared_printed`, but for its marks.

    Args:
        cell: its answers.
        pattern: the error that is counted; empty for all that counts.
        units: what each answer adds to what counts, in `UNIT` parts of one.
        wide: variance of what is added to each count, as a power of 2.
        rules: what printing rests on.
    """
    part, secret = cell.part, rules.secret
    names = ("error" if pattern else part.names[0], *part.names[1:], pattern)
    # Named by the topic alone: rows of one cell print one count, else their mean would tell it.
    all_of = added(secret, "|".join(part.names), cell_key(part.mark, part.n), wide)
    key, place = cell_key(part.mark, units), "|".join(names)
    # Rounded by chance, else a small share of one answer could be what makes the next number.
    of_it = (int(units.sum()) + drawn_below(secret, f"rounded|{place}|{key}", UNIT)) // UNIT
    return dict(zip(NAMES, names, strict=True)) | {
        "first": cell.first, "last": cell.last,
        "answers": float(max(int(part.n.sum()) + all_of, 1)),
        "hits": float(of_it + added(secret, place, key, wide)),
        "doublings": float(wide), "fewest": rules.limit,
    }  # fmt: skip


def doublings(what: str, most: int) -> int:
    """Variance of what is added, as a power of 2.

    Args:
        what: a name of `LEAST`.
        most: answers of a topic that one student can give: half of it is the least deviation; or
            outcomes that one question serves: each gets so many deviations.
    """
    least = LEAST[what] * most**2 if what == "outcome" else max(LEAST[what], most**2 // 4)
    return (least - 1).bit_length()


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
        last_weeks, closed = seen.get(term, {}), 0
        first, final = min(last_weeks, default=0), max(last_weeks, default=0)
        start = max(first - 1, 0) // rules.weeks * rules.weeks
        periods = range(start, min(final + 1, length), rules.weeks)
        for end in (*periods, length):
            after = sum(n for week, n in last_weeks.items() if week >= min(end + 1, length))
            less = few_less(rules.secret, f"closed|{term}|{end}")
            if max(later, after) - less >= rules.limit:
                closed = end
        yield term, closed if closed < length else ALL_WEEKS
        later = max(later, sum(last_weeks.values()))


@dataclass(frozen=True, slots=True)
class Laid:
    """What answers are laid to, whatever the class.

    Args:
        evidence: what the questions can show.
        shares: answers x errors.
    """

    evidence: Evidence
    shares: sparse.csr_array

    def of(self, part: Part, rules: Rules) -> Iterator[tuple[str, _Numbers]]:
        """Errors that the questions of some answers usually show, joint ones as one.

        Yields:
            ids, joined by ' / ', and what each answer adds, in `UNIT` parts of one.
        """
        can = part.row >= 0
        question = self.evidence.opportunities["question"].to_numpy()[part.row[can]]
        shares = self.shares[part.row[can]].tocsc()
        student = np.unique(students_of(part.mark[can]), return_inverse=True)[1]
        usual = self.evidence.usual
        less = few_less(rules.secret, "|".join(("errors", *part.names, str(part.week.max()))))
        for group in self._alike(np.unique(question)):
            able = np.asarray(usual[:, group].any(axis=1))
            if np.count_nonzero(np.bincount(student[able[question]])) - less < rules.limit:
                continue
            shown = np.asarray(shares[:, group].sum(axis=1)).ravel()
            units = np.zeros(len(part.row), dtype=np.int64)
            # The last digits of a share differ from machine to machine.
            units[can] = np.rint(np.minimum(shown, 1.0) * UNIT)
            yield " / ".join(members(self.evidence, group)), units

    def _alike(self, asked: NDArray[np.int64]) -> Iterator[list[int]]:
        """Errors that questions usually show, together where all their answers are the same.

        Which errors the answers tell apart would be a figure of its own, so it decides nothing.
        """
        evidence = self.evidence
        predicted = (
            evidence.predicted[np.isin(evidence.predicted_question, asked)].toarray() >= USUAL
        )
        shown = np.flatnonzero(predicted.any(axis=0))
        columns = np.vstack([predicted[:, shown], evidence.slip[FIRST_PATTERN + shown]])
        _, first, group = np.unique(
            np.packbits(columns, axis=0), axis=1, return_index=True, return_inverse=True
        )
        for one in np.argsort(first):
            yield shown[group.ravel() == one].tolist()
