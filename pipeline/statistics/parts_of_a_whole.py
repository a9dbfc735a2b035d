"""Parts of a known whole: which rows may stand side by side without telling a hidden one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray
from scipy.linalg import null_space

_WHOLES: tuple[tuple[str, str, list[str]], ...] = (
    ("term", "topic", []),
    ("term", "week", []),
    ("term", "outcome", []),
    ("term", "item", []),
    ("topic", "topic and week", ["topic"]),
    ("week", "topic and week", ["week"]),
    ("topic", "item", ["topic"]),
    ("topic and week", "item", ["topic", "week"]),
    ("outcome", "item", ["outcome"]),
)
"""What `wrong_by_try` groups by: a whole, what adds up to it, and what both share."""

_PLACE = ["term", "setting", "grouped_by", "week", "section", "topic", "outcome", "item"]
_OF_ERROR = ["term", "setting", "pattern"]
_ZERO = 1e-9
_FIRST_HIDDEN = ("topic", "week", "outcome", "topic and week", "item", "term")
"""Sums before what the pages draw; the term's own stand in the headline, too."""


def may_be_shown(
    students: ArrayLike,
    sums: Sequence[ArrayLike],
    limit: int,
    *,
    apart: bool,
    wholes: Sequence[int] | None = None,
    without: ArrayLike = False,
) -> NDArray[np.bool_]:
    """Hide small rows and, where a sum would tell of them, one more.

    Where all but some of a sum is shown, these are known together. That tells nothing of one of
    them if there are at least two and the limit of students stands behind them together.

    Args:
        students: behind each row; nan where it tells of nobody, so that it is always shown.
        sums: rows that add up, the whole among them where it is a row, too. The first that is not
            small is hidden first; never order them by size, which would bound what is hidden.
        limit: fewest students of whom a figure may be shown.
        apart: whether no student stands in two parts of a whole, so that small parts add up.
        wholes: the whole of each sum, where sums cross.
        without: whether each row is hidden anyway.

    Returns:
        Whether each row may be shown.
    """
    size = np.asarray(students, dtype=float)
    tells = ~np.isnan(size)
    together = np.sum if apart else np.max
    lines = [np.asarray(rows) for rows in sums]
    shown = np.asarray(((size >= limit) | ~tells) & ~np.asarray(without))
    again = True
    while again:
        again = False
        for rows in lines:
            hidden, rest = rows[~shown[rows]], rows[shown[rows] & tells[rows]]
            if len(hidden) and len(rest) and (len(hidden) < 2 or together(size[hidden]) < limit):
                shown[rest[0]] = False
                again = True
        for row in () if again or wholes is None else _told(lines, wholes, shown, size < limit):
            rest = np.concatenate(
                [rows[shown[rows] & tells[rows]] for rows in lines if row in rows]
            )
            shown[rest[:1]] = False
            again |= len(rest) > 0
    return shown


def _told(
    lines: Sequence[NDArray[np.int64]],
    wholes: Sequence[int],
    shown: NDArray[np.bool_],
    small: NDArray[np.bool_],
) -> NDArray[np.int64]:
    """Small rows that follow, alone or with another, from what is shown by sums that cross."""
    sums = np.zeros((len(lines), len(shown)))
    for line, (rows, whole) in enumerate(zip(lines, wholes, strict=True)):
        sums[line, rows] = 1
        sums[line, whole] = -1
    hidden = np.flatnonzero(~shown)
    free = null_space(sums[:, hidden]) if len(hidden) else np.empty((0, 0))
    products = free @ free.T
    squares = np.diag(products)
    # What does not move in the null space is known: a row, or the sum of two small ones.
    two = (squares[:, None] + squares + 2 * products <= _ZERO) & small[hidden]
    return np.asarray(hidden[small[hidden] & two.any(axis=1)])


