"""Further errors in solving quadratic equations."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.completing_the_square import leading_coefficient_dropped
from pipeline.patterns.complex_numbers import minus_moved_out_of_root
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Equation
from pipeline.procedures.operations import (
    Lone,
    Roots,
    copy_equation,
    difference,
    divide_off,
    quotients,
    read_coefficients,
    report,
    root,
    shift_back,
)
from pipeline.procedures.walk import Choices, Ending

_ROOT = "square-root property"
_SQUARE = "completing the square"
_FORMULA = "quadratic formula"


@pattern(
    "constant-factor-counted-as-root",
    skill="zero product",
    source="from memory",
    shows=(
        "solve | 3(x - 4)(x + 1) = 0 | 3, 4, -1",
        "solve | 5(x + 2)(2x - 1) = 0 | 5, -2, 1/2",
    ),
    silent=(
        "solve | 3(x - 4)(x + 1) = 0 | 4, -1",
        "solve | 3(x - 4)(x + 1) = 0 | 0, 4, -1",
    ),
)
@instead_of(copy_equation, "factoring")
def constant_factor_counted_as_root(equation: Equation) -> Ending | None:
    """Counts the number before the brackets as a solution."""
    if equation.scale in (ONE, -ONE) or not equation.factors or any(equation.right):
        return None
    roots = {-one.q / one.p for one in equation.factors}
    return Ending(frozenset({equation.scale, *roots}))


@pattern(
    "square-joined-with-first-power",
    skill="zero product",
    source="Makonye and Nhlanhla 2014 (a scheme for simple equations)",
    shows=(
        "solve | (x - 1)(x + 4) = 0 | 1",
        "solve | x^2 + 5x = 12 | 2",
    ),
    silent=(
        "solve | (x - 1)(x + 4) = 0 | -4",
        "solve | x^2 = 12 | 12",
    ),
)
@instead_of(copy_equation, "factoring")
def square_joined_with_first_power(equation: Equation) -> Ending | None:
    """Joins the square and the first power of the unknown, as if the equation were linear."""
    a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
    if not b or not (a + b):
        return None
    return Ending(frozenset({-c / (a + b)}))


@pattern(
    "double-root-given-both-signs",
    skill="zero product",
    source="Didis and Erbas 2015 (from memory)",
    shows=(
        "solve | (x - 4)^2 = 0 | 4, -4",
        "solve | 4x^2 - 12x + 9 = 0 | 3/2, -3/2",
    ),
    silent=(
        "solve | (x - 4)^2 = 0 | 4",
        "solve | x^2 - 16 = 0 | 4, -4",
    ),
)
@instead_of(report, "factoring")
def double_root_given_both_signs(roots: Roots) -> Roots | None:
    """Gives a repeated root with both signs."""
    if len(roots) != 1:
        return None
    (only,) = roots
    return frozenset({only, -only})


@leading_coefficient_dropped.also(
    divide_off,
    _ROOT,
    shows=(
        "solve | 4x^2 = 36 | 6, -6",
        "solve | 3(x - 1)^2 = 12 | 1 + 2sqrt(3), 1 - 2sqrt(3)",
    ),
    silent=("solve | 4x^2 = 36 | 3, -3",),
)
def _number_before_square_left(scale: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    return (right, ONE) if scale != 1 else None


@minus_moved_out_of_root.also(
    root,
    _ROOT,
    _SQUARE,
    _FORMULA,
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
    "shift-left-out",
    skill="square root property",
    source="common practice",
    shows=(
        "solve | (x - 3)^2 = 16 | 4, -4",
        "solve | (x + 5)^2 = 7 | sqrt(7), -sqrt(7)",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | x^2 = 16 | 4, -4",
    ),
)
@instead_of(shift_back, _ROOT, _SQUARE)
def shift_left_out(shift: Surd) -> Surd:
    """Takes the root and forgets the number beside the unknown in the bracket."""
    return ZERO


@pattern(
    "root-of-discriminant-split",
    skill="quadratic formula",
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | -2, -3",
        "solve | 2x^2 - 7x + 2 = 0 | 5/2, 1",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 2, 3",
    ),
)
@instead_of(difference, _FORMULA)
def root_of_discriminant_split(square_of_b: Surd, product: Surd) -> Surd | None:
    """Takes the root of b^2 and of 4ac apart: sqrt(b^2 - 4ac) as b - sqrt(4ac)."""
    if not (square_of_b.is_rational and product.is_rational) or product.real_sign() <= 0:
        return None
    b, other = Surd.root_of(square_of_b), Surd.root_of(product)
    if b is None or other is None or not b:
        return None
    return (b - other) * (b - other)


@pattern(
    "discriminant-given-as-solution",
    skill="quadratic formula",
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
@instead_of(difference, _FORMULA)
def discriminant_given_as_solution(square_of_b: Surd, product: Surd) -> Choices | None:
    """Gives the discriminant, or its root, as the solution."""
    # A whole root is left out: small whole numbers come up by chance too often.
    value = square_of_b - product
    found = Surd.root_of(value)
    if found is None or not found.is_real or not found:
        return None
    given = [value] if found.is_rational else [value, found]
    return Choices(Ending(frozenset({one})) for one in given)


@pattern(
    "coefficients-interchanged",
    skill="quadratic formula",
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
@instead_of(read_coefficients, _FORMULA)
def coefficients_interchanged(equation: Equation) -> Choices | None:
    """Reads a for c, or b for c, when the coefficients are put into the formula."""
    a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
    if not (a and b and c):
        return None
    zero = (ZERO, ZERO, ZERO)
    return Choices((Equation((c, b, a), zero), Equation((a, c, b), zero)))


@pattern(
    "missing-term-read-as-one",
    skill="quadratic formula",
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
@instead_of(read_coefficients, _FORMULA)
def missing_term_read_as_one(equation: Equation) -> Equation | None:
    """Takes 1 for the coefficient of a term that is not there."""
    a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
    if not a or (b and c):
        return None
    return Equation((a, b or ONE, c or ONE), (ZERO, ZERO, ZERO))


@pattern(
    "denominator-of-formula-left-out",
    skill="quadratic formula",
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
@instead_of(quotients, _FORMULA)
def denominator_of_formula_left_out(minus_b: Surd, signed: tuple[Surd, ...], a: Surd) -> Roots:
    """Does not divide by 2a at all."""
    return frozenset(minus_b + one for one in signed)
