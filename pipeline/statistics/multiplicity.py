"""p-values of many comparisons, adjusted together."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from statsmodels.stats.multitest import multipletests

__all__ = ["benjamini_hochberg", "holm"]


def benjamini_hochberg(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust all p-values of one page for the share of false findings among the findings.

    Args:
        p: p-values; missing ones stay missing and do not count.

    Source: Benjamini and Hochberg (1995), JRSS B 57:289-300.
    """
    return _adjusted(p, "fdr_bh")


def holm(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust a few headline p-values for the chance of any false finding.

    Args:
        p: p-values; missing ones stay missing and do not count.

    Source: Holm (1979), Scandinavian Journal of Statistics 6:65-70.
    """
    return _adjusted(p, "holm")


def _adjusted(p: ArrayLike, method: str) -> NDArray[np.float64]:
    values = np.asarray(p, dtype=float)
    result = np.full(values.shape, np.nan)
    given = np.isfinite(values)
    if given.any():
        result[given] = multipletests(values[given], method=method)[1]
    return result
