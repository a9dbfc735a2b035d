"""Fields of a block of bytes as distinct texts and codes, a whole column at a time.

Eight bytes of every field are taken at once, as one number. Fields of at most eight bytes are told
apart by that number; longer ones by a mixture of their numbers, and then compared number by number
with the first field of the same mixture, so that no two texts are ever taken for one.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.tables.rows import unguarded

WORD = 8
"""Bytes that must follow a block, so that the last field can be taken whole."""

_Words = npt.NDArray[np.uint64]
_Places = npt.NDArray[np.int64]
_MASKS = np.array([(1 << 8 * size) - 1 for size in range(WORD + 1)], dtype=np.uint64)
_FACTOR = np.uint64(
    0x9E3779B97F4A7C15
)  # 2^64 over the golden ratio, as multiplicative hashing does
_SHIFT = np.uint64(29)


def field_codes(
    data: bytes, starts: _Places, sizes: _Places
) -> tuple[npt.NDArray[np.int64], _Places] | None:
    """Give equal fields one code.

    Args:
        data: without NUL bytes before its last eight, which are no part of a field.
        starts: place of the first byte of each field.
        sizes: bytes of each field.

    Returns:
        The code of each field, and for each code the first field that has it; None in the case,
        never met, that two different fields have one mixture.
    """
    words = np.ndarray((len(data) - WORD + 1,), dtype="<u8", buffer=data, strides=(1,))
    mixture = _word(words, starts, sizes, 0)
    for place, rows in _longer(sizes):
        word = _word(words, starts[rows], sizes[rows], place)
        mixture[rows] = _mixed(mixture[rows], word)
    codes, distinct = pd.factorize(mixture)
    first = np.empty(len(distinct), dtype=np.int64)
    first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1)
    return (codes, first) if _all_equal(words, starts, sizes, first[codes]) else None


def _word(words: _Words, starts: _Places, sizes: _Places, place: int) -> _Words:
    """The eight bytes of each field from a place on, 0 where the field has ended."""
    word: _Words = words[starts + place] & _MASKS[np.minimum(sizes - place, WORD)]
    return word


def _longer(sizes: _Places) -> list[tuple[int, _Places]]:
    """Each further place, and the fields that reach beyond it."""
    found = []
    rows, place = np.flatnonzero(sizes > WORD), WORD
    while len(rows):
        found.append((place, rows))
        place += WORD
        rows = rows[sizes[rows] > place]
    return found


def _mixed(state: _Words, word: _Words) -> _Words:
    with np.errstate(over="ignore"):
        mixed: _Words = (state ^ (state >> _SHIFT)) * _FACTOR + word
    return mixed


def _all_equal(words: _Words, starts: _Places, sizes: _Places, same: _Places) -> bool:
    """Whether every field equals the one that it is taken to be the same as."""
    if not np.array_equal(sizes, sizes[same]):
        return False
    for place, rows in [(0, np.flatnonzero(sizes > WORD)), *_longer(sizes)]:
        ours = _word(words, starts[rows], sizes[rows], place)
        theirs = _word(words, starts[same[rows]], sizes[rows], place)
        if not np.array_equal(ours, theirs):
            return False
    return True


def field_text(field: bytes) -> str:
    """The text of a field that is well quoted, or not quoted, without a guard around it."""
    bare = field[1:-1].replace(b'""', b'"') if field.startswith(b'"') else field
    return unguarded(bare.decode("utf-8"))
