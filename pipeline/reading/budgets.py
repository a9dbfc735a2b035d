"""Named limits of the reader, and the exception that ends a reading inside it.

Each limit keeps one answer under a tenth of a second whatever was typed; each has its own test.
"""

from __future__ import annotations

MAX_LENGTH = 2_000
"""Characters of an answer; more is refused before anything looks at them."""
MAX_WORDS = 60
"""Words of an answer, beside those that stand for signs."""
MAX_TOKENS = 600
"""Tokens of an answer."""
MAX_DEPTH = 100
"""Brackets, fractions, roots and signs inside each other."""
MAX_VALUES = 20
"""Values in one list."""
MAX_PLUS_MINUS = 6
"""Plus-minus signs in one item: at most 64 choices of sign."""
MAX_EXPONENT = 100
"""Exponent on an expression with letters."""
MAX_DIGITS = 1_000
"""Digits of a number, typed or computed."""
MAX_READINGS = 6
"""Readings kept of one answer."""


class Unread(Exception):
    """A text has no reading; the message is the reason that people see."""
