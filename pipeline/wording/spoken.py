"""Mathematics that a sentence says in words: `the square root of 98`, `when x is -3`."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["in_symbols"]

_OPERAND: Final = r"(?:\d[\d.]*|[A-Za-z])(?:\^\(?\w+\)?)?(?![A-Za-z])"
_TERMS: Final = rf"(?P<of>-?{_OPERAND}(?:\s*[-+*/]\s*{_OPERAND})*|\([^()]*\))"
_SPOKEN: Final = (
    (re.compile(rf"\b(?:the )?(?:principal )?square root of {_TERMS}", re.I), r"sqrt(\g<of>)"),
    (re.compile(rf"\b(?:the )?cube root of {_TERMS}", re.I), r"cbrt(\g<of>)"),
    (re.compile(rf"\b(?:the )?absolute value of {_TERMS}", re.I), r"|\g<of>|"),
)
_IS_VALUE: Final = re.compile(
    r"\b(when|if|where|for|at|given(?: that)?) ([A-Za-z]) is (?=-?\d)", re.I
)
_EQUALS: Final = re.compile(
    r"(?<=[\w)|]) (?:equals|is equal to|is always(?: equal to)?|is the same as) "
    r"(?=[-\d(|]|[A-Za-z]\b)"
    r"|(?<=[)|]) is (?=[-\d(|]|[A-Za-z]\b)",
    re.I,
)


def in_symbols(text: str) -> tuple[str, bool]:
    """A typed sentence with spoken roots, bars and values in symbols.

    Returns:
        The sentence, and whether it can be meant otherwise: `the square root of x + 12`.
    """
    unclear = False
    for pattern, symbols in _SPOKEN:
        for found in pattern.finditer(text):
            unclear |= re.search(r"[-+*/]", found["of"].strip("-()")) is not None
        text, count = pattern.subn(symbols, text)
        text = _EQUALS.sub(" = ", text) if count else text
    return _IS_VALUE.sub(r"\1 \2 = ", text), unclear
