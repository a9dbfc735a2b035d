"""Errors in adding, multiplying, dividing and reducing fractions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations
from math import lcm

from pipeline.exact.trees import Node, Product, Quotient, Sum
from pipeline.patterns.fractions import fractions_added_across, numerator_not_rescaled
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, divide, multiply
from pipeline.procedures.rewriting.terms import (
    ONE,
    as_fraction,
    factors_of,
    fraction_parts,
    number,
    product_of,
    sum_of,
    terms_of,
    whole,
)
from pipeline.procedures.walk import Choices

_SKILL = "fractions"
_MOST_TERMS = 4


def _fraction_terms(place: Sum) -> list[tuple[Node, Node]] | None:
    """The terms of a sum as numerators and denominators, where one at least is a fraction."""
    parts = [as_fraction(term) for term in terms_of(place)]
    return (
        parts
        if 2 <= len(parts) <= _MOST_TERMS and any(below != ONE for _, below in parts)
        else None
    )


@fractions_added_across.also(
    add,
    shows=(
        "simplify | 4/3 + 4/9 | 2/3",
        "evaluate | 3/4 + 2/5 | 5/9",
        "simplify | 1/x + 1/3 | 2/(x + 3)",
        "evaluate | 9/5 + 1/6 + 8^0 | 21/11",
        "evaluate | (3/5)/(5/4) + 6/4 | 18/29",
    ),
    silent=(
        "evaluate | 9/5 + 1/6 + 8^0 | 89/30",
        "simplify | 4/3 + 4/9 | 16/9",
        "simplify | (4/3)*(4/9) | 16/27",
    ),
)
def _added_across(place: Sum) -> Choices | None:
    """Adds fractions by adding the numerators and adding the denominators."""
    parts = _fraction_terms(place)
    if parts is None:
        return None
    across = Quotient(sum_of(*(top for top, _ in parts)), sum_of(*(below for _, below in parts)))
    return Choices((across, *_in_two_fractions(place, _added_across)))


def _in_two_fractions(place: Sum, version: Callable[[Sum], Choices | None]) -> Iterator[Node]:
    """Add two fractions of a longer sum wrongly; its other terms stay as they are."""
    terms = terms_of(place)
    if not 3 <= len(terms) <= _MOST_TERMS:
        return
    fractions = [at for at, term in enumerate(terms) if fraction_parts(term) is not None]
    for first, second in combinations(fractions, 2):
        others = [one for at, one in enumerate(terms) if at not in (first, second)]
        for outcome in version(Sum((terms[first], terms[second]))) or ():
            yield sum_of(outcome, *others)


def _whole_parts(place: Sum) -> list[tuple[int, int]] | None:
    parts = _fraction_terms(place)
    if parts is None:
        return None
    found = [(whole(top), whole(below)) for top, below in parts]
    plain = [(top, below) for top, below in found if top is not None and below]
    return plain if len(plain) == len(found) else None


@fractions_added_across.also(
    add,
    shows=("evaluate | 3 1/2 + 1 1/4 | 4 2/6",),
    silent=("evaluate | 3 1/2 + 1 1/4 | 4 3/4",),
)
def _mixed_numbers_added_across(place: Sum) -> Node | None:
    parts = [as_fraction(term) for term in terms_of(place)]
    wholes = [top for top, below in parts if below == ONE]
    fractions = [(top, below) for top, below in parts if below != ONE]
    if len(wholes) < 2 or len(fractions) < 2:
        return None
    across = Quotient(
        sum_of(*(top for top, _ in fractions)), sum_of(*(below for _, below in fractions))
    )
    return sum_of(*wholes, across)


@fractions_added_across.also(
    add,
    shows=("simplify | 7/9 - 1/3 | 1",),
    silent=("simplify | 7/9 - 1/3 | 4/9",),
)
def _subtracted_across(place: Sum) -> Choices | None:
    parts = _whole_parts(place)
    if parts is None or len(parts) != 2 or parts[1][0] > 0:
        return Choices(_in_two_fractions(place, _subtracted_across))
    below = parts[0][1] - parts[1][1]
    if not below:
        return None
    return Choices((Quotient(number(parts[0][0] + parts[1][0]), number(below)),))


@numerator_not_rescaled.also(
    add,
    shows=(
        "evaluate | 3/4 + 2/5 | 5/20",
        "simplify | 2/3 + 1/6 | 3/6",
        "simplify | 1/x + 1/3 | 2/(3x)",
        "evaluate | 9/5 + 1/6 + 8^0 | 4/3",
    ),
    silent=("evaluate | 3/4 + 2/5 | 23/20", "evaluate | 3/7 + 2/7 | 5/7"),
)
def _tops_kept(place: Sum) -> Choices | None:
    """Goes to a common denominator and leaves the numerators as they were."""
    parts = _whole_parts(place)
    if parts is None:
        return _letters_below(place)
    if len({below for _, below in parts}) == 1:
        return None
    top = sum(top for top, _ in parts)
    least, product = lcm(*(below for _, below in parts)), 1
    for _, below in parts:
        product *= below
    whole_sum = [Quotient(number(top), number(below)) for below in {least, abs(product)}]
    return Choices((*whole_sum, *_in_two_fractions(place, _tops_kept)))


def _letters_below(place: Sum) -> Choices | None:
    parts = _fraction_terms(place)
    if parts is None or len({below for _, below in parts}) == 1:
        return None
    top = sum_of(*(top for top, _ in parts))
    below = product_of(*(bottom for _, bottom in parts))
    return Choices((Quotient(top, below), *_in_two_fractions(place, _tops_kept)))


@pattern(
    "fraction-subtracted-from-top-and-bottom",
    skill=_SKILL,
    source="Brown and Quinn 2006",
    shows=(
        "evaluate | 8 - 3/5 | 5/3",
        "evaluate | 9 - 2/7 | 7/2",
    ),
    silent=(
        "evaluate | 8 - 3/5 | 37/5",
        "evaluate | 8 - 3/5 | 5/5",
    ),
)
@instead_of(add)
def fraction_subtracted_from_top_and_bottom(place: Sum) -> Node | None:
    """Subtracts both parts of a fraction from a whole number, one for the top, one below."""
    if len(place.terms) != 2:
        return None
    first, second = whole(place.terms[0]), fraction_parts(place.terms[1])
    if first is None or second is None:
        return None
    top, below = whole(second[0]), whole(second[1])
    if top is None or below is None or top >= 0 or first == below:
        return None
    return Quotient(number(first + top), number(first - below))


def _whole_number_and_fraction(place: Product) -> tuple[Node, Node, Node] | None:
    """A whole number, and the numerator and denominator that it is multiplied by, in any order."""
    factors = factors_of(place)
    fractions = [one for one in factors if fraction_parts(one) is not None]
    others = [one for one in factors if fraction_parts(one) is None]
    if len(fractions) != 1 or len(others) != 1 or whole(others[0]) in (None, 1):
        return None
    return others[0], *as_fraction(fractions[0])


@pattern(
    "whole-number-multiplies-both-parts",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | 5*(2/7) | 10/35",
        "evaluate | (3/4)*6 | 18/24",
    ),
    silent=(
        "evaluate | 5*(2/7) | 10/7",
        "evaluate | 5*(2/7) | 2/35",
    ),
)
@instead_of(multiply)
def whole_number_multiplies_both_parts(place: Product) -> Node | None:
    """Multiplies both parts of a fraction by a whole number."""
    found = _whole_number_and_fraction(place)
    if found is None:
        return None
    times, top, below = found
    return Quotient(product_of(times, top), product_of(times, below))


@whole_number_multiplies_both_parts.also(
    divide,
    shows=("evaluate | 6*3/11 | 18/66",),
    silent=("evaluate | 6*3/11 | 18/11",),
)
def _factor_above_multiplies_both_parts(place: Quotient) -> Node | None:
    factors = factors_of(place.numerator)
    if len(factors) != 2 or any(whole(one) is None for one in (*factors, place.denominator)):
        return None
    return Quotient(place.numerator, product_of(factors[0], place.denominator))


@pattern(
    "whole-number-multiplies-denominator",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 2*(3/5) | 3/10",
        "evaluate | (3/5)*2 | 3/10",
    ),
    silent=(
        "evaluate | 2*(3/5) | 6/5",
        "evaluate | 24/4*2 | 12",
    ),
)
@instead_of(multiply)
def whole_number_multiplies_denominator(place: Product) -> Node | None:
    """Multiplies the denominator of a fraction by a whole number."""
    found = _whole_number_and_fraction(place)
    return None if found is None else Quotient(found[1], product_of(found[0], found[2]))


@whole_number_multiplies_denominator.also(
    divide,
    shows=("evaluate | 6*3/11 | 3/66",),
    silent=("evaluate | 6*3/11 | 18/11",),
)
def _factor_above_multiplies_denominator(place: Quotient) -> Node | None:
    wrong = _factor_above_multiplies_both_parts(place)
    return None if wrong is None else Quotient(factors_of(place.numerator)[1], wrong.denominator)


@pattern(
    "denominators-added",
    skill=_SKILL,
    source="Brown and Quinn 2006 (related); Scofield 2003 (denominators split, the reverse)",
    shows=(
        "evaluate | 1/2 + 1/3 | 1/5",
        "simplify | 3/a + 3/b | 3/(a + b)",
        "simplify | 1/x + 1/y | 1/(x + y)",
    ),
    silent=(
        "evaluate | 1/2 + 1/3 | 2/5",
        "evaluate | 1/2 + 1/3 | 5/6",
        "evaluate | 2/5 + 1/3 | 2/8",
    ),
)
@instead_of(add)
def denominators_added(place: Sum) -> Choices | None:
    """Keeps a common numerator and adds the denominators."""
    parts = _fraction_terms(place)
    if parts is None:
        return None
    if len({top for top, _ in parts}) > 1 or any(below == ONE for _, below in parts):
        return Choices(_in_two_fractions(place, denominators_added.moves[0].version))
    return Choices((Quotient(parts[0][0], sum_of(*(below for _, below in parts))),))


@pattern(
    "fractions-multiplied-crosswise",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | (2/3)*(4/5) | 5/6",
        "evaluate | (3/7)*(2/9) | 27/14",
        "evaluate | (2/3)*(4/5) | 12/10",
    ),
    silent=(
        "evaluate | (2/3)*(4/5) | 8/15",
        "evaluate | (2/3)/(4/5) | 5/6",
    ),
)
@instead_of(multiply)
def fractions_multiplied_crosswise(place: Product) -> Choices | None:
    """Multiplies each numerator by the other denominator when fractions are multiplied."""
    factors = factors_of(place)
    if len(factors) != 2 or any(fraction_parts(one) is None for one in factors):
        return None
    (a, b), (c, d) = as_fraction(factors[0]), as_fraction(factors[1])
    upper, lower = product_of(a, d), product_of(b, c)
    return Choices((Quotient(upper, lower), Quotient(lower, upper)))
