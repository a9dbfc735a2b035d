"""Errors with the signs of numbers that are added and subtracted."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Absolute, Negation, Node, Numeral, Power, Product, Quotient, Sum
from pipeline.patterns.expanding import binomials, brackets_of, double, parts_of_square
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.lines import rise, run
from pipeline.procedures.radical_equations import raise_both
from pipeline.procedures.rewriting.operations import (
    add,
    divide,
    drop_minus,
    multiply,
    raise_to_power,
    take_absolute,
)
from pipeline.procedures.rewriting.terms import (
    Monomial,
    factors_of,
    monomial,
    negative,
    number,
    over,
    product_of,
    signed,
    split_coefficient,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import Choices, Place, needed


def _two_like(place: Sum) -> tuple[Surd, Surd, Node | None] | None:
    """Two numbers, or the coefficients of two like terms and what they have in common."""
    if len(place.terms) != 2:
        return None
    first, second = (value_of(term) for term in place.terms)
    if first is not None and second is not None:
        return (first, second, None) if first.is_rational and second.is_rational else None
    one, two = (split_coefficient(signed(term)[1]) for term in place.terms)
    if one is None or two is None or one[1] != two[1]:
        return None
    p, q = value_of(one[0]), value_of(two[0])
    if p is None or q is None or not p.is_rational or not q.is_rational:
        return None
    return p * signed(place.terms[0])[0], q * signed(place.terms[1])[0], one[1]


def _of(size: Surd, common: Node | None) -> Node:
    return number(size) if common is None else product_of(number(size), common)


def _positive(value: Surd) -> bool:
    return value.real_sign() > 0


def _size(value: Surd) -> Surd:
    return value if value.real_sign() >= 0 else -value


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | -9 + 4 | 13",
        "simplify | -9x + 4x | 13x",
    ),
    silent=(
        "evaluate | -9 + 4 | -5",
        "evaluate | -9 + 4 | 5",
    ),
)
@instead_of(add)
def unlike_signs_added_as_sizes(place: Sum) -> Choices | None:
    """Adds the sizes of two numbers with different signs."""
    found = _two_like(place)
    if found is None or _positive(found[0]) == _positive(found[1]):
        return None
    total = _size(found[0]) + _size(found[1])
    return Choices((_of(total, found[2]), _of(-total, found[2])))


_FEWEST_TERMS, _MOST_TERMS = 3, 8


def _fits(one: Surd, two: Surd, like_signs: bool) -> bool:
    if not (one.is_rational and two.is_rational):
        return False
    negative = one.real_sign() < 0, two.real_sign() < 0
    return all(negative) if like_signs else any(negative) and not all(negative)


def _with(terms: tuple[Node, ...], i: int, j: int, joined: Monomial) -> Node:
    rest = [term for place, term in enumerate(terms) if place not in (i, j)]
    return sum_of(*rest[:i], joined.tree(), *rest[i:])


def _collected(
    place: Sum, wrong: Callable[[Surd, Surd], Iterable[Surd]], like_signs: bool
) -> Choices | None:
    """The sums in which one pair of like terms is joined by a wrong rule.

    Args:
        place: the sum.
        wrong: what comes out of two coefficients, both negative or of different signs.
        like_signs: whether the rule is one for two negative numbers.
    """
    terms = terms_of(place)
    if not _FEWEST_TERMS <= len(terms) <= _MOST_TERMS:
        return None
    found = [monomial(term) for term in terms]
    if not any(one is not None and one.powers for one in found):
        return None
    return Choices(
        _with(terms, i, j, Monomial(size, one.powers))
        for j, two in enumerate(found)
        for i, one in enumerate(found[:j])
        if one is not None and two is not None and one.powers == two.powers
        if _fits(one.coefficient, two.coefficient, like_signs)
        for size in wrong(one.coefficient, two.coefficient)
    )


@unlike_signs_added_as_sizes.also(
    add,
    shows=("simplify | 9x - 4 + 2x + 7 | 11x + 11", "simplify | 6 - 8x + 3x | 6 - 11x"),
    silent=("simplify | 9x - 4 + 2x + 7 | 11x + 3", "simplify | 9x - 4 + 2x - 7 | 11x - 11"),
)
def _collected_as_sizes(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (one - two, two - one), like_signs=False)


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | -9 + 4 | 5",
        "evaluate | 3 + (-8) | 5",
    ),
    silent=(
        "evaluate | -9 + 4 | -5",
        "evaluate | -9 + 4 | 13",
    ),
)
@instead_of(add)
def sign_of_smaller_kept(place: Sum) -> Node | None:
    """Subtracts the sizes of two numbers with different signs but takes the wrong sign."""
    found = _two_like(place)
    if found is None or _positive(found[0]) == _positive(found[1]):
        return None
    return _of(-(found[0] + found[1]), found[2])


@sign_of_smaller_kept.also(
    add,
    shows=("simplify | 9x - 4 + 2x + 7 | 11x - 3", "simplify | 6 - 8x + 3x | 6 + 5x"),
    silent=("simplify | 9x - 4 + 2x + 7 | 11x + 3", "simplify | 9x - 4 + 2x + 7 | 11x + 11"),
)
def _collected_with_wrong_sign(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (-(one + two),), like_signs=False)


def _multiplied_out(place: Product) -> Sum | None:
    """The products of the terms of two sums, not yet collected."""
    match brackets_of(place):
        case [first, second]:
            return Sum(tuple(product_of(one, two) for one in first for two in second))
    return None


@unlike_signs_added_as_sizes.also(
    multiply,
    shows=("expand | (x + 2)(x - 7) | x^2 - 9x - 14", "expand | (2x + 1)(x - 3) | 2x^2 + 7x - 3"),
    silent=("expand | (x + 2)(x - 7) | x^2 - 5x - 14", "expand | (x + 2)(x + 7) | x^2 + 5x + 14"),
)
def _products_collected_as_sizes(place: Product) -> Choices | None:
    products = _multiplied_out(place)
    return None if products is None else _collected_as_sizes(products)


@sign_of_smaller_kept.also(
    multiply,
    shows=("expand | (x + 2)(x - 7) | x^2 + 5x - 14", "expand | (2x + 1)(x - 3) | 2x^2 + 5x - 3"),
    silent=("expand | (x + 2)(x - 7) | x^2 - 5x - 14", "expand | (x + 2)(x + 7) | x^2 - 9x + 14"),
)
def _products_collected_with_wrong_sign(place: Product) -> Choices | None:
    products = _multiplied_out(place)
    return None if products is None else _collected_with_wrong_sign(products)


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | -7 + (-5) | 12",
        "evaluate | -8 - 3 | 11",
        "solve | -8 - 3 = x | 11",
        "solve | 2x - 5 - 7 = 4 | -4",
    ),
    silent=(
        "evaluate | -7 + (-5) | -12",
        "evaluate | -7 + (-5) | -2",
        "solve | -8 - 3 = x | -11",
        "solve | 2x - 5 + 7 = 4 | -4",
    ),
)
@instead_of(add)
def two_minuses_make_plus_in_sum(place: Sum) -> Node | None:
    """Makes the sum of two negative numbers positive, as in a product."""
    found = _two_like(place)
    if found is None or _positive(found[0]) or _positive(found[1]):
        return None
    return _of(-(found[0] + found[1]), found[2])


@two_minuses_make_plus_in_sum.also(
    add,
    shows=("simplify | 9x - 4 + 2x - 5 | 11x + 9", "simplify | 5(x - 2) + 3(x - 1) | 8x + 13"),
    silent=("simplify | 9x - 4 + 2x - 5 | 11x - 9", "simplify | 9x - 4 + 2x + 5 | 11x + 9"),
)
def _collected_to_plus(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (-(one + two),), like_signs=True)


@two_minuses_make_plus_in_sum.also(
    multiply,
    shows=("expand | (x - 3)(x - 4) | x^2 + 7x + 12", "expand | (2x - 1)(x - 5) | 2x^2 + 11x + 5"),
    silent=("expand | (x - 3)(x - 4) | x^2 - 7x + 12", "expand | (x - 3)(x + 4) | x^2 + 7x - 12"),
)
def _products_collected_to_plus(place: Product) -> Choices | None:
    products = _multiplied_out(place)
    return None if products is None else _collected_to_plus(products)


@pattern(
    source="Ashlock 2006",
    shows=(
        "evaluate | -7 + (-5) | -2",
        "evaluate | -8 - 3 | -5",
    ),
    silent=(
        "evaluate | -7 + (-5) | -12",
        "evaluate | -7 + (-5) | 12",
    ),
)
@instead_of(add)
def negatives_subtracted_in_sum(place: Sum) -> Choices | None:
    """Subtracts the sizes of two negative numbers that are to be added."""
    found = _two_like(place)
    if found is None or _positive(found[0]) or _positive(found[1]):
        return None
    left = found[0] - found[1]
    return Choices((_of(left, found[2]), _of(-left, found[2])))


@negatives_subtracted_in_sum.also(
    add,
    shows=("simplify | 9x - 4 + 2x - 7 | 11x - 3", "simplify | 4 - 8x - 3x | 4 - 5x"),
    silent=("simplify | 9x - 4 + 2x - 7 | 11x - 11", "simplify | 9x + 4 + 2x - 7 | 11x - 3"),
)
def _collected_by_subtracting(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (one - two, two - one), like_signs=True)


def _are_like(one: Node, other: Node) -> bool:
    found, second = monomial(one), monomial(other)
    if found is None or second is None:
        return False
    return sorted(map(repr, found.powers)) == sorted(map(repr, second.powers))


@pattern(
    source="Linchevski and Herscovics 1996",
    shows=(
        "evaluate | 20 - 6 + 3 | 11",
        "simplify | 9x - 4x + 2x | 3x",
        "evaluate | 15 - 4 + 2 - 1 | 10",
    ),
    silent=(
        "evaluate | 20 - 6 + 3 | 17",
        "evaluate | 20 + 6 - 3 | 29",
    ),
)
@instead_of(add)
def minus_detached_from_term(place: Sum) -> Choices | None:
    """Works out terms behind a minus first, as if they stood in brackets: 9 - 4 + 2 as 9 - 6."""
    terms = terms_of(place)
    if not 3 <= len(terms) <= 6:
        return None
    return Choices(
        sum_of(*terms[:start], negative(sum_of(negative(terms[start]), *within)), *terms[end:])
        for start in range(1, len(terms) - 1)
        if isinstance(terms[start], Negation)
        for end in range(start + 2, len(terms) + 1)
        for within in [terms[start + 1 : end]]
        if all(_are_like(terms[start], one) for one in within)
    )


@pattern(
    source="Ashlock 2006; Linchevski and Herscovics 1996",
    shows=(
        "evaluate | 4 - 11 | 7",
        "simplify | 3x - 8x | 5x",
    ),
    silent=(
        "evaluate | 4 - 11 | -7",
        "evaluate | 11 - 4 | -7",
    ),
)
@instead_of(add)
def difference_turned_positive(place: Sum) -> Node | None:
    """Turns a difference round, so that the smaller number is taken from the larger."""
    found = _two_like(place)
    if found is None or not _positive(found[0]) or _positive(found[1]):
        return None
    turned = -(found[0] + found[1])
    return _of(turned, found[2]) if _positive(turned) else None


@pattern(
    source="Anderson 1982 (kind of error); Vlassis 2004 (from memory)",
    shows=(
        "evaluate | 6 - (-4) | 2",
        "evaluate | -(-1) | -1",
        "simplify | 8m - (-5m) | 3m",
    ),
    silent=(
        "evaluate | 6 - (-4) | 10",
        "evaluate | 6 - 4 | 10",
    ),
)
@instead_of(drop_minus)
def minus_of_negative_stays_minus(place: Negation) -> Node | None:
    """Keeps a minus where the opposite of a negative number is taken."""
    return place.argument if isinstance(place.argument, Negation) else None


@minus_of_negative_stays_minus.also(
    rise,
    Place.SLOPE,
    shows=(
        "slope | (1, -2), (3, 8) | 3",
        "slope | (2, -5), (3, 1) | -4",
    ),
    silent=("slope | (1, -2), (3, 8) | 5",),
)
def _negative_subtracted(first: Surd, second: Surd) -> Surd | None:
    return second + first if first.real_sign() < 0 else None


@minus_of_negative_stays_minus.also(run, Place.SLOPE)
def _negative_subtracted_along(first: Surd, second: Surd) -> Surd | None:
    return second + first if first.real_sign() < 0 else None


@pattern(
    source="Anderson 1982 (kind of error); common practice",
    shows=(
        "evaluate | (-6)*(-3) | -18",
        "evaluate | (-20)/(-4) | -5",
    ),
    silent=(
        "evaluate | (-6)*(-3) | 18",
        "evaluate | (-6)*3 | -18",
    ),
)
@instead_of(multiply)
def product_of_negatives_negative(place: Product) -> Node | None:
    """Gives the product or quotient of two negatives a minus sign."""
    factors = factors_of(place)
    if sum(isinstance(factor, Negation) for factor in factors) != 2:
        return None
    return Negation(product_of(*(signed(factor)[1] for factor in factors)))


@product_of_negatives_negative.also(divide)
def _quotient_of_negatives(place: Quotient) -> Node | None:
    if not (isinstance(place.numerator, Negation) and isinstance(place.denominator, Negation)):
        return None
    return Negation(over(place.numerator.argument, place.denominator.argument))


@product_of_negatives_negative.also(
    multiply,
    shows=("expand | (x - 6)(x - 4) | x^2 - 10x - 24",),
    silent=("expand | (x - 6)(x - 4) | x^2 - 10x + 24",),
)
def _last_terms_of_differences(place: Product) -> Node | None:
    """Gives the product of the two negative last terms a minus sign."""
    a, b, c, d = needed(binomials(place))
    if not (isinstance(b, Negation) and isinstance(d, Negation)):
        return None
    last = Negation(product_of(b.argument, d.argument))
    return sum_of(product_of(a, c), product_of(a, d), product_of(b, c), last)


@pattern(
    source="common practice",
    shows=(
        "evaluate | -6 * 8 | 48",
        "evaluate | 24/(-8) | 3",
    ),
    silent=(
        "evaluate | -6 * 8 | -48",
        "evaluate | -6 + 8 | 2",
    ),
)
@instead_of(multiply)
def product_of_unlike_signs_positive(place: Product) -> Node | None:
    """Loses the minus sign of a product or quotient of two numbers with different signs."""
    factors = factors_of(place)
    if sum(isinstance(factor, Negation) for factor in factors) != 1 or value_of(place) is None:
        return None
    return product_of(*(signed(factor)[1] for factor in factors))


@product_of_unlike_signs_positive.also(
    raise_to_power,
    shows=("expand | (2x - 3)^2 | 4x^2 + 12x + 9", "expand | (5 - n)^2 | n^2 + 10n + 25"),
    silent=("expand | (2x - 3)^2 | 4x^2 + 9", "expand | (2x + 3)^2 | 4x^2 - 12x + 9"),
)
def _middle_term_positive(place: Power) -> Node | None:
    first, middle, last = parts_of_square(place) or (None, None, None)
    if first is None or not isinstance(middle, Negation) or last is None:
        return None
    return sum_of(first, double(middle.argument), last)


@product_of_unlike_signs_positive.also(drop_minus)
def _minus_before_product(place: Negation) -> Node | None:
    inside = place.argument
    value = value_of(inside)
    division = isinstance(inside, Quotient) and (whole(inside) or not _is_number(inside))
    return inside if value is not None and (isinstance(inside, Product) or division) else None


def _is_number(fraction: Quotient) -> bool:
    """Whether a fraction is a number as it stands, and no division to be done."""
    return all(isinstance(part, Numeral) for part in (fraction.numerator, fraction.denominator))


@product_of_unlike_signs_positive.also(divide)
def _quotient_of_unlike_signs(place: Quotient) -> Node | None:
    above, below = signed(place.numerator), signed(place.denominator)
    if above[0] == below[0] or value_of(place) is None:
        return None
    return over(above[1], below[1])


@pattern(
    source="common practice",
    shows=(
        "evaluate | (-2)^3 | 8",
        "simplify | (-x)^5 | x^5",
    ),
    silent=(
        "evaluate | (-2)^3 | -8",
        "evaluate | (-2)^4 | 16",
    ),
)
@instead_of(raise_to_power)
def odd_power_loses_minus(place: Power) -> Node | None:
    """Makes an odd power of a negative number positive."""
    exponent = whole(place.exponent)
    if not isinstance(place.base, Negation) or exponent is None or exponent < 3 or not exponent % 2:
        return None
    return Power(place.base.argument, place.exponent)


@odd_power_loses_minus.also(
    raise_both,
    Place.POWER_EQUATION,
    Place.BARE_POWER,
    shows=("solve | x^3 = -27 | 3", "solve | (x - 1)^3 = -8 | 3"),
    silent=("solve | x^3 = -27 | -3", "solve | x^3 = 27 | -3"),
)
def _odd_root_loses_minus(right: Surd, above: int, below: int) -> tuple[Surd, ...] | None:
    """Loses the minus of an odd root of a negative number."""
    return raise_both(-right, above, below) if above % 2 and right.real_sign() < 0 else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | abs(-5) | -5",
        "evaluate | abs(3 - 10) | -7",
    ),
    silent=(
        "evaluate | abs(-5) | 5",
        "evaluate | abs(5) | -5",
    ),
)
@instead_of(take_absolute)
def absolute_value_keeps_minus(place: Absolute) -> Node:
    """Leaves out the absolute value and keeps the minus sign."""
    return place.argument
