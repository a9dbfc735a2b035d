"""Errors with fractions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations
from math import gcd, isqrt, lcm

from pipeline.exact.coefficients import Coefficients, added, multiplied, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import MixedNumber, Node, Product, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import add_square, carry_constant
from pipeline.procedures.rational_equations import Term, cross_multiply, fourth_term
from pipeline.procedures.rewriting.operations import add, divide, multiply
from pipeline.procedures.rewriting.terms import ONE as ONE_NODE
from pipeline.procedures.rewriting.terms import (
    as_fraction,
    canonical,
    difference,
    factors_of,
    fraction_parts,
    monomial,
    number,
    over,
    product_of,
    signed,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import NO_SOLUTION, Choices, Ending, Place, needed
from pipeline.tasks.convert import Conversion, rescale


@pattern(
    source="Otero, Druga and Lan 2024 (label 10)",
    shows=(
        "evaluate | 2 + 3/4 | 5/4",
        "simplify | 5 - 2/3 | 1",
    ),
    silent=(
        "evaluate | 2 + 3/4 | 11/4",
        "evaluate | 1/4 + 3/4 | 1",
    ),
)
@instead_of(add)
def whole_number_added_to_numerator(place: Sum) -> Node | None:
    """Adds a whole number to the numerator of a fraction, or subtracts it there."""
    parts = [as_fraction(term) for term in terms_of(place)]
    below = [bottom for _, bottom in parts if bottom != ONE_NODE]
    if len(parts) != 2 or len(below) != 1:
        return None
    return Quotient(sum_of(*(top for top, _ in parts)), below[0])


@whole_number_added_to_numerator.also(
    rescale,
    Place.CONVERSION,
    shows=(
        "convert | 2 1/3 to improper fraction | 3/3",
        "convert | 3 2/5 to improper fraction | 5/5",
    ),
    silent=("convert | 2 1/3 to improper fraction | 7/3",),
)
def _whole_added_unscaled(start: Conversion) -> Surd | None:
    """Adds the whole number of a mixed number to the numerator."""
    if not start.mixed or start.target == "mixed":
        return None
    whole, above, below = start.mixed
    return Surd.of(Fraction(whole + above, below))


@pattern(
    source="common practice",
    shows=(
        "evaluate | (3/7)*(2/7) | 6/7",
        "evaluate | (1/5)*(4/5) | 4/5",
    ),
    silent=(
        "evaluate | (3/7)*(2/7) | 6/49",
        "evaluate | 3/7 + 2/7 | 5/7",
    ),
)
@instead_of(multiply)
def common_denominator_kept_in_product(place: Product) -> Node | None:
    """Keeps a common denominator when fractions are multiplied, as in adding them."""
    parts = [as_fraction(factor) for factor in factors_of(place)]
    below = {bottom for _, bottom in parts}
    if len(parts) < 2 or len(below) != 1 or ONE_NODE in below:
        return None
    return Quotient(product_of(*(top for top, _ in parts)), below.pop())


@pattern(
    source="common practice",
    shows=(
        "evaluate | 4/8 | 2",
        "simplify | 3/12 | 4",
    ),
    silent=(
        "evaluate | 4/8 | 1/2",
        "evaluate | 8/4 | 2",
    ),
)
@instead_of(divide)
def division_turned_round(place: Quotient) -> Node | None:
    """Divides the larger number by the smaller one, whichever stands first."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or abs(top) in (1, abs(below)) or below % top:
        return None
    return Quotient(place.denominator, place.numerator)


def _divided(place: Quotient) -> tuple[Node, Node, Node, Node] | None:
    """Both parts of the fractions in a division, where one at least is a fraction."""
    if fraction_parts(place.numerator) is None and fraction_parts(place.denominator) is None:
        return None
    return (*as_fraction(place.numerator), *as_fraction(place.denominator))


