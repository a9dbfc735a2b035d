"""The one grammar of expressions: a precedence parser over tokens.

Where a typed form has two legitimate readings the parser notes the name of the convention in
`met`; parsing again with that name in `flipped` gives the other reading (see conventions.py).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)
from pipeline.reading import marks
from pipeline.reading.budgets import MAX_DEPTH, Unread
from pipeline.reading.spans import absorb_spans
from pipeline.reading.tokens import Token

__all__ = ["Parser"]

_TWO = Numeral(Fraction(2))
_CLOSING = {"(": ")", "[": "]", "{": "}", marks.GROUP: marks.END_GROUP}
_STARTS = frozenset({"letter", "constant", "function", "√", *_CLOSING, marks.FRACTION, marks.INDEX})
_ADDING = frozenset({"+", "-", "±", "∓", "+-", "-+"})
_CURRENCY = frozenset("$€£¥¢#")
_END = Token("end", "the end")


class Parser:
    """Reads one expression that uses every token.

    Args:
        tokens: the tokens of the expression.
        flipped: names of the conventions to read the other way.
        i_is_letter: whether the problem uses i as a letter.
    """

    def __init__(
        self, tokens: list[Token], flipped: frozenset[str] = frozenset(), i_is_letter: bool = False
    ) -> None:
        self.tokens, self.flipped, self.i_is_letter = tokens, flipped, i_is_letter
        self.met: dict[str, None] = {}
        self.remarks: dict[str, None] = {}
        self.place = self.depth = self.bars = 0

    def other_way(self, convention: str) -> bool:
        """Note that a convention was needed, and tell whether to read against it."""
        self.met[convention] = None
        return convention in self.flipped

    @property
    def token(self) -> Token:
        return self.tokens[self.place] if self.place < len(self.tokens) else _END

    def peek(self, ahead: int = 1) -> Token:
        place = self.place + ahead
        return self.tokens[place] if place < len(self.tokens) else _END

    def take(self) -> Token:
        token = self.token
        self.place += 1
        return token

    def expect(self, kind: str) -> None:
        if self.token.kind != kind:
            raise Unread(f"{_shown(kind)} expected before {_shown(self.token.text)}")
        self.place += 1

    def whole(self) -> Node:
        """Read all tokens as one expression.

        Raises:
            Unread: the tokens are no expression.
        """
        node = self.sum(outermost=True)
        if self.place < len(self.tokens):
            raise Unread(f"unexpected {_shown(self.token.text)}")
        return node

    def sum(self, outermost: bool = False) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        terms = [self.signed_term()]
        slashed = [self.slashed]
        while self.token.kind in _ADDING:
            terms.append(self.signed_term())
            slashed.append(self.slashed)
        self.depth -= 1
        if len(terms) > 1 and outermost and sum(slashed) == 1:
            terms = absorb_spans(terms, slashed.index(True), self.other_way)
        node = terms[0] if len(terms) == 1 else Sum(tuple(terms))
        if self.token.kind == "⟋":
            self.place += 1
            node = Quotient(node, self.factor())
        return node

    def signed_term(self) -> Node:
        """Read a term with all signs before it."""
        kind = self.token.kind
        self.slashed = False
        if kind not in _ADDING:
            return self.term()
        self.place += 1
        if kind == "+" or (kind == "+-" and self.other_way("plus-minus-typed")):
            rest = self.nested_sign()
            return rest if kind == "+" else Negation(rest)
        if kind == "-":
            return self.double_minus() if self.token.kind == "-" else self.negated()
        if kind == "-+":
            if self.other_way("plus-minus-typed"):
                return Negation(self.nested_sign())
            return PlusMinus(self.nested_sign(), -1)
        return PlusMinus(self.nested_sign(), -1 if kind == "∓" else 1)

    def negated(self) -> Node:
        """Read what a minus sign stands before, and note where its reach can be doubted."""
        start = self.place
        rest = self.nested_sign()
        plain = self.tokens[start].kind == "number"
        if plain and isinstance(rest, Power) and self.other_way("minus-before-power"):
            return Power(Negation(rest.base), rest.exponent)
        if plain and isinstance(rest, Sum) and self.other_way("mixed-sign"):
            return Sum((Negation(rest.terms[0]), rest.terms[1]))
        return Negation(rest)

    def nested_sign(self) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        node = self.signed_term()
        self.depth -= 1
        return node

    def double_minus(self) -> Node:
        self.place += 1
        if self.other_way("double-minus"):
            return Negation(self.nested_sign())
        return Negation(Negation(self.nested_sign()))

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

    def nested_factor(self) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        node = self.factor()
        self.depth -= 1
        return node

    def juxtaposed(self) -> bool:
        kind = self.token.kind
        if kind == "|":
            return self.bars == 0 and self.place + 1 < len(self.tokens)
        return kind in _STARTS

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
        exponent = self.exponent()
        after = self.peek()
        if self.token.kind == "/" and after.kind == "number" and _is_signed_number(exponent):
            if self.tokens[self.place - 1].kind == "number" and self.other_way("exponent-span"):
                self.place += 2
                exponent = Quotient(exponent, Numeral(after.value))
        return self.postfix(Power(base, exponent))

    def exponent(self) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
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
        self.depth -= 1
        return node

    def lost_exponent(self, base: Node) -> Node:
        number = self.take()
        small = number.places is None and 2 <= number.value <= 9 and number.value.denominator == 1
        exponent = Numeral(number.value, number.places)
        if small and not self.other_way("exponent-lost"):
            return Power(base, exponent)
        return Product((base, exponent))

    def postfix(self, node: Node) -> Node:
        while self.token.kind in {"%", "!", "°", "'"}:
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

    def primary(self) -> Node:
        """Read one operand: a number, a letter, a root, a group."""
        token = self.take()
        kind = token.kind
        if kind == "number":
            return Numeral(token.value, token.places)
        if kind == "letter":
            return self.letter(token.text)
        if kind == "constant":
            return Constant(token.text)
        if kind in _CLOSING:
            return self.group(kind)
        if kind == "|":
            return self.absolute()
        if kind in _CURRENCY and self.token.kind in {"number", "-"}:
            self.remarks["a currency sign was set aside"] = None
            return self.primary()
        return self.structure(token)

    def structure(self, token: Token) -> Node:
        kind = token.kind
        if kind in {"√", marks.INDEX}:
            return self.root(kind)
        if kind == "function":
            return self.function(token.text)
        if kind == marks.FRACTION:
            upper = self.sum()
            self.expect(marks.OVER)
            lower = self.sum()
            self.expect(marks.END_FRACTION)
            return Quotient(upper, lower)
        if kind == "±":
            return PlusMinus(self.primary())
        raise Unread(f"unexpected {_shown(token.text)}")

    def letter(self, name: str) -> Node:
        if self.token.kind == "_":
            self.place += 1
            index = self.take()
            if index.kind == marks.GROUP:
                index = self.take()
                self.expect(marks.END_GROUP)
            if index.kind not in {"number", "letter"}:
                raise Unread("a subscript that is no number")
            return Letter(f"{name}_{index.text}")
        if name == "i" and not self.i_is_letter:
            return Constant("i")
        return Letter(name)

    def group(self, opening: str) -> Node:
        bars, self.bars = self.bars, 0
        node = self.sum()
        self.expect(_CLOSING[opening])
        self.bars = bars
        if opening == "[" and isinstance(node, Numeral):
            raise Unread("a list with one number inside an expression")
        return node

    def absolute(self) -> Node:
        self.bars += 1
        node = self.sum()
        self.expect("|")
        self.bars -= 1
        return Absolute(node)

    def root(self, kind: str) -> Node:
        index: Node = _TWO
        if kind == marks.INDEX:
            index = self.sum()
            self.expect(marks.END_INDEX)
        return self.root_of(index, bare=True)

    def root_of(self, index: Node, bare: bool) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        bracketed = self.token.kind in _CLOSING or self.token.kind == marks.FRACTION
        start = self.place
        radicand = self.radicand()
        if bare and not bracketed and not self.continues_with_i():
            radicand = self.wider_radicand(radicand, start)
        self.depth -= 1
        return Root(radicand, index)

    def radicand(self) -> Node:
        if self.token.kind in {"-", "+"}:
            kind = self.take().kind
            inner = self.radicand()
            return Negation(inner) if kind == "-" else inner
        return self.primary()

    def continues_with_i(self) -> bool:
        return self.token.kind == "letter" and self.token.text in {"i", "I"}

    def wider_radicand(self, radicand: Node, start: int) -> Node:
        """Let a root without brackets reach further where that reading is asked for."""
        kind = self.token.kind
        if kind == "^" and self.other_way("root-over-power"):
            self.place = start
            return self.power()
        if self.juxtaposed() and self.other_way("root-over-product"):
            parts = [radicand]
            while self.juxtaposed():
                parts.append(self.power())
            return Product(tuple(parts))
        if kind == "/" and self.other_way("root-over-quotient"):
            self.place += 1
            return Quotient(radicand, self.power())
        if kind in {"+", "-"} and self.other_way("root-over-sum"):
            self.place = start
            return self.sum()
        return radicand

    def function(self, name: str) -> Node:
        if name in {"sqrt", "root"}:
            if self.is_indexed_root():
                index = self.primary()
                return self.root_of(index, bare=False)
            return self.root_of(_TWO, bare=True)
        if name == "cbrt":
            return self.root_of(Numeral(Fraction(3)), bare=True)
        base = None
        if self.token.kind == "_":
            self.place += 1
            base = self.primary()
        argument = self.primary() if self.token.kind in _CLOSING else self.power()
        return Absolute(argument) if name == "abs" else Call(name, (argument,), base)

    def is_indexed_root(self) -> bool:
        """Whether `root(3)(8)` or `sqrt[3](8)` gives an index."""
        inner, close, after = self.peek(1), self.peek(2), self.peek(3)
        shaped = self.token.kind in {"(", "["} and inner.kind == "number" and inner.places is None
        return (
            shaped
            and close.kind in {")", "]"}
            and after.kind in {"(", marks.GROUP}
            and (self.token.kind == "[" or self.tokens[self.place - 1].text == "root")
        )


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


def _shown(text: str) -> str:
    if text and marks.FIRST <= text <= marks.LAST:
        return "the end of a group"
    return "a new line" if text == "\n" else text
