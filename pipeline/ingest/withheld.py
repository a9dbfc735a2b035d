"""Identities that students type into answers: found, and withheld before anything is stored."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pandas as pd

__all__ = ["WITHHELD", "identifying", "names_its_student"]

WITHHELD = "withheld, it names a person"
_SHORTEST = 5
"""A shorter id could be an answer by chance."""

_PLAIN, _PERHAPS, _ADDRESS = 0, 1, 2
_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
_MAY_NAME = re.compile(rf"[\w.@-]{{{_SHORTEST},}}|[^\W\d_]{{2,}}\W+[^\W\d_]{{2,}}")
"""A text without such a piece holds no id."""


def identifying(texts: pd.Series[Any], students: pd.Series[Any]) -> pd.Series[bool]:
    """Which texts hold an e-mail address, or the id of the student who typed them.

    Args:
        texts: what was typed; a missing one names nobody.
        students: the normal id of each row's student, "" for none.
    """
    codes, distinct = pd.factorize(texts)
    kinds = np.array([*(_kind(str(text)) for text in distinct), _PLAIN], dtype=np.int8)[codes]
    found = kinds == _ADDRESS
    rows = np.flatnonzero(kinds == _PERHAPS)
    pairs = zip(texts.iloc[rows], students.iloc[rows], strict=True)
    found[rows] = np.array([names_its_student(str(t), str(s)) for t, s in pairs], dtype=bool)
    return pd.Series(found, index=texts.index, dtype=bool)


def _kind(text: str) -> int:
    """Whether a text holds an address, may hold an id, or neither."""
    if "@" in text and _EMAIL.search(text):
        return _ADDRESS
    return _PERHAPS if _MAY_NAME.search(text) else _PLAIN


def names_its_student(text: str, student: str) -> bool:
    """Whether a text holds an e-mail address, or this normal id as a piece of its own."""
    if _EMAIL.search(text):
        return True
    place = text.casefold().find(student.casefold()) if len(student) >= _SHORTEST else -1
    if place < 0:
        return False
    around = text[:place][-1:] + text[place + len(student) :][:1]
    return not any(one.isalnum() for one in around)
