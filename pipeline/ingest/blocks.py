"""Where every field of a block of delimited text stands, found for all of its rows at once.

Quotation marks are followed as RFC 4180 has them. A block in which one of them is out of its place
is not laid out at all: it is for the row-by-row reader to say which row is broken, and why.
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

from pipeline.ingest.byte_fields import WORD, field_codes, field_text
from pipeline.ingest.distinct import text_column
from pipeline.tables import BrokenRow
from pipeline.tables.delimited import parsed_rows

_Octets = npt.NDArray[np.uint8]
_Places = npt.NDArray[np.int64]
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
        fields = [field_text(self.data[start:end]) for start, end in spans]
        same, texts = pd.factorize(np.array(fields, dtype=object))
        return text_column(same[codes], texts)

    def cells(self, row: int) -> list[str]:
        """All texts of one row."""
        spans = zip(self.starts[row].tolist(), self.ends[row].tolist(), strict=True)
        return [field_text(self.data[start:end]) for start, end in spans]

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
