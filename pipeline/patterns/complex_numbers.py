"""Errors with the imaginary unit."""

from __future__ import annotations

from collections.abc import Callable
from operator import mul, truediv

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Constant,
    Letter,
    Negation,
    Node,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    exchanged,
    nodes,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import Lone, root
from pipeline.procedures.rewriting.operations import (
    add,
    divide,
    drop_minus,
    multiply,
    raise_to_power,
    take_root,
)
from pipeline.procedures.rewriting.regrouping import conjugate_below
from pipeline.procedures.rewriting.terms import (
    IMAGINARY,
    Monomial,
    canonical,
    factors_of,
    monomial,
    negative,
    number,
    product_of,
    rational,
    sum_of,
    terms_of,
    whole,
)
from pipeline.procedures.rewriting.working import conjugate
from pipeline.procedures.walk import NO_REAL, Choices, Ending, Place

_STAND_IN = "i"


def _with_positive_squares(node: Node) -> Node | None:
    """Multiply out with i^2 = 1; None without a square of i."""
    value = polynomial_of(exchanged(node, IMAGINARY, Letter(_STAND_IN)))
    if value is None or value.letters != {_STAND_IN} or value.degree() < 2:
        return None
    plain, imaginary = Surd.of(0), Surd.of(0)
    for power, one in enumerate(value.coefficients(_STAND_IN)):
        if power % 2:
            imaginary = imaginary + one
        else:
            plain = plain + one
    return sum_of(number(plain), product_of(number(imaginary), IMAGINARY))


@pattern(
    source="college algebra notes in a public repository",
    shows=(
        "simplify | (-1 + 4i)(-6 + 4i) | 22 - 28i",
        "simplify | (4 + 2i)(4 - 2i) | 12",
        "simplify | (3 + 2i)^2 | 13 + 12i",
    ),
    silent=(
        "simplify | (-1 + 4i)(-6 + 4i) | -10 - 28i",
        "simplify | (3 + 2i) + (4 - 5i) | 7 - 3i",
    ),
)
@instead_of(multiply)
def i_squared_as_plus_one(place: Product) -> Node | None:
    """Uses 1 instead of -1 for the square of i."""
    return _with_positive_squares(place) if IMAGINARY in nodes(place) else None


@i_squared_as_plus_one.also(raise_to_power)
def _power_with_positive_squares(place: Power) -> Node | None:
    exponent = whole(place.exponent)
    if exponent is None or not 2 <= exponent <= 9 or IMAGINARY not in nodes(place.base):
        return None
    return _with_positive_squares(place)


@pattern(
    source="mathmistakes.org, a teacher's collection",
    shows=(
        "simplify | 7i^2 | 6",
        "simplify | 4i^2 | 3",
    ),
    silent=(
        "simplify | 7i^2 | -7",
        "simplify | 7i^2 | 7",
    ),
)
@instead_of(multiply)
def i_squared_added(place: Product) -> Node | None:
    """Adds -1 where the square of i is to be multiplied."""
    factors = factors_of(place)
    if len(factors) != 2 or factors[1] != Power(IMAGINARY, number(2)):
        return None
    return sum_of(factors[0], number(-1)) if rational(factors[0]) is not None else None


def _apart(one: Node, other: Node, joined: Callable[[Surd, Surd], Surd]) -> Node | None:
    """The real parts of two binomials joined, and their imaginary parts; None for other numbers."""
    values = [polynomial_of(exchanged(node, IMAGINARY, Letter(_STAND_IN))) for node in (one, other)]
    if any(value is None or value.letters != {_STAND_IN} for value in values):
        return None
    above, below = (value.coefficients(_STAND_IN) for value in values if value)
    if len(above) != 2 or len(below) != 2 or not above[0] or not below[0]:
        return None
    real, imaginary = map(joined, above, below)
    return sum_of(number(real), product_of(number(imaginary), IMAGINARY))


@pattern(
    source="fyimaths.org.au, a teacher's collection; common practice (squares)",
    shows=(
        "simplify | (3 + 2i)(4 + 5i) | 12 + 10i",
        "simplify | (6 + 4i)/(2 + i) | 3 + 4i",
        "simplify | (3 + 2i)^2 | 9 + 4i",
    ),
    silent=(
        "simplify | (3 + 2i)(4 + 5i) | 2 + 23i",
        "simplify | (3 + 2i) + (4 + 5i) | 7 + 7i",
        "simplify | (3 + 2i)(4 + 5i) | 22 + 23i",
        "simplify | (6 + 4i)/2 | 3 + 2i",
    ),
)
@instead_of(multiply)
def parts_worked_apart(place: Product) -> Node | None:
    """Multiplies or divides the real and the imaginary parts each by themselves, as if to add."""
    factors = factors_of(place)
    return _apart(*factors, mul) if len(factors) == 2 else None


@parts_worked_apart.also(divide)
def _divided_apart(place: Quotient) -> Node | None:
    return _apart(place.numerator, place.denominator, truediv)


