"""Errors in completing the square."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Power, Quotient
from pipeline.patterns.expanding import double, parts_of_square, two_terms
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, Linear
from pipeline.procedures.operations import (
    add_square,
    binomial_term,
    divide_by_leading,
    divide_off,
    half,
    height_at,
    square,
)
from pipeline.procedures.rewriting.factoring import Trinomial, factors_of_trinomial
from pipeline.procedures.rewriting.operations import raise_to_power
from pipeline.procedures.rewriting.terms import (
    fraction_parts,
    negative,
    power,
    rational,
    sum_of,
    whole,
)
from pipeline.procedures.walk import Place


@pattern(
    source="common practice",
    shows=(
        "square-constant | x^2 - 12x | 72",
        "square-constant | x^2 + 6x | 18",
    ),
    silent=(
        "square-constant | x^2 - 12x | 36",
        "square-constant | x^2 - 12x | 144",
    ),
)
@instead_of(square, Place.SQUARE_CONSTANT)
def halved_after_squaring(number: Surd, whole: Surd) -> Surd:
    """Squares the coefficient of the unknown first and halves the square."""
    return whole * whole / 2


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.7 (caution); from memory",
    shows=(
        "square-constant | x^2 - 13x | -169/4",
        "square-constant | x^2 - 6x | -9",
    ),
    silent=(
        "square-constant | x^2 - 13x | 169/4",
        "square-constant | x^2 + 6x | -9",
    ),
)
@instead_of(square, Place.SQUARE_CONSTANT)
def square_keeps_minus(number: Surd, whole: Surd) -> Surd | None:
    """Leaves a minus sign on the square of a negative number."""
    return -(number * number) if number.is_real and number.real_sign() < 0 else None


@square_keeps_minus.also(
    raise_to_power,
    shows=("expand | (x - 4)^2 | x^2 - 8x - 16", "expand | (2x - 3)^2 | 4x^2 - 12x - 9"),
    silent=("expand | (x - 4)^2 | x^2 - 8x + 16", "expand | (x - 4)^2 | x^2 - 16"),
)
def _last_term_keeps_minus(place: Power) -> Node | None:
    """Leaves a minus sign on the square of the last term of a difference."""
    parts, terms = parts_of_square(place), two_terms(place)
    if parts is None or terms is None or not isinstance(terms[1], Negation):
        return None
    return sum_of(parts[0], double(parts[1]), negative(power(terms[1].argument, 2)))


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


@square_keeps_minus.also(
    height_at,
    shows=("vertex | y = 2x^2 + 8x + 9 | (-2, -15)", "vertex | y = x^2 + 6x + 1 | (-3, -26)"),
    silent=("vertex | y = 2x^2 + 8x + 9 | (-2, 1)", "vertex | y = x^2 - 6x + 1 | (3, -26)"),
)
def _height_with_negative_square(a: Surd, b: Surd, c: Surd, x: Surd) -> Surd | None:
    """Leaves a minus sign on the square of a negative number when the height is worked out."""
    return b * x + c - a * x * x if x.is_real and x.real_sign() < 0 else None


@pattern(
    source="public study pages; from memory",
    shows=(
        "solve | x^2 + 10x = 11 | -1, -9",
        "square-constant | x^2 - 15x | -15/2",
        "square-constant | x^2 + 8x | 4",
    ),
    silent=(
        "solve | x^2 + 10x = 11 | 1, -11",
        "square-constant | x^2 - 15x | 225/4",
        "square-constant | x^2 + 8x | 8",
    ),
)
@instead_of(square, Place.COMPLETING_THE_SQUARE, Place.SQUARE_CONSTANT)
def half_not_squared(number: Surd, whole: Surd) -> Surd:
    """Adds half the coefficient of the unknown instead of the square of that half."""
    return number


@half_not_squared.also(square, Place.SQUARE_CONSTANT)
def _half_without_sign(number: Surd, whole: Surd) -> Surd | None:
    return -number if number.is_real and number.real_sign() < 0 else None


@half_not_squared.also(
    square,
    Place.REWRITING,
    shows=(
        "rewrite | y = x^2 + 10x + 3 | (x + 5)^2 - 2",
        "rewrite | x^2 - 8x + 3 | (x - 4)^2 - 1",
    ),
    silent=("rewrite | y = x^2 + 10x + 3 | (x + 5)^2 - 22",),
)
def _half_taken_off(number: Surd, whole: Surd) -> Surd:
    """Takes off half the number before the letter instead of the square of that half."""
    return -number if number.real_sign() < 0 else number


@pattern(
    source="common practice",
    shows=(
        "square-constant | x^2 + 8x | 8",
        "solve | x^2 + 10x = 11 | -5 + sqrt(21), -5 - sqrt(21)",
    ),
    silent=(
        "square-constant | x^2 + 8x | 16",
        "square-constant | x^2 + 8x | 4",
        "square-constant | x^2 + 4x | 8",
    ),
)
@instead_of(square, Place.COMPLETING_THE_SQUARE, Place.SQUARE_CONSTANT)
def coefficient_added_itself(number: Surd, whole: Surd) -> Surd:
    """Adds the coefficient of the unknown as it stands, neither halved nor squared."""
    return whole


@pattern(
    source="public study pages",
    shows=(
        "solve | x^2 - 12x = 25 | 25, -1",
        "square-constant | x^2 - 11x | 121",
        "solve | x^2 + 6x = 7 | -6 + sqrt(43), -6 - sqrt(43)",
    ),
    silent=(
        "solve | x^2 - 12x = 25 | 6 + sqrt(61), 6 - sqrt(61)",
        "square-constant | x^2 - 11x | 121/4",
    ),
)
@instead_of(square, Place.COMPLETING_THE_SQUARE, Place.SQUARE_CONSTANT)
def squared_without_halving(number: Surd, whole: Surd) -> Surd:
    """Adds the square of the whole coefficient of the unknown, without halving it first."""
    return whole * whole


@squared_without_halving.also(half, Place.COMPLETING_THE_SQUARE)
def _whole_coefficient_used(number: Surd) -> Surd:
    return number


@squared_without_halving.also(
    half,
    Place.REWRITING,
    shows=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 31",),
    silent=("rewrite | y = x^2 + 6x + 5 | (x + 3)^2 - 4",),
)
def _never_halved(number: Surd) -> Surd:
    """Uses the whole number before the letter, without halving it."""
    return number


@squared_without_halving.also(square, Place.REWRITING)
def _whole_squared(number: Surd, whole: Surd) -> Surd:
    return whole * whole


@pattern(
    source="Zakaria, Ibrahim and Maat 2010 (kind of error); from memory",
    shows=(
        "solve | x^2 + 9x = 8 | x=-9/2 + sqrt(194)/2 or x=-sqrt(194)/2 - 9/2",
        "square-constant | x^2 + 11x | 121/2",
    ),
    silent=(
        "solve | x^2 + 9x = 8 | -9/2 + sqrt(113)/2, -9/2 - sqrt(113)/2",
        "square-constant | x^2 + 11x | 121/4",
        "square-constant | x^2 + 12x | 36",
    ),
)
@instead_of(square, Place.COMPLETING_THE_SQUARE, Place.SQUARE_CONSTANT)
def fraction_square_keeps_denominator(number: Surd, whole: Surd) -> Surd | None:
    """Raises the numerator of a fraction to a power and leaves the denominator as it is."""
    return number * number * number.denominator if number.denominator != 1 else None


@fraction_square_keeps_denominator.also(
    raise_to_power,
    shows=("evaluate | (3/7)^2 | 9/7", "evaluate | (2/5)^3 | 8/5"),
    silent=("evaluate | (3/7)^2 | 9/49", "evaluate | (3/7)^2 | 3/49"),
)
def _numerator_raised_only(place: Power) -> Node | None:
    """Raises the numerator of a fraction and leaves the denominator as it is."""
    parts, exponent = fraction_parts(place.base), rational(place.exponent)
    if parts is None or exponent is None or exponent < 2:
        return None
    return Quotient(Power(parts[0], place.exponent), parts[1])


@pattern(
    source="public study pages; Zakaria, Ibrahim and Maat 2010 (kind of error)",
    shows=(
        "solve | x^2 + 8x = 12 | -4 + 2sqrt(3); -4 - 2sqrt(3)",
        "solve | x^2 + 6x = 7 | -3 + sqrt(7), -3 - sqrt(7)",
    ),
    silent=(
        "solve | x^2 + 8x = 12 | -4 + 2sqrt(7), -4 - 2sqrt(7)",
        "solve | x^2 = 12 | 2sqrt(3), -2sqrt(3)",
    ),
)
@instead_of(add_square, Place.COMPLETING_THE_SQUARE)
def square_added_to_one_side(right: Surd, added: Surd) -> Surd:
    """Adds the square on the left side only."""
    return right


@pattern(
    source="OpenStax Intermediate Algebra 2e, 9.7 (related: added to one side); common practice",
    shows=(
        "solve | x^2 + 6x = 35 | -3 + sqrt(26), -sqrt(26) - 3",
        "solve | x^2 + 2x = 6 | -1 + sqrt(5), -1 - sqrt(5)",
    ),
    silent=(
        "solve | x^2 + 6x = 35 | -3 + 2sqrt(11), -3 - 2sqrt(11)",
        "solve | x^2 + 6x = 35 | -3 + sqrt(35), -3 - sqrt(35)",
    ),
)
@instead_of(add_square, Place.COMPLETING_THE_SQUARE)
def square_subtracted_other_side(right: Surd, added: Surd) -> Surd:
    """Adds the square on the left side and subtracts it on the right."""
    return right - added


@pattern(
    source="from memory",
    shows=(
        "solve | x^2 + 4x = 26 | x=-4 + sqrt(30) or x=-sqrt(30) - 4",
        "solve | x^2 + 6x = 7 | -2, -10",
    ),
    silent=(
        "solve | x^2 + 4x = 26 | -2 + sqrt(30), -2 - sqrt(30)",
        "solve | x^2 + 6x = 7 | 2, 10",
    ),
)
@instead_of(binomial_term, Place.COMPLETING_THE_SQUARE)
def binomial_keeps_full_coefficient(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Writes the whole coefficient of the unknown into the binomial instead of half of it."""
    return whole


