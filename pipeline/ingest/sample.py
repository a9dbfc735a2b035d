"""Rows of a table in memory: all of a table that is not large, else blocks from all over it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import islice

from pipeline.ingest.column_facts import Column
from pipeline.tables import TableFile, plain_text

SampledRow = tuple[int, list[str]]
_LEAST_NAMED = 0.2
_COMMONEST = 300
_BLOCK_ROWS = 64  # neighbours stay together: tries at one question often stand in turn
_MOST_ROWS = 20_000
_MOST_CELLS = 2_000_000


def sampled_rows(table: TableFile, sheet: str | None) -> list[SampledRow]:
    """Rows with their lines, from the whole of a table, whatever its length.

    Of a table beyond 20,000 rows, or two million cells, every second, fourth, eighth block of 64
    rows is kept; the first one always is. Cells come trimmed and without their marks.
    """
    kept: list[list[SampledRow]] = []
    every = 1
    for number, block in enumerate(_blocks(table, sheet)):
        if number % every:
            continue
        kept.append(block)
        rows = sum(map(len, kept))
        width = max(len(cells) for _, cells in block) if block else 1
        if len(kept) > 2 and (rows > _MOST_ROWS or rows * width > _MOST_CELLS):
            kept, every = kept[::2], 2 * every
    return [row for block in kept for row in block]


def _blocks(table: TableFile, sheet: str | None) -> Iterator[list[SampledRow]]:
    rows = table.rows(sheet)
    while listed := list(islice(rows, _BLOCK_ROWS)):
        yield [
            (line, [plain_text(cell).strip() for cell in cells])
            for line, cells in listed
            if isinstance(cells, list)
        ]


def is_data(
    cells: Sequence[str], rows: Sequence[SampledRow], line: int, known: Collection[str] = ()
) -> bool:
    """Whether a row is of the kind of those below it, and so names no columns.

    It holds an address or a date, or much of it is said again further down, as answers, points and
    sections are; a row that comes again as a whole may be column names, put in once more.

    Args:
        cells: of the row.
        rows: of the table.
        line: of the row.
        known: cells that are let be, such as ids of questions, which may be answers, too.
    """
    if sum(list(cells) == other for _, other in rows) > 1:
        return False
    row = [Column(at, "", [text]) for at, text in enumerate(cells) if text and text not in known]
    if any(one.addresses or (one.looks_dated and not known) for one in row):
        return True
    below = [other for at, other in rows if at > line]
    again = sum(
        any(one.place < len(other) and other[one.place] == one.texts[0] for other in below)
        for one in row
    )
    return 5 * again > len(row)


def naming_columns(
    rows: Sequence[SampledRow], find: Callable[[str], str | None]
) -> dict[int, float]:
    """Columns whose cells name questions of the course, with the share of cells that do.

    Args:
        rows: of the table.
        find: the question that a cell names; None where it names none.
    """
    found = {}
    width = max((len(cells) for _, cells in rows), default=0)
    for place in range(width):
        counts = Counter(cells[place] for _, cells in rows if place < len(cells))
        del counts[""]
        common = counts.most_common(_COMMONEST)
        cells_seen = sum(count for _, count in common)
        named = sum(count for text, count in common if find(text))
        if named and named >= _LEAST_NAMED * cells_seen:
            found[place] = named / cells_seen
    return found
