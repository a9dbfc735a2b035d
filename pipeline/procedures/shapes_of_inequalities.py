"""Which kind of inequality one is, or two that are joined, and what its procedures start from."""

from __future__ import annotations

from functools import reduce
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import fraction_of
from pipeline.exact.regions import intersection, union
from pipeline.exact.trees import TURNED, Relation, letters
from pipeline.exact.values import Region
from pipeline.procedures.absolute_value import bars_of, plan_by_cases, solve_absolute_inequality
from pipeline.procedures.equations import ZERO, coefficients, equation_of
from pipeline.procedures.inequalities import (
    Chain,
    Comparison,
    SignedFraction,
    quadratic_inequality_by,
    solve_by_signs,
    solve_chain,
    solve_linear_inequality,
)
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.procedures.written_sides import plans_of_sides


def inequality_plans(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an inequality or a chain; none where it can only be judged."""
    if any(sign[0] not in "<>" for sign in relation.signs):
        return []
    if len(relation.sides) == 3:
        chain = _chain(relation, letter)
        return [] if chain is None else [Plan("chain", solve_chain, chain)]
    if len(relation.sides) != 2:
        return []
    first, second, sign = *relation.sides, relation.signs[0]
    if letter not in letters(first):
        first, second, sign = second, first, TURNED[sign]
    bars = bars_of(first, second, sign, letter)
    if bars is not None:
        constant = not bars.right.p and not bars.both
        return [Plan("absolute-value", solve_absolute_inequality, bars)] if constant else []
    cases = plan_by_cases(relation, letter)
    if cases is not None:
        return [cases]
    return _by_degree(Relation((first, second), ("=",)), sign, letter)


def _by_degree(relation: Relation, sign: str, letter: str) -> list[Plan]:
    equation = equation_of(relation, letter)
    if equation is not None and equation.degree == 2:
        start = Comparison(equation, sign)
        methods = ("factoring", "formula", "square-root")
        return [Plan(method, quadratic_inequality_by(method), start) for method in methods]
    if equation is not None and equation.left[1]:
        sides = plans_of_sides(Relation(relation.sides, (sign,)), letter)
        return [
            Plan("linear-inequality", solve_linear_inequality, Comparison(equation, sign)),
            *sides,
        ]
    ratio = fraction_of(relation.difference)
    if ratio is None or any(part.letters - {letter} for part in ratio):
        return []
    above, below = (tuple(part.coefficients(letter)) for part in ratio)
    if not all(number.is_real for number in (*above, *below)):
        return []
    return [Plan("sign-chart", solve_by_signs, SignedFraction(above, below, sign))]


def _chain(relation: Relation, letter: str) -> Chain | None:
    low, middle, high = (coefficients(side, letter) for side in relation.sides)
    if low is None or middle is None or high is None or len(middle) != 2:
        return None
    if len(low) > 1 or len(high) > 1 or relation.signs[0][0] != relation.signs[1][0]:
        return None
    ends = [side[0] if side else ZERO for side in (low, high)]
    return Chain(ends[0], middle[1], middle[0], ends[1], (relation.signs[0], relation.signs[1]))


class Compound(NamedTuple):
    """How each inequality is solved, and whether one of them holding is enough."""

    plans: tuple[Plan, ...]
    either: bool


def combine(regions: tuple[Region, ...], either: bool) -> Region:
    """Return the numbers in one of the regions, or in all of them."""
    return union(*regions) if either else reduce(intersection, regions)


def solve_compound(step: Walk, start: Compound) -> Region:
    """Solve each inequality by itself and combine what was found."""
    found = tuple(procedure(step, inner) for _, procedure, inner in start.plans)
    regions = tuple(one for one in found if isinstance(one, Region))
    if len(regions) != len(found):
        raise CannotBeWorked
    return step.do(combine, Place.COMPOUND_INEQUALITY, regions, start.either)


def compound_plans(relations: tuple[Relation, ...], letter: str, either: bool) -> list[Plan]:
    """Return how to solve inequalities in one letter; none where one of them has none."""
    found = [inequality_plans(relation, letter)[:1] for relation in relations]
    if not all(found):
        return []
    return [
        Plan(
            Place.COMPOUND_INEQUALITY,
            solve_compound,
            Compound(tuple(one for (one,) in found), either),
        )
    ]
