"""Wrong answers to a later part that follow from the student's own answer to an earlier one.

The verdict stays wrong against the key; the answer is said to follow, and no error is laid to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pandas as pd

from pipeline.course import Course, Item
from pipeline.course.earlier_parts import put_in
from pipeline.records import Verdict
from pipeline.tagging.examine import examine
from pipeline.warehouse import Warehouse

_RIGHT = (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
_DISTINCT = ["item", "item_from", "earlier_value", "answer"]


def mark_following(course: Course, warehouse: Warehouse) -> None:
    """Find the answers that follow from an earlier part; each distinct pair is judged once.

    Args:
        course: its items say which part follows which.
        warehouse: the database that is being built, answers judged.
    """
    items = {(item.id, item.start): item for item in course.items if item.follows}
    if not items:
        warehouse.put("store.following", pd.DataFrame())
        return
    rows = warehouse.asked("judging.later_part")
    if not len(rows):
        warehouse.put("store.following", pd.DataFrame())
        return
    distinct = rows[_DISTINCT].drop_duplicates()
    follows = [
        _follows(items.get((row["item"], row["item_from"] or "")), row, course)
        for row in distinct.to_dict("records")
    ]
    right = rows.merge(distinct[follows], on=_DISTINCT)
    found = right[["response", "follows"]].rename(columns={"follows": "follows_from"})
    warehouse.put("store.following", found)


def _follows(item: Item | None, row: Mapping[Any, Any], course: Course) -> bool:
    """Whether an answer is right once the student's own earlier value stands in the problem."""
    if item is None or item.template is None or item.follows is None:
        return False
    value = str(row["earlier_value"]).replace("−", "-")
    problem = put_in(item.template, item.follows, value)
    if problem is None:
        return False
    request = replace(
        item.request(str(row["answer"])), problem=problem, key=None,
        decimal_comma=course.reading.decimal_comma, min_places=course.reading.min_places,
    )  # fmt: skip
    return examine(request, ()).verdict in _RIGHT
