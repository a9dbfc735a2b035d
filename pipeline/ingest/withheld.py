"""Identities that students type into answers: found, and withheld before anything is stored."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import coded

__all__ = ["WITHHELD", "identifying", "names_its_student"]

WITHHELD = "withheld, it names a person"
_SHORTEST = 5
"""A shorter id could be an answer by chance."""

_FEW_ROWS = 8
"""A text of more rows is first looked through for the ids of all students at once."""

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
    codes, distinct = coded(texts)
    whose, ids = coded(students)
    known = {one.casefold() for one in ids if len(one) >= _SHORTEST}
    sizes = sorted({len(one) for one in known})
    often = np.bincount(codes + 1, minlength=len(distinct) + 1)[1:] > _FEW_ROWS
    kinds = np.array([*(_kind(text) for text in distinct), _PLAIN], dtype=np.int8)
    for place in np.flatnonzero((kinds[:-1] == _PERHAPS) & often):
        if not _names_one(distinct[place], known, sizes):
            kinds[place] = _PLAIN
    kinds = kinds[codes]
    found = kinds == _ADDRESS
    rows = np.flatnonzero(kinds == _PERHAPS)
    pairs = zip(codes[rows], whose[rows], strict=True)
    found[rows] = [names_its_student(distinct[text], ids[one]) for text, one in pairs]
    return pd.Series(found, index=texts.index, dtype=bool)


def _kind(text: str) -> int:
    """Whether a text holds an address, may hold an id, or neither."""
    if "@" in text and _EMAIL.search(text):
        return _ADDRESS
    return _PERHAPS if _MAY_NAME.search(text) else _PLAIN


def _names_one(text: str, ids: set[str], sizes: list[int]) -> bool:
    """Whether one of these ids may stand in a text as a piece of its own."""
    folded = text.casefold()
    if len(folded) != len(text):
        return True
    edges = [place for place in range(len(text)) if not text[place - 1 : place].isalnum()]
    return any(folded[edge : edge + size] in ids for edge in edges for size in sizes)


def names_its_student(text: str, student: str) -> bool:
    """Whether a text holds an e-mail address, or this normal id as a piece of its own."""
    if "@" in text and _EMAIL.search(text):
        return True
    place = text.casefold().find(student.casefold()) if len(student) >= _SHORTEST else -1
    if place < 0:
        return False
    around = text[:place][-1:] + text[place + len(student) :][:1]
    return not any(one.isalnum() for one in around)
