"""Rows that an export should not have, planted among the good ones and written down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from synthetic_data.roster import TEST_ACCOUNT
from synthetic_data.tables import FileKind

__all__ = ["Mishap", "plant_mishaps"]

REJECTED, DUPLICATE, LEFT_OUT = "rejected", "duplicate", "left out"


@dataclass(frozen=True, slots=True)
class Mishap:
    """One planted row.

    Args:
        file: path inside `exports/`.
        line: physical line in the file, from 1.
        kind: what is wrong with it.
        ends_as: `rejected`, `duplicate`, or `left out` (a test account, rejected on purpose).
    """

    file: str
    line: int
    kind: str
    ends_as: str


# kind, what becomes of it, how many for each 5,000 rows (at least one)
_PLAN = (
    ("too few cells", REJECTED, 1),
    ("too many cells", REJECTED, 1),
    ("no such date", REJECTED, 2),
    ("no student", REJECTED, 1),
    ("another answer to the same try", REJECTED, 2),
    ("the same row again", DUPLICATE, 3),
    ("test account", LEFT_OUT, 2),
)
_RAGGED = {"too few cells", "too many cells"}  # a workbook has no ragged rows
_ROWS = 5000


def plant_mishaps(
    random: np.random.Generator,
    rows: list[list[str]],
    columns: dict[str, int],
    file: str,
    kind: FileKind,
) -> tuple[list[list[str]], list[int], list[Mishap]]:
    """Put broken rows among good ones, each somewhere after the good row that it was made from.

    Args:
        random: the generator to draw from.
        rows: the good rows, without headings.
        columns: place of `student`, `answered_at` and `answer` in a row.
        file: name of the file they go to.
        kind: of the file.

    Returns:
        All rows; for each good row its line in the file, headings counted; the planted rows.
    """
    planted = [
        (name, end)
        for name, end, often in _PLAN
        if kind == "csv" or name not in _RAGGED
        for _ in range(max(1, often * len(rows) // _ROWS))
    ]
    origins = random.choice(len(rows), size=len(planted), replace=False)
    after = [int(random.integers(origin, len(rows))) for origin in origins]
    waiting: dict[int, list[tuple[str, str, list[str]]]] = {}
    for (name, end), origin, place in zip(planted, origins, after, strict=True):
        broken = _broken(name, rows[origin], columns)
        waiting.setdefault(place, []).append((name, end, broken))
    return _merged(rows, waiting, file)


def _merged(
    rows: list[list[str]], waiting: dict[int, list[tuple[str, str, list[str]]]], file: str
) -> tuple[list[list[str]], list[int], list[Mishap]]:
    together: list[list[str]] = []
    lines: list[int] = []
    mishaps: list[Mishap] = []
    for place, row in enumerate(rows):
        together.append(row)
        lines.append(len(together) + 1)
        for name, end, broken in waiting.get(place, ()):
            together.append(broken)
            mishaps.append(Mishap(file, len(together) + 1, name, end))
    return together, lines, mishaps


def _broken(kind: str, row: list[str], columns: dict[str, int]) -> list[str]:
    made = list(row)
    match kind:
        case "too few cells":
            return made[:-3]
        case "too many cells":
            return [*made, "", "n"]
        case "no such date":
            made[columns["answered_at"]] = "2025-13-41T10:00"
        case "no student":
            made[columns["student"]] = ""
        case "another answer to the same try":
            made[columns["answer"]] = "1009"
        case "test account":
            made[columns["student"]] = TEST_ACCOUNT
    return made
