"""Rows that an export should not have, planted among the good ones and written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from synthetic_data.roster import TEST_ACCOUNT
from synthetic_data.tables import FileKind

REJECTED, DUPLICATE, LEFT_OUT = "rejected", "duplicate", "left out"


@dataclass(frozen=True, slots=True)
class Mishap:
    """One planted row.

    Args:
        file: as the database has it, `exports/` and the name.
        line: physical line in the file, from 1.
        kind: what is wrong with it.
        ends_as: `rejected`, `duplicate`, or `left out` (a test account, rejected on purpose).
    """

    file: str
    line: int
    kind: str
    ends_as: str


_CONFLICT = "another answer to the same try"  # can only be told where tries are numbered
# kind, what becomes of it, how many for each 5,000 rows (at least one)
_PLAN = (
    ("too few cells", REJECTED, 1),
    ("too many cells", REJECTED, 1),
    ("no such date", REJECTED, 2),
    ("no student", REJECTED, 1),
    (_CONFLICT, REJECTED, 2),
    ("an answer turned into a date", REJECTED, 2),
    ("an answer turned into an error", REJECTED, 1),
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
    origins: Sequence[int],
) -> tuple[list[list[str]], list[int], list[Mishap]]:
    """Put broken rows among good ones, each somewhere after the good row that it was made from.

    Args:
        random: the generator to draw from.
        rows: the good rows, without headings.
        columns: place of each field in a row; `attempt` may be absent.
        file: name of the file they go to.
        kind: of the file.
        origins: places of the good rows that a broken one may be made from.

    Returns:
        All rows; for each good row its line in the file, headings counted; the planted rows.
    """
    planted = [
        (name, end)
        for name, end, often in _PLAN
        if (kind == "csv" or name not in _RAGGED) and ("attempt" in columns or name != _CONFLICT)
        for _ in range(max(1, often * len(rows) // _ROWS))
    ]
    chosen = random.choice(np.asarray(origins), size=len(planted), replace=False)
    after = [int(random.integers(origin, len(rows))) for origin in chosen]
    waiting: dict[int, list[tuple[str, str, list[str]]]] = {}
    for (name, end), origin, place in zip(planted, chosen, after, strict=True):
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
        case "an answer turned into a date":
            made[columns["answer"]] = "4-Mar"
        case "an answer turned into an error":
            made[columns["answer"]] = "#VALUE!"
        case "test account":
            made[columns["student"]] = TEST_ACCOUNT
    return made
