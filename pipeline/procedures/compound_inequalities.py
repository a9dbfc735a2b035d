"""The way to solve two inequalities in one unknown that are joined by "and" or by "or"."""

from __future__ import annotations

from functools import reduce
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.regions import WHOLE_LINE, intersection, union
from pipeline.exact.trees import Relation
from pipeline.exact.values import Region
from pipeline.procedures.places import Place
from pipeline.procedures.shapes_of_inequalities import inequality_plans
from pipeline.procedures.sign_charts import Regional, part_of_line
from pipeline.procedures.statements import ALL_REAL, NO_SOLUTION
from pipeline.procedures.walk import Plan, Walk


class Compound(NamedTuple):
    """How each inequality is solved, and whether one of them holding is enough."""

    plans: tuple[Plan, ...]
    either: bool


def combine(regions: tuple[Regional, ...], either: bool) -> Regional:
    """Return the numbers in one of the regions, or in all of them."""
    found = [_as_region(region) for region in regions]
    return part_of_line(union(*found) if either else reduce(intersection, found))


def _as_region(found: Regional) -> Region:
    if isinstance(found, Region):
        return found
    return {ALL_REAL: WHOLE_LINE, NO_SOLUTION: Region(())}[found]


def solve_compound(step: Walk, start: Compound) -> Regional:
    """Solve each inequality by itself and combine what was found."""
    found = tuple(procedure(step, inner) for _, procedure, inner in start.plans)
    regions = tuple(one for one in found if isinstance(one, Region | str))
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
