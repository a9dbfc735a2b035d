"""Tables of a page: which columns of a frame are printed, under which heading, in which form."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import pandas as pd
from markupsafe import Markup, escape

from reports.typesetting import typeset
from reports.words import (
    counted,
    minus_signs,
    missing,
    pattern_label,
    percent,
    points,
    setting_words,
    span,
    span_of_points,
)

Kind = Literal[
    "text",
    "word",
    "printed",
    "count",
    "percent",
    "range",
    "points",
    "points range",
    "number",
    "math",
    "pattern",
    "list",
    "day",
    "setting",
]
NUMERIC = {"printed", "count", "percent", "range", "points", "points range", "number"}
NOTHING = "–"
FEW_MORE = 3
LONG = 14
"""Rows up to which a table stands open."""


@dataclass(frozen=True)
class Column:
    """One printed column.

    Args:
        heading: its words.
        names: the frame's column; two for the ends of a range.
        kind: how a value is written.
    """

    heading: str
    names: tuple[str, ...]
    kind: Kind = "text"

    @property
    def style(self) -> str:
        """The column's style: numbers line up on the right, words and numbers do not break."""
        return "n" if self.kind in NUMERIC else "w" if self.kind == "word" else ""


TRIES = (
    Column("wrong", ("rate",), "percent"),
    Column("likely range", ("rate_low", "rate_high"), "range"),
    Column("first tries", ("answers",), "count"),
    Column("students", ("students",), "count"),
)
"""Columns of a share of first tries that were wrong."""
CHANCES = (
    Column("how common", ("rate",), "percent"),
    Column("likely range", ("rate_low", "rate_high"), "range"),
    Column("chances to show it", ("opportunities",), "count"),
    Column("students", ("students",), "count"),
)
"""Columns of how common an error is."""


@dataclass(frozen=True)
class Cell:
    """A printed value, and the value as the database holds it."""

    text: str
    value: str


@dataclass(frozen=True)
class Row:
    """The cells of a row and what is to be said of it; empty when nothing is."""

    cells: tuple[Cell, ...]
    note: str


@dataclass(frozen=True)
class Table:
    """A table with its caption, its source and what was left out of it.

    Args:
        name: id on the page.
        caption: what the table holds, one line.
        columns: printed columns; the first one heads the row.
        frame: the rows, in order; what a row's `note` says stands under its first cell.
        left_out: what is not in the table and why; empty when nothing is.
        made_by: the `.sql` file.
        folded: whether it waits behind a line to be opened however short it is.
        first: how many rows to show before the whole, folded table; 0 shows all.
    """

    name: str
    caption: str
    columns: tuple[Column, ...]
    frame: pd.DataFrame
    left_out: str = ""
    made_by: str = ""
    folded: bool = False
    first: int = 0

    kind = "table"

    @property
    def shown(self) -> tuple[Table, ...]:
        """The table as it is printed: where `first` is given, these rows, and all rows folded.

        A column that holds nothing is not printed.
        """
        heading, *others = self.columns
        empty = {name for name in self.frame if self.frame[name].isna().all()}
        told = replace(self, columns=(heading, *(c for c in others if not empty & {*c.names})))
        if not self.first or len(self.frame) <= self.first + FEW_MORE:
            return (replace(told, folded=self.folded or len(self.frame) > LONG + self.first),)
        head = replace(told, frame=self.frame.head(self.first), left_out="", first=0)
        caption = f"{self.caption}: all"
        return (head, replace(told, name=f"all-{self.name}", caption=caption, folded=True, first=0))

    @property
    def rows(self) -> list[Row]:
        """The printed cells, row by row."""
        return [
            Row(
                tuple(_cell(column, record) for column in self.columns),
                "; ".join(
                    # What the line below says of hidden rows need not stand in each of them.
                    "hidden" if part.startswith("hidden: ") and part in self.left_out else part
                    for part in _notes(record)
                    if part not in self.shared_notes
                ),
            )
            for record in self.frame.to_dict("records")
        ]

    @property
    def size(self) -> str:
        """How many rows it has, in words."""
        return counted(len(self.frame), "row")

    @cached_property
    def shared_notes(self) -> tuple[str, ...]:
        """What all rows have to say alike, said once below the table."""
        said = [_notes(record) for record in self.frame.to_dict("records")]
        if len(said) < 2:
            return ()
        return tuple(part for part in said[0] if all(part in notes for notes in said))


def _cell(column: Column, record: Mapping[object, object]) -> Cell:
    values = [record[name] for name in column.names]
    if any(not isinstance(value, Iterable) and missing(value) for value in values):
        return Cell(NOTHING, "")
    raw = " ".join(str(value) for value in values)
    return Cell(_WRITERS[column.kind](*values), raw)


def _notes(record: Mapping[object, object]) -> list[str]:
    """The parts of a row's note, which semicolons divide."""
    note = record.get("note")
    return [] if missing(note) else str(note).split("; ")


def _named(pattern: object, says: object = "") -> Markup:
    name = Markup("<strong>{}</strong>").format(pattern_label(str(pattern)))
    return (
        name + Markup('<span class="says">{}</span>').format(minus_signs(str(says)))
        if says
        else name
    )


def _day(value: object) -> str:
    day = pd.Timestamp(str(value))
    return f"{day:%b} {day.day}, {day.year}"


def _list(values: Iterable[object]) -> str:
    return ", ".join(pattern_label(str(value)) for value in values) or NOTHING


_WRITERS: Mapping[str, Callable[..., str]] = {
    "text": str,
    "word": str,
    "printed": str,
    "count": lambda value: f"{round(float(value)):,}",
    "percent": percent,
    "range": span,
    "points": lambda value: points(value).split()[0],
    "points range": lambda low, high: span_of_points(low, high).removesuffix(" points"),
    "number": lambda value: f"{float(value):.2f}".replace("-", "−"),
    "math": lambda value: typeset(str(value)),
    "pattern": _named,
    "list": _list,
    "day": _day,
    "setting": lambda value: setting_words(str(value)),
}


def hidden_rows(frame: pd.DataFrame) -> str:
    """Say how many rows of a frame are hidden, and in how many a word stands for a share."""
    notes = frame["note"].dropna().astype(str) if "note" in frame else pd.Series(dtype=str)
    hidden = notes[notes.str.startswith("hidden")]
    told = []
    if len(hidden):
        reason = escape(hidden.iloc[0].removeprefix("hidden: "))
        told.append(f"The figures of {counted(len(hidden), 'row')} are hidden: {reason}.")
    if "code" in frame and frame["code"].notna().any():
        near = counted(frame["code"].notna().sum(), "row")
        told.append(f"In {near} a share near none or all is only said to be so.")
    return " ".join(told)
