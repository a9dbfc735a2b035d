"""Questions and answers in typed notation, read by the reader and printed as a book would."""

from __future__ import annotations

import re
from functools import lru_cache

from markupsafe import Markup

from pipeline.exact.trees import Letter, Node, Relation
from pipeline.exact.values import Equation, Expression, Number, Point, Roots, Value
from pipeline.reading.answer import read_answer
from reports.mathml import mathml

# What stands between two statements of one line, kept as it was typed.
BETWEEN = re.compile(r"(\s+(?:or|and)\s+|\s*;\s*)")
NAMED = re.compile(r"([A-Za-z])\s*=\s*")
COMMA = Markup(", ")
TYPED = Markup('<span class="typed">{}</span>')
# What a question asks, in front of its algebra: `Vertex of y = 2(x - 8)^2 + 2`.
ASKING = re.compile(r"((?:[A-Za-z]{2,}:?\s+)+)(.+)")


@lru_cache(maxsize=4096)
def typeset(text: str) -> Markup:
    """Return typed notation as MathML, or the text itself where it cannot be read as algebra.

    Args:
        text: a question or an answer, such as `x^2 - 6x = 0` or `x = 3 or x = 1/2`.
    """
    printed = _algebra(text.strip())
    asking = ASKING.fullmatch(text.strip()) if printed is None else None
    asked = _algebra(asking[2]) if asking else None
    if asking and asked is not None:
        return Markup("{}{}").format(asking[1], asked)
    return TYPED.format(text) if printed is None else printed


def _algebra(text: str) -> Markup | None:
    pieces = BETWEEN.split(text)
    printed = [_piece(piece) if place % 2 == 0 else piece for place, piece in enumerate(pieces)]
    if printed[0] is None:
        return None
    # What follows a question, as which solutions to keep, may be words.
    return Markup("").join(
        TYPED.format(typed) if piece is None else piece
        for typed, piece in zip(pieces, printed, strict=True)
    )


def _piece(text: str) -> Markup | None:
    readings = read_answer(text).readings
    name = NAMED.match(text)
    return _value(readings[0].value, name[1] if name else None) if readings else None


def _value(value: Value, name: str | None) -> Markup | None:
    match value:
        case Expression(tree) | Equation(tree):
            return mathml(tree)
        case Number():
            return mathml(_named(value.tree, name))
        case Roots((first, *others)):
            printed = [mathml(_named(first.tree, name)), *(mathml(root.tree) for root in others)]
            return COMMA.join(printed)
        case Point(coordinates):
            inner = COMMA.join(mathml(part.tree) for part in coordinates)
            return Markup("({})").format(inner)
        case _:
            return None


def _named(tree: Node, name: str | None) -> Node:
    return tree if name is None else Relation((Letter(name), tree), ("=",))
