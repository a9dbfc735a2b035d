"""Private characters that carry structure from markup into the one grammar.

A drawn fraction, a root with its index or a group of TeX braces has bounds that plain text lacks.
Typed text may not hold these characters, so nobody can forge them.
"""

from __future__ import annotations

FRACTION, OVER, END_FRACTION = "\ue000", "\ue001", "\ue002"
GROUP, END_GROUP = "\ue003", "\ue004"
INDEX, END_INDEX = "\ue005", "\ue006"
ROMAN, END_ROMAN = "\ue007", "\ue008"
REPEATING, END_REPEATING = "\ue009", "\ue00a"
APART = "\ue00b"
"""Between letters that are a product and no word."""

FIRST, LAST = "\ue000", "\ue00f"


def fraction(upper: str, lower: str) -> str:
    """Return a fraction drawn with a bar."""
    return f"{FRACTION}{upper}{OVER}{lower}{END_FRACTION}"


def group(inner: str) -> str:
    """Return a group that is one operand and prints no brackets."""
    return f"{GROUP}{inner}{END_GROUP}"


def root(inner: str, index: str = "2") -> str:
    """Return a root whose bar covers all of `inner`."""
    return f"{INDEX}{index}{END_INDEX}{group(inner)}"


def roman(inner: str) -> str:
    """Return upright text, which is no product of letters."""
    return f" {ROMAN}{inner}{END_ROMAN} "


def repeating(digits: str) -> str:
    """Return decimals that repeat for ever."""
    return f"{REPEATING}{digits}{END_REPEATING}"
