"""What the reader is told and what it answers, its limits, and the exception at their end."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pipeline.exact.values import Value

AnswerKind: TypeAlias = Literal[
    "roots", "number", "expression", "point", "region", "equation", "count"
]


@dataclass(frozen=True, slots=True)
class ReadingContext:
    """What the question tells about its answer.

    Args:
        letters: letters of the problem; empty when no problem fixes them.
        kind: what is asked for, or None.
        complex_numbers: whether the question is over the complex numbers.
        decimal_comma: whether 2,5 is two and a half.
        min_places: fewest decimals that prove anything.
        i_is_letter: whether the problem uses i as a letter.
        has_i: whether the problem uses i at all.
        functions: whether logarithms and other named functions may stand in the answer.
        letter_exponents: whether the right answer has letters in an exponent.
        translated: whether the answer puts words into algebra, so that a lone letter may be any.
    """

    letters: frozenset[str] = frozenset()
    kind: AnswerKind | None = None
    complex_numbers: bool = False
    decimal_comma: bool = False
    min_places: int = 2
    i_is_letter: bool = False
    has_i: bool = False
    functions: bool = False
    letter_exponents: bool = False
    translated: bool = False


NO_CONTEXT = ReadingContext()
"""Nothing is known of the question."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One legitimate reading.

    Args:
        value: what was meant.
        remarks: what was set aside, assumed or ambiguous, in sentences.
        convention: the convention that was read the other way; empty for the usual reading.
    """

    value: Value
    remarks: tuple[str, ...] = ()
    convention: str = ""


@dataclass(frozen=True, slots=True)
class ReadAnswer:
    """A typed answer as read; without readings it is unread, and the reason says why.

    Args:
        raw: the text as typed, untouched.
        readings: every legitimate reading, first the one that is used.
        reason: why the text is unread; None when it was read.
        changes: what was done to the text on the way, in order.
    """

    raw: str
    readings: tuple[Reading, ...]
    reason: str | None = None
    changes: tuple[str, ...] = ()


@dataclass
class Notes:
    """What one pass over an answer needs and finds: context, flips, conventions met, remarks."""

    context: ReadingContext
    flipped: frozenset[str] = frozenset()
    met: dict[str, None] = field(default_factory=dict)
    remarks: dict[str, None] = field(default_factory=dict)

    def remark(self, text: str) -> None:
        """Add a remark once."""
        self.remarks[text] = None

    def other_way(self, convention: str) -> bool:
        """Note that a convention was needed, and tell whether to read against it."""
        self.met[convention] = None
        over_all = convention == "numerator-span" and "root-over-numerator" in self.flipped
        return convention in self.flipped or over_all


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
