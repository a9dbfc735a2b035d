"""p-values of many comparisons, adjusted together."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers: TypeAlias = NDArray[np.float64]

__all__ = ["benjamini_hochberg", "holm"]


def benjamini_hochberg(p: ArrayLike) -> Numbers:
    """Adjust all p-values of one page for the share of false findings among the findings.

    Args:
        p: p-values; missing ones stay missing and do not count.

    Source: Benjamini and Hochberg (1995), JRSS B 57:289-300.
    """
    return _adjusted(p, _false_discoveries)


def holm(p: ArrayLike) -> Numbers:
    """Adjust a few headline p-values for the chance of any false finding.

    Args:
        p: p-values; missing ones stay missing and do not count.

    Source: Holm (1979), Scandinavian Journal of Statistics 6:65-70.
    """
    return _adjusted(p, _any_false)


def _adjusted(p: ArrayLike, rule: Callable[[Numbers], Numbers]) -> Numbers:
    """Adjust what is given by a rule for p-values in rising order."""
    values = np.asarray(p, dtype=float)
    result = np.full(values.shape, np.nan)
    order = np.flatnonzero(np.isfinite(values))
    order = order[np.argsort(values[order])]
    result[order] = np.minimum(rule(values[order]), 1.0)
    return result


def _false_discoveries(rising: Numbers) -> Numbers:
    scaled = rising * len(rising) / np.arange(1, len(rising) + 1)
    return np.minimum.accumulate(scaled[::-1])[::-1]


def _any_false(rising: Numbers) -> Numbers:
    return np.maximum.accumulate(rising * np.arange(len(rising), 0, -1))