def tries_shown(rates: pd.DataFrame, items: pd.DataFrame, limit: int) -> NDArray[np.bool_]:
    """Say which rows of `wrong_by_try` may be shown beside each other.

    Args:
        rates: rows of `main.wrong_by_try`, and `again`, those whose first and last tries are not
            the same.
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
    shown = np.zeros(len(laid), dtype=bool)
    for _, rows in laid.groupby(["grain", "term", "setting"]):
        one = rows.reset_index(names="row")
        sums, wholes = zip(*_sums(one), strict=True)
        # Last tries beside first ones tell of those who tried again.
        last = (one["grain"] == "last") & (one["students"] >= limit)
        size = one["students"].mask(last, one["again"].where(one["again"] > 0))
        shown[one["row"]] = may_be_shown(size, sums, limit, apart=False, wholes=wholes)
    # Where nobody tried again, a last try is the first one that is hidden beside it.
    first = (rates["grain"] == "first").to_numpy()
    of_what = pd.MultiIndex.from_frame(rates.reindex(columns=_PLACE))
    return np.asarray(shown & (first | of_what.isin(of_what[first & shown])))


def _sums(rows: pd.DataFrame) -> Iterator[tuple[NDArray[np.int64], int]]:
    """Rows of one class that add up, and which of them is the whole."""
    for whole, part, keys in _WHOLES:
        both = rows[rows["grouped_by"].isin([whole, part])]
        yield from _with_whole(both, ["term", "setting", *keys], both["grouped_by"] == whole)


def _with_whole(
    rows: pd.DataFrame, keys: list[str], is_whole: pd.Series
) -> Iterator[tuple[NDArray[np.int64], int]]:
    """Rows that are alike in some keys, by their index, with each of them that is a whole."""
    whole, index = is_whole.to_numpy(), rows.index.to_numpy()
    for found in rows.groupby(keys).indices.values():
        for total in index[found[whole[found]]]:
            yield index[found], int(total)


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
    sums = [
        rows.to_numpy() for rows in both.groupby(["term", "setting", "pattern"]).groups.values()
    ]
    shown = may_be_shown(both["students"], sums, limit, apart=False)
    return shown[: len(weekly)], shown[len(weekly) :]


def sections_shown(
    rows: pd.DataFrame, limit: int, keys: Sequence[str] = ("term", "outcome")
) -> NDArray[np.bool_]:
    """Say of which class sections a figure may be shown beside that of all together.

    Args:
        rows: `keys`, section (`all` for all together), students; nobody stands in two sections.
        limit: see `may_be_shown`.
        keys: what the figures are of.
    """
    laid = rows.assign(whole=rows["section"] == "all").sort_values(["whole", "section"])
    sums = [one.to_numpy() for one in laid.groupby(list(keys)).groups.values()]
    return may_be_shown(rows["students"], sums, limit, apart=True)


def section_weeks_shown(
    parts: pd.DataFrame, wholes: Sequence[pd.DataFrame], limit: int
) -> NDArray[np.bool_]:
    """Say which rates of errors by class section, topic and week may be shown.

    Each is a part of its week's rate and of its section's, which are parts of the term's. So these
    sums cross, and no rate of few may follow from all of them together; nor does a part stand where
    one of its wholes is hidden.

    Args:
        parts: `_OF_ERROR`, topic, week, section, students.
        wholes: rates that are shown or not: of all sections together by topic and week, of all
            weeks together by section, and of both.
        limit: see `may_be_shown`.
    """
    weeks, sections, totals = wholes
    always = pd.concat([sections, totals.assign(section="all")]).assign(topic="", week=0)
    known = pd.concat([weeks.assign(section="all"), always])
    known = known.merge(parts[_OF_ERROR].drop_duplicates(), on=_OF_ERROR)
    both = pd.concat([parts.assign(shown=True), known], ignore_index=True)
    shown = np.zeros(len(both), dtype=bool)
    for _, rows in both.groupby(_OF_ERROR):
        one = rows.reset_index(names="row")
        stands, is_part = one["shown"].to_numpy(dtype=bool), (one["row"] < len(parts)).to_numpy()
        sums, of = zip(*_crossing(one), strict=True)
        without = ~stands
        for line, whole in zip(sums, of, strict=True):
            without[line] |= is_part[line] & ~stands[whole]
        may = may_be_shown(one["students"], sums, limit, apart=False, wholes=of, without=without)
        # What stands already cannot be hidden for these parts.
        shown[one["row"]] = may & bool(may[stands & ~is_part].all())
    return shown[: len(parts)]


def _crossing(rows: pd.DataFrame) -> Iterator[tuple[NDArray[np.int64], int]]:
    """Sums of one error, by section and by week, and which row is the whole of each."""
    yield from _with_whole(rows, ["topic", "week"], rows["section"] == "all")
    yield from _with_whole(rows, ["section"], rows["week"] == 0)
