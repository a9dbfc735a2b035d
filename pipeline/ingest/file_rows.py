"""Rows of a file below its header, as columns of texts: whole blocks at once where they are plain.

Text in UTF-8 is read in blocks. What is odd in a block, such as a row of another width, goes
through the row-by-row reader, and so does a whole block in which quotation marks are out of order;
workbooks and UTF-16 always do. Both ways give the same rows, lines and reasons.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import IO, Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.ingest.blocks import Block, lay_out
from pipeline.ingest.distinct import text_column
from pipeline.ingest.plan import Plan
from pipeline.tables import BrokenRow, TableFile, TableRow
from pipeline.tables.budgets import LINE_CHARACTERS
from pipeline.tables.delimited import LineTooLong, file_delimiter, parsed_rows

BLOCK_BYTES = 1 << 24
_LISTED_ROWS = 50_000
_LINE_BYTES = 4 * LINE_CHARACTERS  # as many as its characters take at most in UTF-8
_ENCODING = "utf-8-sig"
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Rows:
    """Some rows of a file.

    Args:
        lines: physical line where each row begins.
        columns: place of a column that the plan uses -> its texts.
        cells: all texts of one of the rows.
        odd: rows of another width than the header's, and rows that are none, with their lines.
    """

    lines: npt.NDArray[np.int64]
    columns: Mapping[int, pd.Series[Any]]
    cells: Callable[[int], list[str]]
    odd: tuple[TableRow, ...] = ()

    @classmethod
    def empty(cls) -> Rows:
        """No rows."""
        return cls(np.empty(0, dtype=np.int64), {}, lambda _row: [])

    def taken(self, rows: npt.NDArray[np.int64]) -> Rows:
        """Some of the rows, without the odd ones."""
        columns = {
            place: column.iloc[rows].reset_index(drop=True)
            for place, column in self.columns.items()
        }
        cells = self.cells
        return Rows(self.lines[rows], columns, lambda row: cells(int(rows[row])))


def file_rows(table: TableFile, plan: Plan) -> Iterator[Rows]:
    """Read a file below its header, in the order of the file."""
    places = _used(plan)
    if table.encoding == _ENCODING and len(plan.header.names) > 1:
        with table.source.opened() as stream:
            delimiter = file_delimiter(table.source, _ENCODING)
            yield from _Reader(stream, delimiter, plan, places).rows()
    else:
        rows = (row for row in table.rows(plan.sheet) if row[0] > plan.header.line)
        while listed := list(islice(rows, _LISTED_ROWS)):
            width = len(plan.header.names)
            if table.is_workbook:
                listed = [(line, _as_wide(cells, width)) for line, cells in listed]
            yield _listed(listed, width, places)


def _used(plan: Plan) -> list[int]:
    """Places of all columns that are used, and of the first, which may name a row of totals."""
    places = {0, *(place for found in plan.fields.values() for place in found)}
    for question in plan.questions:
        places |= {*question.boxes, *question.about.values()}
    return sorted(places)


def _as_wide(cells: list[str] | BrokenRow, width: int) -> list[str] | BrokenRow:
    """A row of a workbook, which leaves empty cells at its end away, as wide as the header."""
    if isinstance(cells, BrokenRow) or any(cells[width:]):
        return cells
    return (cells + [""] * (width - len(cells)))[:width]


def _listed(rows: Iterable[TableRow], width: int, places: list[int]) -> Rows:
    """Columns of rows that were read one by one."""
    fitting: list[tuple[int, list[str]]] = []
    odd: list[TableRow] = []
    for line, cells in rows:
        if isinstance(cells, list) and len(cells) == width:
            fitting.append((line, cells))
        else:
            odd.append((line, cells))
    columns = {}
    for place in places:
        texts = np.array([cells[place] for _, cells in fitting], dtype=object)
        columns[place] = text_column(*pd.factorize(texts))
    lines = np.array([line for line, _ in fitting], dtype=np.int64)
    return Rows(lines, columns, lambda row: fitting[row][1], tuple(odd))


class _Reader:
    """Reads a stream block by block, and row by row where a block is odd."""

    def __init__(self, stream: IO[bytes], delimiter: str, plan: Plan, places: list[int]) -> None:
        self._stream = stream
        self._delimiter = delimiter
        self._plan = plan
        self._places = places
        self._width = len(plan.header.names)
        self._lines = 0

    def rows(self) -> Iterator[Rows]:
        carried = self._pass_header()
        while True:
            chunk = self._stream.read(BLOCK_BYTES)
            data = carried + chunk
            if not data:
                return
            carried = b""
            last = len(chunk) < BLOCK_BYTES and not data.endswith(b"\n")
            block = lay_out(data + b"\n" if last else data, self._delimiter, self._width)
            found = self._of_block(block) if block else None
            if block is None or found is None:
                yield _listed(self._one_by_one(data), self._width, self._places)
            else:
                carried = data[block.used :]
                yield found

    def _pass_header(self) -> bytes:
        """Go below the header; what was read beyond it comes back."""
        head = self._stream.read(len(_MARK))
        head = b"" if head == _MARK else head
        if not self._plan.header.line:
            return head
        lines = _Lines(head, self._stream)
        for line, _ in parsed_rows(lines, self._delimiter):
            if line >= self._plan.header.line:
                break
        self._lines = lines.drawn
        return lines.rest()

    def _of_block(self, block: Block) -> Rows | None:
        columns = {}
        for place in self._places:
            column = block.column(place)
            if column is None:
                return None
            columns[place] = column
        first = self._lines + 1
        self._lines += block.line_ends
        odd = tuple(block.other_rows(first - 1))
        return Rows(first + block.lines, columns, block.cells, odd)

    def _one_by_one(self, data: bytes) -> Iterator[TableRow]:
        """Rows that begin in some bytes, the last one to its end."""
        lines = _Lines(data, self._stream)
        before = self._lines
        for row in parsed_rows(lines, self._delimiter, before):
            yield row
            if lines.at_end:
                break
        self._lines = before + lines.drawn


class _Lines:
    """Text lines of some bytes and, where they break off, of the stream that they came from."""

    def __init__(self, data: bytes, stream: IO[bytes]) -> None:
        self._data = io.BytesIO(data)
        self._size = len(data)
        self._stream = stream
        self._split: Iterator[str] = iter(())
        self._left = 0
        self.drawn = 0

    @property
    def at_end(self) -> bool:
        """Whether all lines that begin in the bytes are drawn, and no line is cut."""
        return not self._left and self._data.tell() >= self._size

    def rest(self) -> bytes:
        """What was taken from the stream and is not drawn, as when a header ends in one return."""
        return "".join(self._split).encode("utf-8") + self._data.read()

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        if not self._left:
            raw = self._data.readline()
            if not raw.endswith(b"\n"):
                raw += self._stream.readline(_LINE_BYTES)
            if not raw:
                raise StopIteration
            if len(raw) >= _LINE_BYTES and not raw.endswith(b"\n"):
                self._pass_line()
            # A carriage return alone ends a line, too.
            parts = list(io.StringIO(raw.decode("utf-8"), newline=""))
            self._split, self._left = iter(parts), len(parts)
        self._left -= 1
        self.drawn += 1
        line = next(self._split)
        if len(line) > LINE_CHARACTERS:
            raise LineTooLong
        return line

    def _pass_line(self) -> None:
        """Go to the end of a line that is too long, holding no more of it than a line may be."""
        while (more := self._stream.readline(_LINE_BYTES)) and not more.endswith(b"\n"):
            pass
        self.drawn += 1
        raise LineTooLong
