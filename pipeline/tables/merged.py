"""Merged cells: the text stands for the whole range, except where it is a title across a row."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


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
