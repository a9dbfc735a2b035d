"""Errors in raising a sum to a power."""

from __future__ import annotations

from pipeline.exact.trees import Negation, Node, Power, Sum
from pipeline.patterns.constant_of_a_square import square_keeps_minus
from pipeline.patterns.quadratic_formula import square_means_double
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import raise_to_power
from pipeline.procedures.rewriting.terms import (
    negative,
    number,
    power,
    product_of,
    signed,
    split_coefficient,
    sum_of,
    terms_of,
    whole,
)

_SKILL = "expanding"


def _exponent(place: Power) -> int:
    """The exponent of a power of a sum, 0 for every other power."""
    if not isinstance(place.base, Sum):
        return 0
    found = whole(place.exponent)
    return found if found is not None and 2 <= found <= 9 else 0


def _two_terms(place: Power) -> tuple[Node, Node] | None:
    """The two terms of a binomial that is squared."""
    if _exponent(place) != 2:
        return None
    terms = terms_of(place.base)
    return (terms[0], terms[1]) if len(terms) == 2 else None


def _spread(place: Power, exponent: int) -> Node:
    return sum_of(*(Power(term, number(exponent)) for term in terms_of(place.base)))


@pattern(
    "square-spread-over-sum",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 9.4; A. G. Anderson 1982; Matz 1980, from memory",
    shows=(
        "expand | (3x - 4)^2 | 9x^2 + 16",
        "expand | (x + 5)^2 | x^2 + 25",
        "evaluate | (3 + 4)^2 | 25",
    ),
    silent=(
        "expand | (3x - 4)^2 | 9x^2 - 24x + 16",
        "expand | (3x - 4)^2 | 9x^2 - 12x + 16",
        "evaluate | (3 + 4)^2 | 49",
    ),
)
@instead_of(raise_to_power)
def square_spread_over_sum(place: Power) -> Node | None:
    """Squares each term of a sum and leaves out the middle term."""
    return _spread(place, 2) if _exponent(place) == 2 else None


@pattern(
    "power-spread-over-sum",
    skill=_SKILL,
    source="Scofield 2003",
    shows=(
        "expand | (x + 2)^3 | x^3 + 8",
        "expand | (x^2 + y^2)^3 | x^6 + y^6",
    ),
    silent=(
        "expand | (x + 2)^3 | x^3 + 6x^2 + 12x + 8",
        "expand | (x + 2)^3 | x^3 + 6",
    ),
)
@instead_of(raise_to_power)
def power_spread_over_sum(place: Power) -> Node | None:
    """Raises each term of a sum to the power and leaves out all terms between."""
    exponent = _exponent(place)
    return _spread(place, exponent) if exponent > 2 else None


@pattern(
    "square-of-difference-as-difference",
    skill=_SKILL,
    source="Pinchback 1991",
    shows=(
        "expand | (x - 4)^2 | x^2 - 16",
        "expand | (2x - 3y)^2 | 4x^2 - 9y^2",
    ),
    silent=(
        "expand | (x - 4)^2 | x^2 - 8x + 16",
        "expand | (x - 4)^2 | x^2 + 16",
    ),
)
@instead_of(raise_to_power)
def square_of_difference_as_difference(place: Power) -> Node | None:
    """Takes the square of a difference for the difference of the squares."""
    terms = _two_terms(place)
    if terms is None or not isinstance(terms[1], Negation) or isinstance(terms[0], Negation):
        return None
    return sum_of(power(terms[0], 2), negative(power(terms[1].argument, 2)))


def _parts_of_square(place: Power) -> tuple[Node, Node, Node] | None:
    """The three terms u^2, u*v and v^2 of a squared binomial, not doubled yet."""
    terms = _two_terms(place)
    if terms is None:
        return None
    first, second = terms
    return power(signed(first)[1], 2), product_of(first, second), power(second, 2)


@pattern(
    "middle-term-not-doubled",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (x - 3)^2 | x^2 - 3x + 9",
        "expand | (x + 5)^2 | x^2 + 5x + 25",
    ),
    silent=(
        "expand | (x - 3)^2 | x^2 - 6x + 9",
        "expand | (x - 3)^2 | x^2 + 9",
    ),
)
@instead_of(raise_to_power)
def middle_term_not_doubled(place: Power) -> Node | None:
    """Takes the middle term of a square once instead of twice."""
    parts = _parts_of_square(place)
    return sum_of(*parts) if parts else None


