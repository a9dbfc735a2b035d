"""The rows of a file that may hold its column names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

from pipeline.tables import TableFile, plain_text

__all__ = ["HeaderRow", "header_rows"]

_SEARCHED_ROWS = 60


@dataclass(frozen=True, slots=True)
class HeaderRow:
    """A row that may hold the column names; a doubled name gets ` (2)` behind it."""

    line: int
    names: tuple[str, ...]


def header_rows(table: TableFile, sheet: str | None) -> list[HeaderRow]:
    """The first rows of a file, each as if it held the column names."""
    rows = []
    for line, cells in islice(table.rows(sheet), _SEARCHED_ROWS):
        if isinstance(cells, list):
            rows.append(HeaderRow(line, _apart(plain_text(cell).strip() for cell in cells)))
    return rows


def _apart(names: Iterable[str]) -> tuple[str, ...]:
    seen: dict[str, int] = {}
    apart = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        apart.append(f"{name} ({seen[name]})" if name and seen[name] > 1 else name)
    return tuple(apart)
