"""Errors in multiplying a bracket by a number, and in taking a bracket off."""

from __future__ import annotations

from itertools import product
from math import lcm

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, multiplied, quotient_of, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import MixedNumber, Negation, Node, Power, Product, Sum
from pipeline.patterns.linear_equations import lone_fraction
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import first_case, second_case
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation, Linear
from pipeline.procedures.lines import intercept_from
from pipeline.procedures.operations import copy_equation, distribute
from pipeline.procedures.parts import Part, join, over, times
from pipeline.procedures.rational_equations import (
    Term,
    clear_denominators,
    common_denominator,
    difference_of,
)
from pipeline.procedures.rewriting.factoring import Factors, join_factors
from pipeline.procedures.rewriting.operations import add, drop_minus, multiply
from pipeline.procedures.rewriting.terms import (
    factors_of,
    monomial,
    negative,
    product_of,
    signed,
    sum_of,
    terms_of,
    value_of,
)
from pipeline.procedures.solving_for import Formula, start_with
from pipeline.procedures.walk import Choices, Place, needed


@pattern(
    source="Pournara et al. 2016 (kind of error); Booth et al. 2014 (from memory); Payne and"
    " Squibb 1990 (from memory)",
    shows=(
        "solve | 3(x + 7) = -12 | x=-19/3",
        "solve | 2(x + 5) = 16 | 11/2",
    ),
    silent=(
        "solve | 3(x + 7) = -12 | x=-11",
        "solve | 3x + 7 = -12 | x=-11",
    ),
)
@instead_of(distribute, Place.LINEAR)
def multiplied_first_term_only(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    """Multiplies only the first term in the bracket by the number in front."""
    return k * p, q


def multiplier_of(place: Node) -> tuple[Node, tuple[Node, ...]] | None:
    """The factor before (or after) one bracket, with its sign, and the terms in the bracket."""
    sign, body = signed(place)
    if not isinstance(body, Product):
        return None
    factors = factors_of(body)
    brackets = [factor for factor in factors if isinstance(factor, Sum)]
    others = [factor for factor in factors if not isinstance(factor, Sum)]
    if len(brackets) != 1 or not others:
        return None
    outside = product_of(*others)
    if monomial(outside) is None:
        return None
    return (outside if sign == 1 else negative(outside)), terms_of(brackets[0])


@multiplied_first_term_only.also(
    multiply,
    shows=("expand | 7(x + 8) | 7x + 8", "expand | 4(x + 3) | 4x + 3"),
    silent=("expand | 7(x + 8) | 7x + 56", "expand | 7(x + 8) | x + 56"),
)
def _first_term_only(place: Node) -> Choices | None:
    """Does not multiply every term in the bracket by the number outside."""
    found = multiplier_of(place)
    if found is None:
        return None
    outside, terms = found
    return Choices(
        sum_of(*(product_of(outside, one) for one in terms[:done]), *terms[done:])
        for done in {1, len(terms) - 1}
    )


multiplied_first_term_only.also(drop_minus)(_first_term_only)


@multiplied_first_term_only.also(
    multiply,
    shows=("expand | -2(x - 3) | -2x + 3", "expand | -5(x + 4) | -5x - 4"),
    silent=("expand | -2(x - 3) | -2x + 6",),
)
def _minus_alone_carried_through(place: Node) -> Node | None:
    """Multiplies only the first term in the bracket by the number outside."""
    found = multiplier_of(place)
    if found is None or signed(found[0])[0] == 1:
        return None
    outside, terms = found
    return sum_of(product_of(outside, terms[0]), *map(negative, terms[1:]))


@multiplied_first_term_only.also(intercept_from, Place.LINE)
def _slope_times_x_only(slope: Surd, x: Surd, y: Surd) -> Surd:
    return y - x


@multiplied_first_term_only.also(
    copy_equation,
    Place.LINEAR,
    shows=("solve | (x - 4)/3 = x/5 | 2", "solve | (x + 2)/4 = x/3 | 2"),
    silent=("solve | (x - 4)/3 = x/5 | 10", "solve | x/3 = 4 | 12"),
)
def _numerator_met_in_part(equation: Equation) -> Choices | None:
    """Multiplies only the first term of a numerator across."""
    left, right = equation.brackets
    if len(left) != 1 or len(right) != 1:
        return None
    (p, q, below), (s, t, under) = map(_over_one_denominator, (left[0], right[0]))
    lefts = [(p * under, end) for end in dict.fromkeys((q * under, q if p else q * under))]
    rights = [(s * below, end) for end in dict.fromkeys((t * below, t if s else t * below))]
    pairs = list(product(lefts, rights))[1:]  # without the one that is right
    return Choices(Equation((ZERO, *one), (ZERO, *two)) for one, two in pairs) if pairs else None


def _over_one_denominator(bracket: Bracket) -> tuple[Surd, Surd, Surd]:
    """The numbers of (p*x + q)/d for a bracket with fractions."""
    p, q = bracket.k * bracket.p, bracket.k * bracket.q
    if not (p.is_rational and q.is_rational):
        return p, q, ONE
    below = Surd.of(lcm(p.as_fraction().denominator, q.as_fraction().denominator))
    return p * below, q * below, below


@multiplied_first_term_only.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=(
        "solve | 2/(x - 3) = 5/x | 1",
        "solve | 4/(x - 2) = 8/(x + 3) | 19/4",
        "solve | 4/(x - 2) = 8/(x + 3) | 5/4",
    ),
    silent=("solve | 2/(x - 3) = 5/x | 5", "solve | 3/(x + 2) = 4/x | -8"),
)
def _denominator_met_in_part(terms: tuple[Term, ...]) -> Choices:
    """Multiplies only the first term of a denominator across."""
    common = common_denominator(terms)
    full: list[Term] = []
    in_part: list[Term] = []
    for term in terms:
        across = quotient_of(common, term.below)[0]
        full.append(term._replace(above=multiplied(term.above, across)))
        in_part.append(term._replace(above=_first_only(term.above, across)))
    chosen = [
        (*full[:place], one, *full[place + 1 :]) for place, one in enumerate(in_part) if one.above
    ]
    every = tuple(some if some.above else whole for some, whole in zip(in_part, full, strict=True))
    return Choices(difference_of(terms) for terms in (*chosen, every))


