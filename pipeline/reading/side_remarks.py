"""Remarks beside an answer that name a method or a check, and phrases such as `3 or more`."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from pipeline.reading.words import word_lists

__all__ = ["without_side_remarks"]

_BRACKETS: Final = re.compile(r"\s[(\[]([A-Za-z][^()\[\]]{1,80})[)\]]\s*[.!]*$")
_METHOD: Final = re.compile(
    r"[,;]?\s(?:i\s)?(?:(?:checked|found|solved|done)\s)?(?:by|using|via)\s([a-z ]{3,60})[.!]*$",
    re.IGNORECASE,
)
_MEASURED: Final = re.compile(
    r"\b(?:lcd|lcm|gcd|gcf|width|length|height|base)\s*(?:=|is)?\s*\d+(?:\.\d+)?\b", re.IGNORECASE
)
_KIND: Final = re.compile(
    r"^\s*(?:complex|imaginary)(?:\s(?:roots?|solutions?|numbers?))?\s*[:,]\s*(?=\S)", re.IGNORECASE
)
_UNIT: Final = re.compile(r"(?<![A-Za-z])i(?![A-Za-z])|√-")
_ORDER: Final = re.compile(r"[<>≤≥\[\]]")
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
