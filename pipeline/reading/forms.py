"""The form asked for: exact, simplified, factored, expanded, a notation of numbers, and so on."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Final

from pipeline.errors import UsageError
from pipeline.exact.factors import is_irreducible
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Call,
    Letter,
    MixedNumber,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    children,
    letters,
)
from pipeline.exact.values import Equation, Expression, Number, Region, Value, numbers_of
from pipeline.reading.simplified import (
    is_collected,
    is_divided,
    is_one_fraction,
    is_reduced,
    is_simplified,
    is_vertex_form,
    is_worked_out,
)

NOTATIONS: Final = ("fraction", "decimal", "percent", "scientific", "mixed", "improper")
_TEN: Final = Fraction(10)
_PERCENT: Final = re.compile(r"%|٪|％|\bper\s?cent\b|\bpct\b", re.IGNORECASE)
_E_NOTATION: Final = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*[eE]\s*[+-]?\d")


def has_percent_sign(typed: str) -> bool:
    """Whether a percent sign, or the word, stands in a typed text."""
    return _PERCENT.search(typed) is not None


def _is_in_notation(tree: Node, notation: str, typed: str = "") -> bool:
    """Whether a number is written in a notation.

    Args:
        tree: the number as read; an outer minus sign belongs to every notation.
        notation: one of `NOTATIONS`.
        typed: the text as typed: a percent sign and the e of 3.2e5 leave nothing in the tree.
    """
    if notation == "percent" or has_percent_sign(typed):
        return notation == "percent" and has_percent_sign(typed)
    by_e = _E_NOTATION.search(typed)
    if by_e:
        return notation == "scientific" and 1 <= float(by_e[1]) < 10
    bare = tree.argument if isinstance(tree, Negation) else tree
    if notation == "decimal":
        return isinstance(bare, Numeral)
    if notation == "mixed":
        return isinstance(bare, MixedNumber) or _is_whole(bare)
    if notation == "improper":
        return _is_fraction(bare) and not isinstance(bare, MixedNumber)
    return _is_scientific(bare) if notation == "scientific" else _is_fraction(bare)


def _is_fraction(bare: Node) -> bool:
    """Whether whole numbers stand above and below the bar; a whole number is one as well."""
    if isinstance(bare, MixedNumber):
        return True
    if isinstance(bare, Quotient):
        return _is_whole(bare.numerator) and _is_whole(bare.denominator)
    return _is_whole(bare)


def _is_whole(node: Node) -> bool:
    bare = node.argument if isinstance(node, Negation) else node
    return isinstance(bare, Numeral) and bare.places is None and bare.value.denominator == 1


def _is_scientific(bare: Node) -> bool:
    """Whether a number from 1 to under 10 stands before a power of ten; a bare power has the 1."""
    factors = bare.factors if isinstance(bare, Product) else (bare,)
    if len(factors) > 2 or not _is_power_of_ten(factors[-1]):
        return False
    lead = factors[0]
    inner = lead.argument if isinstance(lead, Negation) else lead
    return len(factors) == 1 or (isinstance(inner, Numeral) and 1 <= inner.value < 10)


def _is_power_of_ten(node: Node) -> bool:
    return isinstance(node, Power) and node.base == Numeral(_TEN) and _is_whole(node.exponent)


FORMS = (
    "any",
    "exact",
    "worked-out",
    "simplified",
    "factored",
    "expanded",
    "reduced",
    "divided",
    "vertex",
    "interval",
    "slope-intercept",
    "positive-exponents",
    *NOTATIONS,
)
_BRACKETS = re.compile(r"[\[(\]].*[,;].*[\])\[]|\binterval\b", re.DOTALL)
_DECIMAL = re.compile(r"decimal:(\d+)")

EXPECTED: Final = {
    "exact": "an exact value was expected, not a rounded decimal",
    "worked-out": "the calculation was expected to be carried out",
    "simplified": "the simplified form was expected",
    "factored": "the completely factored form was expected",
    "expanded": "the expanded form was expected",
    "reduced": "a fraction in lowest terms was expected",
    "divided": "the division was expected to be carried out",
    "vertex": "the vertex form a(x - h)^2 + k was expected",
    "interval": "interval notation was expected",
    "slope-intercept": "the form y = mx + b was expected",
    "positive-exponents": "positive exponents alone were expected",
    "decimal": "a decimal was expected",
    "fraction": "a fraction was expected",
    "percent": "a percent was expected",
    "mixed": "a mixed number was expected",
    "improper": "an improper fraction was expected",
    "scientific": "scientific notation, with one digit before the point, was expected",
}
"""What is said of a right answer in another form than the one asked for."""


def parts_of_form(form: str | None) -> tuple[str, ...]:
    """Return the parts of a form such as `exact+simplified`.

    Raises:
        UsageError: a part is unknown.
    """
    parts = tuple(part.strip() for part in (form or "any").split("+"))
    for part in parts:
        if part not in FORMS and not _DECIMAL.fullmatch(part):
            raise UsageError(f"unknown form “{part}”; use {', '.join(FORMS)} or decimal:N")
    return parts


def places_of_form(form: str | None) -> list[int]:
    """Decimals that a form asks for, where it asks for some."""
    found = (_DECIMAL.fullmatch(part) for part in parts_of_form(form))
    return [int(one[1]) for one in found if one]


def missing_form(value: Value, form: str | None, typed: str = "") -> str | None:
    """Return what was expected of the form of a right value, or None when the form is right.

    Args:
        value: what was read.
        form: the form asked for.
        typed: the text as typed, which alone tells 35% from 35/100 and 3.2e5 from 320000.
    """
    for part in parts_of_form(form):
        decimals = _DECIMAL.fullmatch(part)
        if decimals:
            if not all(_has_places(number, int(decimals[1])) for number in numbers_of(value)):
                return f"a decimal with {decimals[1]} places was expected"
        elif part in _SHAPES:
            if not _SHAPES[part](value, typed):
                return EXPECTED[part]
        elif part in NOTATIONS:
            if not all(_is_in_notation(tree, part, typed) for tree in trees_of(value)):
                return EXPECTED[part]
        elif part != "any" and not all(_CHECKS[part](tree) for tree in trees_of(value)):
            return EXPECTED[part]
    return None


def trees_of(value: Value) -> Iterator[Node]:
    """Yield the trees whose form counts: numbers, expressions, right sides of equations."""
    if isinstance(value, Expression):
        yield value.tree
    elif isinstance(value, Equation):
        sides = value.relation.sides
        yield from (side for side in sides if not isinstance(side, Letter))
    else:
        yield from (number.tree for number in numbers_of(value))


def _is_interval(value: Value, typed: str) -> bool:
    """Whether a set of numbers is written with brackets; none and all may be said in words."""
    one = value.parts[0] if isinstance(value, Region) and len(value.parts) == 1 else None
    everything = one is not None and one.low is None and one.high is None
    ordered = isinstance(value, Region) and bool(value.parts) and not everything
    return not ordered or _BRACKETS.search(typed) is not None


def _is_slope_intercept(value: Value, _: str) -> bool:
    """Whether y, or the x of a vertical line, stands alone before a sum without brackets."""
    if not isinstance(value, Equation) or len(value.relation.sides) != 2:
        return False
    first, second = value.relation.sides
    alone, rest = (first, second) if isinstance(first, Letter) else (second, first)
    return isinstance(alone, Letter) and alone.name in "xy" and _is_expanded(rest)


def _has_positive_exponents(tree: Node) -> bool:
    match tree:
        case Power(_, Negation()):
            return False
        case Power(_, Numeral(exponent)) if exponent < 0:
            return False
    return all(map(_has_positive_exponents, children(tree)))


def _has_places(number: Number, places: int) -> bool:
    whole = number.surd is not None and number.surd.is_integer
    return number.places == places or (number.places is None and whole)


def _is_exact(tree: Node) -> bool:
    if isinstance(tree, Numeral) and tree.places is not None:
        return False
    return all(_is_exact(part) for part in children(tree))


def _is_expanded(tree: Node) -> bool:
    """Whether no product or power of a sum is left and like terms are collected."""
    if isinstance(tree, Product) and any(_holds_sum(factor) for factor in tree.factors):
        return False
    if isinstance(tree, Power) and _holds_sum(tree.base):
        return False
    if isinstance(tree, Negation) and _holds_sum(tree.argument):
        return False
    if isinstance(tree, Call) and tree.name in ("log", "ln") and _is_joined(tree.arguments[0]):
        return False
    return is_collected(tree) and all(_is_expanded(part) for part in children(tree))


def _is_joined(inside: Node) -> bool:
    """Whether a law makes more logarithms of one: a product, a quotient or a power with letters."""
    return isinstance(inside, Product | Quotient | Power | Root) and bool(letters(inside))


def _holds_sum(node: Node) -> bool:
    inner = node.argument if isinstance(node, Negation) else node
    return isinstance(inner, Sum) and bool(letters(inner))


def _is_factored(tree: Node) -> bool:
    """Whether every factor is irreducible over the rationals and no number is left inside."""
    if isinstance(tree, Relation):
        return all(_is_factored(side) for side in tree.sides)
    if isinstance(tree, Negation):
        return _is_factored(tree.argument)
    if isinstance(tree, Quotient) and not letters(tree.denominator):
        return _is_factored(tree.numerator)
    if isinstance(tree, Product):
        numbers = sum(isinstance(factor, Numeral) for factor in tree.factors)
        return numbers < 2 and all(_is_factored(part) for part in tree.factors)
    if isinstance(tree, Power):
        return _is_factored(tree.base)
    if not letters(tree):
        return True
    value = polynomial_of(tree)
    return value is not None and is_irreducible(value)


_CHECKS: dict[str, Callable[[Node], bool]] = {
    "exact": _is_exact,
    "worked-out": is_worked_out,
    "simplified": is_simplified,
    "reduced": lambda tree: is_reduced(tree) and is_one_fraction(tree),
    "expanded": _is_expanded,
    "factored": _is_factored,
    "divided": is_divided,
    "vertex": is_vertex_form,
    "positive-exponents": _has_positive_exponents,
}
_SHAPES: dict[str, Callable[[Value, str], bool]] = {
    "interval": _is_interval,
    "slope-intercept": _is_slope_intercept,
}
