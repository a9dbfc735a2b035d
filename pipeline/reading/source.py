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
)
from pipeline.exact.values import (
    Equation,
    Expression,
    Interval,
    Number,
    Point,
    Region,
    Statement,
    StatementCode,
    Value,
    number_of,
)
from pipeline.reading.budgets import MAX_DEPTH, MAX_LENGTH, Unread
from pipeline.reading.source_values import NotSource, listed, plain

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


def value_of_source(text: str) -> Value | None:
    """Return the value that sympy source stands for, or None when the text is none."""
    if len(text) > MAX_LENGTH or not _LOOKS.search(text):
        return None
    try:
        return _Source(text).value()
    except (NotSource, ZeroDivisionError, BudgetExceeded, Unread, ValueError):
        return None


class _Source:
    """A recursive reader of the few forms above."""

    def __init__(self, text: str) -> None:
        self.tokens, self.place, self.depth = _TOKEN.findall(text), 0, 0

    @property
    def ahead(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def take(self, expected: str | None = None) -> str:
        word = self.ahead
        if not word or (expected is not None and word != expected):
            raise NotSource
        self.place += 1
        return word

    def value(self) -> Value:
        found = self.item()
        if self.ahead in {"<", "<=", ">", ">="} and isinstance(found, Number | Expression):
            sign = self.take()
            found = Equation(Relation((found.tree, self.sum()), (sign,)))
        if self.ahead:
            raise NotSource
        return found

    def item(self) -> Value:
        word = self.ahead
        if word in _STATEMENTS:
            self.take()
            return _STATEMENTS[word]
        if word == "[":
            return listed(self.several("[", "]"))
        if word in _OPEN_NAMES or word == "Union":
            return self.region()
        if word in {"Eq", "Ne"}:
            self.take()
            first, second = self.arguments(2)
            return Equation(Relation((first, second), ("=" if word == "Eq" else "!=",)))
        if word == "(":
            start = self.place
            pair = self.pair()
            if pair is not None:
                return pair
            self.place = start
        return plain(self.sum())

    def pair(self) -> Value | None:
        try:
            members = self.several("(", ")")
        except NotSource:
            return None
        numbers = tuple(member for member in members if isinstance(member, Number))
        return Point(numbers) if len(numbers) == len(members) > 1 and not self.goes_on() else None

    def goes_on(self) -> bool:
        return self.ahead not in {"", ",", "]", ")"}

    def several(self, opening: str, closing: str) -> list[Value]:
        self.take(opening)
        members: list[Value] = []
        while self.ahead != closing:
            members.append(self.item())
            if self.ahead != closing:
                self.take(",")
        self.take(closing)
        return members

    def region(self) -> Region:
        name = self.take()
        if name == "Union":
            self.take("(")
            parts = [self.region()]
            while self.ahead == ",":
                self.take()
                parts.append(self.region())
            self.take(")")
            return union(*parts)
        if name not in _OPEN_NAMES:
            raise NotSource
        left, right = _OPEN_NAMES[name]
        self.take("(")
        low = self.end()
        self.take(",")
        high = self.end()
        if self.ahead == ",":
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
            raise NotSource
        terms = [self.term()]
        while self.ahead in {"+", "-"}:
            minus = self.take() == "-"
            term = self.term()
            terms.append(Negation(term) if minus else term)
        self.depth -= 1
        return terms[0] if len(terms) == 1 else Sum(tuple(terms))

    def term(self) -> Node:
        if self.ahead == "-":
            self.take()
            return Negation(self.term())
        node = self.power()
        while self.ahead in {"*", "/"}:
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
        if self.ahead != "**":
            return base
        self.take()
        if self.ahead == "-":
            self.take()
            return Power(base, Negation(self.primary()))
        return Power(base, self.primary())

    def primary(self) -> Node:
        word = self.take()
        if word.isdigit():
            if self.ahead == "." or len(word) > 1000:
                raise NotSource
            return Numeral(Fraction(int(word)))
        if word == "(":
            node = self.sum()
            self.take(")")
            return node
        if word in {"I", "pi", "oo", "E"}:
            return Constant({"I": "i", "E": "e"}.get(word, word))
        return self.named(word)

    def named(self, word: str) -> Node:
        if word == "Rational":
            upper, lower = self.arguments(2)
            return Quotient(upper, lower)
        if word == "sqrt":
            return Root(self.arguments(1)[0])
        if word == "Abs":
            return Absolute(self.arguments(1)[0])
        if word == "Symbol":
            self.take("(")
            name = self.take().strip('"')
            self.take(")")
            return Letter(name)
        if word in _FUNCTIONS and self.ahead == "(":
            return Call(word, (self.arguments(1)[0],))
        if len(word) == 1 and word.isalpha():
            return Letter(word)
        raise NotSource
