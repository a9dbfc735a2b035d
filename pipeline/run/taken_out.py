"""Answers and texts that are taken out of the database.

Rows of answers count as rejected, so that all add up; a text that names a person becomes a note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pandas as pd

from pipeline.ingest.distinct import where_text
from pipeline.ingest.withheld import TYPED, WITHHELD
from pipeline.warehouse import Warehouse

OF_ANSWERS = ("duplicate", "correction", "vanished")
"""Tables that tell of single answers."""


def count_as_rejected(
    warehouse: Warehouse,
    files: pd.DataFrame,
    gone: tuple[pd.DataFrame, pd.DataFrame],
    column: str,
    reason: str,
) -> None:
    """Account for answers that were stored, or known, and are so no longer.

    Args:
        warehouse: the database that is being built.
        files: rows of `store.source_file` that count them.
        gone: their rows of `store.response` and of `store.duplicate`.
        column: that the reason is about.
        reason: why they are taken out.
    """
    places = ["file", "line", "response"]
    rows = pd.concat([one[places] for one in gone]).drop_duplicates()[["file", "line"]].copy()
    rows["column"], rows["reason"], rows["needs_look"] = column, reason, False
    warehouse.put("store.rejected", rows, replace=False)
    files = files.sort_values("loaded_at").reset_index(drop=True)
    for name, one in zip(("stored", "duplicates"), gone, strict=True):
        for file, count in one["file"].value_counts().items():
            left = int(count)
            for row in reversed(files.index[files["file"] == file]):
                moved = min(left, int(files.loc[row, name]))
                files.loc[row, name] -= moved
                files.loc[row, "rejected"] += moved
                left -= moved
    warehouse.put("store.source_file", files)


def withhold(warehouse: Warehouse, names: Callable[[str], bool]) -> bool:
    """Take what names a person out of what was typed before the course knew the person.

    Args:
        warehouse: the database that is being built.
        names: whether a text does.

    Returns:
        Whether there was any.
    """
    columns = [*TYPED, "problem_given", "quiz_given", "source_place"]
    if not any(map(names, (one for name in columns for one in _distinct(warehouse, name)))):
        return False
    answers = warehouse.frame("store.response")
    for name in columns:
        found = where_text(answers[name].fillna(""), names)
        if name == "item":
            found &= answers["place"] == "unlisted"
        answers[name] = answers[name].mask(found, WITHHELD)
    warehouse.put("store.response", answers)
    return True


def _distinct(warehouse: Warehouse, column: str) -> Iterator[str]:
    return map(str, warehouse.distinct("store.response", column))
