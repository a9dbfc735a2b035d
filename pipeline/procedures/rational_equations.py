"""Equations with the unknown in a denominator, proportions among them."""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import (
    Coefficients,
    added,
    common_divisor,
    exact_roots,
    multiplied,
    quotient_of,
    roots_of,
    scaled,
)
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Quotient, Relation
from pipeline.exact.values import Region
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.inequalities import all_but, real_sorted
from pipeline.procedures.rewriting.terms import rational
from pipeline.procedures.walk import NO_SOLUTION, Place, Walk


class Term(NamedTuple):
    """A term above/below of one side: `side` is 1 on the left and -1 on the right.

    `taken_off` is the first term of the numerator as it is written, where a minus stands before a
    fraction whose numerator has several; empty elsewhere.
    """

    above: Coefficients
    below: Coefficients
    side: int
    taken_off: Coefficients = ()


def common_denominator(terms: tuple[Term, ...]) -> Coefficients:
    """Return the least common denominator of all terms."""
    total: Coefficients = (ONE,)
    number = 1
    for term in terms:
        lead = term.below[-1]
        if lead.is_integer:
            number = lcm(number, abs(int(lead.as_fraction())))
        monic = scaled(term.below, ONE / lead)
        shared = common_divisor(total, monic)
        total = multiplied(total, quotient_of(monic, shared)[0])
    return scaled(total, Surd.of(Fraction(number)))


def clear_denominators(terms: tuple[Term, ...]) -> Coefficients:
    """Multiply every term by the common denominator; return left minus right."""
    common = common_denominator(terms)
    return difference_of(
        tuple(
            term._replace(above=multiplied(term.above, quotient_of(common, term.below)[0]))
            for term in terms
        )
    )


def difference_of(terms: tuple[Term, ...]) -> Coefficients:
    """Add up the numerators of the left side and subtract those of the right."""
    total: Coefficients = ()
    for term in terms:
        total = added(total, scaled(term.above, Surd.of(term.side)))
    return total


def cross_multiply(terms: tuple[Term, ...]) -> Coefficients | None:
    """Decide on the common denominator, which for two fractions is the same as crosswise."""
    return None


def solve_cleared(difference: Coefficients) -> op.Roots:
    """Solve the equation that is left when no denominator is."""
    if not difference:
        raise CannotBeWorked
    return roots_of(difference)


def drop_excluded(roots: op.Roots, excluded: op.Roots) -> op.Roots:
    """Drop the roots that make a denominator zero."""
    return roots - excluded


def drop_from_line(excluded: op.Roots) -> Region:
    """Answer an identity with all numbers but those that make a denominator zero."""
    return all_but(excluded)


def solve_rational(step: Walk, terms: tuple[Term, ...]) -> op.Roots | Region | str:
    """Multiply by the common denominator, solve, and drop what makes a denominator zero."""
    excluded: frozenset[Surd] = frozenset()
    for term in terms:
        if len(term.below) > 1:
            excluded |= exact_roots(term.below) or frozenset()
    cleared = step.do(cross_multiply, Place.RATIONAL_EQUATION, terms)
    if cleared is None:
        cleared = step.do(clear_denominators, Place.RATIONAL_EQUATION, terms)
    if not cleared:
        return step.do(drop_from_line, Place.RATIONAL_EQUATION, frozenset(real_sorted(excluded)))
    roots = step.do(solve_cleared, Place.RATIONAL_EQUATION, cleared)
    real = frozenset(one for one in roots if one.is_real)
    if real != roots:
        step.may_end(real - excluded or "NO_REAL")
    kept = step.do(drop_excluded, Place.RATIONAL_EQUATION, roots, excluded)
    return step.do(op.report, Place.RATIONAL_EQUATION, kept) if kept else NO_SOLUTION


class Proportion(NamedTuple):
    """The three numbers beside the unknown, as written and not reduced.

    Args:
        beside: the other number of the unknown's fraction.
        level: the number of the other fraction in the unknown's row.
        across: the number diagonal to the unknown.
    """

    beside: Surd
    level: Surd
    across: Surd


def fourth_term(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Multiply crosswise and divide by the number diagonal to the unknown."""
    return beside * level / across


def solve_proportion(step: Walk, start: Proportion) -> op.Roots:
    """Find the unknown number of a proportion."""
    return frozenset({step.do(fourth_term, Place.PROPORTION, *start)})


def proportion_of(relation: Relation, letter: str) -> Proportion | None:
    """See `x/6 = 4/8` and its arrangements; None for any other equation."""
    if relation.signs != ("=",) or not all(isinstance(one, Quotient) for one in relation.sides):
        return None
    rows = [(one.numerator, one.denominator) for one in relation.sides if isinstance(one, Quotient)]
    places = [(side, row) for side in (0, 1) for row in (0, 1) if rows[side][row] == Letter(letter)]
    if len(rows) != 2 or len(places) != 1:
        return None
    ((side, row),) = places
    numbers = [
        rational(one) for one in (rows[side][1 - row], rows[1 - side][row], rows[1 - side][1 - row])
    ]
    found = tuple(Surd.of(one) for one in numbers if one)
    return Proportion(*found) if len(found) == len(numbers) else None
