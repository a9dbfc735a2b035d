"""The one grammar of expressions: a precedence parser over tokens.

Where a typed form has two legitimate readings the parser notes the name of the convention in
`met`; parsing again with that name in `flipped` gives the other reading (see conventions.py).
"""

from __future__ import annotations

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
from pipeline.reading.budgets import Unread
from pipeline.reading.levels import misplaced, nested
from pipeline.reading.pieces import bracketed
from pipeline.reading.quotients import Quotients
from pipeline.reading.signed import ADDING
from pipeline.reading.spans import absorb_spans
from pipeline.reading.tokens import Token

__all__ = ["Parser"]

_JOINING = ADDING | {"*", "/", "÷", "^", ":"}


class Parser(Quotients):
    """Reads one expression that uses every token: sums, products, powers of operands."""

    def whole(self) -> Node:
        """Read all tokens as one expression.

        Raises:
            Unread: the tokens are no expression.
        """
        while bracketed(self.tokens) and self.tokens[0].kind == "(":
            self.tokens = self.tokens[1:-1]
        alone = self.sum_beside_brackets()
        if alone and self.other_way("sum-beside-brackets"):
            start, end = alone
            self.tokens[start:end] = [Token("(", "("), *self.tokens[start:end], Token(")", ")")]
        node = self.sum(outermost=True)
        if self.place < len(self.tokens):
            raise Unread(misplaced(self.token.text))
        return node

    def sum_beside_brackets(self) -> tuple[int, int] | None:
        """Return where the sum without brackets stands in `x-3(x+3)` or `(x+3)x-3`."""
        kinds = [token.kind for token in self.tokens]
        if kinds.count("(") != 1 or kinds.count(")") != 1:
            return None
        opening, closing = kinds.index("("), kinds.index(")")
        if closing == len(kinds) - 1:
            start, end = 0, opening
        elif opening == 0:
            start, end = closing + 1, len(kinds)
        else:
            return None
        beside, inside = kinds[start:end], kinds[opening:closing]
        sums = all("letter" in part and ADDING & set(part[1:]) for part in (beside, inside))
        return (start, end) if sums and not {beside[0], beside[-1]} & _JOINING else None

    @nested
    def sum(self, outermost: bool = False) -> Node:
        """Read terms joined by signs."""
        around = self.slashed
        terms = [self.signed_term()]
        slashes = [self.slashed]
        while self.token.kind in ADDING:
            terms.append(self.signed_term())
            slashes.append(self.slashed)
        if len(terms) > 1 and outermost and sum(slash is not None for slash in slashes) == 1:
            terms = absorb_spans(terms, slashes, self.other_way)
        self.slashed = around
        node = terms[0] if len(terms) == 1 else Sum(tuple(terms))
        if self.token.kind == "⟋":
            self.place += 1
            node = Quotient(node, self.factor())
        return node

    def term(self) -> Node:
        """Read products and divisions, written or implied, from left to right."""
        start = self.place
        factors = [self.mixed_or_power()]
        while True:
            kind = self.token.kind
            if kind == "*" or (kind == "letter" and self.is_times_sign()):
                self.place += 1
                factors.append(self.factor())
            elif kind in {"/", "÷"} or (kind == ":" and self.is_ratio()):
                self.divide(factors, start)
            elif self.juxtaposed():
                factors.append(self.power())
            else:
                return factors[0] if len(factors) == 1 else Product(tuple(factors))

    def is_times_sign(self) -> bool:
        """Whether an x between two numbers, set off by blanks, is a times sign."""
        before, after = self.tokens[self.place - 1], self.peek()
        if self.token.text not in {"x", "X"}:
            return False
        if (before.kind, after.kind) == (")", "(") and self.token.gap and after.gap:
            return self.other_way("x-between-brackets")
        if before.kind != "number":
            return False
        if after.kind == "number" and after.value == 10 and self.peek(2).kind == "^":
            return True
        if self.token.gap and after.gap and after.kind == "number":
            return not self.other_way("x-as-times")
        return self.token.text == "x" and after.text == "x" and self.peek(2).kind == "number"

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
        return self.postfix(Power(base, self.wider_exponent(exponent)))

    def wider_exponent(self, exponent: Node) -> Node:
        """Let an exponent without brackets reach further where that reading is asked for."""
        joined = self.token.kind == "letter" and not self.token.gap
        if joined and self.other_way("exponent-over-product"):
            factors = [exponent]
            while self.token.kind == "letter":
                factors.append(self.power())
            exponent = Product(tuple(factors))
        if self.token.kind in {"+", "-"} and self.other_way("exponent-over-sum"):
            terms = [exponent]
            while self.token.kind in {"+", "-"}:
                terms.append(self.signed_term())
            return Sum(tuple(terms))
        return exponent

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
        """Read a number right behind an operand; behind brackets `5/9` is a factor."""
        bracket = self.peek(-1).kind == ")"
        number = self.take()
        fraction = bracket and self.token.kind == "/" and self.peek().kind == "number"
        small = number.places is None and 2 <= number.value <= 9 and number.value.denominator == 1
        exponent = Numeral(number.value, number.places)
        if small and not number.gap and self.other_way("exponent-lost") is fraction:
            return Power(base, exponent)
        return Product((base, exponent))

    def postfix(self, node: Node) -> Node:
        """Read percent signs, exclamation marks and stray marks."""
        while self.token.kind in {"%", "!", "°", "'", '"'}:
            kind = self.take().kind
            if kind == "%":
                node = node if self.other_way("percent") else Quotient(node, Numeral(Fraction(100)))
            elif kind == "!":
                if self.place < len(self.tokens) and self.token.kind != "!":
                    raise Unread("a factorial inside an expression")
                node = _factorial(node) if self.other_way("factorial") else node
            elif isinstance(node, Numeral):
                self.remarks["a degree sign or stray mark was set aside"] = None
            else:
                raise Unread(misplaced(kind))
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
