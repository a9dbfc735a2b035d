"""Identities that students type into answers: found, and withheld before anything is stored."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Set
from functools import cache
from html import unescape
from typing import Any
from urllib.parse import unquote

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import coded

WITHHELD = "withheld, it names a person"

TYPED = ("answer", "work", "problem", "quiz", "section", "item")
"""Columns of an export whose texts may name a person and are kept without; of `item`, those that
the course does not list. A setting is kept as one of the course's words, a term that names a person
is refused, and so is the place in an archive whose files do."""

_SHORTEST = 4
"""A shorter id could be an answer by chance."""

_SHORTEST_WORD = 5
"""One of letters alone, or the student's own number."""

_SHORTEST_NUMBER = 6
"""A shorter number is no other student's id: it could well be an answer."""

_LONGEST = 40
_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
_AS_TYPED = re.compile(rf"[\w.@+-]{{{_SHORTEST},}}")
_TAG = re.compile(r"</?[a-z][^<>]{0,20}>")
_PIECE = re.compile(r"[^\W_]+")
_DIGITS = re.compile(rf"\d{{{_SHORTEST_NUMBER},}}")
_BETWEEN = re.compile(r"[\s._/\u2010-\u2013-]{1,3}")
"""What may stand within an id: `A-12 34` is A1234."""
_ANY_SIGNS = re.compile(r"[\W_]{1,8}")
_ESCAPED = re.compile(r"\\u([0-9a-fA-F]{4})")
_LAYERS = 4
"""How often an export may have escaped a text: `&amp;#64;` is an @ that was escaped twice."""

_LONG = 8
"""From how many letters and digits on any signs may stand between, such as the comma of `Oakes,
Jane00` or the brackets of `8041(2377)`: a shorter list of values may be an id by chance."""


def identifying(
    texts: pd.Series[Any],
    students: pd.Series[Any],
    is_student: Callable[[str], bool] = lambda _piece: False,
    met: Set[str] = frozenset(),
) -> pd.Series[bool]:
    """Which texts hold an e-mail address, the id of the student who typed them, or another one's.

    Args:
        texts: what was typed; a missing one names nobody.
        students: the normal id of each row's student, "" for none.
        is_student: whether a piece of a text is the id of any student whom the course knows.
        met: further ids, as `bare` gives them.
    """
    codes, distinct = coded(texts)
    whose, ids = coded(students)
    if not any(distinct):
        return pd.Series(False, index=texts.index)
    is_student = cache(is_student)
    known = met | {bare(one) for one in ids}
    # The last is that of no text.
    anyone, perhaps = (np.zeros(len(distinct) + 1, dtype=bool) for _ in range(2))
    for place, text in enumerate(distinct):
        pieces = _joined(text)
        named = pieces.keys() & known
        anyone[place] = (
            _has_address(text) or any(map(_tells, named)) or _of_someone(text, pieces, is_student)
        )
        perhaps[place] = bool(named)
    found = anyone[codes]
    rows = np.flatnonzero(perhaps[codes] & ~found)
    pairs = zip(codes[rows], whose[rows], strict=True)
    found[rows] = [names_its_student(distinct[text], ids[one]) for text, one in pairs]
    return pd.Series(found, index=texts.index, dtype=bool)


def _tells(piece: str, *, own: bool = False) -> bool:
    """Whether a piece is too long to be an answer that is a student's id by chance."""
    if piece.isdigit() and not own:
        return len(piece) >= _SHORTEST_NUMBER
    alike = piece.isdigit() or not any(map(str.isdigit, piece))
    return len(piece) >= (_SHORTEST_WORD if alike else _SHORTEST)


def naming_one_of(met: Set[str]) -> Callable[[str], bool]:
    """Tells of a text whether it holds one of some ids, as `bare` gives them."""
    ids = frozenset(filter(_tells, met))
    sizes = {len(one) for one in ids}

    def names(text: str) -> bool:
        whole = bare(text)  # pieces that are joined stand side by side in it
        parts = (whole[at : at + size] for size in sizes for at in range(len(whole) - size + 1))
        return any(part in ids for part in parts) and not ids.isdisjoint(_joined(text))

    return names


def _has_address(text: str) -> bool:
    text = _unescaped(text)
    return "@" in text and _EMAIL.search(text) is not None


def bare(text: str) -> str:
    """A text without what may stand between the pieces of an id."""
    return "".join(_PIECE.findall(_plain(text)))


def _unescaped(text: str) -> str:
    """A text with the signs that escapes of JSON, addresses and HTML stand for, as shown."""
    text = unquote(_ESCAPED.sub(lambda code: chr(int(code[1], 16)), text))
    for _ in range(_LAYERS):
        if "&" not in text:
            break
        text = unescape(text)
    return text


def _plain(text: str) -> str:
    """What is shown, in small letters, without tags and signs of no width, digits of any script."""
    folded = _unescaped(text).casefold()
    if folded.isascii():
        return _TAG.sub("", folded)
    whole = unicodedata.normalize("NFKC", folded)
    whole = "".join(str(unicodedata.decimal(one)) if one.isdecimal() else one for one in whole)
    return _TAG.sub("", "".join(one for one in whole if unicodedata.category(one) != "Cf"))


def _joined(text: str) -> dict[str, str]:
    """Pieces of letters and digits of a text, and neighbors joined, long enough to be an id.

    Returns:
        Each with what is typed there.
    """
    found: dict[str, str] = {}
    plain = _plain(text)
    pieces = list(_PIECE.finditer(plain))
    for first, start in enumerate(pieces):
        whole, end, wide = start[0], start.end(), False
        found[whole] = whole
        for piece in pieces[first + 1 :]:
            wide = wide or not _BETWEEN.fullmatch(plain, end, piece.start())
            if len(whole) > _LONGEST or not _ANY_SIGNS.fullmatch(plain, end, piece.start()):
                break
            whole, end = whole + piece[0], piece.end()
            if not wide or len(whole) >= _LONG:
                found[whole] = plain[start.start() : end]
    # Zeros before a number and the letters of 8.04123771E+08 are no part of an id either.
    runs = {run for whole in found for run in _DIGITS.findall(whole)}
    found = {one: one for run in runs for one in (run, run.lstrip("0"))} | found
    return {one: typed for one, typed in found.items() if len(one) >= _SHORTEST}


def names_someone(text: str, is_student: Callable[[str], bool]) -> bool:
    """Whether a piece of a text is the id of a student."""
    return _of_someone(text, _joined(text), is_student)


def _of_someone(text: str, joined: dict[str, str], is_student: Callable[[str], bool]) -> bool:
    typed = {piece.strip(".+-@") for piece in _AS_TYPED.findall(_unescaped(text))}
    told = {one for one in typed if _tells(bare(one))}
    for one, written in joined.items():
        if not one.isalpha() and _tells(one):
            told |= {one, written}
    return any(map(is_student, told))


def names_its_student(text: str, student: str) -> bool:
    """Whether a text holds an e-mail address, or this normal id as a piece of its own."""
    return _has_address(text) or holds(text, student)


def holds(text: str, student: str) -> bool:
    """Whether a text holds this normal id as a piece of its own, if `can_be_found`.

    Signs that stand between its letters and digits do not count.
    """
    return can_be_found(student) and bare(student) in _joined(text)


def can_be_found(student: str) -> bool:
    """Whether a normal id is too long to be an answer by chance."""
    return _tells(bare(student), own=True)
