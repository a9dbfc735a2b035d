"""Values that an answer can have, their canonical keys, and their text."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Literal, TypeAlias

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd, SurdLike
from pipeline.exact.polynomials import Polynomial, fraction_of, polynomial_of
from pipeline.exact.printing import surd_source, tree_source, tree_words
from pipeline.exact.trees import (
    KNOWN_FUNCTIONS,
    TURNED,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Product,
    Quotient,
    Relation,
    Sum,
    letters,
    unsigned,
)


class StatementCode(StrEnum):
    """An answer in words."""

    NO_REAL = "NO_REAL"
    NO_SOLUTION = "NO_SOLUTION"
    ALL_REAL = "ALL_REAL"
    DONT_KNOW = "DONT_KNOW"
    EMPTY = "EMPTY"
    PRIME = "PRIME"


@dataclass(frozen=True, slots=True)
class Number:
    """One number, or an entry of a list that still holds letters.

    Args:
        surd: the exact value; None outside square roots of rationals, then the tree decides.
        tree: what was typed.
        places: decimals typed; None unless the number was typed as a decimal.
    """

    surd: Surd | None
    tree: Node
    places: int | None = None

    @classmethod
    def exactly(cls, value: SurdLike) -> Number:
        """Return a number that was computed, not typed."""
        surd = Surd.of(value)
        return cls(surd, tree_of_surd(surd))


@dataclass(frozen=True, slots=True)
class Roots:
    """Several values, in the order typed, repetitions kept; equal as a set."""

    members: tuple[Number, ...]


@dataclass(frozen=True, slots=True)
class Expression:
    """An expression with letters."""

    tree: Node


@dataclass(frozen=True, slots=True)
class Point:
    """An ordered pair or triple."""

    coordinates: tuple[Number, ...]


@dataclass(frozen=True, slots=True)
class Points:
    """Several points; equal as a set."""

    members: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Interval:
    """An interval of real numbers; None as an end is infinite, and then the end is open."""

    low: Number | None
    high: Number | None
    left_open: bool
    right_open: bool


@dataclass(frozen=True, slots=True)
class Region:
    """A union of disjoint intervals in increasing order; no part is the empty set."""

    parts: tuple[Interval, ...]


@dataclass(frozen=True, slots=True)
class Equation:
    """A relation that stands as an answer."""

    relation: Relation


@dataclass(frozen=True, slots=True)
class Statement:
    """An answer in words."""

    code: StatementCode


Kind: TypeAlias = Literal["", "real", "rational", "irrational", "nonreal"]
"""What is said of solutions beside how many they are; "" says nothing."""


@dataclass(frozen=True, slots=True)
class Count:
    """How many solutions there are, with their kind: two irrational, one real and two not real.

    A number without a kind is a `Number`. Parts are sorted; None for a number says the kind alone.
    """

    parts: tuple[tuple[int | None, Kind], ...]

    @property
    def tree(self) -> Node:
        """The parts as a sum of multiples of their kinds, such as 2*irrational."""
        terms = tuple(
            Letter(f"all_{kind}")
            if number is None
            else Product((Numeral(Fraction(number)), Letter(kind or "any")))
            for number, kind in self.parts
        )
        return terms[0] if len(terms) == 1 else Sum(terms)


Value: TypeAlias = (
    Number | Roots | Expression | Point | Points | Region | Equation | Statement | Count
)


def typed_places(node: Node) -> int | None:
    """Return the decimals of a number typed as a decimal, or as a sum of such numbers.

    A percent with one decimal has three: 66.7% is .667.
    """
    match node:
        case Quotient(Numeral(_, int() as places), Numeral(below)) if below == 100:
            return places + 2
        case Numeral(_, places):
            return places
        case Negation(part) | PlusMinus(part):
            return typed_places(part)
        case Sum(terms):
            found = [typed_places(term) for term in terms]
            plain = all(isinstance(unsigned(term), Numeral) for term in terms)
            return max((p for p in found if p is not None), default=None) if plain else None
    return None


def complex_places(node: Node) -> tuple[int | None, int | None] | None:
    """Return the decimals typed in the real and in the imaginary part of `a + b i`.

    A part without a decimal point has None; None in place of the pair where no part has one, or
    where the number is not typed part by part.
    """
    terms = node.terms if isinstance(node, Sum) else (node,)
    places: list[int | None] = [None, None]
    for term in terms:
        inner = unsigned(term)
        imaginary = _without_unit(inner)
        part = 0 if imaginary is None else 1
        found = typed_places(inner if imaginary is None else imaginary)
        if places[part] is not None:
            return None
        places[part] = found
    return None if places == [None, None] else (places[0], places[1])


def _without_unit(node: Node) -> Node | None:
    """Return b of `b i`, or None where no imaginary unit stands."""
    if not isinstance(node, Product) or Constant("i") not in node.factors:
        return None
    rest = [factor for factor in node.factors if factor != Constant("i")]
    return rest[0] if len(rest) == 1 else None


def number_of(tree: Node) -> Number:
    """Return a typed tree as a number; its surd is None outside exact arithmetic.

    Raises:
        ZeroDivisionError: something is divided by zero.
        BudgetExceeded: the value has too many digits.
    """
    return Number(surd_of(tree), tree, typed_places(tree))


def value_key(value: Value) -> str:
    """Return the canonical key of a value.

    A list with one distinct member has that member's key, the whole line that of `ALL_REAL`,
    the empty set that of `NO_SOLUTION`: they are the same answer.
    """
    match value:
        case Number():
            return number_key(value)
        case Roots(members):
            return _set_key([number_key(member) for member in members])
        case Expression() | Count():
            return tree_key(value.tree)
        case Point(coordinates):
            return f"({', '.join(number_key(part) for part in coordinates)})"
        case Points(members):
            return _set_key([value_key(member) for member in members])
        case Region():
            return _region_key(value)
        case Equation(relation):
            return relation_key(relation)
        case Statement(code):
            return code.value


def _set_key(keys: list[str]) -> str:
    distinct = sorted(set(keys))
    return distinct[0] if len(distinct) == 1 else "{" + ", ".join(distinct) + "}"


def number_key(number: Number) -> str:
    """Return the key of one number."""
    return surd_source(number.surd) if number.surd is not None else tree_key(number.tree)


@lru_cache(maxsize=8192)
def tree_key(tree: Node) -> str:
    """Return the key of an expression."""
    ratio = _ratio(tree)
    if ratio is not None:
        upper, lower = ratio
        return upper.source() if lower.is_constant else f"({upper.source()})/({lower.source()})"
    return _numeric_key(tree)


def _ratio(tree: Node) -> tuple[Polynomial, Polynomial] | None:
    try:
        polynomial = polynomial_of(tree)
        if polynomial is not None:
            return polynomial, Polynomial.constant(1)
        return fraction_of(tree)
    except ZeroDivisionError:
        return None


def _numeric_key(tree: Node) -> str:
    from pipeline.exact.numeric import fingerprint, recognized

    if not letters(tree):
        exact = recognized(tree)
        if exact is not None:
            return surd_source(exact)
    found = fingerprint(tree)
    return f"~{found}" if found is not None else f"?{tree!r}"


def _region_key(region: Region) -> str:
    if not region.parts:
        return StatementCode.NO_SOLUTION.value
    if len(region.parts) == 1 and region.parts[0].low is None and region.parts[0].high is None:
        return StatementCode.ALL_REAL.value
    if all(_is_point(part) for part in region.parts):
        return _set_key([number_key(part.low) for part in region.parts if part.low is not None])
    return " U ".join(_interval_key(part) for part in region.parts)


def _is_point(part: Interval) -> bool:
    """Whether an interval holds one number; such regions are the lists of these numbers."""
    ends = part.low, part.high
    return None not in ends and number_key(ends[0]) == number_key(ends[1])  # type: ignore[arg-type]


def _interval_key(part: Interval) -> str:
    low = "-oo" if part.low is None else number_key(part.low)
    high = "oo" if part.high is None else number_key(part.high)
    if low == high:
        return f"[{low}]"
    return _in_brackets(part, low, high)


def _in_brackets(part: Interval, low: str, high: str) -> str:
    left = "(" if part.left_open or part.low is None else "["
    right = ")" if part.right_open or part.high is None else "]"
    return f"{left}{low}, {high}{right}"


@lru_cache(maxsize=8192)
def relation_key(relation: Relation) -> str:
    """Return the key of a relation, up to a nonzero constant factor."""
    return " & ".join(sorted(_pair_key(*pair) for pair in relation.pairs()))


def _pair_key(left: Node, sign: str, right: Node) -> str:
    difference = Sum((_plain(left), Negation(_plain(right))))
    sign = "=" if sign == "~" else sign
    ratio = _ratio(difference)
    if ratio is None:
        return f"{_scaled_numeric_key(difference)} {sign} 0"
    upper, lower = ratio
    if not upper:
        return f"0 {sign} 0"
    leading = upper.ordered()[0][1]
    if leading.is_real and leading.real_sign() < 0:
        sign = TURNED[sign]
    scaled = upper * (Surd.of(1) / leading)
    over = "" if lower.is_constant else f"/({lower.source()})"
    return f"{scaled.source()}{over} {sign} 0"


def _plain(node: Node) -> Node:
    """A question's own function on one side, f(x) or f_inv(x), counts as a letter."""
    if isinstance(node, Call) and node.name not in KNOWN_FUNCTIONS and len(node.name) < 6:
        return Letter(node.name)
    return node


