"""p-values of many comparisons, adjusted together; missing ones stay missing and do not count."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["benjamini_hochberg", "holm"]


def benjamini_hochberg(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust all p-values of one page for the share of false findings among the findings.

    Source: Benjamini and Hochberg (1995), JRSS B 57:289-300.
    """
    values, order = _ordered(p)
    scaled = values[order] * len(order) / np.arange(1, len(order) + 1)
    values[order] = np.minimum.accumulate(scaled[::-1])[::-1].clip(max=1)
    return values


def holm(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust a few headline p-values for the chance of any false finding.

    Source: Holm (1979), Scandinavian Journal of Statistics 6:65-70.
    """
    values, order = _ordered(p)
    scaled = values[order] * np.arange(len(order), 0, -1)
    values[order] = np.maximum.accumulate(scaled).clip(max=1)
    return values


def _ordered(p: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """The p-values, and the places of those that are known, the smallest first."""
    values = np.array(p, dtype=float)
    order = np.argsort(values, kind="stable")  # missing ones come last
    return values, order[: np.isfinite(values).sum()]
