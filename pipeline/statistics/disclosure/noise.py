"""What is added to a count for everyone: drawn from a fixed table by the key of its cell.

This is the cell-key method: each record has a key, the key of a cell is the sum of those of its
records, and the key of the cell picks what is added. The same records always get the same, on any
machine, and one record more, less or changed gets a fresh draw. A record here is a student with
what the student adds to the cell.

Source: Handbook on Statistical Disclosure Control, chapter 5.4, for the method. The table is of
greatest entropy among those with its bound, mean 0 and mean size: two-sided geometric. Its
neighbors stand in one ratio, so that no draw, however far out, tells more than another.
"""

from __future__ import annotations

import hashlib
import hmac
from functools import lru_cache
from math import ceil, log2

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

__all__ = ["Keys", "added", "cell_key", "few_less", "step", "student_number", "table"]

Keys = NDArray[np.uint64]

BOUND = 12
"""Nothing added is larger than so many standard deviations."""

LESS = (4 / 7, 6 / 7, 1.0)
"""Chance that a number of students is taken for 0, at most 1, at most 2 lower than it is."""

_DRAWS = float(2**64)
_PURPOSE = b"noise of the tables for everyone"


def student_number(pseudonym: str) -> int:
    """The number of a student, 64 bits; DuckDB's `md5_number_lower` gives the same."""
    return int.from_bytes(
        hashlib.md5(pseudonym.encode(), usedforsecurity=False).digest()[8:], "little"
    )


def _mixed(keys: Keys) -> Keys:
    """Spread each number over all 64 bits.

    Source: the finalizer of SplitMix64, Steele, Lea and Flood (2014), Fast splittable pseudorandom
        number generators; constants from memory.
    """
    keys = (keys ^ (keys >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    keys = (keys ^ (keys >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return keys ^ (keys >> np.uint64(31))


def record_keys(students: Keys, *facts: NDArray[np.generic]) -> Keys:
    """One number for each student with what the student adds.

    Args:
        students: numbers of students.
        facts: whole numbers that go with each.
    """
    keys = _mixed(students)
    for fact in facts:
        keys = _mixed(keys + np.rint(fact).astype(np.int64).astype(np.uint64) + np.uint64(1))
    return keys


def cell_key(students: Keys, *facts: NDArray[np.generic]) -> int:
    """The sum of the keys of a cell's records, modulo 2 to the power of 64."""
    return int(record_keys(students, *facts).sum(dtype=np.uint64))


def step(spread: float) -> float:
    """Round a standard deviation up to a power of the root of 2.

    One student more or less hardly ever changes it.

    >>> step(5.0), step(8.0)
    (5.656854249492381, 8.0)
    """
    return float(2 ** (ceil(2 * log2(spread) - 1e-9) / 2))


@lru_cache(maxsize=256)
def table(spread: float) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """What may be added to a count, and the probability of each.

    Args:
        spread: standard deviation, above 0.

    Returns:
        Whole numbers from -`BOUND` to `BOUND` standard deviations, and probabilities: mean 0,
        variance `spread` squared, the ratio of neighbors the same everywhere.
    """
    most = ceil(BOUND * spread)
    values = np.arange(-most, most + 1)

    def chances(rate: float) -> NDArray[np.float64]:
        weights = np.exp(-rate * np.abs(values))
        return np.asarray(weights / weights.sum())

    def excess(rate: float) -> float:
        return float(chances(rate) @ values**2) - spread**2

    return values, chances(float(brentq(excess, 1e-9, 50.0, xtol=1e-14)))


def _drawn(secret: bytes, label: str) -> float:
    """A number from 0 to 1 that nobody can work out without the key."""
    digest = hmac.digest(secret, _PURPOSE + label.encode(), "sha256")
    return int.from_bytes(digest[:8], "big") / _DRAWS


def added(secret: bytes, place: str, key: int, spread: float) -> int:
    """What is added to the count of a cell.

    Args:
        secret: the course's pseudonym key.
        place: what no two groups of answers share, such as term and topic; the same answers
            counted under two names keep one place, so that they get the same.
        key: see `cell_key`.
        spread: see `table`.
    """
    values, chances = table(spread)
    at = int(np.searchsorted(np.cumsum(chances), _drawn(secret, f"{place}|{key}|{spread}")))
    return int(values[min(at, len(values) - 1)])


def few_less(secret: bytes, place: str, key: int) -> int:
    """How many students fewer than there are a group is taken for: 0, 1 or 2.

    A group that is shown has never fewer students than the limit, and whether one of about as many
    is shown does not turn on one student alone.
    """
    return int(np.searchsorted(LESS, _drawn(secret, f"students|{place}|{key}")))