@binomial_keeps_full_coefficient.also(
    binomial_term,
    Place.REWRITING,
    shows=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 4",),
    silent=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 31",),
)
def _full_coefficient(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Writes the whole number before the letter into the bracket instead of half of it."""
    return whole


def _same_brackets(trinomial: Trinomial, number: Surd) -> tuple[Linear, Linear] | None:
    """Two brackets with one number, where the trinomial x^2 + bx + c is a perfect square."""
    if trinomial.a != ONE or trinomial.b * trinomial.b != 4 * trinomial.c:
        return None
    return Linear(ONE, number), Linear(ONE, number)


@binomial_keeps_full_coefficient.also(
    factors_of_trinomial,
    shows=("factor | x^2 + 6x + 9 | (x + 6)^2", "factor | x^2 - 10x + 25 | (x - 10)^2"),
    silent=("factor | x^2 + 6x + 9 | (x + 3)^2", "factor | x^2 + 6x + 8 | (x + 6)^2"),
)
def _whole_number_in_brackets(trinomial: Trinomial) -> tuple[Linear, Linear] | None:
    """Writes the whole number before the letter into the bracket instead of half of it."""
    return _same_brackets(trinomial, trinomial.b)


@pattern(
    source="common practice",
    shows=(
        "solve | x^2 - 12x = 27 | x = -36 ± 3√(7)",
        "solve | x^2 + 6x = 7 | -5, -13",
    ),
    silent=(
        "solve | x^2 - 12x = 27 | 6 ± 3√(7)",
        "solve | x^2 + 6x = 7 | 5, 13",
    ),
)
@instead_of(binomial_term, Place.COMPLETING_THE_SQUARE)
def binomial_keeps_the_square(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Writes the number that was added into the binomial instead of half the coefficient."""
    return squared


@binomial_keeps_the_square.also(
    factors_of_trinomial,
    shows=("factor | x^2 + 6x + 9 | (x + 9)^2", "factor | x^2 - 10x + 25 | (x - 25)^2"),
    silent=("factor | x^2 + 6x + 9 | (x + 3)^2", "factor | x^2 - 10x + 25 | (x + 25)^2"),
)
def _square_in_brackets(trinomial: Trinomial) -> tuple[Linear, Linear] | None:
    """Writes the last number into the bracket instead of its square root."""
    minus = trinomial.b.real_sign() < 0
    return _same_brackets(trinomial, -trinomial.c if minus else trinomial.c)


@pattern(
    source="from memory",
    shows=(
        "solve | x^2 - 6x = 16 | 2, -8",
        "solve | x^2 + 4x = 26 | 2 + sqrt(30), 2 - sqrt(30)",
    ),
    silent=(
        "solve | x^2 - 6x = 16 | 8, -2",
        "solve | x^2 - 6x = 16 | -8, -2",
    ),
)
@instead_of(binomial_term, Place.COMPLETING_THE_SQUARE)
def binomial_sign_lost(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Gives the binomial the opposite sign."""
    return -number


@binomial_sign_lost.also(
    binomial_term,
    Place.REWRITING,
    shows=("rewrite | y = x^2 - 6x + 5 | (x + 3)^2 - 4",),
    silent=("rewrite | y = x^2 - 6x + 5 | (x - 3)^2 - 4",),
)
def _other_sign(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Gives the bracket the opposite sign."""
    return -number


@pattern(
    source="a teacher's list of errors, 2015; Makgakga 2023 (kind of error)",
    shows=(
        "solve | 5x^2 + 9x - 12 = 0 | x = -9/2 ± √(129)/2",
        "solve | 2x^2 + 8x = 10 | -4 + sqrt(26), -4 - sqrt(26)",
    ),
    silent=(
        "solve | 2x^2 + 8x = 10 | 1, -5",
        "solve | x^2 + 8x = 10 | -4 + sqrt(26), -4 - sqrt(26)",
    ),
)
@instead_of(divide_by_leading, Place.COMPLETING_THE_SQUARE)
def leading_coefficient_dropped(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd]:
    """Solves as if the number before the square were 1, the other numbers unchanged."""
    return b, right


@leading_coefficient_dropped.also(
    divide_off,
    Place.SQUARE_ROOT,
    shows=(
        "solve | 4x^2 = 36 | 6, -6",
        "solve | 3(x - 1)^2 = 12 | 1 + 2sqrt(3), 1 - 2sqrt(3)",
    ),
    silent=("solve | 4x^2 = 36 | 3, -3",),
)
def _number_before_square_left(scale: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    return (right, ONE) if scale != 1 else None


@pattern(
    source="Zakaria, Ibrahim and Maat 2010 (kind of error); from memory",
    shows=(
        "solve | 3x^2 - x = 6 | 1/6 + sqrt(217)/6; 1/6 - sqrt(217)/6",
        "solve | 2x^2 + 8x = 10 | -2 + sqrt(14), -2 - sqrt(14)",
    ),
    silent=(
        "solve | 2x^2 + 8x = 10 | 1, -5",
        "solve | 2x^2 + 8x = 10 | -4 + sqrt(26), -4 - sqrt(26)",
    ),
)
@instead_of(divide_by_leading, Place.COMPLETING_THE_SQUARE)
def right_side_not_divided(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd]:
    """Divides the left side by the number before the square and leaves the right side as it is."""
    return b / a, right


@pattern(
    source="Ashlock 2006 (related: the first fraction turned over); common practice",
    shows=(
        r"solve | 2x^2 - 3x = 5 | x=3\pm \frac{\sqrt{46}}{2}",
        "solve | 3x^2 + 2x = 1 | -4/3 + sqrt(19)/3, -4/3 - sqrt(19)/3",
    ),
    silent=(
        "solve | 2x^2 - 3x = 5 | 5/2, -1",
        "solve | x^2 - 4x = 5 | 8 + sqrt(69), 8 - sqrt(69)",
    ),
)
@instead_of(half, Place.COMPLETING_THE_SQUARE, Place.SQUARE_CONSTANT)
def fraction_doubled_not_halved(number: Surd) -> Surd | None:
    """Doubles a fraction where it should be halved: half of 3/2 becomes 3."""
    return number * 2 if number.denominator != 1 else None
