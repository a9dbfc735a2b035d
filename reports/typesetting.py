"""Questions and answers in typed notation, read by the reader and printed as a book would."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from pipeline.exact.values import Equation, Expression, Number, Point, Roots, Value
from reports.mathml import mathml

__all__ = ["typeset"]

# What stands between two statements of one line, kept as it was typed.
BETWEEN = re.compile(r"(\s+(?:or|and)\s+|\s*;\s*)")
NAMED = re.compile(r"([A-Za-z])\s*=\s*")
COMMA = Markup(", ")


@lru_cache(maxsize=4096)
def typeset(text: str) -> Markup:
    """Return typed notation as MathML, or the text itself where it cannot be read as algebra.

    Args:
        text: a question or an answer, such as `x^2 - 6x = 0` or `x = 3 or x = 1/2`.
    """
    pieces = BETWEEN.split(text.strip())
    printed = [_piece(piece) if place % 2 == 0 else piece for place, piece in enumerate(pieces)]
    if any(piece is None for piece in printed):
        return Markup('<span class="typed">{}</span>').format(text)
    return Markup("").join(piece for piece in printed if piece is not None)


def _piece(text: str) -> Markup | None:
    readings = _read(text)
    printed = _value(readings[0].value) if readings else None
    name = NAMED.match(text)
    if printed is None or name is None or isinstance(readings[0].value, Equation):
        return printed
    return Markup("<math><mi>{}</mi><mo>=</mo></math> {}").format(name[1], printed)


def _value(value: Value) -> Markup | None:
    match value:
        case Expression(tree) | Equation(tree):
            return mathml(tree)
        case Number():
            return mathml(value.tree)
        case Roots(members):
            return COMMA.join(mathml(member.tree) for member in members)
        case Point(coordinates):
            inner = COMMA.join(mathml(part.tree) for part in coordinates)
            return Markup("({})").format(inner)
        case _:
            return None


def _read(text: str) -> tuple[Any, ...]:
    try:
        from pipeline.reading import read_answer
    except ImportError:
        return ()
    return read_answer(text).readings