@pattern(
    "coefficient-not-squared",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (4x + 2)^2 | 4x^2 + 16x + 4",
        "expand | (3x + 2)^2 | 3x^2 + 12x + 4",
    ),
    silent=(
        "expand | (4x + 2)^2 | 16x^2 + 16x + 4",
        "expand | (x + 2)^2 | x^2 + 2x + 4",
    ),
)
@instead_of(raise_to_power)
def coefficient_not_squared(place: Power) -> Node | None:
    """Squares the letter of the first term and leaves its coefficient as it is."""
    parts, terms = _parts_of_square(place), _two_terms(place)
    if parts is None or terms is None:
        return None
    split = split_coefficient(signed(terms[0])[1])
    if split is None:
        return None
    return sum_of(product_of(split[0], power(split[1], 2)), _double(parts[1]), parts[2])


def _double(node: Node) -> Node:
    return product_of(number(2), node)


@pattern(
    "last-term-doubled",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (x + 6)^2 | x^2 + 12x + 12",
        "expand | (x - 5)^2 | x^2 - 10x + 10",
    ),
    silent=(
        "expand | (x + 6)^2 | x^2 + 12x + 36",
        "expand | (x + 2)^2 | x^2 + 4x + 4",
    ),
)
@instead_of(raise_to_power)
def last_term_doubled(place: Power) -> Node | None:
    """Doubles the last term of a binomial instead of squaring it."""
    parts, terms = _parts_of_square(place), _two_terms(place)
    if parts is None or terms is None:
        return None
    return sum_of(parts[0], _double(parts[1]), _double(signed(terms[1])[1]))


@square_keeps_minus.also(
    raise_to_power,
    shows=("expand | (x - 4)^2 | x^2 - 8x - 16", "expand | (2x - 3)^2 | 4x^2 - 12x - 9"),
    silent=("expand | (x - 4)^2 | x^2 - 8x + 16", "expand | (x - 4)^2 | x^2 - 16"),
)
def _last_term_keeps_minus(place: Power) -> Node | None:
    """Leaves a minus sign on the square of the last term of a difference."""
    parts, terms = _parts_of_square(place), _two_terms(place)
    if parts is None or terms is None or not isinstance(terms[1], Negation):
        return None
    return sum_of(parts[0], _double(parts[1]), negative(power(terms[1].argument, 2)))


@square_keeps_minus.also(
    raise_to_power,
    shows=("simplify | (-6)^2 | -36", "evaluate | (-3)^4 | -81"),
    silent=("simplify | (-6)^2 | 36", "evaluate | -6^2 | -36"),
)
def _even_power_keeps_minus(place: Power) -> Node | None:
    """Gives an even power of a negative number a minus sign."""
    exponent = whole(place.exponent)
    if not isinstance(place.base, Negation) or exponent is None or exponent % 2 or exponent < 2:
        return None
    return Negation(Power(place.base.argument, place.exponent))


@square_means_double.also(
    raise_to_power,
    shows=("expand | (2x - 7)^2 | 4x - 14", "evaluate | 7^2 | 14"),
    silent=("expand | (2x - 7)^2 | 4x^2 - 28x + 49", "evaluate | 2^2 | 4"),
)
def _doubled_base(place: Power) -> Node | None:
    """Doubles where it should be squared: takes the exponent 2 for a factor 2."""
    return product_of(number(2), place.base) if whole(place.exponent) == 2 else None


@pattern(
    "only-first-term-squared",
    skill=_SKILL,
    source="Pinchback 1991, label 4 of Otero, Druga and Lan 2024",
    shows=(
        "expand | (x - 9)^2 | x^2 - 9",
        "expand | (x + 5)^2 | x^2 + 5",
        "expand | (y - 9)^2 | (y + 3)(y - 3)",
    ),
    silent=(
        "expand | (x - 9)^2 | x^2 - 18x + 81",
        "expand | (x - 9)^2 | x^2 - 81",
    ),
)
@instead_of(raise_to_power)
def only_first_term_squared(place: Power) -> Node | None:
    """Squares the first term of a sum or difference and leaves the last one as it is."""
    found = _two_terms(place)
    if found is None:
        return None
    return sum_of(Power(found[0], number(2)), found[1])
