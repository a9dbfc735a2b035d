"""The form asked for: exact, simplified, factored, expanded, reduced, so many decimals."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction

from pipeline.errors import BudgetExceeded, UsageError
from pipeline.exact.factors import is_irreducible
from pipeline.exact.numbers import square_part
from pipeline.exact.polynomials import greatest_common_divisor, polynomial_of
from pipeline.exact.trees import (
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
    children,
    letters,
)
from pipeline.exact.values import Equation, Expression, Number, Point, Points, Region, Roots, Value

__all__ = ["FORMS", "missing_form", "parts_of_form", "trees_of"]

FORMS = ("any", "exact", "simplified", "factored", "expanded", "reduced")
_DECIMAL = re.compile(r"decimal:(\d+)")

_EXPECTED = {
    "exact": "an exact value was expected, not a rounded decimal",
    "simplified": "the simplified form was expected",
    "factored": "the completely factored form was expected",
    "expanded": "the expanded form was expected",
    "reduced": "a fraction in lowest terms was expected",
}


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


def missing_form(value: Value, form: str | None) -> str | None:
    """Return what was expected of the form of a right value, or None when the form is right."""
    for part in parts_of_form(form):
        decimals = _DECIMAL.fullmatch(part)
        if decimals:
            if not all(_has_places(number, int(decimals[1])) for number in numbers_of(value)):
                return f"a decimal with {decimals[1]} places was expected"
        elif part != "any" and not all(_CHECKS[part](tree) for tree in trees_of(value)):
            return _EXPECTED[part]
    return None


def numbers_of(value: Value) -> Iterator[Number]:
    """Yield the numbers of a value."""
    match value:
        case Number():
            yield value
        case Roots(members):
            yield from members
        case Point(coordinates):
            yield from coordinates
        case Points(members):
            for member in members:
                yield from member.coordinates
        case Region(parts):
            for part in parts:
                yield from (end for end in (part.low, part.high) if end is not None)


def trees_of(value: Value) -> Iterator[Node]:
    """Yield the trees whose form counts: numbers, expressions, right sides of equations."""
    if isinstance(value, Expression):
        yield value.tree
    elif isinstance(value, Equation):
        sides = value.relation.sides
        yield from (side for side in sides if not isinstance(side, Letter))
    else:
        yield from (number.tree for number in numbers_of(value))


def _has_places(number: Number, places: int) -> bool:
    whole = number.surd is not None and number.surd.is_integer
    return number.places == places or (number.places is None and whole)


def _is_exact(tree: Node) -> bool:
    if isinstance(tree, Numeral) and tree.places is not None:
        return False
    return all(_is_exact(part) for part in children(tree))


def _is_reduced(tree: Node) -> bool:
    """Whether no fraction shares a factor above and below, and none stands inside another."""
    if isinstance(tree, Quotient):
        upper, lower = tree.numerator, tree.denominator
        if _has_fraction(upper) or _has_fraction(lower) or _share_factor(upper, lower):
            return False
        if isinstance(lower, Numeral) and lower.value == 1:
            return False
    return all(_is_reduced(part) for part in children(tree))


def _has_fraction(tree: Node) -> bool:
    return isinstance(tree, Quotient) or any(_has_fraction(part) for part in children(tree))


def _share_factor(upper: Node, lower: Node) -> bool:
    from pipeline.exact.content import common_integer_factor

    if common_integer_factor(upper, lower) != 1:
        return True
    try:
        first, second = polynomial_of(upper), polynomial_of(lower)
        if first is None or second is None or not letters(lower):
            return False
        return not greatest_common_divisor(first, second).is_constant
    except (ZeroDivisionError, BudgetExceeded):
        return False


def _is_simplified(tree: Node) -> bool:
    """Whether nothing is left to do: sums collected, roots and fractions in lowest terms."""
    return (
        _roots_simplified(tree)
        and _is_reduced(tree)
        and _is_collected(tree)
        and (not _root_below(tree))
    )


def _roots_simplified(tree: Node) -> bool:
    if isinstance(tree, Root) and isinstance(tree.radicand, Numeral | Negation | Quotient):
        inner = tree.radicand
        if not isinstance(inner, Numeral) or inner.value.denominator != 1 or inner.value <= 1:
            return False
        if tree.index == Numeral(inner.value * 0 + 2) and square_part(int(inner.value))[0] != 1:
            return False
    return all(_roots_simplified(part) for part in children(tree))


def _root_below(tree: Node) -> bool:
    if isinstance(tree, Quotient) and not letters(tree.denominator) and _has_root(tree.denominator):
        return True
    return any(_root_below(part) for part in children(tree))


def _has_root(tree: Node) -> bool:
    return isinstance(tree, Root) or any(_has_root(part) for part in children(tree))


def _is_collected(tree: Node) -> bool:
    """Whether no two terms of a sum, and no two factors of a product, can be joined."""
    if isinstance(tree, Sum):
        shapes = [_shape(term) for term in tree.terms]
        if len(set(shapes)) < len(shapes):
            return False
    if isinstance(tree, Product):
        shapes = [_base(factor) for factor in tree.factors]
        if len(set(shapes)) < len(shapes) or Numeral(Fraction(1)) in tree.factors:
            return False
        if sum(isinstance(factor, Root) for factor in tree.factors) > 1:
            return False
    if isinstance(tree, Power) and not letters(tree.base) and not isinstance(tree.base, Constant):
        return False
    if isinstance(tree, Negation) and isinstance(tree.argument, Negation):
        return False
    return all(_is_collected(part) for part in children(tree))


def _shape(term: Node) -> str:
    """A term without its rational factor: like terms have equal shapes."""
    if isinstance(term, Negation):
        return _shape(term.argument)
    if isinstance(term, Quotient) and not letters(term.denominator) and not _has_root(term):
        return _shape(term.numerator)
    if isinstance(term, Numeral):
        return ""
    if isinstance(term, Quotient) and isinstance(term.denominator, Numeral):
        return _shape(term.numerator)
    if isinstance(term, Product):
        return "*".join(sorted(filter(None, (_shape(factor) for factor in term.factors))))
    return repr(term)


def _base(factor: Node) -> str:
    if isinstance(factor, Numeral):
        return "number"
    return repr(factor.base) if isinstance(factor, Power) else repr(factor)


def _is_expanded(tree: Node) -> bool:
    """Whether no product or power of a sum is left and like terms are collected."""
    if isinstance(tree, Product) and any(_holds_sum(factor) for factor in tree.factors):
        return False
    if isinstance(tree, Power) and _holds_sum(tree.base):
        return False
    if isinstance(tree, Negation) and _holds_sum(tree.argument):
        return False
    return _is_collected(tree) and all(_is_expanded(part) for part in children(tree))


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
        bases = [_base(f) for f in tree.factors if not isinstance(f, Letter | Power)]
        return len(set(bases)) == len(bases) and all(_is_factored(part) for part in tree.factors)
    if isinstance(tree, Power):
        return _is_factored(tree.base)
    if not letters(tree):
        return True
    value = polynomial_of(tree)
    return value is not None and is_irreducible(value)


_CHECKS: dict[str, Callable[[Node], bool]] = {
    "exact": _is_exact,
    "simplified": _is_simplified,
    "reduced": _is_reduced,
    "expanded": _is_expanded,
    "factored": _is_factored,
}