@parts_worked_apart.also(raise_to_power)
def _squared_apart(place: Power) -> Node | None:
    return _apart(place.base, place.base, mul) if whole(place.exponent) == 2 else None


@pattern(
    source="mathmistakes.org, a teacher's collection",
    shows=(
        "simplify | (4 + i) + (4 - i) | 17",
        "simplify | (2 + 3i) + (1 - i) | 5 + i",
    ),
    silent=(
        "simplify | (4 + i) + (4 - i) | 8",
        "simplify | (4 + i)(4 - i) | 17",
    ),
)
@instead_of(add)
def sum_as_product_of_binomials(place: Sum) -> Node | None:
    """Multiplies two complex numbers that are to be added."""
    if len(place.terms) != 2 or not all(isinstance(term, Sum) for term in place.terms):
        return None
    return Product(place.terms) if all(IMAGINARY in nodes(one) for one in place.terms) else None


@pattern(
    source="Pournara et al. 2016 (related: unlike terms joined); from memory",
    shows=(
        "simplify | 3 + 4i | 7i",
        "simplify | (1 + 2i) + (2 + 2i) | 7i",
    ),
    silent=(
        "simplify | 3 + 4i | 3 + 4i",
        "simplify | 3i + 4i | 7i",
    ),
)
@instead_of(add)
def real_and_imaginary_joined(place: Sum) -> Node | None:
    """Joins the real and the imaginary part into one term."""
    terms = [monomial(term) for term in terms_of(place)]
    if len(terms) != 2 or terms[0] is None or terms[1] is None:
        return None
    with_unit = [one for one in terms if one is not None and one.powers]
    if len(with_unit) != 1 or with_unit[0].powers[0][0] != IMAGINARY:
        return None
    return Monomial(terms[0].coefficient + terms[1].coefficient, with_unit[0].powers).tree()


@pattern(
    source="Nordlander and Nordlander 2012 (from memory)",
    shows=(
        "simplify | sqrt(-16) | -4",
        "simplify | sqrt(-50) | -5sqrt(2)",
    ),
    silent=(
        "simplify | sqrt(-16) | 4i",
        "simplify | sqrt(-16) | 4",
    ),
)
@instead_of(take_root)
def minus_moved_out_of_root(place: Root) -> Node | None:
    """Moves the minus under a square root before it."""
    value = rational(place.radicand)
    if value is None or value >= 0 or whole(place.index) != 2:
        return None
    return Negation(Root(number(-value)))


@minus_moved_out_of_root.also(
    root,
    Place.SQUARE_ROOT,
    Place.COMPLETING_THE_SQUARE,
    Place.QUADRATIC_FORMULA,
    shows=(
        "solve | x^2 = -25 | -5",
        "solve | (x - 1)^2 = -9 | -2",
    ),
    silent=("solve | x^2 = -25 | 5",),
)
def _negative_root(radicand: Surd) -> Lone | None:
    if not radicand.is_rational or not radicand or radicand.real_sign() > 0:
        return None
    found = Surd.root_of(-radicand)
    return None if found is None else Lone(-found)


@pattern(
    source="common practice",
    shows=(
        "simplify | (5 + 2i)/(3 - i) | 1/2 + i/5",
        "simplify | 4/(1 + i) | 2",
        "simplify | 5/(2 + sqrt(3)) | 5",
        "simplify | 1/(sqrt(5) - 2) | 1",
    ),
    silent=(
        "simplify | (5 + 2i)/(3 - i) | 13/10 + 11i/10",
        "simplify | 4/(1 + i) | 2 - 2i",
        "simplify | 5/(2 + sqrt(3)) | 10 - 5sqrt(3)",
    ),
)
@instead_of(divide)
def conjugate_multiplied_below_only(place: Quotient) -> Node | None:
    """Multiplies only the denominator by its conjugate."""
    other = conjugate_below(place)
    return other and Quotient(place.numerator, Product((place.denominator, other)))


@pattern(
    source="common practice",
    shows=(
        "simplify | i^3 | i",
        "simplify | i^5 | -i",
    ),
    silent=(
        "simplify | i^3 | -i",
        "simplify | i^4 | 1",
    ),
)
@instead_of(raise_to_power)
def power_of_i_misread(place: Power) -> Node | None:
    """Gives an odd power of i the wrong sign."""
    exponent = whole(place.exponent)
    if place.base != Constant("i") or exponent is None or exponent < 3 or not exponent % 2:
        return None
    return negative(Power(IMAGINARY, number(exponent)))


@pattern(
    source="college algebra notes in a public repository",
    shows=(
        "simplify | conjugate of 2 - 5i | -2 + 5i",
        "simplify | the complex conjugate of -3 + 4i | 3 - 4i",
        "simplify | (5 + 2i)/(3 - i) | -17/10 - i/10",
    ),
    silent=(
        "simplify | conjugate of 2 - 5i | 2 + 5i",
        "simplify | conjugate of 2 - 5i | -2 - 5i",
        "simplify | (5 + 2i)/(3 - i) | 13/10 + 11i/10",
    ),
)
@instead_of(conjugate, Place.CONJUGATE)
def conjugate_changes_both_signs(node: Node) -> Node:
    """Changes the signs of both parts for the conjugate."""
    return canonical(Negation(node))


