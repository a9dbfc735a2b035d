"""Equations with the unknown in a denominator."""

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
    scaled,
)
from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.places import Place
from pipeline.procedures.sign_charts import Regional, real_sorted, without
from pipeline.procedures.statements import ALL_REAL, NO_SOLUTION
from pipeline.procedures.walk import Walk


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
    roots = exact_roots(difference)
    if roots is None:
        raise CannotBeWorked
    return roots


def drop_excluded(roots: op.Roots, excluded: op.Roots) -> op.Roots:
    """Drop the roots that make a denominator zero."""
    return roots - excluded


def drop_from_line(excluded: op.Roots) -> Regional:
    """Answer an identity with all numbers but those that make a denominator zero."""
    return without(ALL_REAL, excluded)


def solve_rational(step: Walk, terms: tuple[Term, ...]) -> op.Roots | Regional:
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
