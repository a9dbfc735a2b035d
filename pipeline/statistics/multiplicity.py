"""p-values of many comparisons, adjusted together; missing ones stay missing and do not count."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def benjamini_hochberg(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust all p-values of one page for the share of false findings among the findings.

    Source: Benjamini and Hochberg (1995), JRSS B 57:289-300.
    """
    return _adjusted(p, "fdr_bh")


def holm(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust a few headline p-values for the chance of any false finding.

    Source: Holm (1979), Scandinavian Journal of Statistics 6:65-70.
    """
    return _adjusted(p, "holm")


def _adjusted(p: ArrayLike, method: str) -> NDArray[np.float64]:
    values = np.array(p, dtype=float)
    known = np.isfinite(values)
    if known.sum() > 1:  # one alone stays as it is
        from statsmodels.stats.multitest import multipletests  # slow to import

        values[known] = multipletests(values[known], method=method)[1]
    return values
