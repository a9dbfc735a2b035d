"""The rows of a file that may hold its column names, alone or with rows of names below them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

from pipeline.tables import TableFile, plain_text

__all__ = ["MOST_STACKED", "HeaderRow", "header_rows", "stacked"]

_SEARCHED_ROWS = 60
MOST_STACKED = 3
_JOINT = ": "


@dataclass(frozen=True, slots=True)
class HeaderRow:
    """A row that may hold the column names; a doubled name gets ` (2)` behind it.

    Args:
        line: the last line of the names; the answers begin below it.
        names: of the columns; where two rows name them, `upper: lower`.
        rows: how many rows name the columns together.
    """

    line: int
    names: tuple[str, ...]
    rows: int = 1


def header_rows(
    table: TableFile, sheet: str | None, wanted: Collection[str] = ()
) -> list[HeaderRow]:
    """The first rows of a file, each as if it held the column names.

    Args:
        table: the file.
        sheet: of a workbook.
        wanted: names that are looked for; where one of them joins the names of several rows, such
            rows come behind, taken together.
    """
    rows = [
        (line, [plain_text(cell).strip() for cell in cells])
        for line, cells in islice(table.rows(sheet), _SEARCHED_ROWS)
        if isinstance(cells, list)
    ]
    depths = range(1, MOST_STACKED + 1 if any(_JOINT in name for name in wanted) else 2)
    return [
        stacked(rows[start : start + depth])
        for depth in depths
        for start in range(len(rows) - depth + 1)
    ]


def stacked(rows: Sequence[tuple[int, list[str]]]) -> HeaderRow:
    """The column names of one row, or of several that name the columns together.

    A name in an upper row also holds for the empty cells right of it, as under merged cells,
    where a lower row has a name.
    """
    width = max(len(cells) for _, cells in rows)
    names = [""] * width
    for _, cells in rows:
        upper, held = names, ""
        names = [""] * width
        for place in range(width):
            cell = cells[place] if place < len(cells) else ""
            held = upper[place] or (held if cell else "")
            names[place] = _JOINT.join(part for part in (held, cell) if part)
    return HeaderRow(rows[-1][0], _apart(names), len(rows))


def _apart(names: Iterable[str]) -> tuple[str, ...]:
    seen: dict[str, int] = {}
    apart = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        apart.append(f"{name} ({seen[name]})" if name and seen[name] > 1 else name)
    return tuple(apart)
