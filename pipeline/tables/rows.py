"""Rows of any table as texts, with a mark on a cell that a spreadsheet program made its own.

The marks are control characters, which the XML of a workbook cannot hold, so no cell can fake one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

import pandas as pd

from pipeline.tables.budgets import CELL_CHARACTERS

DATE_CELL = "\x00"
NUMBER_CELL = "\x01"
FORMULA_CELL = "\x02"
FORMATTED_CELL = "\x03"
"""A number that is shown as a fraction, a percentage or a power of ten."""

_MARKS = DATE_CELL + NUMBER_CELL + FORMULA_CELL + FORMATTED_CELL
_GUARDED = re.compile(r'="((?:[^"]|"")*)"')
_WHOLE = 1e15  # beyond it a float no longer tells neighbouring integers apart


@dataclass(frozen=True, slots=True)
class BrokenRow:
    """A row that is no row, such as one with quotation marks out of order, and why.

    Args:
        reason: what is wrong, and the way out.
        needs_look: False for what is left out on purpose.
        place: where it stood, where a line number does not say it.
    """

    reason: str
    needs_look: bool = True
    place: str = ""


TableRow = tuple[int, "list[str] | BrokenRow"]
"""Line or row number in the file, from 1, and the cells."""


def whole_row(line: int, cells: list[str]) -> TableRow:
    """The row, or that it is none because a cell is larger than the budget allows."""
    if max(map(len, cells), default=0) > CELL_CHARACTERS:
        column = next(n for n, cell in enumerate(cells, 1) if len(cell) > CELL_CHARACTERS)
        return line, BrokenRow(
            f"the cell in column {column} is larger than {CELL_CHARACTERS:,} characters: shorten it"
        )
    return line, cells


def plain_text(cell: str) -> str:
    """The text of a cell without its mark."""
    return cell[1:] if cell[:1] in _MARKS and cell else cell


def unguarded(cell: str) -> str:
    """The text inside `="000412"`, as exports keep a spreadsheet program from changing it."""
    guarded = _GUARDED.fullmatch(cell) if cell.startswith('="') else None
    return guarded[1].replace('""', '"') if guarded else cell


def cell_text(value: object) -> str:
    """Text of a typed value; dates and numbers carry their mark."""
    match value:
        case str():
            return value
        case None:
            return ""
        case bool():
            return NUMBER_CELL + ("TRUE" if value else "FALSE")
        case float() if value.is_integer() and abs(value) < _WHOLE:
            return NUMBER_CELL + str(int(value))
        case datetime() | date() | time():
            return DATE_CELL + value.isoformat()
        case timedelta():
            return DATE_CELL + str(value)
        case _:
            return NUMBER_CELL + str(value)


class Range(NamedTuple):
    """Rows and columns of a merged cell, from 1, the last ones included."""

    top: int
    left: int
    bottom: int
    right: int


class MergedCells:
    """The merged cells of a sheet, filled in row by row from the top.

    A row that holds nothing outside a range, such as a title or the name of a class section
    above its rows, is left as it is.
    """

    def __init__(self, ranges: Iterable[Range] = ()) -> None:
        self._waiting = sorted(ranges, reverse=True)
        self._open: list[tuple[Range, str]] = []

    def filled(self, line: int, cells: list[str]) -> list[str]:
        """The row with the texts of merged cells in all of their places."""
        while self._waiting and self._waiting[-1].top <= line:
            self.add(self._waiting.pop(), cells)
        self._open = [one for one in self._open if one[0].bottom >= line]
        if not self._open:
            return cells
        before = [place for place, cell in enumerate(cells, 1) if cell]
        for span, text in self._open:
            if any(not span.left <= place <= span.right for place in before):
                cells = cells + [""] * (span.right - len(cells))
                for place in range(span.left - 1, span.right):
                    cells[place] = cells[place] or text
        return cells

    def add(self, span: Range, cells: list[str]) -> None:
        """A merged cell that begins in this row."""
        if span.left <= len(cells) and cells[span.left - 1]:
            self._open.append((span, cells[span.left - 1]))


_FORMULA = tuple("=+-@\t\r\n\0")


def guarded(frame: pd.DataFrame, as_typed: Collection[str] = ()) -> pd.DataFrame:
    """Put `'` in front of texts that begin like a formula.

    Args:
        frame: what is to be written.
        as_typed: columns of answers, which stay as they were typed.

    Source: OWASP ASVS 5.0, 1.2.10.
    """
    texts = [
        name
        for name in frame.columns
        if name not in as_typed and not pd.api.types.is_numeric_dtype(frame[name])
    ]
    return frame.assign(**{name: frame[name].map(_guarded) for name in texts})


def _guarded(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value