def _scaled_numeric_key(difference: Node) -> str:
    from pipeline.exact.numeric import ratios

    try:
        found = ratios(difference)
    except BudgetExceeded:
        found = None
    return f"~{found}" if found is not None else f"?{difference!r}"


_STATEMENT_WORDS = {
    StatementCode.NO_REAL: "no real solution",
    StatementCode.NO_SOLUTION: "no solution",
    StatementCode.ALL_REAL: "all real numbers",
    StatementCode.DONT_KNOW: "does not know",
    StatementCode.EMPTY: "nothing typed",
    StatementCode.PRIME: "cannot be factored",
}


def numbers_of(value: Value) -> tuple[Number, ...]:
    """Return the numbers that a value is made of; of a region its finite ends."""
    match value:
        case Number():
            return (value,)
        case Roots(members) | Point(members):
            return members
        case Points(members):
            return tuple(number for point in members for number in point.coordinates)
        case Region(parts):
            return tuple(end for part in parts for end in (part.low, part.high) if end is not None)
        case _:
            return ()


def members_of(value: Value) -> tuple[Number, ...]:
    """Return the numbers of a list, or the one number; nothing of another value."""
    return numbers_of(value) if isinstance(value, Number | Roots) else ()


def value_source(value: Value) -> str:
    """Return sympy source, which the reader reads back to the same value."""
    match value:
        case Number():
            return _number_source(value)
        case Roots(members):
            return "[" + ", ".join(_number_source(member) for member in members) + "]"
        case Expression() | Count():
            return tree_source(value.tree)
        case Point(coordinates):
            return "(" + ", ".join(_number_source(part) for part in coordinates) + ")"
        case Points(members):
            return "[" + ", ".join(value_source(member) for member in members) + "]"
        case Region(parts):
            return _region_source(parts)
        case Equation(relation):
            return tree_source(relation)
        case Statement(code):
            return code.value


