"""Errors with fractions whose parts are sums."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import gcd

from pipeline.exact.trees import Node, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, divide
from pipeline.procedures.rewriting.terms import (
    ONE,
    ZERO,
    Monomial,
    monomial,
    negative,
    number,
    over,
    signed,
    sum_of,
    terms_of,
    value_of,
)
from pipeline.procedures.walk import Choices

_SKILL = "rational expressions"


def _without(terms: tuple[Node, ...], index: int) -> Node:
    return sum_of(*terms[:index], *terms[index + 1 :])


@pattern(
    "cancelled-across-sum",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 8.1; Scofield 2003; Ruhl, Belward and Balatti 2011",
    shows=(
        "simplify | (x + 2)/(x + 7) | 2/7",
        "simplify | (x + 6)/6 | x",
        "evaluate | (6 + 8)/6 | 8",
        "simplify | (a - b)/b | a",
        "simplify | 3/(6x + 5) | 1/(2x + 5)",
    ),
    silent=(
        "simplify | (x + 2)/(x + 7) | (x + 2)/(x + 7)",
        "simplify | (6x)/6 | x",
    ),
)
@instead_of(divide)
def cancelled_across_sum(place: Quotient) -> Choices | None:
    """Cancels a term, or a factor of one term, of a sum above or below the fraction bar."""
    above, below = terms_of(place.numerator), terms_of(place.denominator)
    if len(above) < 2 and len(below) < 2:
        return None
    pairs = [(i, j) for i in range(len(above)) for j in range(len(below))]
    crossed = [one for i, j in pairs for one in _crossed_out(above, below, i, j)]
    return Choices(tree for tree in crossed if tree != ZERO)


def _crossed_out(
    above: tuple[Node, ...], below: tuple[Node, ...], i: int, j: int
) -> Iterator[Node]:
    """Cross out what one term above and one below have in common, the whole or a part."""
    (sign, one), (other, two) = signed(above[i]), signed(below[j])
    if one == two and (sign == other or len(above) == 1 or len(below) == 1):
        top = _without(above, i) if len(above) > 1 else number(sign * other)
        yield over(top, _without(below, j) if len(below) > 1 else ONE)
        if len(below) == 1:
            yield sum_of(*above[:i], number(sign * other), *above[i + 1 :])
        return
    parts = _without_common_factor(above[i], below[j])
    # What is left undivided below one term is told by another pattern.
    if parts is not None and (len(below) > 1 or value_of(parts[1]) not in (1, -1)):
        bottom = sum_of(*below[:j], parts[1], *below[j + 1 :])
        yield over(sum_of(*above[:i], parts[0], *above[i + 1 :]), bottom)


def _without_common_factor(one: Node, two: Node) -> tuple[Node, Node] | None:
    """Divide two terms by their greatest common factor; None where there is none."""
    first, second = monomial(one), monomial(two)
    if first is None or second is None:
        return None
    numbers = (first.coefficient, second.coefficient)
    if not all(value.is_integer and value for value in numbers):
        return None
    shared = gcd(*(int(value.as_fraction()) for value in numbers))
    powers, lower = dict(first.powers), dict(second.powers)
    common = {base: min(powers[base], lower[base]) for base in powers if base in lower}
    if shared == 1 and not common:
        return None
    return tuple(  # type: ignore[return-value]  # two terms give two
        Monomial(
            term.coefficient / shared,
            tuple(
                (base, left)
                for base, size in term.powers
                if (left := size - common.get(base, Fraction(0)))
            ),
        ).tree()
        for term in (first, second)
    )


@pattern(
    "denominator-divides-one-term",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 8.1; Scofield 2003",
    shows=(
        "simplify | (4x + 6)/2 | 2x + 6",
        "simplify | (6 ± 2sqrt(3))/2 | 6 ± sqrt(3)",
        "simplify | (8 - 2sqrt(10))/2 | 4 - 2sqrt(10)",
    ),
    silent=(
        "simplify | (4x + 6)/2 | 2x + 3",
        "simplify | (4x + 6)/2 | 4x + 12",
    ),
)
@instead_of(divide)
def denominator_divides_one_term(place: Quotient) -> Choices | None:
    """Divides only one term of the numerator by the denominator."""
    terms = terms_of(place.numerator)
    if not 2 <= len(terms) <= 5 or isinstance(place.denominator, Sum):
        return None
    return Choices(
        sum_of(*terms[:index], Quotient(term, place.denominator), *terms[index + 1 :])
        for index, term in enumerate(terms)
    )


@pattern(
    "cancelled-term-by-term",
    skill=_SKILL,
    source="Figueras, Males and Otten 2008; from memory",
    shows=(
        "simplify | (x^2 + 6)/(x + 3) | x + 2",
        "simplify | (x^2 - 9)/(x - 3) | x - 3",
    ),
    silent=(
        "simplify | (x^2 - 9)/(x - 3) | x + 3",
        "simplify | (x^2 + 6)/(x + 3) | (x^2 + 6)/(x + 3)",
    ),
)
@instead_of(divide)
def cancelled_term_by_term(place: Quotient) -> Choices | None:
    """Divides the terms of the numerator one by one by those of the denominator."""
    above, below = terms_of(place.numerator), terms_of(place.denominator)
    if len(below) < 2 or len(above) < len(below):
        return None
    first = Quotient(above[0], below[0])
    last = Quotient(signed(above[-1])[1], signed(below[-1])[1])
    middle = above[1:-1]
    return Choices(sum_of(first, *middle, ending) for ending in (last, negative(last)))


@pattern(
    "cancelled-to-zero",
    skill=_SKILL,
    source="a public collection of student mistakes",
    shows=(
        "simplify | (x + 2)/(x + 2) | 0",
        "simplify | (5x)/(5x) | 0",
    ),
    silent=(
        "simplify | (x + 2)/(x + 2) | 1",
        "simplify | (x + 2)/(x + 3) | 2/3",
    ),
)
@instead_of(divide)
def cancelled_to_zero(place: Quotient) -> Node | None:
    """Leaves zero where numerator and denominator cancel as a whole."""
    return ZERO if place.numerator == place.denominator else None


@pattern(
    "denominator-split",
    skill=_SKILL,
    source="Scofield 2003",
    shows=(
        "simplify | 1/(x + 5) | 1/x + 1/5",
        "evaluate | 6/(2 + 1) | 9",
    ),
    silent=(
        "simplify | 1/(x + 5) | 1/(x + 5)",
        "simplify | (x + 5)/5 | x/5 + 1",
    ),
)
@instead_of(divide)
def denominator_split(place: Quotient) -> Node | None:
    """Splits a fraction with a sum below into one fraction for each term."""
    below = terms_of(place.denominator)
    if len(below) < 2 or isinstance(place.numerator, Sum):
        return None
    return sum_of(
        *(
            Quotient(place.numerator if sign == 1 else negative(place.numerator), body)
            for sign, body in map(signed, below)
        )
    )


@pattern(
    "numerator-minus-first-term-only",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 8.3; OpenStax Intermediate Algebra 2e, 7.2",
    shows=(
        "simplify | (3x)/(x - 1) - (x - 4)/(x - 1) | (2x - 4)/(x - 1)",
        "simplify | 5/(x + 2) - (x + 3)/(x + 2) | (8 - x)/(x + 2)",
    ),
    silent=(
        "simplify | (3x)/(x - 1) - (x - 4)/(x - 1) | (2x + 4)/(x - 1)",
        "simplify | (3x)/(x - 1) + (x - 4)/(x - 1) | (2x - 4)/(x - 1)",
    ),
)
@instead_of(add)
def numerator_minus_first_term_only(place: Sum) -> Node | None:
    """Subtracts only the first term of a numerator that is a sum."""
    changed = False
    terms: list[Node] = []
    for term in place.terms:
        sign, body = signed(term)
        if sign < 0 and isinstance(body, Quotient) and isinstance(body.numerator, Sum):
            first, *rest = terms_of(body.numerator)
            terms.append(Quotient(sum_of(negative(first), *rest), body.denominator))
            changed = True
        else:
            terms.append(term)
    return sum_of(*terms) if changed else None
