"""Texts that a spreadsheet program would take for a formula, guarded where a CSV is written.

Source: OWASP ASVS 5.0, 1.2.10.
"""

from __future__ import annotations

from collections.abc import Collection

import pandas as pd

_FORMULA = tuple("=+-@\t\r\n\0")


def guarded(frame: pd.DataFrame, as_typed: Collection[str] = ()) -> pd.DataFrame:
    """Put `'` in front of texts that begin like a formula.

    Args:
        frame: what is to be written.
        as_typed: columns of answers, which stay as they were typed.
    """
    texts = [
        name
        for name in frame.columns
        if name not in as_typed and not pd.api.types.is_numeric_dtype(frame[name])
    ]
    return frame.assign(**{name: frame[name].map(_guarded) for name in texts})


def _guarded(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value
