"""Errors in multiplying and dividing as words say."""

from __future__ import annotations

from pipeline.exact.trees import (
    Node,
    Numeral,
    Product,
    Quotient,
    letters,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    number,
    over,
    product_of,
    rational,
    sum_of,
    whole,
)
from pipeline.tasks.translate import (
    ONE_LETTER,
    put_product,
    put_quotient,
)

_SKILL = "translating words"
_VOCABULARY = "OpenStax Prealgebra 2e, 2.2 (the words for operations); common practice"
_MOST_TERMS = 4


@pattern(
    "divisor-put-on-top",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | a number divided by 6: y/6 | 6/y",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | 4/n + 1",
    ),
    silent=(
        "translate | a number divided by 6: y/6 | y ÷ 6",
        "translate | a number divided by 6: y/6 | 1/6 y",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | n/4 - 1",
    ),
)
@instead_of(put_quotient)
def divisor_put_on_top(place: Quotient) -> Node | None:
    """Writes a quotient the other way round, the divisor on top."""
    if (not letters(place) and whole(place.numerator) == 1) or whole(place.denominator) == 100:
        return None
    return over(place.denominator, place.numerator)


@pattern(
    "times-written-as-plus",
    skill=_SKILL,
    source="Didis and Erbas 2015 (the equation is not formed); common practice",
    shows=(
        "translate | two numbers, 7 apart, have product 60: x(x + 7) = 60 | x + (x + 7) = 60",
        "translate | four times a number: 4x | x + 4",
    ),
    silent=(
        "translate | two numbers, 7 apart, have product 60: x(x + 7) = 60 | n^2 + 7n = 60",
        "translate | four times a number: 4x | n*4",
        "translate | four times a number: 4x | x - 4",
    ),
)
@instead_of(put_product)
def times_written_as_plus(place: Product) -> Node:
    """Adds where the words multiply."""
    return sum_of(*place.factors)


@pattern(
    "divided-by-written-as-times",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | a number divided by 6: y/6 | 6y",
        "translate | half of a number is 9: (1/2)x = 9 | 2x = 9",
    ),
    silent=(
        "translate | a number divided by 6: y/6 | y/6",
        "translate | half of a number is 9: (1/2)x = 9 | 0.5x = 9",
        "translate | half of a number is 9: (1/2)x = 9 | 9 = x/2",
    ),
)
@instead_of(put_quotient, ONE_LETTER)
def divided_by_written_as_times(place: Quotient) -> Node | None:
    """Multiplies where the words divide or take a part."""
    if not letters(place) or whole(place.denominator) == 100:
        return None
    return product_of(place.denominator, place.numerator)


@divided_by_written_as_times.also(put_product, ONE_LETTER)
def _multiple_for_part(place: Product) -> Node | None:
    part, *rest = place.factors
    found = rational(part) if isinstance(part, Quotient) else None
    if not found or found.numerator != 1 or found.denominator == 100:
        return None
    return product_of(number(found.denominator), *rest)


@pattern(
    "times-written-as-divided-by",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | four times a number: 4x | x/4",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | x/2 - 5 = 11",
    ),
    silent=(
        "translate | four times a number: 4x | 4*x",
        "translate | four times a number: 4x | x^4",
    ),
)
@instead_of(put_product, ONE_LETTER)
def times_written_as_divided_by(place: Product) -> Node | None:
    """Divides where the words multiply."""
    first, *rest = place.factors
    size = whole(first)
    return over(product_of(*rest), first) if size is not None and size > 1 else None


@pattern(
    "factor-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | x - 5 = 11",
        "translate | twice the sum of a number and 3: 2(x + 3) | x + 3",
    ),
    silent=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x - 5 = 11",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 6",
    ),
)
@instead_of(put_product)
def factor_left_out(place: Product) -> Node | None:
    """Leaves out a factor that the words name, such as twice."""
    first, *rest = place.factors
    return product_of(*rest) if isinstance(first, Numeral) and whole(first) else None
