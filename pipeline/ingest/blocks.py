"""Where every field of a block of delimited text stands, found for all of its rows at once.

Quotation marks are followed as RFC 4180 has them. A block in which one of them is out of its place
is not laid out at all: it is for the row-by-row reader to say which row is broken, and why.

A column of fields becomes distinct texts and codes. Eight bytes of every field are taken at once,
as one number. Fields of at most eight bytes are told apart by that number; longer ones by a mixture
of their numbers, and then compared number by number with the first field of the same mixture, so
that no two texts are ever taken for one.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.ingest.distinct import text_column
from pipeline.tables import BrokenRow
from pipeline.tables.delimited import parsed_rows
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


def _field_text(field: bytes) -> str:
    """The text of a field that is well quoted, or not quoted, without a guard around it."""
    bare = field[1:-1].replace(b'""', b'"') if field.startswith(b'"') else field
    return unguarded(bare.decode("utf-8"))


_Octets = npt.NDArray[np.uint8]
_NEWLINE, _RETURN, _QUOTE = 10, 13, 34


@dataclass(frozen=True)
class Block:
    """Rows of one width, and where their fields stand.

    Args:
        data: the bytes, and eight NUL bytes.
        delimiter: between two fields.
        used: how many of the bytes are whole rows.
        line_ends: in the bytes that are used.
        lines: line of each row, the first line of the block being 0.
        starts: place of the first byte of each field, a row per row.
        ends: place after the last byte of each field.
        others: line, first byte and place after the last one of rows of another width.
    """

    data: bytes
    delimiter: str
    used: int
    line_ends: int
    lines: _Places
    starts: _Places
    ends: _Places
    others: tuple[tuple[int, int, int], ...]

    def column(self, place: int) -> pd.Series[Any] | None:
        """Texts of one column; None where the block must be read row by row."""
        starts, ends = self.starts[:, place], self.ends[:, place]
        found = field_codes(self.data, starts, ends - starts)
        if found is None:
            return None
        codes, first = found
        spans = zip(starts[first].tolist(), ends[first].tolist(), strict=True)
        fields = [_field_text(self.data[start:end]) for start, end in spans]
        same, texts = pd.factorize(np.array(fields, dtype=object))
        return text_column(same[codes], texts)

    def cells(self, row: int) -> list[str]:
        """All texts of one row."""
        spans = zip(self.starts[row].tolist(), self.ends[row].tolist(), strict=True)
        return [_field_text(self.data[start:end]) for start, end in spans]

    def other_rows(self, before: int) -> Iterator[tuple[int, list[str] | BrokenRow]]:
        """Rows of another width, as the row-by-row reader has them; empty ones are left out.

        Args:
            before: how many lines of the file stand before the block.
        """
        for line, start, end in self.others:
            text = io.StringIO(self.data[start:end].decode("utf-8"), newline="")
            yield from parsed_rows(text, self.delimiter, before + line)


def lay_out(data: bytes, delimiter: str, width: int) -> Block | None:
    """Find the fields of a block.

    Args:
        data: of a file in UTF-8, from the begin of a row; its end may be anywhere.
        delimiter: one ASCII character.
        width: fields that a row should have, at least two.

    Returns:
        None where rows must be read one by one: a NUL byte, a carriage return that ends no line,
        a quotation mark out of its place, a record longer than a field may be, or no whole row.
    """
    # The last byte may be the first one of a line end that was cut.
    returns = data.count(b"\r", 0, -1)
    if b"\0" in data or (returns and returns != data.count(b"\r\n")):
        return None
    octets = np.frombuffer(data, dtype=np.uint8)
    marks = np.flatnonzero((octets == ord(delimiter)) | (octets == _NEWLINE) | (octets == _QUOTE))
    kinds = octets[marks]
    quotes = kinds == _QUOTE
    inside = (np.cumsum(quotes, dtype=np.int32) & 1).astype(bool)
    parts = marks[~(quotes | inside)]
    row_ends = np.flatnonzero(octets[parts] == _NEWLINE)
    if not len(row_ends):
        return None
    parts = parts[: row_ends[-1] + 1]
    used = int(parts[-1]) + 1
    begins = np.concatenate([[0], parts[row_ends[:-1]] + 1])
    marks, kinds = marks[: (read := np.searchsorted(marks, used))], kinds[:read]
    if not _well_quoted(octets, marks[kinds == _QUOTE], ord(delimiter)):
        return None
    if int((parts[row_ends] - begins).max()) > csv.field_size_limit():
        return None
    newlines = marks[kinds == _NEWLINE]
    lines = np.arange(len(begins))
    if len(newlines) > len(begins):
        lines = np.searchsorted(newlines, begins)
    whole = np.diff(row_ends, prepend=-1) == width
    rows = np.flatnonzero(whole)
    starts, ends = _spans(octets, parts, row_ends[rows], begins[rows], width)
    full = ~_empty_rows(octets, starts, ends)
    odd = [begins[~whole], parts[row_ends[~whole]] + 1]
    return Block(
        data + bytes(WORD), delimiter, used, len(newlines), lines[rows][full],
        starts[full], ends[full],
        tuple(zip(lines[~whole].tolist(), *(one.tolist() for one in odd), strict=True)),
    )  # fmt: skip


def _well_quoted(octets: _Octets, quotes: _Places, delimiter: int) -> bool:
    """Whether quotation marks open and close whole fields, and are doubled inside."""
    opening, closing = quotes[0::2], quotes[1::2]
    # The byte before the first one of the block is not there; a row begins.
    before = np.where(opening > 0, octets[opening - 1], _NEWLINE)
    after = octets[closing + 1]
    return bool(
        np.isin(before, (delimiter, _NEWLINE, _QUOTE)).all()
        and np.isin(after, (delimiter, _NEWLINE, _RETURN, _QUOTE)).all()
    )


def _spans(
    octets: _Octets, parts: _Places, last: _Places, begins: _Places, width: int
) -> tuple[_Places, _Places]:
    """Starts and ends of the fields of rows; `last` is where in `parts` each row ends."""
    ends = parts[last[:, None] + np.arange(1 - width, 1)]
    starts = np.empty_like(ends)
    starts[:, 0] = begins
    starts[:, 1:] = ends[:, :-1] + 1
    ends[:, -1] -= octets[ends[:, -1] - 1] == _RETURN
    return starts, ends


def _empty_rows(octets: _Octets, starts: _Places, ends: _Places) -> npt.NDArray[np.bool_]:
    """Rows in which no field holds anything, quoted or not."""
    empty = np.zeros(len(starts), dtype=bool)
    if len(starts):
        # With its delimiters, a row of empty quotes is no longer than three bytes a field.
        rows = np.flatnonzero(ends[:, -1] - starts[:, 0] < 3 * starts.shape[1])
        sizes = ends[rows] - starts[rows]
        quoted = (sizes == 2) & (octets[starts[rows]] == _QUOTE)
        empty[rows] = ((sizes == 0) | quoted).all(axis=1)
    return empty
