"""Errors with conjugates, and with the imaginary unit at a radical."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Product, Quotient, Root
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import root
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.conjugates import PLACE, conjugate
from pipeline.procedures.rewriting.operations import divide, take_root
from pipeline.procedures.rewriting.terms import (
    negative,
    number,
    rational,
    sum_of,
    terms_of,
    whole,
)

_SKILL = "complex numbers"
_IMAGINARY = Surd.root_of(-1)


@pattern(
    "conjugate-changes-both-signs",
    skill=_SKILL,
    source="college algebra notes in a public repository",
    shows=(
        "simplify | conjugate of 2 - 5i | -2 + 5i",
        "simplify | the complex conjugate of -3 + 4i | 3 - 4i",
        "simplify | (5 + 2i)/(3 - i) | -17/10 - i/10",
    ),
    silent=(
        "simplify | conjugate of 2 - 5i | 2 + 5i",
        "simplify | conjugate of 2 - 5i | -2 - 5i",
        "simplify | (5 + 2i)/(3 - i) | 13/10 + 11i/10",
    ),
)
@instead_of(conjugate, PLACE)
def conjugate_changes_both_signs(node: Node) -> Node:
    """Changes the signs of both parts for the conjugate."""
    return canonical(Negation(node))


@conjugate_changes_both_signs.also(divide)
def _divided_by_opposite(place: Quotient) -> Node | None:
    below = terms_of(place.denominator)
    if len(below) != 2 or rational(below[0]) is None:
        return None
    other = canonical(sum_of(below[0], negative(below[1])))
    size = rational(canonical(Product((place.denominator, other))))
    if size is None or conjugate(place.denominator) != other:
        return None
    opposite = sum_of(negative(below[0]), negative(below[1]))
    return Quotient(Product((place.numerator, opposite)), number(size))


@pattern(
    "conjugate-changes-real-part",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | conjugate of 2 - 5i | -2 - 5i",
        "simplify | find the conjugate of -3 + 4i | 3 + 4i",
    ),
    silent=(
        "simplify | conjugate of 2 - 5i | 2 + 5i",
        "simplify | conjugate of 2 - 5i | -2 + 5i",
    ),
)
@instead_of(conjugate, PLACE)
def conjugate_changes_real_part(node: Node) -> Node:
    """Changes the sign of the real part in place of the imaginary one."""
    return canonical(Negation(conjugate(node)))


@pattern(
    "imaginary-unit-under-radical",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 8.8 (caution)",
    shows=(
        "solve | x^2 = -12 | x = ±2sqrt(3i)",
        "simplify | sqrt(-12) | 2sqrt(3i)",
        "solve | (x - 1)^2 = -5 | 1 ± sqrt(5i)",
    ),
    silent=(
        "solve | x^2 = -12 | x = ±2sqrt(3)i",
        "simplify | sqrt(-12) | 2i*sqrt(3)",
        "solve | x^2 = 12 | x = ±2sqrt(3i)",
    ),
)
@instead_of(root)
def imaginary_unit_under_radical(radicand: Surd) -> Surd | None:
    """Writes i under the radical sign, where it belongs before it."""
    return _root_of_imaginary(radicand)


def _root_of_imaginary(radicand: Surd) -> Surd | None:
    """The root of i times the size of a negative number."""
    if not radicand.is_rational or radicand.real_sign() >= 0 or _IMAGINARY is None:
        return None
    size = Surd.root_of(radicand / -2)
    return None if size is None else size * (1 + _IMAGINARY)


@imaginary_unit_under_radical.also(take_root)
def _unit_pulled_under(place: Root) -> Node | None:
    value = rational(place.radicand)
    if value is None or value >= 0 or whole(place.index) != 2:
        return None
    found = _root_of_imaginary(Surd.of(value))
    return None if found is None else number(found)
