"""An answer is judged by the question it was given: a silent change of a question stops a run."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

import pandas as pd

from pipeline.course import Course, Item
from pipeline.errors import CourseError

__all__ = ["refuse_changed_questions"]

MOST_NAMED = 5
JUDGED_BY = {"task": "task", "problem": "problem", "key": "answer"}
"""Columns of `store.item` -> attributes of an item, which decide what is right."""


def refuse_changed_questions(
    course: Course, stored_items: pd.DataFrame, responses: pd.DataFrame
) -> None:
    """Stop when a question that was answered already now says something else.

    Args:
        course: as it is today.
        stored_items: the items of the last run.
        responses: item, item_from of every stored answer.

    Raises:
        CourseError: some question changed without a new `from` and without `correction`.
    """
    answered = responses.assign(item_from=responses["item_from"].fillna(""))
    counts = answered.value_counts(["item", "item_from"]).to_dict()
    before = {
        (row["item"], row["item_from"] or ""): row
        for row in stored_items.fillna("").to_dict("records")
    }
    changes = [
        f"{item.id} (line {item.line} of the items): {text}, {counts[key]:,} answers"
        for item in course.items
        if (key := (item.id, item.start)) in before and key in counts and not item.correction
        for text in _changes(before[key], item)
    ]
    if changes:
        more = f", and {len(changes) - MOST_NAMED} more" if len(changes) > MOST_NAMED else ""
        raise CourseError(
            "Questions that were answered already have changed: "
            + "; ".join(changes[:MOST_NAMED])
            + more
            + ". If the question is a new one, keep the old row and add one with the date or term "
            "from which it holds under `from`. If the old text was a mistake, write yes under "
            "`correction`, and the old answers are judged anew."
        )


def _changes(old: dict[Hashable, Any], item: Item) -> Iterator[str]:
    for column, attribute in JUDGED_BY.items():
        was = old[column]
        now = getattr(item, attribute) or ""
        if was != now:
            yield f"{attribute} was '{was}', is now '{now}'"
