"""The catalogue: one module a skill, in the order that ties are printed in, and the ids of old."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from pipeline.patterns import (
    absolute_value,
    completing_the_square,
    complex_numbers,
    conversions,
    decimals,
    discriminant,
    distribution,
    division_of_polynomials,
    domains,
    expanding,
    exponents,
    factoring,
    formulas,
    fractions,
    functions,
    inequalities,
    like_terms,
    linear_equations,
    lines,
    logarithms,
    order_of_operations,
    polynomial_equations,
    quadratic_formula,
    radical_equations,
    radicals,
    rational_equations,
    rational_expressions,
    rearranging,
    signs,
    slips,
    solution_count,
    square_root_property,
    systems_of_equations,
    translating_words,
    vertex_form,
    whole_numbers,
    word_problems,
    zero_product,
)
from pipeline.patterns.registry import Operation, Pattern, moves_of, registered, skill_of
from pipeline.procedures.walk import Fault, Move

SKILLS = tuple(
    skill_of(module.__name__)
    for module in (
        zero_product,
        factoring,
        square_root_property,
        rearranging,
        solution_count,
        completing_the_square,
        whole_numbers,
        fractions,
        decimals,
        quadratic_formula,
        radicals,
        linear_equations,
        distribution,
        like_terms,
        signs,
        order_of_operations,
        expanding,
        exponents,
        rational_expressions,
        complex_numbers,
        discriminant,
        vertex_form,
        inequalities,
        absolute_value,
        radical_equations,
        rational_equations,
        systems_of_equations,
        polynomial_equations,
        lines,
        formulas,
        functions,
        domains,
        division_of_polynomials,
        conversions,
        logarithms,
        word_problems,
        translating_words,
        slips,
    )
)
"""The skills in the order of the catalogue."""


@cache
def catalogue() -> tuple[Pattern, ...]:
    """Return all patterns by skill, general slips last."""
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
