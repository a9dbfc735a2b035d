"""Parts of a known whole: which may stand beside it without telling a hidden one."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

__all__ = ["may_be_shown"]


def may_be_shown(parts: pd.DataFrame, keys: Sequence[str], limit: int) -> pd.Series:
    """Hide small parts of each whole and, where subtraction would tell of them, one more.

    With one sum known, what is hidden together is the whole less what is shown. It tells nothing
    of one part if at least two are hidden that together reach the limit: each may then be
    anything from 0 to the limit less one. The further part is chosen by `order`, never by its
    size, which would bound it.

    Args:
        parts: `keys`, count (students), order (unique within a whole: the first is hidden first).
        keys: what makes a whole.
        limit: smallest count that may be shown.

    Returns:
        Whether each part may be shown, on the index of `parts`.
    """
    small = parts["count"] < limit
    whole = [parts[key] for key in keys]
    hidden = small.groupby(whole, dropna=False).transform("sum")
    together = parts["count"].where(small, 0).groupby(whole, dropna=False).transform("sum")
    tells = (hidden > 0) & ((hidden < 2) | (together < limit - 1))
    first = parts["order"].where(~small).groupby(whole, dropna=False).transform("min")
    return ~small & ~(tells & (parts["order"] == first))
