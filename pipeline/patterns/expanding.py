"""Errors in multiplying sums and in raising them to powers."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients, added, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Negation, Node, Power, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO, Equation
from pipeline.procedures.operations import copy_equation
from pipeline.procedures.radical_equations import (
    Radical,
    Sides,
    TwoRadicals,
    square_sides,
    square_two,
)
from pipeline.procedures.rewriting.operations import multiply, raise_to_power
from pipeline.procedures.rewriting.terms import (
    factors_of,
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
from pipeline.procedures.walk import Choices, Place, needed


def exponent_of(place: Power) -> int:
    """The exponent of a power of a sum, 0 for every other power."""
    if not isinstance(place.base, Sum):
        return 0
    found = whole(place.exponent)
    return found if found is not None and 2 <= found <= 9 else 0


def _spread(place: Power, exponent: int) -> Node:
    return sum_of(*(Power(term, number(exponent)) for term in terms_of(place.base)))


@pattern(
    source="Anderson 1982; OpenStax Elementary Algebra 2e, 9.4; Matz 1980 (from memory)",
    shows=(
        "expand | (3x - 4)^2 | 9x^2 + 16",
        "expand | (x + 5)^2 | x^2 + 25",
        "evaluate | (3 + 4)^2 | 25",
        "solve | (x + 3)^2 = 2x + 14 | 1 ± sqrt(6)",
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 10",
        "function | f(x) = x^2; f(a + h) | a^2 + h^2",
    ),
    silent=(
        "solve | (x + 3)^2 = 2x + 14 | 1, -5",
        "expand | (3x - 4)^2 | 9x^2 - 24x + 16",
        "expand | (3x - 4)^2 | 9x^2 - 12x + 16",
        "evaluate | (3 + 4)^2 | 49",
        "function | f(x) = x^2; f(a + h) | a^2 + 2ah + h^2",
    ),
)
@instead_of(raise_to_power)
def square_spread_over_sum(place: Power) -> Node | None:
    """Squares each term of a sum and leaves out the middle term."""
    return _spread(place, 2) if exponent_of(place) == 2 else None


@square_spread_over_sum.also(
    square_sides,
    Place.RADICAL_EQUATION,
    shows=("solve | sqrt(2x + 1) = x + 1 | 0, 2", "solve | sqrt(3x + 1) = x - 3 | 5, -2"),
    silent=("solve | sqrt(2x + 1) = x + 1 | 0",),
)
def _middle_term_lost(k: Surd, inside: Coefficients, other: Coefficients) -> Choices | None:
    if len(other) != 2 or not other[0]:
        return None
    ends = _squared_with_signs(other[0])
    return Choices((scaled(inside, k * k), (end, ZERO, other[1] * other[1])) for end in ends)


def _squared_with_signs(last: Surd) -> tuple[Surd, ...]:
    """The square of a last term; behind a minus sign also with that sign kept."""
    return (last * last,) if last.real_sign() > 0 else (last * last, -last * last)


@square_spread_over_sum.also(
    copy_equation,
    Place.SQUARE_ROOT,
    shows=("solve | (x - 2)^2 = 9 | ±sqrt(13)", "solve | (x + 3)^2 = 25 | 4, -4"),
    silent=("solve | (x - 2)^2 = 9 | 5, -1", "solve | x^2 = 9 | 3, -3"),
)
def _square_in_equation_spread(equation: Equation) -> Choices | None:
    square = equation.square
    if square is None or not square.q:
        return None
    scale, p, q, rest = square
    right = equation.right[2] - rest
    return Choices(
        Equation((scale * p * p, ZERO, ZERO), (ZERO, ZERO, right - scale * end))
        for end in _squared_with_signs(q)
    )


@square_spread_over_sum.also(square_two, Place.RADICAL_EQUATION)
def _two_radicals_squared_apart(start: TwoRadicals) -> Radical | None:
    if not start.constant:
        return None
    square = (start.constant * start.constant,)
    rest = added(square, start.second if start.side == -1 else scaled(start.second, Surd.of(-1)))
    return Radical(Surd.of(0), (), rest, start.first)


@pattern(
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
    exponent = exponent_of(place)
    return _spread(place, exponent) if exponent > 2 else None


@power_spread_over_sum.also(
    raise_to_power,
    shows=("simplify | (x + y)^(-1) | 1/x + 1/y", "simplify | (a + b)^(-2) | a^(-2) + b^(-2)"),
    silent=("simplify | (x + y)^(-1) | 1/(x + y)", "simplify | (xy)^(-1) | 1/x * 1/y"),
)
def _negative_power_spread(place: Power) -> Node | None:
    """Raises each term of a sum to the negative power."""
    exponent = whole(place.exponent)
    found = isinstance(place.base, Sum) and exponent is not None and -9 <= exponent < 0
    return _spread(place, exponent) if found and exponent else None


def two_terms(place: Power) -> tuple[Node, Node] | None:
    """The two terms of a binomial that is squared."""
    if exponent_of(place) != 2:
        return None
    terms = terms_of(place.base)
    return (terms[0], terms[1]) if len(terms) == 2 else None


@pattern(
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
    terms = two_terms(place)
    if terms is None or not isinstance(terms[1], Negation) or isinstance(terms[0], Negation):
        return None
    return sum_of(power(terms[0], 2), negative(power(terms[1].argument, 2)))


def parts_of_square(place: Power) -> tuple[Node, Node, Node] | None:
    """The three terms u^2, u*v and v^2 of a squared binomial, not doubled yet."""
    terms = two_terms(place)
    if terms is None:
        return None
    first, second = terms
    return power(signed(first)[1], 2), product_of(first, second), power(second, 2)


@pattern(
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
    parts = parts_of_square(place)
    return sum_of(*parts) if parts else None


@middle_term_not_doubled.also(square_sides, Place.RADICAL_EQUATION)
def _middle_term_once(k: Surd, inside: Coefficients, other: Coefficients) -> Sides | None:
    if len(other) != 2 or not other[0]:
        return None
    return scaled(inside, k * k), (other[0] * other[0], other[0] * other[1], other[1] * other[1])


def double(node: Node) -> Node:
    """Return twice an expression."""
    return product_of(number(2), node)


@pattern(
    source="Dawkins 2006; Scofield 2003 (the power of a product); from memory",
    shows=(
        "expand | (4x + 2)^2 | 4x^2 + 16x + 4",
        "expand | (3x + 2)^2 | 3x^2 + 12x + 4",
        "expand | (x + 2y)^2 | x^2 + 4xy + 2y^2",
    ),
    silent=(
        "expand | (4x + 2)^2 | 16x^2 + 16x + 4",
        "expand | (x + 2)^2 | x^2 + 2x + 4",
    ),
)
@instead_of(raise_to_power)
def coefficient_not_squared(place: Power) -> Choices | None:
    """Squares the letter of a term and leaves its coefficient as it is."""
    parts, terms = parts_of_square(place), two_terms(place)
    if parts is None or terms is None:
        return None
    splits = [split_coefficient(signed(one)[1]) for one in terms]
    first, last = (one and product_of(one[0], power(one[1], 2)) for one in splits)
    ways = ((first, parts[2]), (parts[0], last))
    return Choices(sum_of(a, double(parts[1]), b) for a, b in ways if a and b)


@coefficient_not_squared.also(raise_to_power, late=True)
def _coefficient_of_term_not_squared(place: Power) -> Node | None:
    split = split_coefficient(signed(place.base)[1])
    if split is None or whole(place.exponent) != 2 or not isinstance(split[1], Letter):
        return None
    return product_of(split[0], power(split[1], 2))


@pattern(
    source="Slavit 2006 (power taken as a multiple); from memory",
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
    parts, terms = parts_of_square(place), two_terms(place)
    if parts is None or terms is None:
        return None
    return sum_of(parts[0], double(parts[1]), double(signed(terms[1])[1]))


@pattern(
    source="Pinchback 1991 (label 4 of Otero, Druga and Lan 2024)",
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
    found = needed(two_terms(place))
    return sum_of(Power(found[0], number(2)), found[1])


def brackets_of(place: Product) -> list[tuple[Node, ...]]:
    """The terms of each bracket in a product of nothing but brackets; none in another."""
    factors = factors_of(place)
    alone = all(isinstance(factor, Sum) for factor in factors)
    return [terms_of(factor) for factor in factors] if alone else []


def binomials(place: Product) -> tuple[Node, Node, Node, Node] | None:
    """The four terms of a product of two binomials."""
    match brackets_of(place):
        case [(a, b), (c, d)]:
            return a, b, c, d
    return None


@pattern(
    source="Demby 1997 (from memory)",
    shows=(
        "expand | (2x + 2)(2x - 4) | 4x^2 - 8",
        "expand | (x + 3)(x + 4) | x^2 + 12",
        "expand | (x + 3)(x^2 - 2x + 1) | x^3 + 3",
        "expand | (x + 1)(x + 2)(x + 3) | x^3 + 6",
    ),
    silent=(
        "expand | (2x + 2)(2x - 4) | 4x^2 - 4x - 8",
        "expand | (x + 3)(x - 3) | x^2 - 9",
    ),
)
@instead_of(multiply)
def first_and_last_only(place: Product) -> Node | None:
    """Multiplies the first terms and the last terms of two brackets and nothing else."""
    ends = [(terms[0], terms[-1]) for terms in brackets_of(place)]
    return sum_of(*(product_of(*terms) for terms in zip(*ends, strict=True))) if ends else None


@pattern(
    source="common practice",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 4x + 12",
        "expand | (2x - 5)(x + 6) | 2x^2 - 5x - 30",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x + 3)(x + 4) | x^2 + 12",
    ),
)
@instead_of(multiply)
def cross_term_left_out(place: Product) -> Choices | None:
    """Forgets one of the two middle products when two brackets are multiplied."""
    a, b, c, d = needed(binomials(place))
    outer, inner = product_of(a, d), product_of(b, c)
    return Choices(sum_of(product_of(a, c), kept, product_of(b, d)) for kept in (outer, inner))


@pattern(
    source="from memory",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 12x + 7",
        "expand | (x - 2)(x + 6) | x^2 - 12x + 4",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x - 2)(x + 6) | x^2 + 4x - 12",
    ),
)
@instead_of(multiply)
def sum_and_product_swapped(place: Product) -> Node | None:
    """Multiplies two constants for the middle term and adds them for the last one."""
    found = binomials(place)
    if found is None or found[0] != found[2]:
        return None
    letter, first, _, second = found
    return sum_of(power(letter, 2), product_of(first, second, letter), first, second)


@pattern(
    source="from memory",
    shows=(
        "expand | (x + 2)(x + 5) | x^2 + 7x + 7",
        "expand | (2x - 3)(x + 4) | 2x^2 + 5x + 1",
    ),
    silent=(
        "expand | (x + 2)(x + 5) | x^2 + 7x + 10",
        "expand | (x + 2)(x + 2) | x^2 + 4x + 4",
    ),
)
@instead_of(multiply)
def last_terms_added(place: Product) -> Node | None:
    """Adds the last terms of two brackets where they are to be multiplied."""
    a, b, c, d = needed(binomials(place))
    return sum_of(product_of(a, c), product_of(a, d), product_of(b, c), b, d)


@pattern(
    source="from memory",
    shows=(
        "expand | (x + 2)(x + 5) | 2x + 7",
        "expand | (3x - 1)(x + 4) | 4x + 3",
    ),
    silent=(
        "expand | (x + 2)(x + 5) | x^2 + 7x + 10",
        "expand | 2(x + 5) | x + 7",
    ),
)
@instead_of(multiply)
def brackets_added(place: Product) -> Node | None:
    """Adds two brackets that are to be multiplied."""
    return sum_of(*factors_of(place)) if len(brackets_of(place)) == 2 else None


@pattern(
    source="from memory",
    shows=(
        "expand | (x - 3)(x + 3) | x^2 - 6x + 9",
        "expand | (2x + 5)(2x - 5) | 4x^2 + 20x + 25",
    ),
    silent=(
        "expand | (x - 3)(x + 3) | x^2 - 9",
        "expand | (x - 3)(x - 3) | x^2 - 6x + 9",
    ),
)
@instead_of(multiply)
def conjugates_multiplied_as_square(place: Product) -> Choices | None:
    """Takes the product of a sum and the same difference for the square of one of them."""
    if _ends_of_conjugates(place) is None:
        return None
    return Choices(Power(factor, number(2)) for factor in place.factors)


@pattern(
    source="from memory",
    shows=(
        "expand | (x - 3)(x + 3) | x^2 + 9",
        "expand | (2x + 5)(2x - 5) | 4x^2 + 25",
    ),
    silent=(
        "expand | (x - 3)(x + 3) | x^2 - 9",
        "expand | (x - 3)(x - 3) | x^2 + 9",
    ),
)
@instead_of(multiply)
def conjugates_give_sum(place: Product) -> Node | None:
    """Writes a plus between the squares in the product of a sum and the same difference."""
    ends = _ends_of_conjugates(place)
    return ends and sum_of(*(power(one, 2) for one in ends))


def _ends_of_conjugates(place: Product) -> tuple[Node, Node] | None:
    found = binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    opposite = isinstance(b, Negation) != isinstance(d, Negation)
    return (a, signed(b)[1]) if a == c and signed(b)[1] == signed(d)[1] and opposite else None


@coefficient_not_squared.also(
    multiply,
    shows=("expand | (3x - 1)(3x + 1) | 3x^2 - 1", "expand | (2x + 5)(2x - 5) | 2x^2 - 25"),
    silent=("expand | (3x - 1)(3x + 1) | 9x^2 - 1", "expand | (x - 5)(x + 5) | x^2 - 25"),
)
def _coefficient_in_conjugates_not_squared(place: Product) -> Node:
    first, last = needed(_ends_of_conjugates(place))
    coefficient, letter = needed(split_coefficient(first))
    return sum_of(product_of(coefficient, power(letter, 2)), negative(power(last, 2)))


@pattern(
    source="from memory",
    shows=(
        "expand | (2x + 3)(5x + 1) | 7x^2 + 17x + 3",
        "expand | (3x - 2)(4x + 1) | 7x^2 - 5x - 2",
    ),
    silent=(
        "expand | (2x + 3)(5x + 1) | 10x^2 + 17x + 3",
        "expand | (x + 3)(x + 1) | x^2 + 4x + 3",
    ),
)
@instead_of(multiply)
def coefficients_not_multiplied(place: Product) -> Node | None:
    """Adds the coefficients of the first terms of two brackets instead of multiplying them."""
    a, b, c, d = needed(binomials(place))
    one, two = split_coefficient(a), split_coefficient(c)
    if one is None or two is None or one[1] != two[1]:
        return None
    first = product_of(sum_of(one[0], two[0]), power(one[1], 2))
    return sum_of(first, product_of(a, d), product_of(b, c), product_of(b, d))


@pattern(
    source="common practice",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 4x + 3",
        "expand | (2x - 5)(x + 6) | 2x^2 + 12x - 5",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x + 3)(x + 4) | x^2 + 4x + 12",
    ),
)
@instead_of(multiply)
def second_bracket_meets_first_term_only(place: Product) -> Node | None:
    """Multiplies the second bracket by the first term of the first one only."""
    match brackets_of(place):
        case [(first, *rest), second]:
            return sum_of(*(product_of(first, term) for term in second), *rest)
    return None


def _cubed(place: Power) -> tuple[Node, Node] | None:
    if not isinstance(place.base, Sum) or whole(place.exponent) != 3:
        return None
    terms = terms_of(place.base)
    return (terms[0], terms[1]) if len(terms) == 2 else None


@pattern(
    source="common practice",
    shows=(
        "expand | (x + 2)^3 | x^3 + 2x^2 + 4x + 8",
        "expand | (x - 1)^3 | x^3 - x^2 + x - 1",
    ),
    silent=(
        "expand | (x + 2)^3 | x^3 + 6x^2 + 12x + 8",
        "expand | (x + 2)^3 | x^3 + 8",
    ),
)
@instead_of(raise_to_power)
def cube_coefficients_left_out(place: Power) -> Node | None:
    """Leaves out the factor 3 of the middle terms of a cube."""
    u, v = needed(_cubed(place))
    middle = (product_of(power(u, 2), v), product_of(u, power(v, 2)))
    return sum_of(power(u, 3), *middle, power(v, 3))


@pattern(
    source="common practice",
    shows=(
        "expand | (x + 2)^3 | x^2 + 4x + 4",
        "evaluate | 4^3 | 16",
    ),
    silent=(
        "expand | (x + 2)^3 | x^3 + 6x^2 + 12x + 8",
        "evaluate | 4^2 | 16",
    ),
)
@instead_of(raise_to_power)
def cube_worked_as_square(place: Power) -> Node | None:
    """Multiplies two factors instead of three."""
    return Power(place.base, number(2)) if whole(place.exponent) == 3 else None
