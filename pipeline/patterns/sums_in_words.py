"""Errors in adding and subtracting as words say."""

from __future__ import annotations

from pipeline.exact.trees import (
    Node,
    Product,
    Quotient,
    Sum,
    letters,
)
from pipeline.patterns.like_terms import unlike_terms_joined
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    difference,
    negative,
    over,
    product_of,
    signed,
    sum_of,
)
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    put_product,
    put_quotient,
    put_sum,
)

_SKILL = "translating words"
_VOCABULARY = "OpenStax Prealgebra 2e, 2.2 (the words for operations); common practice"
_MOST_TERMS = 4


@pattern(
    "subtraction-turned-round",
    skill=_SKILL,
    source="Capraro and Joffrion 2006, as quoted in a review of errors",
    shows=(
        "translate | three less than a number: x - 3 | 3 - x",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 5 - 2n = 11",
    ),
    silent=(
        "translate | three less than a number: x - 3 | -3 + n",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 11 = 2n - 5",
        "translate | three less than a number: x - 3 | x + 3",
    ),
)
@instead_of(put_sum)
def subtraction_turned_round(place: Sum) -> Node | None:
    """Turns a difference round, as the words stand in order: 3 - x for three less than x."""
    signs = [signed(term)[0] for term in place.terms]
    if len(signs) != 2 or signs[0] == signs[1]:
        return None
    return sum_of(*(negative(term) for term in place.terms))


@pattern(
    "plus-written-as-times",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | seven more than a number: x + 7 | 7x",
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n(n + 1) = 41",
    ),
    silent=(
        "translate | seven more than a number: x + 7 | 7 + a",
        "translate | seven more than a number: x + 7 | x - 7",
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | 2n + 1 = 41",
    ),
)
@instead_of(put_sum)
def plus_written_as_times(place: Sum) -> Node | None:
    """Multiplies where the words add."""
    plus = all(signed(term)[0] > 0 for term in place.terms)
    return product_of(*place.terms) if plus and len(place.terms) <= _MOST_TERMS else None


@pattern(
    "minus-written-as-plus",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | three less than a number: x - 3 | x + 3",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x + 5 = 11",
    ),
    silent=(
        "translate | three less than a number: x - 3 | x - 3",
        "translate | three less than a number: x - 3 | 3 - x",
    ),
)
@instead_of(put_sum)
def minus_written_as_plus(place: Sum) -> Node:
    """Adds where the words subtract."""
    return sum_of(*(signed(term)[1] for term in place.terms))


@pattern(
    "plus-written-as-minus",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | seven more than a number: x + 7 | x - 7",
        "translate | seven more than a number: x + 7 | 7 - x",
    ),
    silent=(
        "translate | seven more than a number: x + 7 | 7 + x",
        "translate | seven more than a number: x + 7 | 7x",
    ),
)
@instead_of(put_sum)
def plus_written_as_minus(place: Sum) -> Choices | None:
    """Subtracts where the words add."""
    if len(place.terms) != 2 or any(signed(term)[0] < 0 for term in place.terms):
        return None
    first, second = place.terms
    return Choices((difference(first, second), difference(second, first)))


@pattern(
    "operation-word-mistaken",
    skill=_SKILL,
    source=_VOCABULARY,
    shows=(
        "translate | the difference of a number and 3: x - 3 | x/3",
        "translate | a number divided by 6: y/6 | y - 6",
        "translate | four times a number: 4x | x - 4",
    ),
    silent=(
        "translate | the difference of a number and 3: x - 3 | 3 - x",
        "translate | a number divided by 6: y/6 | y/6",
        "translate | four times a number: 4x | x + 4",
    ),
)
@instead_of(put_sum)
def operation_word_mistaken(place: Sum) -> Choices | None:
    """Takes the name of one operation for that of another, as quotient for difference."""
    if len(place.terms) != 2:
        return None
    (sign, first), (other, second) = map(signed, place.terms)
    if sign == other:
        return Choices((over(first, second),)) if sign > 0 else None
    return Choices((over(first, second), product_of(first, second)))


@operation_word_mistaken.also(put_quotient)
def _quotient_mistaken(place: Quotient) -> Choices | None:
    if not letters(place):
        return None
    above, below = place.numerator, place.denominator
    return Choices((difference(above, below), sum_of(above, below)))


@operation_word_mistaken.also(put_product)
def _product_mistaken(place: Product) -> Choices | None:
    if len(place.factors) != 2 or any(isinstance(one, Quotient) for one in place.factors):
        return None
    first, second = place.factors
    return Choices((difference(first, second), difference(second, first)))


@unlike_terms_joined.also(
    put_sum,
    shows=(
        "translate | three more than twice a number: 2x + 3 | 5x",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | -3x = 11",
    ),
    silent=(
        "translate | three more than twice a number: 2x + 3 | 3 + 2n",
        "translate | three more than twice a number: 2x + 3 | 6x",
    ),
)
def _unlike_terms_of_sentence_joined(place: Sum) -> Choices | None:
    joined: Choices | None = unlike_terms_joined.moves[0].version(place)
    return joined
