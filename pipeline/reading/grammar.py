"""The one grammar of expressions: a precedence parser over tokens.

Where a typed form has two legitimate readings the parser notes the name of the convention in
`met`; parsing again with that name in `flipped` gives the other reading (see conventions.py).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.exact.trees import (
    Constant,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Sum,
)
from pipeline.reading import marks
from pipeline.reading.budgets import Unread
from pipeline.reading.levels import nested, shown
from pipeline.reading.signed import ADDING, SignedTerms
from pipeline.reading.spans import absorb_spans
from pipeline.reading.tokens import Token

__all__ = ["Parser"]

_TWO = Numeral(Fraction(2))
_CLOSING = {"(": ")", "[": "]", "{": "}", marks.GROUP: marks.END_GROUP}
_STARTS = frozenset({"letter", "constant", "function", "√", *_CLOSING, marks.FRACTION, marks.INDEX})
_CURRENCY = frozenset("$€£¥¢#")
_END = Token("end", "the end")


class Parser(SignedTerms):
    """Reads one expression that uses every token: sums, products, powers of operands."""

    def whole(self) -> Node:
        """Read all tokens as one expression.

        Raises:
            Unread: the tokens are no expression.
        """
        node = self.sum(outermost=True)
        if self.place < len(self.tokens):
            raise Unread(f"unexpected {shown(self.token.text)}")
        return node

    @nested
    def sum(self, outermost: bool = False) -> Node:
        """Read terms joined by signs."""
        terms = [self.signed_term()]
        slashed = [self.slashed]
        while self.token.kind in ADDING:
            terms.append(self.signed_term())
            slashed.append(self.slashed)
        if len(terms) > 1 and outermost and sum(slashed) == 1:
            terms = absorb_spans(terms, slashed.index(True), self.other_way)
        node = terms[0] if len(terms) == 1 else Sum(tuple(terms))
        if self.token.kind == "⟋":
            self.place += 1
            node = Quotient(node, self.factor())
        return node

    def term(self) -> Node:
        """Read products and divisions, written or implied, from left to right."""
        factors = [self.mixed_or_power()]
        while True:
            kind = self.token.kind
            if kind == "*" or (kind == "letter" and self.is_times_sign()):
                self.place += 1
                factors.append(self.factor())
            elif kind == "/" or (kind == ":" and self.is_ratio()):
                self.divide(factors)
            elif self.juxtaposed():
                factors.append(self.power())
            else:
                return factors[0] if len(factors) == 1 else Product(tuple(factors))

    def is_times_sign(self) -> bool:
        """Whether an x between two numbers, set off by blanks, is a times sign."""
        before = self.tokens[self.place - 1]
        if self.token.text not in {"x", "X"} or before.kind != "number":
            return False
        after = self.peek()
        if after.kind == "number" and after.value == 10 and self.peek(2).kind == "^":
            return True
        if self.token.gap and after.gap and after.kind == "number":
            return not self.other_way("x-as-times")
        return self.token.text == "x" and after.text == "x" and self.peek(2).kind == "number"

    def is_ratio(self) -> bool:
        """Whether a colon stands between two numbers and nothing else is there."""
        kinds = [token.kind for token in self.tokens if token.kind not in {"-", "+"}]
        return kinds == ["number", ":", "number"]

    def divide(self, factors: list[Node]) -> None:
        """Divide what was read so far by the next factor."""
        sign = self.take().kind
        upper = factors[0] if len(factors) == 1 else Product(tuple(factors))
        if sign == ":":
            self.remarks["a ratio read as a fraction"] = None
            self.met["ratio"] = None
        lower = [self.factor()]
        if sign == "/" and self.juxtaposed() and self.other_way("juxtaposed-denominator"):
            while self.juxtaposed():
                lower.append(self.power())
        factors[:] = [Quotient(upper, lower[0] if len(lower) == 1 else Product(tuple(lower)))]
        self.slashed = True

    def factor(self) -> Node:
        """Read a factor after an operator; a sign may stand before it."""
        if self.token.kind in {"-", "+", "±", "∓"}:
            kind = self.take().kind
            inner = self.nested_factor()
            if kind in {"±", "∓"}:
                return PlusMinus(inner, 1 if kind == "±" else -1)
            return Negation(inner) if kind == "-" else inner
        return self.mixed_or_power()

    @nested
    def nested_factor(self) -> Node:
        """Read a factor one level deeper."""
        return self.factor()

    def mixed_or_power(self) -> Node:
        """Read a mixed number such as `1 1/2`, or else a power."""
        whole, upper = self.token, self.peek()
        if whole.kind != "number" or whole.places is not None or whole.value.denominator != 1:
            return self.power()
        if upper.kind == marks.FRACTION:
            return self.drawn_mixed(whole)
        slash, lower = self.peek(2), self.peek(3)
        if upper.kind == "_" and (slash.kind, lower.kind) == ("number", "/"):
            upper, slash, lower = replace(slash, gap=True), lower, self.peek(4)
            self.place += 1
        kinds = (upper.kind, slash.kind, lower.kind)
        if kinds != ("number", "/", "number") or not upper.gap or upper.places is not None:
            return self.power()
        self.place += 4
        fraction = Quotient(Numeral(upper.value), Numeral(lower.value))
        if self.other_way("mixed-number"):
            return Quotient(
                Product((Numeral(whole.value), Numeral(upper.value))), fraction.denominator
            )
        return Sum((Numeral(whole.value), fraction))

    def drawn_mixed(self, whole: Token) -> Node:
        """Read a whole number before a drawn fraction."""
        inner = [self.peek(ahead) for ahead in (2, 3, 4, 5)]
        kinds = [token.kind for token in inner]
        if kinds != ["number", marks.OVER, "number", marks.END_FRACTION]:
            return self.power()
        self.place += 6
        fraction = Quotient(Numeral(inner[0].value), Numeral(inner[2].value))
        if self.other_way("mixed-number"):
            return Product((Numeral(whole.value), fraction))
        return Sum((Numeral(whole.value), fraction))

    def power(self) -> Node:
        """Read an operand with its exponents and what may follow a number."""
        base = self.postfix(self.primary())
        before = self.tokens[self.place - 1]
        if self.token.kind == "^":
            self.place += 1
            return self.raised(base)
        if self.token.kind == "number" and before.kind in {"letter", ")", "]", "|"}:
            if base == Constant("i"):
                return Product((base, self.power()))
            return self.lost_exponent(base)
        return base

    def raised(self, base: Node) -> Node:
        """Read an exponent and what follows it."""
        exponent = self.exponent()
        after = self.peek()
        bare = self.tokens[self.place - 1].kind == "number" and _is_signed_number(exponent)
        slashed = bare and self.token.kind == "/" and after.kind == "number"
        if slashed and self.other_way("exponent-span"):
            self.place += 2
            exponent = Quotient(exponent, Numeral(after.value))
        return self.postfix(Power(base, exponent))

    @nested
    def exponent(self) -> Node:
        """Read a signed exponent; powers of powers go from right to left."""
        kind = self.token.kind
        if kind in {"-", "+"}:
            self.place += 1
            inner = self.exponent()
            node = Negation(inner) if kind == "-" else inner
        else:
            node = self.primary()
            if self.token.kind == "^":
                self.place += 1
                node = Power(node, self.exponent())
        return node

    def lost_exponent(self, base: Node) -> Node:
        """Read a number right behind an operand."""
        number = self.take()
        small = number.places is None and 2 <= number.value <= 9 and number.value.denominator == 1
        exponent = Numeral(number.value, number.places)
        if small and not number.gap and not self.other_way("exponent-lost"):
            return Power(base, exponent)
        return Product((base, exponent))

    def postfix(self, node: Node) -> Node:
        """Read percent signs, exclamation marks and stray marks."""
        while self.token.kind in {"%", "!", "°", "'", '"'}:
            kind = self.take().kind
            if kind == "%":
                node = node if self.other_way("percent") else Quotient(node, Numeral(Fraction(100)))
            elif kind == "!":
                node = _factorial(node) if self.other_way("factorial") else node
            elif isinstance(node, Numeral):
                self.remarks["a degree sign or stray mark was set aside"] = None
            else:
                raise Unread(f"unexpected {kind}")
        return node


def _is_signed_number(node: Node) -> bool:
    return isinstance(node, Numeral) or (
        isinstance(node, Negation) and isinstance(node.argument, Numeral)
    )


def _factorial(node: Node) -> Node:
    if not isinstance(node, Numeral) or node.value.denominator != 1 or node.value > 20:
        raise Unread("a factorial of something large")
    total = 1
    for factor in range(2, int(node.value) + 1):
        total *= factor
    return Numeral(Fraction(total))
