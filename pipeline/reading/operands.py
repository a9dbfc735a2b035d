"""Operands of the grammar: numbers, letters, roots, functions, groups, absolute values.

A stray reading of an operand is noted as in grammar.py, which builds sums and products of them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Set
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
    Product,
    Quotient,
    Root,
)
from pipeline.reading import marks
from pipeline.reading.budgets import Unread
from pipeline.reading.levels import misplaced, nested, shown
from pipeline.reading.numerals import is_one_dotted, repeating_numeral
from pipeline.reading.tokens import Token

__all__ = ["CURRENCY", "Operands"]

_TWO = Numeral(Fraction(2))
_CLOSING = {"(": ")", "[": "]", "{": "}", marks.GROUP: marks.END_GROUP}
_STARTS = frozenset({"letter", "constant", "function", "√", *_CLOSING, marks.FRACTION, marks.INDEX})
CURRENCY = frozenset("$€£¥¢#")
_ADDED = frozenset("+-")
_ENDING = frozenset("+-±∓*/÷:|,;=<>") | {"+-", "-+", "<=", ">=", "!="}
_END = Token("end", "the end")


class Operands(ABC):
    """The lower half of the parser; `Parser` adds sums, products and powers."""

    def __init__(
        self, tokens: list[Token], flipped: frozenset[str] = frozenset(), i_is_letter: bool = False
    ) -> None:
        over_all = {"numerator-span"} if "root-over-numerator" in flipped else set()
        self.tokens, self.flipped, self.i_is_letter = tokens, flipped | over_all, i_is_letter
        self.met: dict[str, None] = {}
        self.remarks: dict[str, None] = {}
        self.place = self.depth = self.bars = 0

    def other_way(self, convention: str) -> bool:
        """Note that a convention was needed, and tell whether to read against it."""
        self.met[convention] = None
        return convention in self.flipped

    @property
    def token(self) -> Token:
        """The next token, or the end mark."""
        return self.tokens[self.place] if self.place < len(self.tokens) else _END

    def peek(self, ahead: int = 1) -> Token:
        """Return a later token without taking it."""
        place = self.place + ahead
        return self.tokens[place] if place < len(self.tokens) else _END

    def take(self) -> Token:
        """Take the next token."""
        token = self.token
        self.place += 1
        return token

    def expect(self, kind: str) -> None:
        """Take a token of this kind, or refuse."""
        if self.token.kind != kind:
            raise Unread(f"{shown(kind)} expected before {shown(self.token.text)}")
        self.place += 1

    def juxtaposed(self) -> bool:
        """Whether the next token starts a factor without a sign between."""
        kind = self.token.kind
        if kind == "|":
            return self.bars == 0 and self.place + 1 < len(self.tokens)
        return kind in _STARTS

    def primary(self) -> Node:
        """Read one operand: a number, a letter, a root, a group."""
        token = self.take()
        kind = token.kind
        if kind == "number":
            return self.numeral(token)
        if kind == "letter":
            return self.letter(token.text)
        if kind == "constant":
            return Constant(token.text)
        if kind in _CLOSING:
            return self.group(kind)
        if kind == "|":
            return self.absolute()
        if kind in CURRENCY and self.token.kind in {"number", "-"}:
            self.remarks["a currency sign was set aside"] = None
            return self.radicand()
        return self.structure(token)

    def numeral(self, token: Token) -> Node:
        """Read a number; brackets right behind its decimals may hold the ones that repeat."""
        cycle = self.peek()
        kinds = (self.token.kind, cycle.kind, self.peek(2).kind)
        held = kinds == ("(", "number", ")") and not self.token.gap and cycle.text.isdigit()
        if token.places and held and not self.other_way("repeating-in-brackets"):
            self.place += 3
            return repeating_numeral(token.text, cycle.text)
        if is_one_dotted(token) and self.other_way("repeating-dots"):
            return repeating_numeral(token.text[:-4], token.text[-4])
        return Numeral(token.value, token.places)

    def structure(self, token: Token) -> Node:
        """Read a root, a function, a drawn fraction or a late plus-minus sign."""
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
        raise Unread(misplaced(token.text))

    def letter(self, name: str) -> Node:
        """Read a letter with its subscript, or the imaginary unit."""
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

    def group(self, opening: str, of_root: bool = False) -> Node:
        """Read what brackets hold."""
        bars, self.bars = self.bars, 0
        node = self.sum()
        self.expect(_CLOSING[opening])
        self.bars = bars
        if opening == "[" and isinstance(node, Numeral) and not of_root:
            raise Unread("a list with one number inside an expression")
        return node

    def absolute(self) -> Node:
        """Read what bars hold."""
        self.bars += 1
        node = self.sum()
        self.expect("|")
        self.bars -= 1
        return Absolute(node)

    def root(self, kind: str) -> Node:
        """Read a radical sign, with or without index."""
        index: Node = _TWO
        if kind == marks.INDEX:
            index = self.sum()
            self.expect(marks.END_INDEX)
        return self.root_of(index, bare=True)

    @nested
    def root_of(self, index: Node, bare: bool) -> Node:
        """Read a radicand."""
        bracketed = self.token.kind in _CLOSING or self.token.kind == marks.FRACTION
        start = self.place
        radicand = self.radicand()
        if bare and not bracketed and not self.continues_with_i():
            radicand = self.wider_radicand(radicand, start)
        return Root(radicand, index)

    def radicand(self) -> Node:
        """Read one signed operand under a root."""
        if self.token.kind in {"-", "+"}:
            kind = self.take().kind
            inner = self.radicand()
            return Negation(inner) if kind == "-" else inner
        if self.token.kind == "[":
            return self.group(self.take().kind, of_root=True)
        return self.primary()

    def continues_with_i(self) -> bool:
        """Whether the imaginary unit follows, which no root reaches."""
        return self.token.kind == "letter" and self.token.text in {"i", "I"}

    def wider_radicand(self, radicand: Node, start: int) -> Node:
        """Let a root without brackets reach further where that reading is asked for."""
        if self.ahead(_ADDED) and self.other_way("root-over-sum"):
            self.place = start
            return self.sum()
        slash = self.ahead({"/"}, self.ahead(_ADDED))
        if slash and self.other_way("root-over-numerator"):
            return self.between(start, slash)
        slash = self.ahead({"/"})
        if slash and self.other_way("root-over-quotient"):
            upper = self.between(start, slash)
            self.place += 1
            return Quotient(upper, self.power())
        if self.token.kind == "^" and self.other_way("root-over-power"):
            self.place = start
            return self.power()
        if self.juxtaposed() and self.other_way("root-over-product"):
            parts = [radicand]
            while self.juxtaposed():
                parts.append(self.power())
            return Product(tuple(parts))
        return radicand

    def ahead(self, kinds: Set[str], start: int | None = None) -> int:
        """Return where a sign stands behind powers and factors written side by side, or 0.

        Args:
            kinds: the signs looked for.
            start: where to look from; None is the next token, 0 leaves the search out.
        """
        if start == 0:
            return 0
        place = self.place if start is None else start + 1
        depth = 0
        for end in range(place, len(self.tokens)):
            kind = self.tokens[end].kind
            depth += (kind in _CLOSING) - (kind in _CLOSING.values())
            if not depth and kind in kinds and self.tokens[end - 1].kind != "^":
                further = any(one.kind in {"√", "function"} for one in self.tokens[end:])
                return 0 if further and kinds is _ADDED else end
            if depth < 0 or (not depth and kind in _ENDING and self.tokens[end - 1].kind != "^"):
                return 0
        return 0

    def between(self, start: int, end: int) -> Node:
        """Read the tokens of a range as one expression."""
        whole, self.tokens, self.place = self.tokens, self.tokens[:end], start
        node = self.sum()
        if self.place < end:
            raise Unread(misplaced(self.token.text))
        self.tokens = whole
        return node

    def function(self, name: str) -> Node:
        """Read a named function and its argument."""
        if name in {"sqrt", "root"}:
            if self.is_indexed_root():
                return self.root_of(self.primary(), bare=False)
            return self.root_of(_TWO, bare=True)
        if name == "frac":
            return Quotient(self.primary(), self.primary())
        if name == "cbrt":
            return self.root_of(Numeral(Fraction(3)), bare=True)
        base = None
        if name == "log" and self.is_base_in_line():
            base = self.numeral(self.take())
        elif self.token.kind == "_":
            self.place += 1
            base = self.primary()
        argument = self.primary() if self.token.kind in _CLOSING else self.bare_argument()
        return Absolute(argument) if name == "abs" else Call(name, (argument,), base)

    def bare_argument(self) -> Node:
        """Read the argument of a function without brackets: all of `3x` in `ln 3x`."""
        start = self.place
        parts = [self.power()]
        if self.ahead(_ADDED) and self.other_way("argument-over-sum"):
            self.place = start
            return self.sum()
        if self.ahead({"/"}) and self.other_way("argument-over-quotient"):
            self.place = start
            return self.term()
        while self.token.kind == "letter" and not self.other_way("argument-over-product"):
            parts.append(self.power())
        return parts[0] if len(parts) == 1 else Product(tuple(parts))

    def is_base_in_line(self) -> bool:
        """Whether the number of `log2(8)` or `log2 7`, right behind the name, is the base."""
        number, after = self.token, self.peek()
        apart = after.kind in {"number", "letter"} and after.gap
        joined = number.kind == "number" and not number.gap and (after.kind == "(" or apart)
        return joined and number.places is None and not self.other_way("base-of-logarithm")

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

    @abstractmethod
    def sum(self, outermost: bool = False) -> Node:
        """Read a sum."""

    @abstractmethod
    def term(self) -> Node:
        """Read a product."""

    @abstractmethod
    def power(self) -> Node:
        """Read an operand with its exponents."""
