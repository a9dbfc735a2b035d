"""Which groups of answers are too small for everyone, and weeks pooled until they are not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
import pandas as pd

__all__ = ["CAPS", "Group", "State", "cap", "group_of", "spans", "state"]

CAPS = (0.05, 0.10, 0.20)
"""Where rates near 0 and 1 are cut off, by the size of the group.

Source: reporting rules after NCES 2011-603, Statewide Longitudinal Data Systems Technical Brief 3
(2010): 5 % for large groups, 10 % and 20 % for small ones; the figures from memory.
"""

FACTS = (
    "answers", "wrong", "students", "students_wrong", "students_right",
    "most", "most_wrong", "most_right", "yy", "yn", "nn",
)  # fmt: skip


class State(StrEnum):
    """What may be said of a group's right and wrong answers."""

    OPEN = "open"
    LOW = "low"
    HIGH = "high"
    PART = "part"
    GROUP = "group"


@dataclass(frozen=True, slots=True)
class Group:
    """First tries of some students.

    Args:
        answers: first tries.
        wrong: of these, wrong.
        students: distinct students.
        students_wrong: of these, with any wrong answer.
        students_right: of these, with any right answer.
        most: most answers of one student.
        most_wrong: most wrong answers of one student.
        most_right: most right answers of one student.
        yy: sum over students of squared wrong answers.
        yn: sum of wrong answers times answers.
        nn: sum of squared answers.
    """

    answers: float
    wrong: float
    students: float
    students_wrong: float
    students_right: float
    most: float
    most_wrong: float
    most_right: float
    yy: float
    yn: float
    nn: float

    @property
    def right(self) -> float:
        """Answers that are right."""
        return self.answers - self.wrong


def group_of(row: Mapping[Any, Any]) -> Group:
    """Take a group from a row of `staging.shared_group`."""
    return Group(*(float(row[name]) for name in FACTS))


def cap(answers: float, limit: int) -> float:
    """Fraction under which a rate is only said to be under it; 0 where no such word is safe.

    A word such as "5% or less" bounds the count, so it is used only where the bound itself is a
    count of at least `limit`.

    >>> cap(1000, 10), cap(120, 10), cap(60, 10), cap(40, 10)
    (0.05, 0.1, 0.2, 0.0)
    """
    return next((share for share in CAPS if int(share * answers + 1e-9) >= limit), 0.0)


def state(group: Group, limit: int) -> State:
    """Say what may be printed of a group.

    Args:
        group: the group.
        limit: fewest distinct students of a group, of a numerator and of a complement.
    """
    if group.students < limit:
        return State.GROUP
    most = cap(group.answers, limit) * group.answers
    if most and group.wrong <= most:
        return State.LOW
    if most and group.right <= most:
        return State.HIGH
    few = min(group.students_wrong, group.students_right) < limit
    return State.PART if few else State.OPEN


def spans(
    weeks: dict[int, Group], students: pd.DataFrame, limit: int
) -> Iterator[tuple[int, int, Group]]:
    """Pool neighboring weeks of one topic until each span may be shown.

    Args:
        weeks: the groups of single weeks.
        students: week, student, n (answers), y (wrong ones) of this topic; may be empty where
            every single week can be shown.
        limit: fewest distinct students.

    Yields:
        First week, last week and group of each span; what is left at the end joins the last span.
        A single span of all weeks may still be too small.
    """
    found: list[tuple[int, int, Group]] = []
    first: int | None = None
    for week in sorted(weeks):
        first = week if first is None else first
        group = weeks[week] if first == week else _pooled(students, first, week)
        if _speaks(group, limit):
            found.append((first, week, group))
            first = None
    if first is not None:
        last = max(weeks)
        start = found.pop()[0] if found else first
        whole = weeks[last] if start == last else _pooled(students, start, last)
        found.append((start, last, whole))
    yield from found


def _speaks(group: Group, limit: int) -> bool:
    return state(group, limit) in (State.OPEN, State.LOW, State.HIGH)


def _pooled(students: pd.DataFrame, first: int, last: int) -> Group:
    rows = students[students["week"].between(first, last)]
    sums = rows.groupby("student")[["n", "y"]].sum()
    n, y = sums["n"].to_numpy(dtype=float), sums["y"].to_numpy(dtype=float)
    right = n - y
    return Group(
        answers=float(n.sum()), wrong=float(y.sum()), students=float(len(n)),
        students_wrong=float((y > 0).sum()), students_right=float((right > 0).sum()),
        most=float(n.max(initial=0)), most_wrong=float(y.max(initial=0)),
        most_right=float(right.max(initial=0)),
        yy=float(np.dot(y, y)), yn=float(np.dot(y, n)), nn=float(np.dot(n, n)),
    )  # fmt: skip