def _number_source(number: Number) -> str:
    return surd_source(number.surd) if number.surd is not None else tree_source(number.tree)


def _region_source(parts: tuple[Interval, ...]) -> str:
    if not parts:
        return StatementCode.NO_SOLUTION.value
    pieces = [_interval_source(part) for part in parts]
    return pieces[0] if len(pieces) == 1 else f"Union({', '.join(pieces)})"


def _interval_source(part: Interval) -> str:
    low = "-oo" if part.low is None else _number_source(part.low)
    high = "oo" if part.high is None else _number_source(part.high)
    left, right = part.left_open or part.low is None, part.right_open or part.high is None
    ends = f", {left}, {right}" if left or right else ""
    return f"Interval({low}, {high}{ends})"


def value_words(value: Value) -> str:
    """Return a value in words and plain notation, as it was typed but tidied."""
    match value:
        case Number(_, tree, _) | Expression(tree):
            return tree_words(tree)
        case Roots(members):
            return " or ".join(tree_words(member.tree) for member in members) or "no value"
        case Count(parts):
            return " and ".join(_part_words(number, kind) for number, kind in parts)
        case Point(coordinates):
            return "(" + ", ".join(tree_words(part.tree) for part in coordinates) + ")"
        case Points(members):
            return " and ".join(value_words(member) for member in members)
        case Region(parts):
            return " ∪ ".join(_interval_words(part) for part in parts) or "the empty set"
        case Equation(relation):
            return tree_words(relation)
        case Statement(code):
            return _STATEMENT_WORDS[code]


def _part_words(number: int | None, kind: Kind) -> str:
    named = "not real" if kind == "nonreal" else kind
    return " ".join(filter(None, ("" if number is None else str(number), named)))


def _interval_words(part: Interval) -> str:
    low = "−∞" if part.low is None else tree_words(part.low.tree)
    high = "∞" if part.high is None else tree_words(part.high.tree)
    if part.low is not None and part.low == part.high:
        return "{" + low + "}"
    return _in_brackets(part, low, high)
