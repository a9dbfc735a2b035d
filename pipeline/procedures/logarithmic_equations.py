"""Equations with logarithms: what they look like, and the steps before the logarithm goes."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, exact_roots, multiplied, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Call, Letter, Node, Relation, letters
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation
from pipeline.procedures.isolating import terms_of
from pipeline.procedures.logarithms import (
    Logarithms,
    Term,
    combine_logs,
    keep_positive,
    solve_logarithms,
    solve_without_logarithm,
    terms_with_logarithms,
    to_exponential,
)
from pipeline.procedures.places import Place
from pipeline.procedures.quadratic import solve_linear
from pipeline.procedures.quantities import (
    Quantity,
    approximate,
    quantity_of,
    raised,
    settled,
    solution,
)
from pipeline.procedures.walk import NO_SOLUTION, Plan, Walk

_MOST = 4


class Isolated(NamedTuple):
    """factor*log(inside) + rest = right."""

    base: Quantity
    factor: Surd
    inside: Coefficients
    rest: Surd
    right: Surd


class BothSides(NamedTuple):
    """A sum of logarithms equal to another one, or to a number where `right` is empty."""

    base: Quantity
    left: tuple[Term, ...]
    right: tuple[Term, ...]
    number: Surd


class UnknownBase(NamedTuple):
    """log_x(argument) = right."""

    argument: Quantity
    right: Surd


def start_removing(start: Isolated) -> tuple[Coefficients, Surd] | None:
    """Decide to isolate the logarithm before it is written as a power."""
    return None


def solve_isolated(step: Walk, start: Isolated) -> op.Roots | Node | str:
    """Isolate the logarithm, write without it, solve, check."""
    early = step.do(start_removing, Place.LOGARITHM, start)
    if early is not None:
        value = raised(start.base, early[1])
        return solve_without_logarithm(step, early[0], (ONE,), value, (start.inside,))
    right = start.right
    right = step.do(op.carry_constant, Place.LINEAR, right, start.rest) if start.rest else right
    right = step.do(op.divide, Place.LINEAR, right, start.factor) if start.factor != 1 else right
    return solve_logarithms(step, Logarithms(start.base, start.inside, (), 1, right))


def power_inside(factor: Surd, inside: Coefficients) -> Coefficients:
    """Write n*log(y) as log(y^n)."""
    if not factor.is_integer or not 0 < (times := int(factor.as_fraction())) <= _MOST:
        raise CannotBeWorked
    found = inside
    for _ in range(times - 1):
        found = multiplied(found, inside)
    return found


def _side(step: Walk, base: Quantity, terms: tuple[Term, ...]) -> tuple[Coefficients, Coefficients]:
    """Write a side with one logarithm, of above over below."""
    if not 1 <= len(terms) <= 2 or terms[0].factor.real_sign() < 0:
        raise CannotBeWorked
    parts, side = [], 1
    for factor, inside in terms:
        side = factor.real_sign()
        size = factor if side > 0 else -factor
        parts.append(step.do(power_inside, Place.LOGARITHM, size, inside) if size != 1 else inside)
    second = parts[1] if len(parts) == 2 else ()
    return step.do(combine_logs, Place.LOGARITHM, Logarithms(base, parts[0], second, side, ZERO))


def drop_logarithms(
    left: tuple[Coefficients, Coefficients], right: tuple[Coefficients, Coefficients]
) -> tuple[Coefficients, Coefficients]:
    """From log(left) = log(right) return left = right, multiplied out."""
    return multiplied(left[0], right[1]), multiplied(right[0], left[1])


def solve_both_sides(step: Walk, start: BothSides) -> op.Roots | Node | str:
    """Write each side with one logarithm, leave the logarithms out, solve, check."""
    inside = tuple(one.inside for one in (*start.left, *start.right))
    left = _side(step, start.base, start.left)
    if not start.right:
        value = step.do(to_exponential, Place.LOGARITHM, start.base, start.number)
        return solve_without_logarithm(step, *left, value, inside)
    right = _side(step, start.base, start.right)
    first, second = step.do(drop_logarithms, Place.LOGARITHM, left, right)
    if max(len(first), len(second)) == 2:
        roots = solve_linear(step, _linear(first, second))
        if isinstance(roots, str):
            return roots
    else:
        found = exact_roots(added(first, scaled(second, -ONE)))
        if found is None:
            raise CannotBeWorked
        roots = frozenset(one for one in found if one.is_real)
    return step.do(keep_positive, Place.LOGARITHM, roots, inside) or NO_SOLUTION


def _linear(first: Coefficients, second: Coefficients) -> Equation:
    (b, a), (d, c) = ((*one, ZERO, ZERO)[:2] for one in (first, second))
    brackets = ((Bracket(ONE, a, b, False),), (Bracket(ONE, c, d, False),))
    return Equation((ZERO, a, b), (ZERO, c, d), brackets=brackets)


def base_from(argument: Quantity, right: Surd) -> Quantity:
    """From x^right = argument return x."""
    return raised(argument, ONE / right)


def solve_for_base(step: Walk, start: UnknownBase) -> op.Roots | Node:
    """Write as a power, and take the root."""
    return solution(step.do(base_from, Place.LOGARITHM, start.argument, start.right))


def plans_with_logarithms(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an equation in which the unknown stands under logarithms."""
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    unknown = _unknown_base(first, second, letter)
    if unknown is not None:
        return [Plan("base", solve_for_base, unknown)]
    sides = [terms_with_logarithms(side, letter) for side in (first, second)]
    if None in sides:
        return []
    (base, left, rest), (other, right, number) = sides  # type: ignore[misc]
    if not left or base is None or other not in (None, base):
        return []
    if right and (rest or number):
        left, right = [*left, *(one._replace(factor=-one.factor) for one in right)], []
    left = sorted(left, key=lambda one: one.factor.real_sign() < 0)
    right = sorted(right, key=lambda one: one.factor.real_sign() < 0)
    return _plans(BothSides(base, tuple(left), tuple(right), number - rest), rest, number)


def _plans(start: BothSides, rest: Surd, number: Surd) -> list[Plan]:
    if len(start.left) != 1 or start.right:
        return [Plan("logarithms", solve_both_sides, start)]
    ((factor, inside),) = start.left
    if factor == 1 and not rest:
        logarithms = Logarithms(start.base, inside, (), 1, start.number)
        return [Plan("logarithms", solve_logarithms, logarithms)]
    isolated = Isolated(start.base, factor, inside, rest, number)
    if rest:
        return [Plan("isolated-logarithm", solve_isolated, isolated)]
    return [
        Plan("isolated-logarithm", solve_isolated, isolated),
        Plan("logarithms", solve_both_sides, start),
    ]


def _unknown_base(first: Node, second: Node, letter: str) -> UnknownBase | None:
    sign, call = terms_of(first)[0]
    if len(terms_of(first)) > 1 or not isinstance(call, Call) or letters(second):
        return None
    right = quantity_of(second)
    known = call.name == "log" and not letters(call.arguments[0]) and sign == 1
    if not known or not right:
        return None
    if not isinstance(right, Surd) or call.base != Letter(letter):
        return None
    argument = settled(quantity_of(call.arguments[0]))
    if argument == ONE or approximate(argument) <= 0:
        return None
    return UnknownBase(argument, right)
