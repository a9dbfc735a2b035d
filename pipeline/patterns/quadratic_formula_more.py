"""Further errors with the quadratic formula."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Equation
from pipeline.procedures.operations import Roots, difference, quotients, read_coefficients
from pipeline.procedures.walk import Choices, Ending

_FORMULA = "quadratic formula"


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
    value = square_of_b - product
    found = Surd.root_of(value)
    if found is None or not found.is_real or not found:
        return None
    given = [{value}, {found, -found}] + ([] if found.is_rational else [{found}])
    return Choices(Ending(frozenset(one)) for one in given)


@pattern(
    "root-of-discriminant-given-as-solution",
    skill="quadratic formula",
    source="a public list of errors; from memory",
    shows=(
        "solve | x^2 + 5x + 4 = 0 | 3",
        "solve | 2x^2 + 5x - 12 = 0 | 11",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -3",
        "solve | 2x^2 - 3x - 4 = 0 | sqrt(41)",
    ),
)
@instead_of(difference, _FORMULA)
def root_of_discriminant_given_as_solution(square_of_b: Surd, product: Surd) -> Ending | None:
    """Gives the root of the discriminant, a whole number or a fraction, as the solution."""
    found = Surd.root_of(square_of_b - product)
    if found is None or not found.is_rational or not found:
        return None
    return Ending(frozenset({found}))


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
