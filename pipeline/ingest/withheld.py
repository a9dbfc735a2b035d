"""Identities that students type into answers: found, and withheld before anything is stored."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import coded

__all__ = ["WITHHELD", "identifying", "names_its_student", "names_someone"]

WITHHELD = "withheld, it names a person"
_SHORTEST = 5
"""A shorter id could be an answer by chance."""

_SHORTEST_NUMBER = 6
"""A shorter number is no other student's id: it could well be an answer."""

_FEW_ROWS = 8
"""A text of more rows is first looked through for the ids of all students at once."""

_PLAIN, _PERHAPS, _ADDRESS = 0, 1, 2
_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
_MAY_NAME = re.compile(rf"[\w.@-]{{{_SHORTEST},}}|[^\W\d_]{{2,}}\W+[^\W\d_]{{2,}}")
"""A text without such a piece holds no id."""

_PIECE = re.compile(rf"[\w.@+-]{{{_SHORTEST},}}")
_SUBPIECE = re.compile(rf"\w{{{_SHORTEST},}}")


def identifying(
    texts: pd.Series[Any],
    students: pd.Series[Any],
    is_student: Callable[[str], bool] = lambda _piece: False,
) -> pd.Series[bool]:
    """Which texts hold an e-mail address, the id of the student who typed them, or another one's.

    Args:
        texts: what was typed; a missing one names nobody.
        students: the normal id of each row's student, "" for none.
        is_student: whether a piece of a text is the id of any student whom the course knows.
    """
    codes, distinct = coded(texts)
    whose, ids = coded(students)
    known = {one.casefold() for one in ids if len(one) >= _SHORTEST}
    sizes = sorted({len(one) for one in known})
    often = np.bincount(codes + 1, minlength=len(distinct) + 1)[1:] > _FEW_ROWS
    kinds = np.array([*(_kind(text) for text in distinct), _PLAIN], dtype=np.int8)
    others = {one for one in known if not one.isdigit() or len(one) >= _SHORTEST_NUMBER}
    for place in np.flatnonzero(kinds[:-1] == _PERHAPS):
        text = distinct[place]
        if _names_one(text, others, sizes) or names_someone(text, is_student):
            kinds[place] = _ADDRESS
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


def names_someone(text: str, is_student: Callable[[str], bool]) -> bool:
    """Whether a piece of a text is the id of a student."""
    pieces = {piece.strip(".+-@") for piece in _PIECE.findall(text)} | set(_SUBPIECE.findall(text))
    return any(
        is_student(one)
        for one in pieces
        if len(one) >= (_SHORTEST_NUMBER if one.isdigit() else _SHORTEST)
    )


def _names_one(text: str, ids: set[str], sizes: list[int]) -> bool:
    """Whether one of these ids stands in a text as a piece of its own."""
    folded = text.casefold()
    if len(folded) != len(text):
        return any(names_its_student(text, one) for one in ids)
    edges = [place for place in range(len(text)) if not text[place - 1 : place].isalnum()]
    return any(
        folded[edge : edge + size] in ids and not folded[edge + size :][:1].isalnum()
        for edge in edges
        for size in sizes
    )


def names_its_student(text: str, student: str) -> bool:
    """Whether a text holds an e-mail address, or this normal id as a piece of its own."""
    if "@" in text and _EMAIL.search(text):
        return True
    place = text.casefold().find(student.casefold()) if len(student) >= _SHORTEST else -1
    if place < 0:
        return False
    around = text[:place][-1:] + text[place + len(student) :][:1]
    return not any(one.isalnum() for one in around)
