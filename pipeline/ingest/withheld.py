"""Identities that students type into answers: found, and withheld before anything is stored."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import per_distinct

__all__ = ["WITHHELD", "identifying", "names_its_student"]

WITHHELD = "withheld, it names a person"
_SHORTEST = 5
"""A shorter id could be an answer by chance."""

_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
_MAY_NAME = re.compile(rf"[\w.@-]{{{_SHORTEST},}}|[^\W\d_]{{2,}}\W+[^\W\d_]{{2,}}")
"""A text without such a piece holds no id."""


def identifying(texts: pd.Series[Any], students: pd.Series[Any]) -> pd.Series[bool]:
    """Which texts hold an e-mail address, or the id of the student who typed them.

    Args:
        texts: what was typed; a missing one names nobody.
        students: the normal id of each row's student, "" for none.
    """
    filled = texts.fillna("").astype(object)
    found = per_distinct(filled, lambda text: bool(_EMAIL.search(text))).to_numpy(dtype=bool)
    may = per_distinct(filled, lambda text: bool(_MAY_NAME.search(text))).to_numpy(dtype=bool)
    rows = may & ~found & (students.str.len() >= _SHORTEST).to_numpy(dtype=bool)
    pairs = zip(filled[rows], students[rows], strict=True)
    found[rows] = np.array([names_its_student(str(t), str(s)) for t, s in pairs], dtype=bool)
    return pd.Series(found, index=texts.index, dtype=bool)


def names_its_student(text: str, student: str) -> bool:
    """Whether a text holds an e-mail address, or this normal id as a piece of its own."""
    if _EMAIL.search(text):
        return True
    place = text.casefold().find(student.casefold()) if len(student) >= _SHORTEST else -1
    if place < 0:
        return False
    around = text[:place][-1:] + text[place + len(student) :][:1]
    return not any(one.isalnum() for one in around)
