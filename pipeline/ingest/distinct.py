"""Work on the distinct texts of a column, never row by row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd

__all__ = ["per_distinct", "trimmed"]


def per_distinct(column: pd.Series[Any], function: Callable[[str], object]) -> pd.Series[Any]:
    """A function applied once to each distinct text; missing texts stay missing."""
    codes, texts = pd.factorize(column)
    values = np.empty(len(texts) + 1, dtype=object)
    values[:-1] = [function(text) for text in texts]
    return pd.Series(values[codes], index=column.index, dtype=object)


def trimmed(column: pd.Series[Any]) -> pd.Series[Any]:
    """Texts without outer blanks."""
    return per_distinct(column, str.strip)
