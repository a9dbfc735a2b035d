"""The rows of a file that may hold its column names, alone or with rows of names below them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise

from pipeline.ingest.columns import standard_field
from pipeline.tables import TableFile, plain_text

_COMPLETE = {"student", "item", "answer"}
_SEARCHED_ROWS, _LEAST_SEARCHED, _SEARCHED_CELLS = 60, 6, 60_000
_MOST_STACKED = 3
_JOINT = ": "
_COMPARED_ROWS = 60
_WORD = re.compile(r"(?!sqrt|cbrt|root|abs|log|sin|cos|tan|exp)[^\W\d_]{3,}", re.I)
_CODED = 0.9
_TELLING_ROWS = 3
_SHOWN = 12
_MAY_BE_AN_ID = re.compile(r"@|\d{3}|[A-Za-z]\d{2}|[^\W\d_], ?[^\W\d_]")
DOUBLED = re.compile(r" \(\d+\)$")
"""What tells a name from others that are the same in the file."""
_MARKUP = set('"{}:')


@dataclass(frozen=True, slots=True)
class HeaderRow:
    """A row that may hold the column names; a doubled name gets ` (2)` behind it.

    Args:
        line: the last line of the names; the answers begin below it.
        names: of the columns; where two rows name them, `upper: lower`.
        rows: how many rows name the columns together.
        whole: False where further rows below go on naming, so that only a map can mean this one.
        cells: of its last row, as they stand.
    """

    line: int
    names: tuple[str, ...]
    rows: int = 1
    whole: bool = True
    cells: tuple[str, ...] = ()

    @property
    def goes_by_number(self) -> bool:
        """Whether no row names the columns."""
        return self.names[:1] == (f"column 1 of {len(self.names)}",)


def header_rows(
    table: TableFile, sheet: str | None, wanted: Collection[str] = ()
) -> list[HeaderRow]:
    """The first rows of a file, each as if it held the column names.

    Args:
        table: the file.
        sheet: of a workbook.
        wanted: names that maps look for; the first of several rows of names comes alone, too,
            behind the others, where it has one of these.
    """
    rows: list[tuple[int, list[str]]] = []
    for line, cells in islice(table.rows(sheet), _SEARCHED_ROWS):
        if isinstance(cells, list):
            rows.append((line, [plain_text(cell).strip() for cell in cells]))
        if len(rows) >= searched_rows(rows):
            break
    every = [stacked(rows[at : at + naming_depth(rows, at)]) for at in range(len(rows))]
    alone = [stacked([row]) for row, one in zip(rows, every, strict=True) if one.rows > 1]
    alone = [replace(one, whole=False) for one in alone if set(one.names) & set(wanted)]
    by_number = numbered_columns(len(rows[0][1])) if rows else None
    numbered = [by_number] if by_number and set(by_number.names) & set(wanted) else []
    return every + alone + numbered


def numbered_columns(width: int) -> HeaderRow:
    """What columns are called in a file without column names: its rows begin in the first line."""
    return HeaderRow(0, tuple(f"column {number} of {width}" for number in range(1, width + 1)))


def searched_rows(rows: Sequence[tuple[int, Sequence[str]]]) -> int:
    """Among how many of the first rows the names are looked for: fewer where these are wide."""
    width = max((len(cells) for _, cells in rows[:_LEAST_SEARCHED]), default=1)
    return min(_SEARCHED_ROWS, max(_LEAST_SEARCHED, _SEARCHED_CELLS // max(1, width)))


def stacked(rows: Sequence[tuple[int, list[str]]]) -> HeaderRow:
    """The column names of one row, or of several that name the columns together.

    A name in an upper row also holds for the empty cells right of it, as under merged cells,
    where a lower row has a name.
    """
    if len(rows) == 1:
        line, cells = rows[0]
        return HeaderRow(line, _apart(cells), cells=tuple(cells))
    width = max(len(cells) for _, cells in rows)
    names = [""] * width
    for at, (_, cells) in enumerate(rows):
        named = {place for _, below in rows[at:] for place, cell in enumerate(below) if cell}
        upper, held = names, ""
        names = [""] * width
        for place in range(width):
            cell = cells[place] if place < len(cells) else ""
            held = upper[place] or (held if place in named else "")
            # As under cells that are merged downwards; `1` says more than `Quiz 1` above it.
            same = held.endswith(cell) and (held == cell or not cell.isdecimal())
            if cell or upper[place]:
                names[place] = held if same else _JOINT.join(part for part in (held, cell) if part)
    return HeaderRow(rows[-1][0], _apart(names), len(rows), cells=tuple(rows[-1][1]))


def naming_depth(rows: Sequence[tuple[int, Sequence[str]]], at: int) -> int:
    """How many rows from one on name the columns together, such as `Q1` over `Answer, Points`.

    A row goes on naming where it says again what stands above it, as under merged cells, or where
    its cells are of another kind than those below: words over mathematics, letters over numbers.
    Standard names that say who, what and the answer need no other row, whatever stands below.

    Args:
        rows: of the table, with their lines.
        at: place of the first row of names.
    """
    if {standard_field(name) for name in rows[at][1]} >= _COMPLETE:
        return 1
    depth = 1
    while depth < _MOST_STACKED and at + depth + 1 < len(rows) and _goes_on(rows, at, at + depth):
        depth += 1
    return depth


def _goes_on(rows: Sequence[tuple[int, Sequence[str]]], at: int, here: int) -> bool:
    cells, above = rows[here][1], rows[here - 1][1]
    below = [cells for _, cells in rows[here + 1 : here + 1 + _COMPARED_ROWS]]
    if len(cells) < 2 or rows[here][1] == rows[at][1]:
        return False
    if _is_under_names(cells, rows[at][1], below) or _counts_under(cells, rows[at][1]):
        return True
    unlike = compared = 0
    for place, cell in enumerate(cells):
        texts = [row[place] for row in below if place < len(row) and row[place]]
        repeated = bool(cell) and place < len(above) and above[place] == cell
        if not cell or (len(texts) < _TELLING_ROWS and not repeated):
            continue
        other = repeated or _is_of_another_kind(cell, texts)
        # A code where codes stand that are all different is somebody's id.
        ids = len(texts) > 4 and len(set(texts)) > _CODED * len(texts) and _digits(texts) > _CODED
        if ids and not other:
            return False
        compared += 1
        unlike += other
    return compared > 1 and unlike >= 0.75 * compared


def _counts_under(cells: Sequence[str], upper: Sequence[str]) -> bool:
    """Whether a row counts from 1 under each of several names, as places in quizzes do."""
    starts = [at for at, name in enumerate(upper) if name]
    spans = pairwise([*starts, len(cells)])
    counts = [[int(one) for one in re.findall(r"\d+", " ".join(cells[at:to]))] for at, to in spans]
    counted = [one for one in counts if one]
    return len(counted) > 1 and all(one == [*range(1, len(one) + 1)] for one in counted)


def _is_under_names(
    cells: Sequence[str], upper: Sequence[str], below: Sequence[Sequence[str]]
) -> bool:
    """Whether a row names parts of columns: `answer, pts, answer, pts`, and nothing of whole rows.

    It is empty where the upper row names what all rows below have, such as a student, and says a
    few words over and over, or counts, as no row of answers does.
    """
    filled = [
        place for place, name in enumerate(upper)
        if name and sum(place < len(row) and row[place] != "" for row in below) > 0.9 * len(below)
    ]  # fmt: skip
    named = [(place, cell) for place, cell in enumerate(cells) if cell]
    kinds = {re.sub(r"\d+", "9", cell) for _, cell in named}
    return (
        any(place >= len(cells) or not cells[place] for place in filled)
        and len(below) >= _TELLING_ROWS
        and len(named) > 1
        and 2 * len(kinds) <= len(named)
        and all(re.search(r"[^\W\d_]", kind) for kind in kinds)
        and not any(
            place < len(row) and row[place] == cell for place, cell in named for row in below
        )
    )


def _is_of_another_kind(cell: str, texts: Sequence[str]) -> bool:
    worded = sum(bool(_WORD.search(text)) for text in texts) / len(texts)
    if (_WORD.search(cell) and worded < 0.3) or (_MARKUP & set(cell) - set().union(*texts)):
        return True
    return not any(map(str.isdigit, cell)) and _digits(texts) > _CODED


def _digits(texts: Sequence[str]) -> float:
    """Share of texts with a digit in them."""
    return sum(any(map(str.isdigit, text)) for text in texts) / len(texts)


def _apart(names: Iterable[str]) -> tuple[str, ...]:
    seen: dict[str, int] = {}
    apart = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        apart.append(f"{name} ({seen[name]})" if name and seen[name] > 1 else name)
    return tuple(apart)


def shown(names: Iterable[str]) -> str:
    """Names of a row that may hold none, without what may be an id, address or `last, first`."""
    told = [name if not _MAY_BE_AN_ID.search(name) else "..." for name in names if name]
    more = f" and {len(told) - _SHOWN} more" if len(told) > _SHOWN else ""
    return ", ".join(f"{name:.40}" for name in told[:_SHOWN]) + more
