"""Remarks beside an answer that name a method or a check, and phrases such as `3 or more`."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from pipeline.reading import marks
from pipeline.reading.budgets import Unread
from pipeline.reading.words import signs_for_words, word_lists

_BRACKETS: Final = re.compile(r"\s[(\[]([A-Za-z][^()\[\]]{1,80})[)\]]\s*[.!]*$")
_METHOD: Final = re.compile(
    r"[,;]?\s(?:i\s)?(?:(?:checked|found|solved|done)\s)?(?:by|using|via)\s([a-z ]{3,60})[.!]*$",
    re.IGNORECASE,
)
_MEASURED: Final = re.compile(
    r"\b(?:lcd|lcm|gcd|gcf|width|length|height|base)\s*(?:=|is)?\s*\d+(?:\.\d+)?\b", re.IGNORECASE
)
_REASON: Final = re.compile(
    r"^((?:[^A-Za-z]|(?<![A-Za-z])(?:or|and|[A-Za-z])(?![A-Za-z]))*?[\w)\]}%])[\s,;:.]+"
    r"(?:because|since|cuz)\b(?!.*(?:\b(?:or|and)\b|[,;\n])).*$",
    re.IGNORECASE | re.DOTALL,
)
_KIND: Final = re.compile(
    r"^\s*(?:complex|imaginary)(?:\s(?:roots?|solutions?|numbers?))?\s*[:,]\s*(?=\S)", re.IGNORECASE
)
_UNIT: Final = re.compile(r"(?<![A-Za-z])i(?![A-Za-z])|√-")
_ORDER: Final = re.compile(r"[<>≤≥\[\]]")
_SAID_TWICE: Final = re.compile(
    r"^(\s*(?:[A-Za-z]\s*=)?\s*)([^()\[\]=]{1,40}?)\s*[(\[]([^()\[\]=]{1,40})[)\]]\s*[.!]*$"
)
_LETTERS: Final = re.compile(r"[A-Za-z]{3,}")
_UNDRAWN: Final = str.maketrans({marks.FRACTION: "", marks.OVER: "/", marks.END_FRACTION: ""})
_PLAIN_NUMBER: Final = re.compile(r"-?\d+(?:\.\d+|/[1-9]\d*)?")
_OR_MORE: Final = re.compile(
    r"^\s*(?:([A-Za-z])\s*(?:=|is|can\sbe|must\sbe)\s*)?([-+]?\d[\d./]*)\s+or\s+"
    r"(?:(more|greater|higher|larger|bigger|above)|(?:less|fewer|smaller|lower|below))\s*[.!]*$",
    re.IGNORECASE,
)


@lru_cache(maxsize=1)
def _words() -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Words of any remark, of one on imaginary numbers, and of one on inequalities."""
    lists = word_lists()["remarks"]
    return tuple(frozenset(lists[one]) for one in ("words", "complex", "order"))  # type: ignore[return-value]


def without_side_remarks(text: str, changes: list[str]) -> str:
    """Set aside a remark at the end that names a method: `3x + 2 (FOIL)`, `5 by elimination`.

    Every word of it has to be known. What speaks of imaginary numbers or of shading is kept where
    the answer itself holds no i or no order, because it then may be part of the answer.
    """
    written = _OR_MORE.sub(_order, text)
    kind = _KIND.match(written)
    if kind and _UNIT.search(written, kind.end()):
        written = written[kind.end() :]
    for pattern in (_BRACKETS, _METHOD):
        found = pattern.search(written)
        if found and _is_remark(found[1], written[: found.start()]):
            written = written[: found.start()]
    if written != text:
        changes.append("a remark set aside")
    return written


def without_reason(text: str, changes: list[str]) -> str:
    """Set aside what is given as the reason of a value: `x = 5 because 8 - 3 = 5`.

    A reason that goes on behind "and" or a comma may bring a further value.
    """
    kept = _REASON.sub(r"\1", text)
    if kept != text:
        changes.append("a reason set aside")
    return kept


def without_spelled_number(text: str, changes: list[str]) -> str:
    """Set aside a number said again in words, `7 (seven)`, or in digits, `seven (7)`.

    Raises:
        Unread: words and digits say different numbers.
    """
    found = _SAID_TWICE.match(text)
    if not found or not (_LETTERS.search(found[2]) or _LETTERS.search(found[3])):
        return text
    first, second = (_in_digits(found[n]) for n in (2, 3))
    if not (_PLAIN_NUMBER.fullmatch(first) and _PLAIN_NUMBER.fullmatch(second)):
        return text
    if Fraction(first) != Fraction(second):
        raise Unread("words and digits say different numbers")
    changes.append("a number said again in words set aside")
    return found[1] + first


def _in_digits(text: str) -> str:
    written = signs_for_words(text, []).translate(_UNDRAWN)
    return "".join(written.split())


def _order(found: re.Match[str]) -> str:
    return f"{found[1] or 'x'} {'>=' if found[3] else '<='} {found[2]}"


def _is_remark(remark: str, answer: str) -> bool:
    """Whether every word of a remark is known, and none can change the answer before it."""
    words = re.split(r"[\s,/-]+", _MEASURED.sub(" ", remark).strip(" .!").lower())
    if not answer.strip():
        return False
    plain, imaginary, order = _words()
    known = plain | (imaginary if _UNIT.search(answer) else set())
    known |= order if _ORDER.search(answer) else set()
    return all(word in known for word in words if word)
