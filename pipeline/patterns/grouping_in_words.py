"""Errors about how far an operation that words name reaches."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.exact.trees import Negation, Node, Power, Product, Quotient, Sum, letters
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import over, product_of, signed, sum_of
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    put_power,
    put_product,
    put_quotient,
    put_sum,
)

_SKILL = "translating words"
_SOURCE = "OpenStax Elementary Algebra 2e, 1.2 (the words that group); common practice"


@pattern(
    "grouping-words-lost",
    skill=_SKILL,
    source=_SOURCE,
    shows=(
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 3",
        "translate | half of the sum of a number and 8: (x + 8)/2 | x + 8/2",
        "translate | half of the sum of a number and 8: (x + 8)/2 | 1/2 x + 8",
        "translate | 10 decreased by the sum of a number and 4: 10 - (x + 4) | 10 - x + 4",
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x + 3^2",
    ),
    silent=(
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 6",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x - 3)",
        "translate | half of the sum of a number and 8: (x + 8)/2 | 1/2 x + 4",
        "translate | 10 decreased by the sum of a number and 4: 10 - (x + 4) | 6 - n",
    ),
)
@instead_of(put_product)
def grouping_words_lost(place: Product) -> Node | None:
    """Lets a factor, divisor, power or minus reach one term, where the words take a whole sum."""
    for index, inner in enumerate(place.factors):
        if isinstance(inner, Sum):
            before, after = place.factors[:index], place.factors[index + 1 :]
            first, *middle, last = inner.terms
            return sum_of(
                product_of(*before, first) if before else first,
                *middle,
                product_of(last, *after) if after else last,
            )
    return None


@grouping_words_lost.also(put_quotient)
def _over_one_term(place: Quotient) -> Choices | None:
    above, below = place.numerator, place.denominator
    if isinstance(above, Sum):
        first, *middle, last = above.terms
        ends = sum_of(over(first, below), *middle, last), sum_of(first, *middle, over(last, below))
        return Choices(ends)
    if isinstance(below, Sum):
        first, *rest = below.terms
        return Choices((sum_of(over(above, first), *rest),))
    return None


@grouping_words_lost.also(put_power)
def _power_of_one_part(place: Power) -> Choices | None:
    match place.base:
        case Sum(terms):
            first, last = Power(terms[0], place.exponent), Power(terms[-1], place.exponent)
            return Choices((sum_of(*terms[:-1], last), sum_of(first, *terms[1:])))
        case Product(factors):
            return Choices((product_of(*factors[:-1], Power(factors[-1], place.exponent)),))
    return None


@grouping_words_lost.also(put_sum)
def _minus_on_one_term(place: Sum) -> Node | None:
    opened: list[Node] = []
    for term in place.terms:
        if isinstance(term, Negation) and isinstance(term.argument, Sum):
            first, *rest = term.argument.terms
            opened += [Negation(first), *rest]
        else:
            opened.append(term)
    return sum_of(*opened) if len(opened) > len(place.terms) else None


@pattern(
    "grouping-added-to-words",
    skill=_SKILL,
    source=_SOURCE,
    shows=(
        "translate | three more than twice a number: 2x + 3 | 2(x + 3)",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2(x - 5) = 11",
        "translate | the square of a number, increased by 4: x^2 + 4 | (x + 4)^2",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | (n + 1)/4",
    ),
    silent=(
        "translate | three more than twice a number: 2x + 3 | 3 + n*2",
        "translate | three more than twice a number: 2x + 3 | 2x - 3",
        "translate | the square of a number, increased by 4: x^2 + 4 | x^2 - 4",
    ),
)
@instead_of(put_sum)
def grouping_added_to_words(place: Sum) -> Choices | None:
    """Takes a whole sum, where the words multiply, divide or square one of its terms alone."""
    return Choices(_stretched(place.terms)) if len(place.terms) == 2 else None


def _stretched(terms: tuple[Node, ...]) -> Iterator[Node]:
    for index, term in enumerate(terms):
        sign, body = signed(term)
        others = (*terms[:index],), (*terms[index + 1 :],)
        match body:
            case Product((factor, *rest)) if sign > 0 and not letters(factor):
                yield product_of(factor, sum_of(*others[0], product_of(*rest), *others[1]))
            case Quotient(above, below) if sign > 0 and letters(above):
                yield over(sum_of(*others[0], above, *others[1]), below)
            case Power(base, exponent) if sign > 0 and letters(base):
                yield Power(sum_of(*others[0], base, *others[1]), exponent)


@grouping_added_to_words.also(put_product)
def _power_of_product(place: Product) -> Node | None:
    *before, last = place.factors
    if not isinstance(last, Power) or not letters(last.base):
        return None
    return Power(product_of(*before, last.base), last.exponent)


@pattern(
    "sum-of-squares-for-square-of-sum",
    skill=_SKILL,
    source="common practice",
    shows=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x^2 + 9",
        "translate | the square of the difference of a and b: (a - b)^2 | a^2 - b^2",
    ),
    silent=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x^2 + 6x + 9",
        "translate | the square of the difference of a and b: (a - b)^2 | (b - a)^2",
    ),
)
@instead_of(put_power)
def sum_of_squares_for_square_of_sum(place: Power) -> Node | None:
    """Adds the squares, where the words square the sum."""
    if not isinstance(place.base, Sum):
        return None
    powers = []
    for term in place.base.terms:
        sign, body = signed(term)
        raised = Power(body, place.exponent)
        powers.append(raised if sign > 0 else Negation(raised))
    return sum_of(*powers)


@pattern(
    "square-of-sum-for-sum-of-squares",
    skill=_SKILL,
    source="common practice",
    shows=(
        "translate | the sum of the squares of a and b: a^2 + b^2 | (a + b)^2",
        "translate | two legs differ by 1, hypotenuse 5: x^2 + (x + 1)^2 = 5^2 | "
        "(x + (x + 1))^2 = 5^2",
    ),
    silent=(
        "translate | the sum of the squares of a and b: a^2 + b^2 | b^2 + a^2",
        "translate | the sum of the squares of a and b: a^2 + b^2 | a^2 - b^2",
    ),
)
@instead_of(put_sum)
def square_of_sum_for_sum_of_squares(place: Sum) -> Node | None:
    """Squares the sum, where the words add the squares."""
    parts = [signed(term) for term in place.terms]
    exponents = {body.exponent for _, body in parts if isinstance(body, Power)}
    if len(exponents) != 1 or not all(isinstance(body, Power) for _, body in parts):
        return None
    bases = [
        body.base if sign > 0 else Negation(body.base)
        for sign, body in parts
        if isinstance(body, Power)
    ]
    return Power(sum_of(*bases), exponents.pop())
