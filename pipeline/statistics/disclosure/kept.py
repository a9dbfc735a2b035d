"""What kept editions for everyone have told already, as outsiders may remember it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeAlias

import pandas as pd

from pipeline.statistics.disclosure.lines import Earlier

__all__ = ["EDITIONS", "earlier_editions", "last_printed"]

EDITIONS = 3
"""Earlier editions that are attacked together with a new one: the latest ones that differ, and
those whose figures still stand in the latest one."""

Cells: TypeAlias = Callable[[str, int, int, str], tuple[Hashable, ...]]
"""The cells of a line, from topic, first week, last week and part."""

COLUMNS = {
    "answers": "total", "wrong": "part", "right": "rest",
    "students": "total", "meeting": "part", "below": "rest", "too_little": "aside",
}  # fmt: skip


def earlier_editions(known: pd.DataFrame, cells: Cells) -> list[Earlier]:
    """The latest editions that differ, oldest first.

    Args:
        known: rows of `store.shared_earlier` of one term and setting.
        cells: which of today's cells a line sums. A line of which no cell is left is dropped.

    Returns:
        What each said; a count that it had carried over says nothing new and is left out.
    """
    if known.empty:
        return []
    latest = known[known["edition"] == known["edition"].max()]
    sources = set(latest["as_of"].dropna())
    found: list[tuple[str, Earlier]] = []
    for name, part in known[known["as_of"].isna()].groupby("edition", sort=True):
        told = _told(part, cells)
        same = found and (told.values, told.ceilings) == (
            found[-1][1].values,
            found[-1][1].ceilings,
        )
        if not same:
            found.append((str(name), told))
    recent = {name for name, _ in found[-EDITIONS:]}
    return [told for name, told in found if name in recent | sources]


def _same(one: Earlier, other: Earlier) -> bool:
    return (one.values, one.ceilings) == (other.values, other.ceilings)


def _told(part: pd.DataFrame, cells: Cells) -> Earlier:
    keys = [
        (str(row["topic"]), int(row["week_from"]), int(row["week_to"]), str(row["part"]))
        for row in part.to_dict("records")
    ]
    values = [None if pd.isna(value) else float(value) for value in part["value"]]
    tops = {
        key: float(top)
        for key, top in zip(keys, part["ceiling"], strict=True)
        if pd.notna(top)
    }  # fmt: skip
    return Earlier({key: cells(*key) for key in keys}, dict(zip(keys, values, strict=True)), tops)


def last_printed(known: pd.DataFrame) -> dict[Hashable, dict[str, object]]:
    """The figures of each line that the latest edition printed whole, to be carried over.

    Args:
        known: rows of `store.shared_earlier` of one term and setting.

    Returns:
        By topic, first and last week: total, part, rest, aside, rate and the edition they are of.
    """
    if known.empty:
        return {}
    latest = known[known["edition"] == known["edition"].max()]
    found: dict[Hashable, dict[str, object]] = {}
    for (topic, first, last), part in latest.groupby(["topic", "week_from", "week_to"]):
        values = dict(zip(part["part"], part["value"], strict=True))
        if part["value"].isna().any():
            continue
        figures = {COLUMNS[str(name)]: float(value) for name, value in values.items()}
        marks = part["as_of"].dropna()
        since = str(marks.iloc[0]) if len(marks) else str(part["edition"].iloc[0])
        rate = round(figures["part"] / figures["total"], 2) if figures["total"] else None
        found[(str(topic), int(first), int(last))] = {**figures, "rate": rate, "as_of": since}
    return found
