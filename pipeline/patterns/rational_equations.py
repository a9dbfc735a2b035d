"""Errors with equations that have the unknown in a denominator."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients, added, multiplied, quotient_of, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, reduce_fraction
from pipeline.exact.regions import WHOLE_LINE
from pipeline.exact.trees import Node, Product, Sum
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.operations import Roots
from pipeline.procedures.parts import Part, tree_of_part
from pipeline.procedures.rational_equations import (
    Term,
    clear_denominators,
    common_denominator,
    cross_multiply,
    difference_of,
    drop_excluded,
    drop_from_line,
    fourth_term,
)
from pipeline.procedures.solving_for import turn_over
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.6; Schechter 2006",
    shows=(
        "solve | x/(x - 3) = 3/(x - 3) | 3",
        "solve | (3x + 2)/(x - 2) + 1/x = (-2)/(x^2 - 2x) | 0, -1",
    ),
    silent=(
        "solve | x/(x - 3) = 3/(x - 3) | no solution",
        "solve | 1 - 2/x = 15/x^2 | 5, -3",
    ),
)
@instead_of(drop_excluded, Place.RATIONAL_EQUATION)
def excluded_root_kept(roots: Roots, excluded: Roots) -> Roots:
    """Keeps a root that makes a denominator zero."""
    return roots


@excluded_root_kept.also(
    drop_from_line,
    Place.RATIONAL_EQUATION,
    shows=("solve | (x - 3)/(x - 3) = 1 | all real numbers",),
    silent=("solve | (x - 3)/(x - 3) = 1 | x != 3",),
)
def _excluded_number_kept(excluded: Roots) -> Region:
    """Keeps a number that makes a denominator zero."""
    return WHOLE_LINE


def _partly_cleared(terms: tuple[Term, ...], left: list[int]) -> Coefficients:
    common = common_denominator(terms)
    return difference_of(
        tuple(
            term
            if i in left
            else term._replace(above=multiplied(term.above, quotient_of(common, term.below)[0]))
            for i, term in enumerate(terms)
        )
    )


@pattern(
    source="from memory",
    shows=(
        "solve | 1/x + 2 = 5 | 3/5",
        "solve | 4/x - 2 = 3 | 2/3",
        "solve | 2/(x + 1) + 3 = 7 | -2/7",
        "solve | 2/x + 1/3 = 1 | -5",
    ),
    silent=(
        "solve | 1/x + 2 = 5 | 1/3",
        "solve | 1/x = 1/3 - 1/4 | 12",
    ),
)
@instead_of(clear_denominators, Place.RATIONAL_EQUATION)
def whole_terms_not_multiplied(terms: tuple[Term, ...]) -> Choices | None:
    """Multiplies the fractions by the common denominator and not the terms beside them."""
    sides = {term.side for term in terms if len(term.below) > 1}
    beside = [i for i, term in enumerate(terms) if len(term.below) == 1]
    same_side = [i for i in beside if terms[i].side in sides]
    whole = [i for i in beside if terms[i].below == (ONE,)]
    chosen = [group for group in (beside, same_side, whole) if group and len(beside) < len(terms)]
    return Choices(_partly_cleared(terms, group) for group in chosen) if chosen else None


@pattern(
    source="common practice",
    shows=(
        "solve | 1/x + 1/3 = 1/2 | -1",
        "solve | 1/4 + 1/6 = 1/x | 10",
    ),
    silent=(
        "solve | 1/x + 1/3 = 1/2 | 6",
        "solve | 1/x = 1/2 | 2",
    ),
)
@instead_of(clear_denominators, Place.RATIONAL_EQUATION)
def reciprocals_taken_term_by_term(terms: tuple[Term, ...]) -> Coefficients | None:
    """Turns every fraction of a sum upside down."""
    if len(terms) < 3 or any(len(term.above) != 1 for term in terms):
        return None
    return difference_of(
        tuple(term._replace(above=scaled(term.below, 1 / term.above[0])) for term in terms)
    )


@reciprocals_taken_term_by_term.also(
    turn_over,
    Place.FORMULA,
    shows=(
        "solve-for | 1/f = 1/u + 1/v for u | f - v",
        "solve-for | 1/c = 1/a + 1/b for c | a + b",
    ),
    silent=(
        "solve-for | 1/f = 1/u + 1/v for u | fv/(v - f)",
        "solve-for | 1/c = a for c | 1/a",
    ),
)
def _terms_turned_over(above: Node, other: Part) -> Node | None:
    terms = [Polynomial({one: size}) for one, size in other[0].ordered()]
    if len(terms) < 2:
        return None
    turned = (tree_of_part(reduce_fraction(other[1], one)) for one in terms)
    return Product((above, Sum(tuple(turned))))


@pattern(
    source="common practice",
    shows=(
        "solve | (x + 1)/x = 5/3 | 4",
        "solve | 6/(x - 1) = (x + 2)/4 | 4",
    ),
    silent=(
        "solve | (x + 1)/x = 5/3 | 3/2",
        "solve | 6/(x - 1) = (x + 2)/(x - 1) | 4",
    ),
)
@instead_of(clear_denominators, Place.RATIONAL_EQUATION)
def denominators_dropped(terms: tuple[Term, ...]) -> Coefficients | None:
    """Leaves out different denominators and works with the numerators alone."""
    different = len({term.below for term in terms}) > 1
    found = difference_of(terms) if different else ()
    return found if len(found) > 1 else None


@pattern(
    source="common practice",
    shows=(
        "solve | 6/x = 3/4 | 9/2",
        "solve | 10/(x + 2) = 2/3 | 14/3",
    ),
    silent=(
        "solve | 6/x = 3/4 | 8",
        "solve | 6/x = 3/4 | 2",
    ),
)
@instead_of(cross_multiply, Place.RATIONAL_EQUATION)
def fractions_multiplied_straight_across(terms: tuple[Term, ...]) -> Coefficients | None:
    """Sets the product of the numerators equal to the product of the denominators."""
    if len(terms) != 2 or {term.side for term in terms} != {1, -1}:
        return None
    first, second = terms
    above = multiplied(first.above, second.above)
    return added(above, scaled(multiplied(first.below, second.below), Surd.of(-1)))


@fractions_multiplied_straight_across.also(
    fourth_term,
    Place.PROPORTION,
    shows=("solve | x/6 = 4/8 | 12", "solve | 6/8 = x/20 | 80/3"),
    silent=("solve | x/6 = 4/8 | 3", "solve | 6/8 = x/20 | 15"),
)
def _multiplied_straight_across(beside: Surd, level: Surd, across: Surd) -> Surd:
    return beside * across / level
