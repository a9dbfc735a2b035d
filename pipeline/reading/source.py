"""Sympy source read back to the value that it stands for; nothing is looked up or run.

The notation is that of `value_source`: integers, Rational, sqrt, I, pi, oo, Abs, Interval, Union,
Eq, Ne, Symbol, tuples, lists and the statements in capitals. Its expressions are read by the one
grammar, which is kept from all that source does not have, such as products without a sign.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.regions import WHOLE_LINE, union
from pipeline.exact.trees import Node, Relation, letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
)
from pipeline.reading.grammar import Parser
from pipeline.reading.items import split_at_relations, split_inner
from pipeline.reading.records import MAX_LENGTH, Notes, ReadingContext, Unread
from pipeline.reading.signs import check_tree, infinity_of
from pipeline.reading.splitting import bracketed
from pipeline.reading.tokens import Token, tokens_of

_LOOKS: Final = re.compile(
    r"\b(?:Rational|Interval|Union|Eq|Ne|Symbol|Abs|FiniteSet|EmptySet)\b|\*\*|\*I\b|\bI\*"
    r"|\b(?:NO_REAL|NO_SOLUTION|ALL_REAL|DONT_KNOW|EMPTY|PRIME)\b|^\[.*sqrt\("
)
_RATIONAL: Final = re.compile(r"\bRational\(\s*(-?\d+)\s*,\s*(\d+)\s*\)")
_SYMBOL: Final = re.compile(r"\bSymbol\(\s*\"([A-Za-z_0-9]+)\"\s*\)")
_STATEMENTS: Final = {code.value: Statement(code) for code in StatementCode}
_INTERVALS: Final = {"Interval": (False, False), "IntervalOpen": (True, True),
                     "IntervalLopen": (True, False), "IntervalRopen": (False, True)}  # fmt: skip
_EQUATIONS: Final = {"Eq": "=", "Ne": "!="}
_TRUTHS: Final = {"True": True, "False": False}
_NAMES: Final = frozenset({*_INTERVALS, *_EQUATIONS, *_TRUTHS, "Union", "UnitI", "UnitE"})
_CONSTANTS: Final = {"UnitI": "i", "UnitE": "e"}
_BARE_CONSTANT: Final = re.compile(r"(?<![\w\"])[IE](?![\w\"])")
_FUNCTIONS: Final = frozenset({"sqrt", "abs", "log", "sin", "cos", "tan", "exp"})
_ENDS: Final = frozenset({"number", "letter", "constant", ")"})
_STARTS: Final = frozenset({"number", "letter", "constant", "function", "("})
_KINDS: Final = _ENDS | _STARTS | {"+", "-", "*", "/", "^", "_"}


class _NotSource(Exception):
    """The text is no sympy source; it is read like any answer."""


def value_of_source(text: str) -> Value | None:
    """Return the value that sympy source stands for, or None when the text is none."""
    if len(text) > MAX_LENGTH or not text.isascii() or not _LOOKS.search(text):
        return None
    if text.strip() in _STATEMENTS:
        return _STATEMENTS[text.strip()]
    plain = _BARE_CONSTANT.sub(r"Unit\g<0>", text)
    plain = re.sub(r"\bInterval\.(o|L|R)", lambda one: f"Interval{one[1].upper()}", plain)
    known = {part for name in _SYMBOL.findall(plain) for part in (name, *name.split("_"))}
    plain = _SYMBOL.sub(r"\1", _RATIONAL.sub(r"((\1)/(\2))", plain))
    try:
        return _value(tokens_of(plain.strip(), _NAMES | known))
    except (_NotSource, ZeroDivisionError, BudgetExceeded, Unread, ValueError):
        return None


def _value(tokens: Sequence[Token]) -> Value:
    if not tokens:
        raise _NotSource
    name, parts = _called(tokens)
    if name in _INTERVALS or name == "Union":
        return _region(name, parts)
    if name in _EQUATIONS and len(parts) == 2:
        return Equation(Relation(tuple(map(_tree, parts)), (_EQUATIONS[name],)))
    if name == "[":
        return _listed([_value(part) for part in parts])
    if name == "(" and len(parts) > 1:
        numbers = [number_of(_tree(part)) for part in parts]
        return Point(tuple(numbers))
    signs, sides = split_at_relations(tokens)
    if len(sides) == 2 and signs[1][0] in "<>":
        return Equation(Relation(tuple(map(_tree, sides)), (signs[1],)))
    tree = _tree(tokens)
    return Expression(tree) if letters(tree) else number_of(tree)


def _called(tokens: Sequence[Token]) -> tuple[str, list[Sequence[Token]]]:
    """The name before brackets, or the bracket itself, and the parts that these hold."""
    start = int(tokens[0].text in _NAMES)
    if not bracketed(tokens[start:]):
        return "", []
    return tokens[0].text, split_inner(tokens[start + 1 : -1])


def _region(name: str, parts: list[Sequence[Token]]) -> Region:
    if name == "Union":
        return union(*(_region(*_called(part)) for part in parts))
    if name not in _INTERVALS or len(parts) not in (2, 4):
        raise _NotSource
    low, high = map(_end, parts[:2])
    left, right = [_TRUTHS[one[0].text] for one in parts[2:]] or _INTERVALS[name]
    if low is None and high is None:
        return WHOLE_LINE
    return Region((Interval(low, high, left or low is None, right or high is None),))


def _end(tokens: Sequence[Token]) -> Number | None:
    tree = _tree(tokens)
    return None if infinity_of(tree) else number_of(tree)


def _tree(tokens: Sequence[Token]) -> Node:
    """Read an expression."""
    joined = any(a.kind in _ENDS and b.kind in _STARTS for a, b in pairwise(tokens))
    bare = any(a.kind == "function" and b.kind != "(" for a, b in pairwise(tokens))
    other = any(
        one.kind not in _KINDS
        or one.places is not None
        or (one.kind == "function" and one.text not in _FUNCTIONS)
        for one in tokens
    )
    if joined or bare or other:
        raise _NotSource
    named = [
        replace(one, kind="constant", text=_CONSTANTS[one.text]) if one.text in _CONSTANTS else one
        for one in tokens
    ]
    tree = Parser(named, Notes(ReadingContext(i_is_letter=True))).whole()
    check_tree(tree)
    return tree


def _listed(members: list[Value]) -> Value:
    """The members of a list as roots or points."""
    points = tuple(one for one in members if isinstance(one, Point))
    if members and len(points) == len(members):
        return Points(points)
    numbers = [Number(None, one.tree) if isinstance(one, Expression) else one for one in members]
    roots = tuple(one for one in numbers if isinstance(one, Number))
    if len(roots) < len(members):
        raise _NotSource
    return Roots(roots)
