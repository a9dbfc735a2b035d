"""The catalogue: the modules that declare patterns, in the order that ties are printed in."""

from __future__ import annotations

from functools import cache

from pipeline.patterns import (  # noqa: F401 - importing declares their patterns
    absolute_value,
    bars_as_identities,
    both_signs,
    brackets,
    combining_functions,
    combining_radicals,
    completing_the_square,
    complex_numbers,
    compound_inequalities,
    conjugates,
    consecutive_in_words,
    constant_of_a_square,
    conversions,
    converting_mixed_numbers,
    coordinates_of_vertex,
    decimals,
    digit_by_digit,
    discriminant,
    distribution,
    dividing_fractions,
    dividing_radicals,
    domains,
    exponential_equations,
    exponents,
    expressions_as_equations,
    factoring,
    factoring_by_grouping,
    factoring_cubes,
    factoring_expressions,
    factoring_squares,
    formulas,
    fraction_arithmetic,
    fractional_exponents,
    fractions,
    functions,
    grouping_in_words,
    inequalities,
    inputs_and_differences,
    laws_of_logarithms,
    like_terms,
    linear_equations,
    linear_equations_from_arithmetic,
    linear_equations_more,
    lines,
    logarithmic_equations,
    logarithms,
    measures_in_words,
    mixed_numbers,
    multiplying_sums,
    multiplying_terms,
    negative_exponents,
    offered_numbers,
    opposite_factors,
    order_of_operations,
    percents_in_words,
    polynomial_division,
    polynomial_equations,
    power_equations,
    powers_in_words,
    powers_of_sums,
    products_in_words,
    quadratic_equations_more,
    quadratic_formula,
    quadratic_formula_more,
    quadratic_inequalities,
    quotients_of_powers,
    radical_equations,
    radical_expressions,
    radicals,
    rational_equations,
    rational_expressions,
    rearranging,
    reducing_by_guess,
    relations_in_words,
    rewriting_into_vertex_form,
    roots_of_letters,
    sides_of_equations,
    signs,
    signs_of_like_terms,
    signs_of_products,
    slips,
    slips_in_expressions,
    slopes,
    solution_count,
    solution_numbers,
    solutions_of_any_equation,
    square_root_property,
    squaring_binomials,
    stopped_early,
    substitution,
    sums_in_words,
    systems,
    under_the_radical,
    vanished_unknowns,
    vertex_form,
    whole_numbers_and_fractions,
    word_problems,
    zero_product,
    zeros_of_numerators,
)
from pipeline.patterns.registry import Operation, Pattern, moves_of, registered
from pipeline.procedures.walk import Move

__all__ = ["catalogue", "general_moves", "moves", "pattern_of"]

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
"""The order of the skills; an unknown skill fails loudly in `catalogue`."""


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
