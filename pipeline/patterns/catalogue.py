"""The catalogue: one module a skill, in the order that ties are printed in, and the ids of old."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from importlib.resources import files

from pipeline.patterns.registry import Operation, Pattern, moves_of, registered
from pipeline.procedures.walk import Fault, Move

SKILLS = (
    "zero product",
    "factoring",
    "square root property",
    "rearranging",
    "solution count",
    "completing the square",
    "whole numbers",
    "fractions",
    "decimals",
    "quadratic formula",
    "radicals",
    "linear equations",
    "distribution",
    "like terms",
    "signs",
    "order of operations",
    "expanding",
    "exponents",
    "rational expressions",
    "complex numbers",
    "discriminant",
    "vertex form",
    "inequalities",
    "absolute value",
    "radical equations",
    "rational equations",
    "systems of equations",
    "polynomial equations",
    "lines",
    "formulas",
    "functions",
    "domains",
    "division of polynomials",
    "conversions",
    "logarithms",
    "word problems",
    "translating words",
    "slips",
)
"""The skills in the order of the catalogue; the errors of each stand in a file of its name."""


@cache
def catalogue() -> tuple[Pattern, ...]:
    """Return all patterns by skill, general slips last."""
    for skill in SKILLS:
        import_module(f"pipeline.patterns.{skill.replace(' ', '_')}")
    return tuple(sorted(registered(), key=lambda one: SKILLS.index(one.skill)))


@cache
def _by_id() -> dict[str, Pattern]:
    return {one.id: one for one in catalogue()}


def pattern_of(identifier: str) -> Pattern:
    """Return a pattern by its id.

    Raises:
        KeyError: no pattern has the id.
    """
    return _by_id()[identifier]


def fault_of(identifier: str) -> Fault:
    """Return a fault that says what its pattern says, whichever version was made."""
    return Fault(identifier, pattern_of(identifier).sentence)


@cache
def moves(operation: Operation, place: str) -> tuple[Move, ...]:
    """Return the specific faulty versions of an operation in a place."""
    index = _specific()
    return (*index.get((operation, place), ()), *index.get((operation, ""), ()))


@cache
def _specific() -> dict[tuple[Operation, str], list[Move]]:
    return moves_of(one for one in catalogue() if not one.general)


@cache
def general_moves(operation: Operation) -> tuple[Move, ...]:
    """Return the general slips that are declared for an operation."""
    index = moves_of(one for one in catalogue() if one.general)
    return tuple(index.get((operation, ""), ()))


@cache
def retired_ids() -> frozenset[str]:
    """Return the ids listed in `retired_ids.txt`, which no pattern may take again."""
    text = files("pipeline.patterns").joinpath("retired_ids.txt").read_text("utf-8")
    lines = (line.partition("#")[0].strip() for line in text.splitlines())
    return frozenset(line for line in lines if line)
