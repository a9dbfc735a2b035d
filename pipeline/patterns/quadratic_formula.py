"""Errors with the quadratic formula and its discriminant."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Power
from pipeline.patterns.expanding import two_terms
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Equation
from pipeline.procedures.operations import (
    Roots,
    axis,
    difference,
    four_a_c,
    negate,
    quotients,
    read_coefficients,
    root,
    square,
    twice_leading,
)
from pipeline.procedures.parabolas import Quadratic
from pipeline.procedures.rewriting.operations import raise_to_power
from pipeline.procedures.rewriting.terms import number, product_of, sum_of, whole
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.discriminant import read_terms


@pattern(
    source="public study pages; a case study of ten Year 11 students (kind of error)",
    shows=(
        "solve | 4x^2 - 8x + 1 = 0 | -1 + sqrt(3)/2; -1 - sqrt(3)/2",
        "solve | x^2 - 6x + 5 = 0 | -1, -5",
    ),
    silent=(
        "solve | x^2 - 6x + 5 = 0 | 1, 5",
        "solve | x^2 - 6x + 5 = 0 | -1, 5",
    ),
)
@instead_of(negate, Place.QUADRATIC_FORMULA)
def minus_b_not_negated(number: Surd) -> Surd:
    """Starts the formula with b in place of -b."""
    return number


@pattern(
    source="from memory",
    shows=(
        "solve | 4x^2 + 10x + 1 = 0 | -0.209, -4.791",
        "solve | 2x^2 + 8x + 6 = 0 | -2, -6",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | -1, -6",
    ),
)
@instead_of(twice_leading, Place.QUADRATIC_FORMULA)
def divided_by_a(a: Surd) -> Surd:
    """Divides by a instead of 2a in the formula."""
    return a


@pattern(
    source="from memory",
    shows=(
        "solve | 5x^2 - 5x - 8 = 0 | x = 5/2 ± √(185)/2",
        "solve | 3x^2 + 8x + 4 = 0 | -2, -6",
    ),
    silent=(
        "solve | 3x^2 + 8x + 4 = 0 | -2, -2/3",
        "solve | x^2 + 8x + 12 = 0 | -3, -9",
    ),
)
@instead_of(twice_leading, Place.QUADRATIC_FORMULA)
def divided_by_two(a: Surd) -> Surd:
    """Divides by 2 instead of 2a in the formula."""
    return Surd.of(2)


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.1 (caution); a public question page, 2015",
    shows=(
        "solve | 2x^2 - 8x - 5 = 0 | sqrt(26)/2 + 8, 8 - sqrt(26)/2",
        "solve | 2x^2 + 8x + 6 = 0 | -7, -9",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | 7, 9",
    ),
)
@instead_of(quotients, Place.QUADRATIC_FORMULA)
def only_root_divided(minus_b: Surd, signed: tuple[Surd, ...], below: Surd) -> Roots:
    """Divides the radical alone by 2a, and not the number before it."""
    return frozenset(minus_b + one / below for one in signed)


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.1 (caution); from memory",
    shows=(
        "solve | 2x^2 - 12x + 3 = 0 | 3 + 2sqrt(30); 3 - 2sqrt(30)",
        "solve | 2x^2 + 8x + 6 = 0 | 2, -6",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | -2, 6",
    ),
)
@instead_of(quotients, Place.QUADRATIC_FORMULA)
def only_b_divided(minus_b: Surd, signed: tuple[Surd, ...], below: Surd) -> Roots:
    """Divides -b alone by 2a, and not the radical."""
    return frozenset(minus_b / below + one for one in signed)


@pattern(
    source="from memory",
    shows=(
        "solve | 4x^2 - 11x - 6 = 0 | 57/2, -103/4",
        "solve | x^2 + 5x + 4 = 0 | 2, -7",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 9",
    ),
)
@instead_of(root, Place.QUADRATIC_FORMULA)
def discriminant_not_rooted(radicand: Surd) -> Surd:
    """Forgets to take the root of the discriminant."""
    return radicand


@pattern(
    source="public study pages; Didis and Erbas 2015 (from memory)",
    shows=(
        r"solve | 2x^2 - 12x = 9 | x=3\pm \frac{3 \sqrt{2}}{2}",
        "solve | x^2 = 5x - 6 | 1, -6",
        "discriminant | x^2 + 3x = 4 | -7",
        "discriminant | x^2 = 5x - 3 | 37",
    ),
    silent=(
        "discriminant | x^2 + 3x = 4 | 25",
        "solve | x^2 = 5x - 6 | 2, 3",
        "solve | 2x^2 - 12x - 9 = 0 | 3 + 3sqrt(6)/2, 3 - 3sqrt(6)/2",
    ),
)
@instead_of(read_coefficients, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def right_side_used_as_c(equation: Equation) -> Equation | None:
    """Reads a, b and c off the equation before it is brought to zero form."""
    if not any(equation.right) or (equation.factors and equation.left[2]):
        return None
    a, b, c = (one or two for one, two in zip(equation.left, equation.right, strict=True))
    return Equation((a, b, c), (ZERO, ZERO, ZERO))


@pattern(
    source="Slavit 2006 (power taken as a multiple); from memory",
    shows=(
        "solve | 3x^2 - 6x - 2 = 0 | x=sqrt(3)/3 + 1 or x=1 - sqrt(3)/3",
        "discriminant | 3x^2 + 8x + 4 = 0 | -32",
        "discriminant | x^2 + 5x + 4 = 0 | -6",
    ),
    silent=(
        "solve | 3x^2 - 6x - 2 = 0 | x=1 + sqrt(15)/3 or x=1 - sqrt(15)/3",
        "discriminant | 3x^2 + 8x + 4 = 0 | 16",
        "discriminant | x^2 + 2x + 1 = 0 | 0",
    ),
)
@instead_of(square, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT, Place.COMPLETING_THE_SQUARE)
def square_means_double(number: Surd, whole: Surd) -> Surd:
    """Doubles a number where it should be squared."""
    return 2 * number


@square_means_double.also(
    raise_to_power,
    shows=("expand | (2x - 7)^2 | 4x - 14", "evaluate | 7^2 | 14"),
    silent=("expand | (2x - 7)^2 | 4x^2 - 28x + 49", "evaluate | 2^2 | 4"),
)
def _doubled_base(place: Power) -> Node | None:
    """Doubles where it should be squared: takes the exponent 2 for a factor 2."""
    return product_of(number(2), place.base) if whole(place.exponent) == 2 else None


@square_means_double.also(
    raise_to_power,
    shows=("expand | (x + 6)^2 | 2x + 6", "expand | (3x - 5)^2 | 6x - 5"),
    silent=("expand | (x + 6)^2 | x^2 + 6",),
)
def _first_term_doubled(place: Power) -> Node | None:
    """Doubles where it should be squared: takes the exponent 2 for a factor 2."""
    terms = two_terms(place)
    return sum_of(product_of(number(2), terms[0]), terms[1]) if terms else None


@pattern(
    source="Scofield 2003",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | -2, -3",
        "solve | 2x^2 - 7x + 2 = 0 | 5/2, 1",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 2, 3",
    ),
)
@instead_of(difference, Place.QUADRATIC_FORMULA)
def root_of_discriminant_split(square_of_b: Surd, product: Surd) -> Surd | None:
    """Takes the root of b^2 and of 4ac apart: sqrt(b^2 - 4ac) as b - sqrt(4ac)."""
    if not (square_of_b.is_rational and product.is_rational) or product.real_sign() <= 0:
        return None
    b, other = Surd.root_of(square_of_b), Surd.root_of(product)
    if b is None or other is None or not b:
        return None
    return (b - other) * (b - other)


@pattern(
    source="a public list of errors; from memory",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | 9",
        "solve | 2x^2 - 3x - 4 = 0 | sqrt(41)",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 41",
    ),
)
@instead_of(difference, Place.QUADRATIC_FORMULA)
def discriminant_given_as_solution(square_of_b: Surd, product: Surd) -> Choices | None:
    """Gives the discriminant, or its root, as the solution."""
    value = square_of_b - product
    found = Surd.root_of(value)
    if found is None or not found.is_real or not found:
        return None
    given = [{value}, {found, -found}] + ([] if found.is_rational else [{found}])
    return Choices(Ending(frozenset(one)) for one in given)


@pattern(
    source="a public list of errors; from memory",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | 3",
        "solve | 2x^2 + 5x - 12 = 0 | 11",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -3",
        "solve | 2x^2 - 3x - 4 = 0 | sqrt(41)",
        "solve | x^2 - 6x = 0 | 6",
    ),
)
@instead_of(difference, Place.QUADRATIC_FORMULA)
def root_of_discriminant_given_as_solution(square_of_b: Surd, product: Surd) -> Ending | None:
    """Gives the root of the discriminant, a whole number or a fraction, as the solution."""
    found = Surd.root_of(square_of_b - product) if product else None
    if found is None or not found.is_rational or not found:
        return None  # without a product, the root is b itself, which has nothing to do with it
    return Ending(frozenset({found}))


@pattern(
    source="from memory",
    shows=(
        "solve | 3x^2 + 5x + 2 = 0 | -1, -3/2",
        "solve | 2x^2 - 7x + 4 = 0 | (7 + sqrt(17))/8, (7 - sqrt(17))/8",
    ),
    silent=(
        "solve | 3x^2 + 5x + 2 = 0 | -1, -2/3",
        "solve | x^2 + 5x + 1 = 0 | 1, 2",
    ),
)
@instead_of(read_coefficients, Place.QUADRATIC_FORMULA)
def coefficients_interchanged(equation: Equation) -> Choices | None:
    """Reads a for c, or b for c, when the coefficients are put into the formula."""
    a, b, c = equation.zero_form
    if not (a and b and c):
        return None
    zero = (ZERO, ZERO, ZERO)
    return Choices((Equation((c, b, a), zero), Equation((a, c, b), zero)))


@pattern(
    source="common practice",
    shows=(
        "solve | 3x + x^2 = 4 | 1, -4/3",
        "discriminant | 3x + x^2 = 4 | 49",
        "discriminant | 6x + x^2 + 4 = 0 | -95",
        "solve | 2 - 5x + 3x^2 = 0 | 1, 3/2",
    ),
    silent=(
        "solve | 3x + x^2 = 4 | 1, -4",
        "discriminant | 3x + x^2 = 4 | 25",
        "discriminant | x^2 + 6x + 4 = 0 | -95",
        "discriminant | 5 + 3x + x^2 = 0 | -11",
    ),
)
@instead_of(read_coefficients, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def coefficients_read_in_order(equation: Equation) -> Equation | None:
    """Reads a, b and c in the order the terms stand in, whichever powers they have."""
    order, right = equation.order, equation.right
    if len(order) < 2 or not {1, 2} <= set(order) <= {0, 1, 2} or any(right[:2]):
        return None
    a, b, c = (*(equation.left[2 - power] for power in order), ZERO)[:3]
    return Equation((a, b, c), right) if order != tuple(sorted(order, reverse=True)) else None


@pattern(
    source="from memory",
    shows=(
        "solve | x^2 - 9 = 0 | (-1 + sqrt(37))/2, (-1 - sqrt(37))/2",
        "solve | 2x^2 + 5x = 0 | (-5 + sqrt(17))/4, (-5 - sqrt(17))/4",
    ),
    silent=(
        "solve | x^2 - 9 = 0 | 3, -3",
        "solve | x^2 + x - 9 = 0 | (-1 + sqrt(37))/2, (-1 - sqrt(37))/2",
    ),
)
@instead_of(read_coefficients, Place.QUADRATIC_FORMULA)
def missing_term_read_as_one(equation: Equation) -> Equation | None:
    """Takes 1 for the coefficient of a term that is not there."""
    a, b, c = equation.zero_form
    if not a or (b and c):
        return None
    return Equation((a, b or ONE, c or ONE), (ZERO, ZERO, ZERO))


@missing_term_read_as_one.also(
    read_terms,
    Place.DISCRIMINANT,
    shows=("discriminant | x^2 + 6x = 0 | 32", "discriminant | 2x^2 - 5 = 0 | 41"),
    silent=("discriminant | x^2 + 6x = 0 | 36", "discriminant | x^2 + 6x + 1 = 0 | 32"),
)
def _read_as_one_for_discriminant(a: Surd, b: Surd, c: Surd, letter: str) -> Quadratic | None:
    return None if b and c else Quadratic(a, b or ONE, c or ONE, letter)


@pattern(
    source="common practice",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | -2, -8",
        "solve | 2x^2 + 8x + 6 = 0 | -4, -12",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 2, 8",
    ),
)
@instead_of(twice_leading, Place.QUADRATIC_FORMULA)
def denominator_of_formula_left_out(a: Surd) -> Surd:
    """Does not divide by 2a at all."""
    return ONE


@denominator_of_formula_left_out.also(
    axis,
    Place.VERTEX,
    Place.COORDINATE,
    shows=("vertex | y = 2x^2 + 8x + 3 | (-8, 67)", "vertex | y = 3x^2 - 6x | (6, 72)"),
    silent=("vertex | y = 2x^2 + 8x + 3 | (-2, -5)", "vertex | y = x^2 - 4x + 7 | (2, 3)"),
)
def _axis_left_at_minus_b(a: Surd, b: Surd) -> Surd:
    return -b


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.7 (caution); public study pages; Cangelosi et al."
    " 2013 (kind of error)",
    shows=(
        "solve | 2x^2 - 6x - 6 = 0 | x = 3/2 ± √(3)/2",
        "discriminant | 3x^2 - 5x + 7 = 0 | -109",
        "discriminant | x^2 - 4x + 3 = 0 | -28",
    ),
    silent=(
        "solve | 2x^2 - 6x - 6 = 0 | x = 3/2 ± √(21)/2",
        "discriminant | 3x^2 + 5x + 7 = 0 | -109",
        "discriminant | x^2 - 4x + 3 = 0 | 4",
    ),
)
@instead_of(square, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def negative_b_squared_negative(number: Surd, whole: Surd) -> Surd | None:
    """Takes the square of a negative b as negative."""
    return -(number * number) if number.is_real and number.real_sign() < 0 else None


@pattern(
    source="a public question page, 2015; Zakaria, Ibrahim and Maat 2010 (kind of error)",
    shows=(
        "solve | 3x^2 + 7x + 3 = 0 | 0.370, -2.703",
        "discriminant | 2x^2 - 3x - 9 = 0 | -63",
        "discriminant | x^2 + 5x + 4 = 0 | 41",
    ),
    silent=(
        "solve | 3x^2 + 7x + 3 = 0 | -0.566, -1.768",
        "discriminant | 2x^2 - 3x - 9 = 0 | 81",
        "discriminant | x^2 + 5x + 4 = 0 | 9",
    ),
)
@instead_of(difference, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def four_ac_added(square_of_b: Surd, product: Surd) -> Surd:
    """Adds 4ac in the discriminant instead of subtracting it."""
    return square_of_b + product


@pattern(
    source="common practice",
    shows=(
        "solve | 3x^2 + 10x + 4 = 0 | -5/3 + sqrt(22)/3; -5/3 - sqrt(22)/3",
        "discriminant | 2x^2 + 9x + 1 = 0 | 79",
        "discriminant | x^2 + 5x + 4 = 0 | 21",
    ),
    silent=(
        "solve | 3x^2 + 10x + 4 = 0 | -5/3 + sqrt(13)/3; -5/3 - sqrt(13)/3",
        "discriminant | 2x^2 + 9x + 1 = 0 | 73",
    ),
)
@instead_of(four_a_c, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def four_left_out(a: Surd, c: Surd) -> Surd:
    """Uses ac in place of 4ac in the discriminant."""
    return a * c


@pattern(
    source="from memory",
    shows=(
        "solve | 5x^2 - 9x + 3 = 0 | sqrt(69)/10 + 9/10, 9/10 - sqrt(69)/10",
        "solve | 2x^2 + 5x + 1 = 0 | -5/4 + sqrt(21)/4, -5/4 - sqrt(21)/4",
    ),
    silent=(
        "solve | 2x^2 + 5x + 1 = 0 | -5/4 + sqrt(17)/4, -5/4 - sqrt(17)/4",
        "solve | x^2 + 5x + 1 = 0 | -5/2 + sqrt(17)/2, -5/2 - sqrt(17)/2",
    ),
)
@instead_of(four_a_c, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def a_left_out_of_discriminant(a: Surd, c: Surd) -> Surd:
    """Uses 4c in place of 4ac in the discriminant."""
    return 4 * c
