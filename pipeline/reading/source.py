"""Sympy source read back by a small reader of its own; nothing is looked up or run.

The notation is that of `value_source`: integers, Rational, sqrt, I, pi, oo, Abs, Interval, Union,
Eq, Ne, Symbol, tuples, lists and the statements in capitals.
"""

from __future__ import annotations

import re
from fractions import Fraction

from pipeline.errors import BudgetExceeded
from pipeline.exact.regions import WHOLE_LINE, union
from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    letters,
)
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
from pipeline.reading.budgets import MAX_DEPTH, Unread
from pipeline.reading.signs import check_tree

__all__ = ["value_of_source"]

_LOOKS = re.compile(
    r"\b(?:Rational|Interval|Union|Eq|Ne|Symbol|Abs|FiniteSet|EmptySet)\b|\*\*|\*I\b|\bI\*"
    r"|\b(?:NO_REAL|NO_SOLUTION|ALL_REAL|DONT_KNOW|EMPTY|PRIME)\b|^\[.*sqrt\("
)
_TOKEN = re.compile(r"\s*(\d+|\*\*|<=|>=|[A-Za-z_][A-Za-z_0-9]*(?:\.[a-z]+)?|\"[A-Za-z_0-9]*\"|\S)")
_STATEMENTS = {code.value: Statement(code) for code in StatementCode}
_OPEN_NAMES = {"Interval.open": (True, True), "Interval.Lopen": (True, False),
               "Interval.Ropen": (False, True), "Interval": (False, False)}  # fmt: skip
_FUNCTIONS = frozenset({"log", "sin", "cos", "tan", "exp"})


class _NotSource(Exception):
    """The text is no sympy source; the ordinary grammar reads it."""


def value_of_source(text: str) -> Value | None:
    """Return the value that sympy source stands for, or None when the text is none."""
    if not _LOOKS.search(text) or len(text) > 2000:
        return None
    try:
        return _Source(text).value()
    except (_NotSource, ZeroDivisionError, BudgetExceeded, Unread, ValueError):
        return None


class _Source:
    """A recursive reader of the few forms above."""

    def __init__(self, text: str) -> None:
        self.tokens, self.place, self.depth = _TOKEN.findall(text), 0, 0

    @property
    def token(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def take(self, expected: str | None = None) -> str:
        token = self.token
        if not token or (expected is not None and token != expected):
            raise _NotSource
        self.place += 1
        return token

    def value(self) -> Value:
        found = self.item()
        if self.token in {"<", "<=", ">", ">="} and isinstance(found, Number | Expression):
            sign = self.take()
            found = Equation(Relation((found.tree, self.sum()), (sign,)))
        if self.token:
            raise _NotSource
        return found

    def item(self) -> Value:
        token = self.token
        if token in _STATEMENTS:
            self.take()
            return _STATEMENTS[token]
        if token == "[":
            return _listed(self.several("[", "]"))
        if token in _OPEN_NAMES or token == "Union":
            return self.region()
        if token in {"Eq", "Ne"}:
            self.take()
            first, second = self.arguments(2)
            return Equation(Relation((first, second), ("=" if token == "Eq" else "!=",)))
        if token == "(":
            start = self.place
            pair = self.pair()
            if pair is not None:
                return pair
            self.place = start
        return _plain(self.sum())

    def pair(self) -> Value | None:
        try:
            members = self.several("(", ")")
        except _NotSource:
            return None
        numbers = tuple(member for member in members if isinstance(member, Number))
        return Point(numbers) if len(numbers) == len(members) > 1 and not self.goes_on() else None

    def goes_on(self) -> bool:
        return self.token not in {"", ",", "]", ")"}

    def several(self, opening: str, closing: str) -> list[Value]:
        self.take(opening)
        members: list[Value] = []
        while self.token != closing:
            members.append(self.item())
            if self.token != closing:
                self.take(",")
        self.take(closing)
        return members

    def region(self) -> Region:
        name = self.take()
        if name == "Union":
            self.take("(")
            parts = [self.region()]
            while self.token == ",":
                self.take()
                parts.append(self.region())
            self.take(")")
            return union(*parts)
        if name not in _OPEN_NAMES:
            raise _NotSource
        left, right = _OPEN_NAMES[name]
        self.take("(")
        low = self.end()
        self.take(",")
        high = self.end()
        if self.token == ",":
            self.take()
            left = self.take() == "True"
            self.take(",")
            right = self.take() == "True"
        self.take(")")
        if low is None and high is None:
            return WHOLE_LINE
        return Region((Interval(low, high, left or low is None, right or high is None),))

    def end(self) -> Number | None:
        tree = self.sum()
        inner = tree.argument if isinstance(tree, Negation) else tree
        return None if inner == Constant("oo") else number_of(tree)

    def arguments(self, count: int) -> list[Node]:
        self.take("(")
        found = [self.sum()]
        for _ in range(count - 1):
            self.take(",")
            found.append(self.sum())
        self.take(")")
        return found

    def sum(self) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise _NotSource
        terms = [self.term()]
        while self.token in {"+", "-"}:
            minus = self.take() == "-"
            term = self.term()
            terms.append(Negation(term) if minus else term)
        self.depth -= 1
        return terms[0] if len(terms) == 1 else Sum(tuple(terms))

    def term(self) -> Node:
        if self.token == "-":
            self.take()
            return Negation(self.term())
        node = self.power()
        while self.token in {"*", "/"}:
            divided = self.take() == "/"
            other = self.power()
            if divided:
                node = Quotient(node, other)
            else:
                head = node.factors if isinstance(node, Product) else (node,)
                node = Product((*head, other))
        return node

    def power(self) -> Node:
        base = self.primary()
        if self.token != "**":
            return base
        self.take()
        if self.token == "-":
            self.take()
            return Power(base, Negation(self.primary()))
        return Power(base, self.primary())

    def primary(self) -> Node:
        token = self.take()
        if token.isdigit():
            if self.token == "." or len(token) > 1000:
                raise _NotSource
            return Numeral(Fraction(int(token)))
        if token == "(":
            node = self.sum()
            self.take(")")
            return node
        if token in {"I", "pi", "oo", "E"}:
            return Constant({"I": "i", "E": "e"}.get(token, token))
        return self.named(token)

    def named(self, token: str) -> Node:
        if token == "Rational":
            upper, lower = self.arguments(2)
            return Quotient(upper, lower)
        if token == "sqrt":
            return Root(self.arguments(1)[0])
        if token == "Abs":
            return Absolute(self.arguments(1)[0])
        if token == "Symbol":
            self.take("(")
            name = self.take().strip('"')
            self.take(")")
            return Letter(name)
        if token in _FUNCTIONS and self.token == "(":
            return Call(token, (self.arguments(1)[0],))
        if len(token) == 1 and token.isalpha():
            return Letter(token)
        raise _NotSource


def _plain(tree: Node) -> Value:
    check_tree(tree)
    return Expression(tree) if letters(tree) else number_of(tree)


def _listed(members: list[Value]) -> Value:
    if members and all(isinstance(member, Point) for member in members):
        return Points(tuple(member for member in members if isinstance(member, Point)))
    numbers: list[Number] = []
    for member in members:
        if isinstance(member, Expression):
            numbers.append(Number(None, member.tree))
        elif isinstance(member, Number):
            numbers.append(member)
        else:
            raise _NotSource
    return Roots(tuple(numbers))