@multiplied_first_term_only.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=("solve | 3/(x + 1) + 2 = 5 | 2/3", "solve | 4/(x - 2) + 1 = 3 | 3"),
    silent=("solve | 3/(x + 1) + 2 = 5 | 0", "solve | 3/x + 2 = 5 | 1"),
)
def _denominator_met_in_part_when_alone(terms: tuple[Term, ...]) -> Coefficients:
    """Multiplies only the first term of a denominator across, after the numbers are joined."""
    above, below, value = needed(lone_fraction(terms))
    return added((below[0], *scaled(below[1:], value)), (-above,))


@multiplied_first_term_only.also(
    start_with,
    Place.FORMULA,
    shows=(
        "solve-for | S = 2(a + b) for b | b = S - 2a",
        "solve-for | A = P(1 + r) for r | A - P",
        "solve-for | y = 2(x - 3) for x | x = (y + 3)/2",
    ),
    silent=(
        "solve-for | S = 2(a + b) for b | b = S/2 - a",
        "solve-for | A = P(1 + r) for r | A/P - 1",
        "solve-for | y = 2x - 3 for x | x = (y + 3)/2",
    ),
)
def _bracket_of_formula_met_in_part(start: Formula) -> Part | None:
    """Multiplies only the first term of the bracket by what stands before it."""
    if not isinstance(start.held, Sum):
        return None
    first, *others = (needed(fraction_of(one)) for one in terms_of(start.held))
    spread, held = join(start.rest, times(start.factor, first)), first
    for one in others:
        spread, held = join(spread, one), join(held, one)
    rest, multiple = _parts_by_letter(spread, start.letter)
    q, p = _parts_by_letter(held, start.letter)
    return join(q, times(p, over(join(start.other, rest, -1), multiple)))


def _parts_by_letter(part: Part, letter: str) -> tuple[Part, Part]:
    """What stands without a letter, and what the letter is multiplied by."""
    numbers = part[0].collected(letter)
    if len(numbers) != 2 or letter in part[1].letters:
        raise CannotBeWorked
    return (numbers[0], part[1]), (numbers[1], part[1])


def _first_only(number: Coefficients, bracket: Coefficients) -> Coefficients:
    """A number by the first term of a bracket alone; () where there is no such product."""
    if len(number) != 1 or len([one for one in bracket if one]) < 2:
        return ()
    return (*bracket[:-1], bracket[-1] * number[0])


@pattern(
    source="common practice",
    shows=(
        "expand | 7(x + 8) | x + 56",
        "expand | -2(3x - 5) | 3x + 10",
    ),
    silent=(
        "expand | 7(x + 8) | 7x + 56",
        "expand | 7(x + 8) | 7x + 8",
    ),
)
@instead_of(multiply)
def multiplied_last_term_only(place: Node) -> Node | None:
    """Multiplies only the last term in the bracket by the number outside."""
    found = multiplier_of(place)
    if found is None:
        return None
    outside, terms = found
    return sum_of(*terms[:-1], product_of(outside, terms[-1]))


