"""Rows on their way into the database: each stays, or leaves with column, reason and safe value."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import per_distinct
from pipeline.tables import BrokenRow

REJECTED_COLUMNS = ("file", "line", "column", "reason", "value", "needs_look", "source_place")
# Dates, small numbers and month names cannot name a person, even where columns have slipped.
_SAFE = re.compile(
    r"(?:(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d\d))"
    r"(?:[T ]\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?: ?[AaPp]\.?[Mm]\.?)?)?"
    r"|-?\d{1,3}(?:[.,]\d{1,3})?"
    r"|\d{1,2}[-. ]{1,2}[A-Za-z]{3}|[A-Za-z]{3}[-. ]{1,2}\d{2,4}"
    r"|#[A-Z/0!?]{3,7})"
)


class Notes:
    """Sentences about a file, each with how many rows it is true of and the first of them."""

    def __init__(self) -> None:
        self._found: dict[str, tuple[int, int]] = {}

    def add(self, what: str, lines: pd.Series[Any] | tuple[int, ...]) -> None:
        """Note something of these lines; nothing when there are none."""
        if len(lines):
            count, first = self._found.get(what, (0, int(np.min(lines))))
            self._found[what] = (count + len(lines), first)

    def count(self, what: str) -> int:
        """How many rows something is true of."""
        return self._found.get(what, (0, 0))[0]

    def sentences(self) -> tuple[str, ...]:
        """`what`: so many, first in line n."""
        return tuple(
            f"{what}: {count:,} (first in line {line})"
            for what, (count, line) in self._found.items()
        )


class Sieve:
    """A frame of answers that loses the rows that cannot be stored.

    Args:
        file: name of the file, relative to the course folder.
        frame: one row per answer, with `line` and, where the file says it, `source_place`.
    """

    def __init__(self, file: str, frame: pd.DataFrame) -> None:
        self.file = file
        self.frame = frame
        self.notes = Notes()
        self._rejected: list[pd.DataFrame] = []

    def reject(
        self,
        where: pd.Series[bool],
        column: str | pd.Series[Any],
        reason: str,
        values: pd.Series[Any] | None = None,
        *,
        needs_look: bool = True,
    ) -> None:
        """Take rows out.

        Args:
            where: which rows of the frame.
            column: header that the complaint is about.
            reason: what was expected, and the way out.
            values: what stood there; kept only where it cannot name a person.
            needs_look: False for rows that are left out on purpose.
        """
        if not where.any():
            return
        lines = self.frame.loc[where, "line"]
        shown = None if values is None else [_safe(value) for value in values[where]]
        names = column[where].tolist() if isinstance(column, pd.Series) else column
        self.add_rejected(lines.tolist(), names, reason, shown, needs_look=needs_look)
        if "source_place" in self.frame:
            places = per_distinct(self.frame.loc[where, "source_place"], lambda one: one or None)
            self._rejected[-1]["source_place"] = places.to_numpy()
        self.frame = self.frame[~where]

    def add_broken(self, lines: list[int], rows: list[BrokenRow], places: pd.Series[Any]) -> None:
        """Record rows that are not in the frame, such as ragged ones, and their places."""
        self.add_rejected(lines, None, [row.reason for row in rows])
        self._rejected[-1]["needs_look"] = [row.needs_look for row in rows]
        self._rejected[-1]["source_place"] = [place or None for place in places]

    def add_rejected(
        self,
        lines: list[int],
        column: str | list[str] | None,
        reason: str | list[str],
        values: list[str | None] | None = None,
        *,
        needs_look: bool = True,
    ) -> None:
        """Record rows with what is wrong about them."""
        rows = pd.DataFrame({"line": lines})
        rows["file"], rows["column"], rows["reason"] = self.file, column, reason
        rows["value"], rows["needs_look"], rows["source_place"] = values, needs_look, None
        self._rejected.append(rows)

    def rejected(self) -> pd.DataFrame:
        """All rows taken out, one each, columns `REJECTED_COLUMNS`."""
        if not self._rejected:
            rows = pd.DataFrame(columns=list(REJECTED_COLUMNS))
        else:
            rows = pd.concat([part.astype(object) for part in self._rejected], ignore_index=True)
        kinds = {"line": "Int64", "needs_look": "bool"}
        return rows[list(REJECTED_COLUMNS)].astype(
            {name: kinds.get(name, "str") for name in REJECTED_COLUMNS}
        )


def _safe(value: object) -> str | None:
    text = str(value).strip()
    return text if _SAFE.fullmatch(text) else None