@pattern(
    source="Ashlock 2006 (related: parts divided apart); common practice",
    shows=(
        "simplify | (4/7) / (10/9) | 40/63",
        "evaluate | (2/3)/(4/5) | 8/15",
    ),
    silent=(
        "simplify | (4/7) / (10/9) | 18/35",
        "simplify | (4/7) * (10/9) | 40/63",
    ),
)
@instead_of(divide)
def divided_without_inverting(place: Quotient) -> Node | None:
    """Multiplies two fractions that are to be divided, and turns none of them over."""
    a, b, c, d = needed(_divided(place))
    return over(product_of(a, c), product_of(b, d))


@pattern(
    source="Ashlock 2006",
    shows=(
        "simplify | (1/11) / (11/9) | 121/9",
        "evaluate | (2/3)/(4/5) | 6/5",
    ),
    silent=(
        "simplify | (1/11) / (11/9) | 9/121",
        "simplify | (1/11) / (11/9) | 1/9",
    ),
)
@instead_of(divide)
def wrong_fraction_inverted(place: Quotient) -> Node | None:
    """Turns over the first fraction instead of the second."""
    a, b, c, d = needed(_divided(place))
    return over(product_of(b, c), product_of(a, d))


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | (7/5)/(3/2) | 1",
        "evaluate | (9/8)/(2/3) | 2",
    ),
    silent=(
        "evaluate | (7/5)/(3/2) | 14/15",
        "evaluate | (8/9)/(2/3) | 4/3",
    ),
)
@instead_of(divide)
def divided_part_by_part(place: Quotient) -> Node | None:
    """Divides numerator by numerator and denominator by denominator and drops remainders."""
    found = needed(_divided(place))
    a, b, c, d = (whole(part) for part in found)
    if not (a and b and c and d) or a // c == 0 or b // d == 0:
        return None
    return Quotient(number(a // c), number(b // d))


@pattern(
    source="Ashlock 2006 (related: the same in multiplying); common practice",
    shows=(
        "evaluate | (6/8)/2 | 3/4",
        "simplify | ((6x)/9)/3 | (2x)/3",
    ),
    silent=(
        "evaluate | (6/8)/2 | 3/8",
        "evaluate | (5/8)/2 | 5/8",
        "evaluate | (6/8)/(2/3) | 9/8",
    ),
)
@instead_of(divide)
def whole_number_divides_both_parts(place: Quotient) -> Node | None:
    """Divides both parts of a fraction by a whole number that it is to be divided by."""
    parts, divisor = fraction_parts(place.numerator), whole(place.denominator)
    if parts is None or divisor is None or abs(divisor) < 2:
        return None
    top, below = (monomial(part) for part in parts)
    if top is None or below is None:
        return None
    numbers = [one.coefficient / divisor for one in (top, below)]
    if not all(one.is_integer for one in numbers):
        return None
    return over(
        top._replace(coefficient=numbers[0]).tree(), below._replace(coefficient=numbers[1]).tree()
    )


@pattern(
    source="Ashlock 2006",
    shows=(
        "simplify | 6/8 | 3/8",
        "simplify | 15/20 | 3/20",
    ),
    silent=(
        "simplify | 6/8 | 3/4",
        "simplify | 6/8 | 2/8",
    ),
)
@instead_of(divide)
def one_part_reduced(place: Quotient) -> Choices | None:
    """Divides only the numerator or only the denominator by a common factor."""
    return _reduced_in_part(whole(place.numerator), whole(place.denominator))


def _reduced_in_part(top: int | None, below: int | None) -> Choices | None:
    if not top or not below:
        return None
    common = gcd(top, below)
    return Choices(
        number(value)
        for factor in range(2, min(common, 200) + 1)
        if common % factor == 0
        for value in (Fraction(top // factor, below), Fraction(top, below // factor))
    )


@one_part_reduced.also(
    multiply,
    shows=("evaluate | 3/8 * 4 | 3/8", "evaluate | 3/8 * 4 | 12/2"),
    silent=("evaluate | 3/8 * 4 | 3/2", "evaluate | 3/7 * 4 | 3/7"),
)
def _product_reduced_in_part(place: Product) -> Choices | None:
    times, top, below = needed(_whole_number_and_fraction(place))
    return _reduced_in_part(whole(product_of(times, top)), whole(below))


@one_part_reduced.also(
    fourth_term,
    Place.PROPORTION,
    shows=("solve | x/6 = 4/8 | 3/2", "solve | 6/9 = x/12 | 8/3"),
    silent=("solve | x/6 = 4/8 | 3", "solve | 6/9 = x/12 | 8"),
)
def _other_fraction_reduced_in_part(beside: Surd, level: Surd, across: Surd) -> Choices | None:
    if not (level.is_integer and across.is_integer):
        return None
    common = gcd(*(int(one.as_fraction()) for one in (level, across)))
    primes = [one for one in (2, 3, 5, 7, 11, 13) if common % one == 0]
    return Choices(
        found
        for one in primes
        for found in (beside * (level / one) / across, beside * level / (across / one))
    )


_PERCENT = 100


@pattern(
    source="common practice",
    shows=(
        "evaluate | 6/0 | 0",
        "evaluate | 6/0 | 6",
        "evaluate | x/(x - 3) at x = 3 | 0",
    ),
    silent=(
        "evaluate | 6/0 | undefined",
        "evaluate | 0/6 | 0",
    ),
)
@instead_of(divide, Place.EVALUATE)
def value_given_for_division_by_zero(place: Quotient) -> Choices | None:
    """Gives a value where something is divided by zero: 0, or the number that is divided."""
    divided = whole(place.denominator) == 0 and value_of(place.numerator)
    return Choices((number(0), place.numerator)) if divided else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | 0/6 | undefined",
        "evaluate | (x - 3)/x at x = 3 | undefined",
    ),
    silent=(
        "evaluate | 0/6 | 0",
        "evaluate | 6/0 | undefined",
    ),
)
@instead_of(divide, Place.EVALUATE)
def zero_divided_called_undefined(place: Quotient) -> Ending | None:
    """Says that zero cannot be divided by a number."""
    divided = whole(place.numerator) == 0 and value_of(place.denominator)
    return Ending(NO_SOLUTION) if divided else None


def _part_of_whole(place: Product) -> tuple[Node, Node, Node] | None:
    """A whole number and the parts of a fraction that it is multiplied by."""
    found = _whole_number_and_fraction(place)
    return found if found and (whole(found[1]) or 0) > 1 else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | 3/4 of 20 | 60",
        "evaluate | 3/4 of 20 | 5",
    ),
    silent=(
        "evaluate | 3/4 of 20 | 15",
        "evaluate | 1/4 of 20 | 5",
    ),
)
@instead_of(multiply, Place.EVALUATE)
def one_part_of_fraction_used(place: Product) -> Choices | None:
    """Multiplies by the numerator alone, or divides by the denominator alone."""
    found = _part_of_whole(place)
    if found is None or whole(found[2]) == _PERCENT:
        return None
    times, top, below = found
    return Choices((product_of(times, top), Quotient(times, below)))


