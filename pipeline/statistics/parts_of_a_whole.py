"""Parts of a known whole: which rows may stand side by side without telling a hidden one."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

__all__ = ["errors_shown", "may_be_shown", "sections_shown", "tries_shown"]

_WHOLES = (
    ("term", "topic", ()),
    ("term", "week", ()),
    ("term", "item", ()),
    ("topic", "topic and week", ("topic",)),
    ("week", "topic and week", ("week",)),
    ("topic", "item", ("topic",)),
    ("topic and week", "item", ("topic", "week")),
    ("outcome", "item", ("outcome",)),
)
"""What `try_rate` groups by: a whole, what adds up to it, and what both share."""

_FIRST_HIDDEN = ("topic", "week", "outcome", "topic and week", "item", "term")
"""Sums before what the pages draw; the term's own stand in the headline, too."""


def may_be_shown(
    students: ArrayLike, sums: Sequence[Sequence[int]], limit: int, *, apart: bool
) -> NDArray[np.bool_]:
    """Hide small rows and, where a sum would tell of them, one more.

    Where all but some of a sum is shown, these are known together. That tells nothing of one of
    them if there are at least two and the limit of students stands behind them together.

    Args:
        students: behind each row.
        sums: rows that add up, the whole among them where it is a row, too. The first that is not
            small is hidden first; never order them by size, which would bound what is hidden.
        limit: fewest students of whom a figure may be shown.
        apart: whether no student stands in two parts of a whole, so that small parts add up.

    Returns:
        Whether each row may be shown.
    """
    size = np.asarray(students)
    shown = np.asarray(size >= limit)
    together = np.sum if apart else np.max
    again = True
    while again:
        again = False
        for rows in map(np.asarray, sums):
            hidden, rest = rows[~shown[rows]], rows[shown[rows]]
            if not len(hidden) or not len(rest):
                continue
            if len(hidden) == 1 or together(size[hidden]) < limit:
                shown[rest[0]] = False
                again = True
    return shown


def tries_shown(rates: pd.DataFrame, items: pd.DataFrame, limit: int) -> NDArray[np.bool_]:
    """Say which rows of `try_rate` may be shown beside each other.

    Args:
        rates: rows of `computed.try_rate`.
        items: `staging.serves`.
        limit: see `may_be_shown`.
    """
    laid = rates.reset_index(drop=True)
    known = items.drop_duplicates("item", keep="last").set_index("item")
    of_item = laid["grouped_by"] == "item"
    for name in ("topic", "week", "outcome"):
        laid[name] = laid[name].astype(object).mask(of_item, laid["item"].map(known[name]))
    place = laid["grouped_by"].map({name: at for at, name in enumerate(_FIRST_HIDDEN)})
    laid = laid.iloc[place.argsort(kind="stable")]
    sums = [
        rows
        for whole, part, keys in _WHOLES
        for rows in laid[laid["grouped_by"].isin([whole, part])]
        .groupby(["grain", "term", "setting", *keys])
        .groups.values()
    ]
    return may_be_shown(rates["students"], sums, limit, apart=False)


def errors_shown(
    weekly: pd.DataFrame, totals: pd.DataFrame, limit: int
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Say which rates of errors by topic and week, and over the term, may be shown.

    Args:
        weekly: rows of `computed.pattern_rate`.
        totals: rows of `computed.pattern_total`.
        limit: see `may_be_shown`.
    """
    both = pd.concat([weekly, totals], ignore_index=True)
    sums = list(both.groupby(["term", "setting", "pattern"]).groups.values())
    shown = may_be_shown(both["students"], sums, limit, apart=False)
    return shown[: len(weekly)], shown[len(weekly) :]


def sections_shown(outcomes: pd.DataFrame, limit: int) -> NDArray[np.bool_]:
    """Say of which class sections an outcome's share may be shown beside that of all together.

    Args:
        outcomes: rows of `computed.outcome_share`.
        limit: see `may_be_shown`.
    """
    laid = outcomes.assign(whole=outcomes["section"] == "all").sort_values(["whole", "section"])
    sums = list(laid.groupby(["term", "outcome"]).groups.values())
    return may_be_shown(outcomes["students"], sums, limit, apart=True)
