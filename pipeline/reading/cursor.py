"""Where the parser stands among the tokens of an expression, and what it sees ahead of it.

Where brackets are missing, it has to tell how far a fraction bar typed as a slash reaches.
"""

from __future__ import annotations

from collections.abc import Callable, Set
from dataclasses import dataclass
from typing import Concatenate, ParamSpec, TypeVar

from pipeline.exact.trees import (
    Negation,
    Node,
    PlusMinus,
    Product,
    Quotient,
    Root,
    Sum,
    holds,
    letters,
)
from pipeline.reading import marks
from pipeline.reading.records import MAX_DEPTH, Notes, Unread
from pipeline.reading.splitting import bracketed
from pipeline.reading.tokens import Token


@dataclass(frozen=True, slots=True)
class Slash:
    """A slash of a term; brackets around all that stands above or below it settle its reach."""

    upper_settled: bool
    lower_settled: bool


def absorb_spans(
    terms: list[Node], slashes: list[Slash | None], other_way: Callable[[str], bool]
) -> list[Node]:
    """Return the terms of a sum with one slash, with the fraction bar widened where asked.

    Args:
        terms: all terms.
        slashes: the slash of each term; at most one is there.
        other_way: notes a convention and tells whether to read against it.
    """
    place = next(place for place, slash in enumerate(slashes) if slash is not None)
    slash = slashes[place]
    sign, quotient = _unsigned(terms[place])
    if quotient is None or slash is None:
        return terms
    before = [] if slash.upper_settled else terms[:place]
    after = [] if slash.lower_settled else terms[place + 1 :]
    return [*terms[: place - len(before)], *_widened(quotient, sign, (before, after), other_way),
            *(terms[place + 1 :] if slash.lower_settled else [])]  # fmt: skip


def _widened(
    quotient: Quotient,
    sign: Callable[[Node], Node],
    around: tuple[list[Node], list[Node]],
    other_way: Callable[[str], bool],
) -> list[Node]:
    """The quotient and the terms around it that its bar may reach over."""
    before, after = around
    if before and other_way("numerator-span"):
        upper = Sum((*before, sign(quotient.numerator)))
        return [Quotient(upper, quotient.denominator), *after]
    numeric = not any(map(letters, (*before, quotient, *after)))
    if after and (
        letters(quotient.denominator) or any(holds(one, Root) for one in after) or numeric
    ):
        lower = Sum((quotient.denominator, *after))
        if before and other_way("both-spans"):
            return [Quotient(Sum((*before, sign(quotient.numerator))), lower)]
        if not before and other_way("denominator-span"):
            return [sign(Quotient(quotient.numerator, lower))]
    return [*before, sign(quotient), *after]


def _unsigned(term: Node) -> tuple[Callable[[Node], Node], Quotient | None]:
    inner: Node = term
    sign: Callable[[Node], Node] = _same
    if isinstance(term, Negation):
        inner, sign = term.argument, Negation
    elif isinstance(term, PlusMinus):
        upper = term.upper
        inner, sign = term.argument, lambda node: PlusMinus(node, upper)
    if isinstance(inner, Product) and isinstance(inner.factors[0], Quotient):
        return sign, None
    return sign, inner if isinstance(inner, Quotient) else None


def _same(node: Node) -> Node:
    return node


ADDING = frozenset({"+", "-", "±", "∓", "+-", "-+"})
"""Signs between terms, or before one."""
CLOSING = {"(": ")", "[": "]", "{": "}", marks.GROUP: marks.END_GROUP}
CURRENCY = frozenset("$€£¥¢#")
ADDED = frozenset("+-")
_JOINING = ADDING | {"*", "/", "÷", "^", ":"}
_STARTS = frozenset({"letter", "constant", "function", "√", *CLOSING, marks.FRACTION, marks.INDEX})
_ENDING = frozenset("+-±∓*/÷:|,;=<>") | {"+-", "-+", "<=", ">=", "!="}
_END = Token("end", "the end")
_Rest = ParamSpec("_Rest")


class Cursor:
    """A place among tokens.

    Args:
        tokens: all that is read.
        notes: what the question tells, and the conventions that are met or read against.
    """

    def __init__(self, tokens: list[Token], notes: Notes) -> None:
        self.tokens, self.notes, self.other_way = tokens, notes, notes.other_way
        self.place = self.depth = self.bars = 0
        self.slashed: Slash | None = None

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
            depth += (kind in CLOSING) - (kind in CLOSING.values())
            if not depth and kind in kinds and self.tokens[end - 1].kind != "^":
                further = any(one.kind in {"√", "function"} for one in self.tokens[end:])
                return 0 if further and kinds is ADDED else end
            if depth < 0 or (not depth and kind in _ENDING and self.tokens[end - 1].kind != "^"):
                return 0
        return 0

    def continues_with_i(self) -> bool:
        """Whether the imaginary unit follows, which no root reaches."""
        return self.token.kind == "letter" and self.token.text in {"i", "I"}

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

    def is_ratio(self) -> bool:
        """Whether a colon stands between two numbers and nothing else is there."""
        kinds = [token.kind for token in self.tokens if token.kind not in {"-", "+"}]
        return kinds == ["number", ":", "number"]

    def divides_fractions(self) -> bool:
        """Whether the sign of division ahead is a ÷, or a slash set off by blanks behind `a/b`."""
        if self.token.kind != "/":
            return self.token.kind == "÷"
        before, number = self.peek(-2), self.peek(-1)
        return self.token.gap and self.peek().gap and before.kind == "/" and not number.gap

    def is_tight(self) -> bool:
        """Whether the next token is a slash without blanks around it."""
        return self.token.kind == "/" and not self.token.gap and not self.peek().gap

    def goes_on(self) -> bool:
        """Whether a factor follows, written or implied, as in `/2*2` and `/2(2)`."""
        return self.token.kind == "*" or self.juxtaposed()

    def is_group(self, start: int, end: int) -> bool:
        """Whether one pair of brackets holds all tokens of a range."""
        return bracketed(self.tokens[start:end])

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


_Reader = TypeVar("_Reader", bound=Cursor)


def nested(
    read: Callable[Concatenate[_Reader, _Rest], Node],
) -> Callable[Concatenate[_Reader, _Rest], Node]:
    """Count one level for a method that can contain itself, and refuse too many levels."""

    def counted(self: _Reader, /, *arguments: _Rest.args, **options: _Rest.kwargs) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        node = read(self, *arguments, **options)
        self.depth -= 1
        return node

    counted.__doc__ = read.__doc__
    return counted


def misplaced(text: str) -> str:
    """Return the reason why nothing can be read from a token on; `the end` is that of the text."""
    if text == "the end":
        return "something is missing at the end"
    return f"“{shown(text)}” stands where it has no meaning"


def shown(text: str) -> str:
    """Return a token as a message shows it."""
    if text and marks.FIRST <= text <= marks.LAST:
        return "the end of a group"
    return "a new line" if text == "\n" else text