multiplied_last_term_only.also(drop_minus)(multiplied_last_term_only.moves[0].version)


@multiplied_last_term_only.also(distribute, Place.LINEAR)
def _only_last_term(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    return p, k * q


@pattern(
    source="OpenStax Elementary Algebra 2e, 1.9 (caution); Anderson 1982 (kind of error); Ayres"
    " 2001 (kind of error)",
    shows=(
        "expand | -7(3x - 2) | -21x - 14",
        "expand | -(x - 5) | -x - 5",
        "simplify | (5x + 2) - (3x - 4) | 2x - 2",
        "simplify | 5 - 3(x + 2) | 11 - 3x",
        "simplify | 7 - (2x + 4) | 2x + 3",
    ),
    silent=(
        "expand | -7(3x - 2) | -21x + 14",
        "expand | 7(3x - 2) | 21x + 14",
        "simplify | (5x + 2) - (3x - 4) | 8x - 2",
        "simplify | 7 - (2x + 4) | 3 - 2x",
    ),
)
@instead_of(drop_minus)
def minus_not_carried_through(place: Negation) -> Choices | Node | None:
    """Lets the minus before a bracket change only its first or its last term."""
    inside = place.argument
    if isinstance(inside, Sum) and not isinstance(inside, MixedNumber):
        terms = terms_of(inside)
        last = sum_of(*terms[:-1], negative(terms[-1]))
        return Choices((sum_of(negative(terms[0]), *terms[1:]), last))
    outside, terms = needed(multiplier_of(inside))
    if isinstance(outside, Negation):
        return None
    products = [product_of(outside, term) for term in terms]
    return sum_of(negative(products[0]), *products[1:])


@minus_not_carried_through.also(multiply)
def _negative_factor_not_carried(place: Product) -> Node | None:
    found = multiplier_of(place)
    if found is None or not isinstance(found[0], Negation):
        return None
    outside, terms = found[0].argument, found[1]
    products = [product_of(outside, term) for term in terms]
    return sum_of(negative(products[0]), *products[1:])


@minus_not_carried_through.also(
    distribute,
    Place.LINEAR,
    shows=(
        "solve | -3(x - 4) = 9 | -7",
        "solve | 12 - 3(4j + 3) = -17 | 19/6",
        "solve | -(y + 8) = -2 | 10",
        "solve | 2x - 3y = 7; 4x + y = 7 | (-14/5, 91/5)",
    ),
    silent=("solve | -3(x - 4) = 9 | 1", "solve | 12 - 3(4j + 3) = -17 | 5/3"),
)
def _minus_not_carried_in_equation(k: Surd, p: Surd, q: Surd) -> Choices | None:
    """Lets the minus before a bracket change one of its terms only."""
    if not k.is_real or k.real_sign() >= 0:
        return None
    return Choices(((k * p, -k * q), (-k * p, k * q)))


@minus_not_carried_through.also(second_case, Place.ABSOLUTE_VALUE)
def _minus_on_first_term(inside: Linear, right: Linear) -> Surd | None:
    return first_case(Linear(-inside.p, inside.q), right) if inside.q else None


def _opened(term: Node) -> Node:
    body = signed(term)[1]
    return body if isinstance(body, Sum) else term


@pattern(
    source="OpenStax Intermediate Algebra 2e, 5.1 (related: one sign kept); common practice",
    shows=(
        "simplify | (5x + 2) - (3x - 4) | 8x - 2",
        "simplify | 9 - (2x + 1) | 2x + 10",
    ),
    silent=(
        "simplify | (5x + 2) - (3x - 4) | 2x + 6",
        "simplify | (5x + 2) - (3x - 4) | 2x - 2",
    ),
)
@instead_of(add)
def minus_before_bracket_ignored(place: Sum) -> Node | None:
    """Adds a bracket that is to be subtracted."""
    terms = place.terms
    if not any(isinstance(term, Negation) and isinstance(term.argument, Sum) for term in terms[1:]):
        return None
    return sum_of(*(_opened(term) for term in terms))


@pattern(
    source="Payne and Squibb 1990 (from memory)",
    shows=(
        "expand | 5(x + 2) | x + 7",
        "expand | 3(x - 8) | x - 5",
        "solve | 3(x + 4) = 27 | 20",
        "solve | 2(3x + 1) = 18 | 5",
    ),
    silent=(
        "expand | 5(x + 2) | 5x + 10",
        "expand | 5(x + 2) | 5x + 2",
        "solve | 3(x + 4) = 27 | 5",
    ),
)
@instead_of(multiply)
def multiplier_added(place: Product) -> Node | None:
    """Adds the number outside to the bracket instead of multiplying by it."""
    found = multiplier_of(place)
    if found is None or value_of(found[0]) is None:
        return None
    return sum_of(*found[1], found[0])


@multiplier_added.also(
    multiply,
    shows=("expand | 3(x + 4) | 3x + 7", "expand | 2(x - 5) | 2x - 3"),
    silent=("expand | 3(x + 4) | 3x + 12",),
)
def _multiplied_then_added(place: Product) -> Node | None:
    """Adds the number outside to a term in the bracket instead of multiplying by it."""
    found = multiplier_of(place)
    if found is None or value_of(found[0]) is None:
        return None
    outside, (first, *rest) = found
    return sum_of(product_of(outside, first), *rest, outside)


@pattern(
    source="Dawkins 2006 (from memory)",
    shows=(
        "simplify | 3(2x*5) | 90x",
        "expand | 4(x*y) | 16xy",
        "expand | x(x + 1)(x + 2) | x^4 + 3x^3 + 2x^2",
    ),
    silent=(
        "simplify | 3(2x*5) | 30x",
        "expand | 4(x + y) | 4x + 4y",
    ),
)
@instead_of(multiply)
def multiplied_into_every_factor(place: Product) -> Node | None:
    """Multiplies what stands outside into each factor of a product, as if it were a sum."""
    outside = place.factors[0]
    inside = place.factors[1] if len(place.factors) == 2 else None
    if not isinstance(inside, Product) or isinstance(outside, Sum):
        return None
    groups = inside.factors
    if value_of(outside) is None and not all(isinstance(one, Sum) for one in groups):
        return None
    if len(groups) == 3 and value_of(groups[0]) is not None:
        groups = (product_of(*groups[:2]), groups[2])
    return product_of(*(product_of(outside, group) for group in groups))


@pattern(
    source="Scofield 2003",
    shows=(
        "expand | 3(x + 1)^2 | 9x^2 + 18x + 9",
        "evaluate | 2(3 + 1)^2 | 64",
        "simplify | 5(2x^3)^2 | 100x^6",
    ),
    silent=(
        "expand | 3(x + 1)^2 | 3x^2 + 6x + 3",
        "expand | (3x + 3)^2 | 9x^2 + 18x + 9",
    ),
)
@instead_of(multiply)
def distributed_before_power(place: Product) -> Node | None:
    """Multiplies a bracket by the number outside before the power on the bracket is taken."""
    factors = factors_of(place)
    if len(factors) != 2 or value_of(factors[0]) is None:
        return None
    raised = factors[1]
    if not isinstance(raised, Power) or not isinstance(raised.base, Sum | Product):
        return None
    return Power(Product((factors[0], raised.base)), raised.exponent)


@distributed_before_power.also(
    join_factors,
    Place.FACTOR,
    shows=("factor | 3x^2 - 12x + 12 | (3x - 6)^2", "factor | 2x^2 - 8x + 8 | (2x - 4)^2"),
    silent=("factor | 3x^2 - 12x + 12 | 3(x - 2)^2", "factor | 9x^2 - 36x + 36 | (3x - 6)^2"),
)
def _common_factor_taken_into_square(outside: Polynomial, factors: Factors) -> Polynomial | None:
    """Multiplies a bracket by the common factor before it is squared."""
    square = len(factors) == 2 and factors[0] == factors[1] and outside != Polynomial.constant(1)
    return outside * join_factors(outside, factors) if square else None


@pattern(
    source="Theba, Pournara and Takker 2024",
    shows=(
        "simplify | x - (x + 4) | -x^2 - 4x",
        "simplify | 3 - (x + 2) | -3x - 6",
    ),
    silent=(
        "simplify | x - (x + 4) | -4",
        "simplify | 3 - (x + 2) | 1 - x",
    ),
)
@instead_of(add)
def bracket_read_as_factor(place: Sum) -> Node | None:
    """Reads a bracket after a minus as multiplied by what stands before it."""
    if len(place.terms) != 2:
        return None
    first, second = place.terms
    if not isinstance(second, Negation) or not isinstance(second.argument, Sum):
        return None
    return product_of(first, second)