@pattern(
    source="common practice",
    shows=(
        "evaluate | 3/4 of 20 | 80/3",
        "evaluate | 2/3 of 12 | 18",
    ),
    silent=(
        "evaluate | 3/4 of 20 | 15",
        "evaluate | 12/(2/3) | 18",
    ),
)
@instead_of(multiply, Place.EVALUATE)
def divided_by_fraction_instead(place: Product) -> Node | None:
    """Divides a number by the fraction that it is to be multiplied by."""
    found = _part_of_whole(place)
    return None if found is None else Quotient(product_of(found[0], found[2]), found[1])


@pattern(
    source="Ashlock 2006 (label 6 of Otero, Druga and Lan 2024)",
    shows=(
        "simplify | 9/16 | 3/4",
        "simplify | 4/25 | 2/5",
    ),
    silent=(
        "simplify | 9/12 | 3/4",
        "simplify | 4/8 | 1/2",
    ),
)
@instead_of(divide)
def roots_taken_of_both_parts(place: Quotient) -> Node | None:
    """Takes the roots of numerator and denominator for a reduced fraction."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or min(top, below) < 1 or below == 1:
        return None
    if isqrt(top) ** 2 != top or isqrt(below) ** 2 != below:
        return None
    return Quotient(number(isqrt(top)), number(isqrt(below)))


def _across(one: Surd, two: Surd) -> Surd | None:
    if not (one.is_rational and two.is_rational) or one.denominator == two.denominator == 1:
        return None
    if not (one and two):
        return None
    top = one * one.denominator + two * two.denominator
    return top / (one.denominator + two.denominator)


@pattern(
    source="Ashlock 2006; Brown and Quinn 2006",
    shows=(
        "solve | x^2 + 13x = 16 | x = -13/2 ± √(37)",
        "solve | x - 1/2 = 5/6 | 3/4",
        "solve | x/6 + x/4 = 2 | 10",
        "solve | x/3 + x/5 = 1 | 4",
        "evaluate | 3 1/2 + 1 1/4 | 4 2/6",
    ),
    silent=(
        "solve | x^2 + 13x = 16 | -13/2 ± sqrt(233)/2",
        "solve | x - 1/2 = 5/6 | 4/3",
        "solve | x/6 + x/4 = 2 | 24/5",
        "solve | x/6 = 2 | 10",
        "evaluate | 3 1/2 + 1 1/4 | 4 3/4",
    ),
)
@instead_of(add_square, Place.COMPLETING_THE_SQUARE)
def fractions_added_across(right: Surd, added: Surd) -> Surd | None:
    """Adds fractions by adding the numerators and adding the denominators."""
    return _across(right, added)


@fractions_added_across.also(carry_constant, Place.LINEAR)
def _constants_added_across(here: Surd, there: Surd) -> Surd | None:
    return _across(here, -there)


_MOST_TERMS = 4


def _fraction_terms(place: Sum) -> list[tuple[Node, Node]] | None:
    """The terms of a sum as numerators and denominators, where one at least is a fraction."""
    parts = [as_fraction(term) for term in terms_of(place)]
    return (
        parts
        if 2 <= len(parts) <= _MOST_TERMS and any(below != ONE_NODE for _, below in parts)
        else None
    )


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


def _whole_parts(place: Sum) -> list[tuple[int, int]] | None:
    parts = _fraction_terms(place)
    if parts is None:
        return None
    found = [(whole(top), whole(below)) for top, below in parts]
    plain = [(top, below) for top, below in found if top is not None and below]
    return plain if len(plain) == len(found) else None


@fractions_added_across.also(
    add,
    shows=("simplify | 7/9 - 1/3 | 1", "simplify | 2/(x + 1) - 3/(x - 1) | -1/2"),
    silent=("simplify | 7/9 - 1/3 | 4/9", "simplify | 3/x - 1/x | 2/x"),
)
def _subtracted_across(place: Sum) -> Choices | None:
    parts = _fraction_terms(place)
    if parts is None or len(parts) != 2 or signed(parts[1][0])[0] > 0:
        return Choices(_in_two_fractions(place, _subtracted_across))
    (above, below), (other_above, other_below) = parts
    left = canonical(difference(below, other_below))
    return None if left == number(0) else Choices((Quotient(sum_of(above, other_above), left),))


@fractions_added_across.also(cross_multiply, Place.RATIONAL_EQUATION)
def _tops_over_bottoms(terms: tuple[Term, ...]) -> Coefficients | None:
    left = [term for term in terms if term.side == 1]
    right = [term for term in terms if term.side == -1]
    if len(left) != 2 or len(right) != 1:
        return None
    above = added(left[0].above, left[1].above)
    below = added(left[0].below, left[1].below)
    crossed = multiplied(right[0].above, below)
    return added(multiplied(above, right[0].below), scaled(crossed, Surd.of(-1)))


def _unscaled(one: Surd, two: Surd) -> Surd | None:
    if not (one.is_rational and two.is_rational) or one.denominator == two.denominator:
        return None
    common = lcm(one.denominator, two.denominator)
    return (one * one.denominator + two * two.denominator) / common


@pattern(
    source="Ashlock 2006",
    shows=(
        "solve | x^2 - 9x = 15 | x=9/2 + 2sqrt(6) or x=9/2 - 2sqrt(6)",
        "solve | x + 1/4 = 2 | 1/4",
    ),
    silent=(
        "solve | x^2 - 9x = 15 | 9/2 ± sqrt(141)/2",
        "solve | x + 1/4 = 2 | 7/4",
    ),
)
@instead_of(add_square, Place.COMPLETING_THE_SQUARE)
def numerator_not_rescaled(right: Surd, added: Surd) -> Surd | None:
    """Puts a number over the common denominator without scaling its numerator."""
    return _unscaled(right, added)


@numerator_not_rescaled.also(carry_constant, Place.LINEAR)
def _constant_not_rescaled(here: Surd, there: Surd) -> Surd | None:
    return _unscaled(here, -there)


def _letters_below(place: Sum) -> Choices | None:
    parts = _fraction_terms(place)
    if parts is None or len({below for _, below in parts}) == 1:
        return None
    top = sum_of(*(top for top, _ in parts))
    below = product_of(*(bottom for _, bottom in parts))
    return Choices((Quotient(top, below), *_in_two_fractions(place, _tops_kept)))


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


@pattern(
    source="common practice",
    shows=(
        "evaluate | 1/2 + 1/3 | 1/6",
        "simplify | x/2 + x/5 | x^2/10",
    ),
    silent=(
        "evaluate | 1/2 + 1/3 | 5/6",
        "evaluate | 1/2 * 1/3 | 1/6",
    ),
)
@instead_of(add)
def fractions_multiplied_where_added(place: Sum) -> Node | None:
    """Multiplies fractions that are to be added."""
    parts = [fraction_parts(term) for term in terms_of(place)]
    if len(parts) != 2 or any(one is None for one in parts):
        return None
    return product_of(*terms_of(place))


@pattern(
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
    times, top, below = needed(_whole_number_and_fraction(place))
    return Quotient(product_of(times, top), product_of(times, below))


@whole_number_multiplies_both_parts.also(
    divide,
    shows=("evaluate | 6*3/11 | 18/66", "simplify | 3*x/4 | (3x)/12"),
    silent=("evaluate | 6*3/11 | 18/11",),
)
def _factor_above_multiplies_both_parts(place: Quotient) -> Node | None:
    factors = factors_of(place.numerator)
    if len(factors) != 2 or any(whole(one) is None for one in (factors[0], place.denominator)):
        return None
    return Quotient(place.numerator, product_of(factors[0], place.denominator))


@pattern(
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
    source="Brown and Quinn 2006 (related: tops and bottoms added); common practice",
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
    if len({top for top, _ in parts}) > 1 or any(below == ONE_NODE for _, below in parts):
        return Choices(_in_two_fractions(place, denominators_added.moves[0].version))
    return Choices((Quotient(parts[0][0], sum_of(*(below for _, below in parts))),))


@pattern(
    source="common practice",
    shows=(
        "evaluate | (1/2) * (2/3) | 3/5",
        "simplify | (3/4)(1/5) | 4/9",
    ),
    silent=(
        "evaluate | (1/2) * (2/3) | 1/3",
        "evaluate | 1/2 + 2/3 | 3/5",
    ),
)
@instead_of(multiply)
def fractions_added_across_in_product(place: Product) -> Node | None:
    """Adds numerators and denominators of fractions that are to be multiplied."""
    parts = [fraction_parts(factor) for factor in factors_of(place)]
    if len(parts) != 2 or any(one is None for one in parts):
        return None
    above, below = zip(*(one for one in parts if one is not None), strict=True)
    return over(sum_of(*above), sum_of(*below))


@pattern(
    source="Otero, Druga and Lan 2024 (related: label 12); common practice",
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


def _parts(node: Node) -> tuple[int, int, int] | None:
    """A whole number with a fraction behind it, as whole, numerator and denominator."""
    if isinstance(node, MixedNumber):
        before, behind = node.terms
    elif isinstance(node, Quotient):
        before, behind = number(0), node
    else:
        return None
    found = fraction_parts(behind)
    if found is None:
        return None
    parts = whole(before), whole(found[0]), whole(found[1])
    return parts if all(part is not None for part in parts) else None  # type: ignore[return-value]


def _subtracted(place: Sum) -> tuple[Node, Node] | None:
    """Both numbers of a difference."""
    if len(place.terms) != 2:
        return None
    (sign, first), (minus, second) = (signed(term) for term in place.terms)
    return (first, second) if (sign, minus) == (1, -1) else None


@pattern(
    source="Ashlock 2006 (label 11 of Otero, Druga and Lan 2024)",
    shows=(
        "evaluate | 5 3/4 - 2 1/2 | 4",
        "evaluate | 9 1/6 - 3 5/8 | 8",
    ),
    silent=(
        "evaluate | 5 3/4 - 2 1/2 | 3 1/4",
        "evaluate | 5 3/4 + 2 1/2 | 9",
    ),
)
@instead_of(add)
def mixed_number_subtracted_part_by_part(place: Sum) -> Node | None:
    """Subtracts wholes, numerators and denominators apart, each smaller number from the larger."""
    found = _subtracted(place)
    first, second = (_parts(node) for node in found) if found else (None, None)
    if not first or not second or first[2] == second[2] or not (first[0] and second[0]):
        return None
    before, top, below = (abs(one - two) for one, two in zip(first, second, strict=True))
    return sum_of(number(before), Quotient(number(top), number(below)))


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | 8 1/3 - 2 2/3 | 6 1/3",
        "evaluate | 6 1/5 - 3/5 | 6 2/5",
    ),
    silent=(
        "evaluate | 8 1/3 - 2 2/3 | 5 2/3",
        "evaluate | 8 2/3 - 2 1/3 | 6 2/3",
    ),
)
@instead_of(add)
def smaller_fraction_from_larger(place: Sum) -> Node | None:
    """Takes the smaller fraction of two mixed numbers from the larger, whichever stands first."""
    found = _subtracted(place)
    first, second = (_parts(node) for node in found) if found else (None, None)
    if not first or not second or not first[0]:
        return None
    turned = second[1] * first[2] - first[1] * second[2]
    if turned <= 0:
        return None
    behind = Quotient(number(turned), number(first[2] * second[2]))
    return sum_of(number(first[0] - second[0]), behind)


@pattern(
    source="Ashlock 2006 (label 10 of Otero, Druga and Lan 2024)",
    shows=(
        "evaluate | 7 - 2 1/3 | 5 1/3",
        "evaluate | 4 - 3/8 | 4 3/8",
    ),
    silent=(
        "evaluate | 7 - 2 1/3 | 4 2/3",
        "evaluate | 7 + 2 1/3 | 9 1/3",
    ),
)
@instead_of(add)
def fraction_carried_over_in_difference(place: Sum) -> Node | None:
    """Subtracts the wholes and writes the fraction down that had no partner."""
    found = _subtracted(place)
    if not found:
        return None
    minuend, parts = whole(found[0]), _parts(found[1])
    if not minuend or not parts:
        return None
    return sum_of(number(minuend - parts[0]), Quotient(number(parts[1]), number(parts[2])))


_LARGEST = 144
"""Largest common factor by which both parts are divided in one step."""


def _guesses(top: int, below: int) -> Iterator[Fraction]:
    common = gcd(top, below)
    factors = [one for one in range(2, min(common, _LARGEST) + 1) if common % one == 0]
    for first in factors:
        upper, lower = top // first, below // first
        yield from (Fraction(upper + miss, lower) for miss in (1, -1))
        yield from (Fraction(upper, lower + miss) for miss in (1, -1) if lower + miss)
        yield from (Fraction(upper, below // second) for second in factors if second != first)


@pattern(
    source="Ashlock 2006 (labels 2 and 6 of Otero, Druga and Lan 2024)",
    shows=(
        "simplify | 24/36 | 5/9",
        "simplify | 24/36 | 4/9",
        "evaluate | 18/27 | 3/9",
    ),
    silent=(
        "simplify | 24/36 | 2/3",
        "simplify | 24/36 | 7/11",
        "simplify | 5/7 | 4/7",
    ),
)
@instead_of(divide)
def fraction_reduced_by_guess(place: Quotient) -> Choices | None:
    """Divides the two parts of a fraction by different numbers, or misses one quotient by one."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or below < 2:
        return None
    return Choices(map(number, _guesses(top, below)))
