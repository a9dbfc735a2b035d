"""Two letters side by side that would be read as a word: `rt`, `by`, `at`."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["letters_apart"]

_WORDS: Final = re.compile(r"(?<![A-Za-z\\])(r|b|a)(t|y)(?![A-Za-z(]|\s*[\d√])")
"""The words of two letters that formulas are full of: rate times time, by, at."""


def letters_apart(text: str, known: frozenset[str] | None = None) -> str:
    """Set a product of two letters apart where it would be read as a root or a word.

    Args:
        text: what was typed.
        known: the letters of the problem; None where the text says itself that it is a formula.
    """
    if known is not None and len(known) < 2:
        return text
    return _WORDS.sub(
        lambda found: (
            f"{found[1]} {found[2]}" if known is None or {found[1], found[2]} <= known else found[0]
        ),
        text,
    )
