"""What is added to a count for everyone: drawn from a fixed table by the key of its cell.

This is the cell-key method: each record has a key, the key of a cell is the sum of those of its
records, and the key of the cell picks what is added. The same records always get the same, on any
machine, and one record more, less or changed gets a fresh draw. A record here is an answer with
what it adds to the cell.

Source: Handbook on Statistical Disclosure Control, chapter 5.4, for the method. The table is of
greatest entropy among those with its bound, mean 0 and mean size: two-sided geometric. Its
neighbors stand in one ratio, so that no draw, however far out, tells more than another. All
is whole numbers, so that no machine can round to another draw.
"""

from __future__ import annotations

import hashlib
import hmac
from bisect import bisect_right
from functools import lru_cache
from itertools import accumulate
from math import isqrt

import numpy as np
from numpy.typing import NDArray

Keys = NDArray[np.uint64]

BOUND = 12
"""Nothing added is larger than so many standard deviations."""

FEWER = 3
"""How many students fewer than there are a group is taken for, on average."""

_SCALE = 1 << 128
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


def cell_key(records: Keys, *facts: NDArray[np.int64]) -> int:
    """The sum of the keys of a cell's records, modulo 2 to the power of 64.

    Args:
        records: numbers of what each record is.
        facts: whole numbers that go with each.
    """
    keys = _mixed(records)
    for fact in facts:
        keys = _mixed(keys + fact.astype(np.uint64) + np.uint64(1))
    return int(keys.sum(dtype=np.uint64))


@lru_cache(maxsize=64)
def table(doublings: int) -> tuple[int, ...]:
    """How likely each number is to be added to a count.

    Args:
        doublings: the variance is 2 to the power of this, at least 1.

    Returns:
        Whole weights of the numbers from -m to m, where m is `BOUND` standard deviations: mean 0,
        the ratio of neighbors r the same everywhere. r solves 2 r = variance (1 - r)^2.
    """
    variance = 1 << doublings
    ratio = ((variance + 1) * _SCALE - isqrt((2 * variance + 1) * _SCALE**2)) // variance
    half = [_SCALE]
    for _ in range(isqrt(BOUND**2 * variance)):
        half.append(half[-1] * ratio // _SCALE)
    return (*half[:0:-1], *half)


@lru_cache(maxsize=64)
def _sums(doublings: int) -> tuple[int, ...]:
    return tuple(accumulate(table(doublings)))


def drawn_below(secret: bytes, label: str, below: int) -> int:
    """A number from 0 to under `below` that nobody can work out without the key."""
    digest = hmac.digest(secret, _PURPOSE + label.encode(), "sha256")
    return int.from_bytes(digest, "big") * below >> 8 * len(digest)


def added(secret: bytes, place: str, key: int, doublings: int) -> int:
    """What is added to the count of a cell.

    Args:
        secret: the course's pseudonym key.
        place: what is counted, such as term, topic and error; answers that stand behind several
            rows are one count and keep one place, so that no mean of rows tells it.
        key: see `cell_key`.
        doublings: see `table`.
    """
    sums = _sums(doublings)
    drawn = drawn_below(secret, f"{place}|{key}|{doublings}", sums[-1])
    return bisect_right(sums, drawn) - len(sums) // 2


def few_less(secret: bytes, place: str) -> int:
    """How many students fewer than there are a group is taken for, `FEWER` give or take a few.

    A group that is shown has never fewer students than the limit, and whether one of about as many
    is shown does not turn on one student alone: one in 25 is taken for what it is.
    """
    return max(FEWER + added(secret, f"students|{place}", 0, 1), 0)