@conjugate_changes_both_signs.also(divide)
def _divided_by_opposite(place: Quotient) -> Node | None:
    below = terms_of(place.denominator)
    if len(below) != 2 or rational(below[0]) is None:
        return None
    other = canonical(sum_of(below[0], negative(below[1])))
    size = rational(canonical(Product((place.denominator, other))))
    if size is None or conjugate(place.denominator) != other:
        return None
    opposite = sum_of(negative(below[0]), negative(below[1]))
    return Quotient(Product((place.numerator, opposite)), number(size))


@pattern(
    source="common practice",
    shows=(
        "simplify | conjugate of 2 - 5i | -2 - 5i",
        "simplify | find the conjugate of -3 + 4i | 3 + 4i",
    ),
    silent=(
        "simplify | conjugate of 2 - 5i | 2 + 5i",
        "simplify | conjugate of 2 - 5i | -2 + 5i",
    ),
)
@instead_of(conjugate, Place.CONJUGATE)
def conjugate_changes_real_part(node: Node) -> Node:
    """Changes the sign of the real part in place of the imaginary one."""
    return canonical(Negation(conjugate(node)))


_IMAGINARY = Surd.root_of(-1)


def _root_of_imaginary(radicand: Surd) -> Surd | None:
    """The root of i times the size of a negative number."""
    if not radicand.is_rational or radicand.real_sign() >= 0 or _IMAGINARY is None:
        return None
    size = Surd.root_of(radicand / -2)
    return None if size is None else size * (1 + _IMAGINARY)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 8.8 (caution)",
    shows=(
        "solve | x^2 = -12 | x = ±2sqrt(3i)",
        "simplify | sqrt(-12) | 2sqrt(3i)",
        "solve | (x - 1)^2 = -5 | 1 ± sqrt(5i)",
    ),
    silent=(
        "solve | x^2 = -12 | x = ±2sqrt(3)i",
        "simplify | sqrt(-12) | 2i*sqrt(3)",
        "solve | x^2 = 12 | x = ±2sqrt(3i)",
    ),
)
@instead_of(root)
def imaginary_unit_under_radical(radicand: Surd) -> Surd | None:
    """Writes i under the radical sign, where it belongs before it."""
    return _root_of_imaginary(radicand)


@imaginary_unit_under_radical.also(take_root)
def _unit_pulled_under(place: Root) -> Node | None:
    value = rational(place.radicand)
    if value is None or value >= 0 or whole(place.index) != 2:
        return None
    found = _root_of_imaginary(Surd.of(value))
    return None if found is None else number(found)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 8.8; Kontorovich 2018 (from memory)",
    shows=(
        "simplify | sqrt(-25)*sqrt(-4) | 10",
        "simplify | sqrt(-2)*sqrt(-18) | 6",
    ),
    silent=(
        "simplify | sqrt(-25)*sqrt(-4) | -10",
        "simplify | sqrt(25)*sqrt(4) | 10",
    ),
)
@instead_of(multiply)
def roots_of_negatives_multiplied_first(place: Product) -> Node | None:
    """Multiplies the numbers under two radicals although both are negative."""
    factors = factors_of(place)
    if len(factors) != 2 or not all(isinstance(factor, Root) for factor in factors):
        return None
    values = [rational(factor.radicand) for factor in factors if isinstance(factor, Root)]
    if values[0] is None or values[1] is None or values[0] >= 0 or values[1] >= 0:
        return None
    return Root(number(values[0] * values[1]))


@pattern(
    source="common practice",
    shows=(
        "simplify | -sqrt(9) | 3i",
        "evaluate | -sqrt(16) | not a real number",
    ),
    silent=(
        "simplify | -sqrt(9) | -3",
        "simplify | sqrt(-9) | 3i",
    ),
)
@instead_of(drop_minus)
def minus_taken_under_root(place: Negation) -> Node | None:
    """Takes a minus before a square root under it."""
    inside = place.argument
    if not isinstance(inside, Root) or whole(inside.index) != 2:
        return None
    return Root(negative(inside.radicand))


@pattern(
    source="common practice",
    shows=(
        "simplify | cbrt(-8) | 2i",
        "evaluate | cbrt(-27) | not a real number",
    ),
    silent=(
        "simplify | cbrt(-8) | -2",
        "simplify | sqrt(-4) | 2i",
    ),
)
@instead_of(take_root)
def odd_root_called_imaginary(place: Root) -> Choices | None:
    """Takes an odd root of a negative number for an imaginary one, or for none at all."""
    value, index = rational(place.radicand), whole(place.index)
    if value is None or value >= 0 or index is None or index % 2 == 0:
        return None
    return Choices((product_of(Root(number(-value), place.index), IMAGINARY), Ending(NO_REAL)))
