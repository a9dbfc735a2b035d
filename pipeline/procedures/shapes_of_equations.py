"""Which further kind of equation a relation is, and what its procedures start from."""

from __future__ import annotations

from typing import TypeGuard

from pipeline.exact.coefficients import Coefficients, added, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import fraction_of
from pipeline.exact.trees import Node, Power, Quotient, Relation, Root, Sum, letters
from pipeline.procedures.absolute_value import bars_of, plan_by_cases, solve_absolute_equation
from pipeline.procedures.equations import (
    ONE,
    ZERO,
    Side,
    coefficients,
    linear_of,
    multiples_of,
    side_of,
    terms_of,
)
from pipeline.procedures.exponential_equations import exponential_plans
from pipeline.procedures.logarithms import plans_with_logarithms
from pipeline.procedures.polynomial_equations import polynomial_plans
from pipeline.procedures.radical_equations import (
    Powered,
    Radical,
    TwoRadicals,
    solve_power,
    solve_radical,
    solve_two_radicals,
)
from pipeline.procedures.rational_equations import Term, solve_rational
from pipeline.procedures.rewriting.terms import rational, whole
from pipeline.procedures.walk import Plan

_MINUS = -ONE


def equation_plans(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an equation that is neither linear nor quadratic as it stands."""
    if relation.signs != ("=",):
        return []
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    bars = bars_of(first, second, "=", letter)
    if bars is not None:
        return [Plan("absolute-value", solve_absolute_equation, bars)]
    cases = plan_by_cases(relation, letter)
    if cases is not None:
        return [cases]
    return [
        *_radical(first, second, letter),
        *polynomial_plans(first, second, letter),
        *_powered(first, second, letter),
        *_rational(first, second, letter),
        *logarithmic_equation_plans(relation, letter),
    ]


def _square_roots(node: Node, letter: str) -> Side | None:
    side = side_of(node, letter, Root)
    if side is None or any(whole(part.node.index) != 2 for part in side.parts):  # type: ignore[union-attr]
        return None
    return side


def _radical(first: Node, second: Node, letter: str) -> list[Plan]:
    left, right = _square_roots(first, letter), _square_roots(second, letter)
    if left is None or right is None:
        return []
    parts = [*left.parts, *(one._replace(factor=-one.factor) for one in right.parts)]
    inside = [coefficients(one.node.radicand, letter) for one in parts]  # type: ignore[union-attr]
    if len(parts) == 1 and inside[0] is not None:
        if left.parts:
            start = Radical(parts[0].factor, inside[0], left.rest, right.rest)
        else:
            start = Radical(-parts[0].factor, inside[0], right.rest, left.rest)
        return [Plan("radical", solve_radical, start)]
    if len(parts) != 2 or inside[0] is None or inside[1] is None:
        return []
    constant = added(right.rest, scaled(left.rest, _MINUS))
    return _two_radicals([one.factor for one in parts], inside[0], inside[1], constant)


def _two_radicals(
    factors: list[Surd], first: Coefficients, second: Coefficients, constant: Coefficients
) -> list[Plan]:
    value = constant[0] if constant else ZERO
    if len(constant) > 1 or any(one not in (ONE, _MINUS) for one in factors):
        return []
    if factors[0] == _MINUS:
        factors, value = [-one for one in factors], -value
    if factors == [ONE, _MINUS] and value.real_sign() < 0:
        first, second, value = second, first, -value
    return [Plan("radical", solve_two_radicals, TwoRadicals(first, second, factors[1], value))]


def _powered(first: Node, second: Node, letter: str) -> list[Plan]:
    right = coefficients(second, letter)
    if right is None or len(right) > 1:
        return []
    terms = multiples_of(first, _is_power) or []
    powers = [(factor, power) for factor, power in terms if power is not None]
    if len(powers) != 1:
        return []
    ((k, power),) = powers
    exponent, base = _exponent(power)
    inside = linear_of(base, letter)
    if not k or exponent is None or inside is None or not inside.p:
        return []
    above, below = exponent
    rooted = isinstance(power, Root) and (above, below) == (1, 2)  # a radical equation
    if above < 1 or rooted or (above, below) in ((1, 1), (2, 1)):
        return []
    rest = sum((factor for factor, power in terms if power is None), ZERO)
    start = Powered(k, inside, above, below, rest, right[0] if right else ZERO)
    return [Plan("power", solve_power, start)]


def _is_power(node: Node) -> TypeGuard[Power | Root]:
    return isinstance(node, Power | Root) and bool(letters(node))


def _exponent(node: Node) -> tuple[tuple[int, int] | None, Node]:
    if isinstance(node, Root):
        index = whole(node.index) or 0
        return ((1, index) if index > 1 else None), node.radicand
    if isinstance(node, Power) and (value := rational(node.exponent)) is not None:
        return (value.numerator, value.denominator), node.base
    return None, node


def _rational(first: Node, second: Node, letter: str) -> list[Plan]:
    terms = []
    for side, node in ((1, first), (-1, second)):
        for sign, one in terms_of(node):
            term = _term(one, letter, side, sign)
            if term is None:
                return []
            if term.above:
                terms.append(term)
    with_letter = any(len(term.below) > 1 for term in terms)
    return [Plan("rational", solve_rational, tuple(terms))] if with_letter else []


def _term(node: Node, letter: str, side: int, sign: Surd) -> Term | None:
    """A term as it is written: numerator and denominator are not reduced."""
    above, below = (
        (node.numerator, node.denominator) if isinstance(node, Quotient) else (node, None)
    )
    upper = coefficients(above, letter)
    lower = (ONE,) if below is None else coefficients(below, letter)
    if upper is None or lower is None:
        ratio = fraction_of(node)
        if ratio is None or any(part.letters - {letter} for part in ratio):
            return None
        upper, lower = (tuple(part.coefficients(letter)) for part in ratio)
    if not lower:
        return None
    taken_off: Coefficients = ()
    if sign == _MINUS and isinstance(above, Sum):
        taken_off = coefficients(above.terms[0], letter) or ()
    return Term(scaled(upper, sign), lower, side, taken_off)


def logarithmic_equation_plans(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an equation with logarithms, or with the unknown in an exponent."""
    return [*plans_with_logarithms(relation, letter), *exponential_plans(relation, letter)]
