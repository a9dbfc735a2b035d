"""Columns of texts as distinct texts and codes: work is done once per text, never row by row.

A column of texts is a categorical: its categories are the distinct texts, a missing text has no
category. Plain columns, such as those read from a database, are taken as well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

Codes = npt.NDArray[np.int64]
Texts = npt.NDArray[np.object_]


def coded(column: pd.Series[Any]) -> tuple[Codes, Texts]:
    """Code of each row, -1 for a missing text, and the distinct texts that the codes count."""
    if isinstance(column.dtype, pd.CategoricalDtype):
        codes = column.cat.codes.to_numpy().astype(np.int64)
        return codes, column.cat.categories.to_numpy(dtype=object)
    codes, texts = pd.factorize(column)
    return codes.astype(np.int64), np.asarray(texts, dtype=object)


def text_column(
    codes: npt.NDArray[Any], texts: Sequence[object] | Texts, index: pd.Index[Any] | None = None
) -> pd.Series[Any]:
    """A column of texts from codes, -1 for a missing one, and distinct texts."""
    kind = pd.CategoricalDtype(pd.Index(texts, dtype=object))
    column = pd.Categorical.from_codes(codes, dtype=kind, validate=False)
    return pd.Series(column, index=index)


def per_distinct(column: pd.Series[Any], function: Callable[[str], str | None]) -> pd.Series[Any]:
    """Texts from texts, worked out once for each; missing ones stay missing."""
    codes, texts = coded(column)
    found, kept = pd.factorize(_objects(function(text) for text in texts))
    return text_column(np.append(found, -1)[codes], kept, column.index)


def per_pair(
    column: pd.Series[Any],
    other: pd.Series[Any],
    function: Callable[[str | None, str | None], str | None],
) -> pd.Series[Any]:
    """Texts from two columns, worked out once for each pair of their texts; None for a missing."""
    (first, texts), (second, more) = coded(column), coded(other)
    pairs, inverse = np.unique(first * (len(more) + 1) + second + 1, return_inverse=True)
    ours, others = np.append(texts, _objects([None])), np.append(more, _objects([None]))
    kinds = zip(ours[pairs // (len(more) + 1)], others[pairs % (len(more) + 1) - 1], strict=True)
    found, kept = pd.factorize(_objects(function(one, two) for one, two in kinds))
    return text_column(found[inverse], kept, column.index)


def values_of(
    column: pd.Series[Any], function: Callable[[str], object], kind: str
) -> pd.Series[Any]:
    """Values of a kind such as `float64` or `Int64` from texts, missing for missing texts."""
    codes, texts = coded(column)
    values = pd.Series([*(function(text) for text in texts), None], dtype=object).astype(kind)  # type: ignore[call-overload]
    return pd.Series(values.array[codes], index=column.index)


def where_text(column: pd.Series[Any], holds: Callable[[str], bool]) -> pd.Series[bool]:
    """Rows whose text is such; a missing one is not."""
    codes, texts = coded(column)
    found = np.array([*(bool(holds(text)) for text in texts), False], dtype=bool)
    return pd.Series(found[codes], index=column.index)


def trimmed(column: pd.Series[Any]) -> pd.Series[Any]:
    """Texts without outer blanks."""
    return per_distinct(column, str.strip)


def used(column: pd.Series[Any]) -> pd.Series[Any]:
    """The column without the texts that none of its rows has."""
    codes, texts = coded(column)
    there = np.bincount(codes + 1, minlength=len(texts) + 1)[1:] > 0
    if there.all() and isinstance(column.dtype, pd.CategoricalDtype):
        return column
    return text_column(np.append(np.cumsum(there) - 1, -1)[codes], texts[there], column.index)


def replaced(column: pd.Series[Any], where: npt.ArrayLike, text: str | None) -> pd.Series[Any]:
    """The column with one text, or none, in some of its rows."""
    codes, texts = coded(column)
    there = np.asarray(where, dtype=bool)
    if text is None:
        return text_column(np.where(there, -1, codes), texts, column.index)
    places, every = pd.factorize(np.append(texts, _objects([text])))
    return text_column(np.where(there, places[-1], codes), every, column.index)


def filled(column: pd.Series[Any], other: pd.Series[Any]) -> pd.Series[Any]:
    """The column with the texts of another one where its own are missing."""
    first, second, texts = _together(column, other)
    return text_column(np.where(first < 0, second, first), texts, column.index)


def same(column: pd.Series[Any], other: pd.Series[Any]) -> npt.NDArray[np.bool_]:
    """Rows in which two columns hold the same text, or neither holds one."""
    first, second, _ = _together(column, other)
    return np.equal(first, second)


def plain(column: pd.Series[Any]) -> pd.Series[Any]:
    """The column as Python texts, None where one is missing."""
    codes, texts = coded(column)
    return pd.Series(np.append(texts, _objects([None]))[codes], column.index, dtype=object)


def _together(column: pd.Series[Any], other: pd.Series[Any]) -> tuple[Codes, Codes, Texts]:
    """Codes of two columns over the same texts."""
    (first, texts), (second, more) = coded(column), coded(other)
    places, every = pd.factorize(np.concatenate([texts, more]))
    ours, others = np.append(places[: len(texts)], -1), np.append(places[len(texts) :], -1)
    return ours[first], others[second], np.asarray(every, dtype=object)


def _objects(values: Iterable[object]) -> Texts:
    """An array of Python objects, whatever they are."""
    listed = list(values)
    array = np.empty(len(listed), dtype=object)
    array[:] = listed
    return array
