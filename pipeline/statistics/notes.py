"""The sentences that stand where a figure cannot, or beside one that needs a word."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FEWEST_FOR_INTERVAL = 5
"""Students under which no interval is given."""

FEWEST_FOR_SILENCE = 30
"""Students under which every rate carries a word; common practice in survey statistics."""

CANNOT_TELL = "cannot tell: these questions cannot separate it from others"
POOLED = "weeks pooled: one week's questions cannot separate it from others"
TOO_FEW = "too few students for an interval"
WIDE = "fewer than 30 students: read the interval, not the rate"
THIN = (
    "each student's answers are so alike that all together count as fewer than 30: read the "
    "interval, not the rate"
)


def few(students: ArrayLike, effective: ArrayLike | None = None) -> NDArray[np.object_]:
    """The sentence, or None, that a number of students calls for.

    Args:
        students: distinct students.
        effective: answers as if each came from another student; None where that is the same.
    """
    count = np.asarray(students)
    sentences = np.full(count.shape, None, dtype=object)
    if effective is not None:
        sentences[np.asarray(effective, dtype=float) < FEWEST_FOR_SILENCE] = THIN
    sentences[count < FEWEST_FOR_SILENCE] = WIDE
    sentences[count < FEWEST_FOR_INTERVAL] = TOO_FEW
    return sentences


def blank_when_few(limit: ArrayLike, students: ArrayLike) -> NDArray[np.float64]:
    """An interval's end, or no number where students are too few for one."""
    ends: NDArray[np.float64] = np.where(
        np.asarray(students) < FEWEST_FOR_INTERVAL, np.nan, np.asarray(limit, dtype=float)
    )
    return ends
