"""Errors with the zero product property."""

from __future__ import annotations

from collections.abc import Callable

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients
from pipeline.exact.evaluate import root_of
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, tree_of_polynomial
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, UNKNOWN, ZERO, Equation, Linear
from pipeline.procedures.inequalities import choose_region, ray
from pipeline.procedures.operations import (
    Roots,
    carry_constants,
    copy_equation,
    divide_factors,
    gather_right_side,
    pair_of_factors,
    primitive,
    report,
    take_out_unknown,
)
from pipeline.procedures.polynomial_equations import factor_out_powers, roots_of_rest
from pipeline.procedures.walk import NO_SOLUTION, Choices, Ending, Place
from pipeline.tasks.domain import Condition, boundary


@pattern(
    source="college algebra notes in a public repository; Reid O'Connor and Norton 2022",
    shows=(
        "solve | (x + 1)(x - 5) = 0 | x=1 or x=-5",
        "solve | x^2 - 7x + 12 = 0 | -3, -4",
    ),
    silent=(
        "solve | (x + 1)(x - 5) = 0 | x=-1 or x=5",
        "solve | (x + 1)(x - 5) = 0 | 1, 5",
    ),
)
@instead_of(carry_constants, Place.FACTORING)
def root_takes_factor_sign(factors: tuple[Linear, ...], right: Surd) -> tuple[Linear, ...] | None:
    """Reads each root off its factor with the sign as it stands: x + 3 gives 3."""
    return None if right else factors


@root_takes_factor_sign.also(
    boundary,
    Place.DOMAIN,
    shows=(
        "domain | 1/(x - 3) | x != -3",
        "domain | sqrt(x + 4) | x >= 4",
    ),
    silent=("domain | 1/(x - 3) | x != 3",),
)
def _boundary_takes_sign(condition: Condition) -> Region | None:
    """Reads the boundary off with the sign as it stands: x - 3 gives -3."""
    mirrored = tuple(
        -number if power % 2 else number for power, number in enumerate(condition.inside)
    )
    if condition.kind == "nonzero":
        return boundary(Condition("nonzero", mirrored))
    if len(condition.inside) != 2:
        return None
    flipped = (-condition.inside[0], condition.inside[1])
    return boundary(Condition(condition.kind, flipped))


@root_takes_factor_sign.also(roots_of_rest, Place.POLYNOMIAL_EQUATION)
def _signs_as_they_stand(numbers: Coefficients) -> Roots | None:
    if not any(numbers[1:-1]):
        return None  # x^3 = -27: no factor is in sight
    return frozenset(-one for one in roots_of_rest(numbers))


def _misread(carried: tuple[Linear, ...], wrong: Callable[[Linear], Surd]) -> Choices:
    """Misread every factor with a coefficient, or one of them."""
    usual = divide_factors(carried)
    odd = [i for i, one in enumerate(carried) if one.p not in (ONE, -ONE) and one.q]
    chosen = [odd] + ([[i] for i in odd] if len(odd) > 1 else [])
    return Choices(
        tuple(wrong(one) if i in places else usual[i] for i, one in enumerate(carried))
        for places in chosen
    )


@pattern(
    source="Scofield 2003",
    shows=(
        "solve | (2x - 7)(x + 8) = 0 | 7, -8",
        "solve | (3x + 2)(5x - 4) = 0 | -2, 4",
    ),
    silent=(
        "solve | (2x - 7)(x + 8) = 0 | 7/2, -8",
        "solve | (x - 7)(x + 8) = 0 | -7, 8",
    ),
)
@instead_of(divide_factors, Place.FACTORING)
def root_ignores_coefficient(carried: tuple[Linear, ...]) -> Choices:
    """Does not divide by the number before the unknown of a factor: 2x - 7 gives 7."""
    return _misread(carried, lambda one: one.q)


@pattern(
    source="from memory",
    shows=(
        "solve | (3x + 7)(x - 3) = 0 | -3/7, 3",
        "solve | (2x - 5)(x + 4) = 0 | 2/5, -4",
    ),
    silent=(
        "solve | (3x + 7)(x - 3) = 0 | -7/3, 3",
        "solve | (x + 7)(x - 3) = 0 | -1/7, 1/3",
    ),
)
@instead_of(divide_factors, Place.FACTORING)
def root_upside_down(carried: tuple[Linear, ...]) -> Choices:
    """Turns the root of a factor upside down: 3x + 7 gives -3/7."""
    return _misread(carried, lambda one: one.p / one.q)


def _common_factor(a: Surd, b: Surd) -> Surd:
    whole = primitive(a, b, ZERO)
    return ONE if whole is None else a / whole[0]


def _products_with_unknown(a: Surd, b: Surd, k: Surd) -> list[tuple[tuple[Linear, ...], Surd]]:
    """Write a*x^2 + b*x as a product in the usual ways, each with the right side that is left."""
    common = _common_factor(a, b)
    bare, rest = Linear(ONE, ZERO), Linear(a / common, b / common)
    found: list[tuple[tuple[Linear, ...], Surd]] = [((bare, Linear(a, b)), k)]
    if common != ONE:
        found += [((Linear(common, ZERO), rest), k), ((bare, rest), k / common)]
    return found


@pattern(
    source="Mid-Atlantic Center and University of Georgia 2005; OpenStax Elementary Algebra 2e,"
    " 10.2",
    shows=(
        "solve | (x - 1)(x - 4) = 10 | 11, 14",
        "solve | (x - 7)(x + 4) = 8 | 15, 4",
        "solve | x^2 - 2x = 4 | 4; 6",
        "solve | x^2 - 8x + 15 = 0 | -15, -7",
    ),
    silent=(
        "solve | (x - 7)(x + 4) = 0 | 7, 4",
        "solve | (x - 1)(x + 4) = 14 | 3, -6",
    ),
)
@instead_of(gather_right_side, Place.FACTORING)
def zero_product_with_nonzero(equation: Equation) -> Choices | None:
    """Sets each factor equal to the right side although that side is not zero."""
    found = _products_before_zero_form(equation)
    return Choices(dict.fromkeys(found)) if found else None


def _products_before_zero_form(equation: Equation) -> list[tuple[tuple[Linear, ...], Surd]]:
    """Write the left side as a product, though the right side is another number than zero."""
    (a, b, c), (a2, b2, k) = equation.left, equation.right
    if a2 or b2 or not a:
        return []
    if not k:
        carried = b and c and not equation.factors
        return _products_with_unknown(a, b, -c) if carried else []
    if equation.factors:
        return [(equation.factors, k), (equation.factors, k / equation.scale)]
    if not c:
        return _products_with_unknown(a, b, k) if b else []
    try:
        return [(pair_of_factors(a, b, c), k)] if b else []
    except CannotBeWorked:
        return []


@pattern(
    source="common practice",
    shows=(
        "solve | (x - 2)(x - 5) = 4 | 2, 5",
        "solve | (2x - 1)(x + 3) = 4 | 1/2, -3",
        "solve | x(x - 3) = 10 | 0, 3",
        "solve | x^2 - 5x = 6 | 0, 5",
    ),
    silent=(
        "solve | (x - 2)(x - 5) = 4 | 1, 6",
        "solve | (x - 2)(x - 5) = 4 | 6, 9",
        "solve | (x - 2)(x - 5) = 0 | 2, 5",
        "solve | x^2 - 5x = 0 | 0, 5",
        "solve | x^2 = 5x | 0, 5",
    ),
)
@instead_of(gather_right_side, Place.FACTORING)
def factors_set_to_zero_despite_right_side(equation: Equation) -> Choices | None:
    """Sets each factor to zero although the right side is another number."""
    found = dict.fromkeys(factors for factors, _ in _products_before_zero_form(equation))
    return Choices((factors, ZERO) for factors in found) if found else None


@pattern(
    source="a note kept in a web collection; Vaiyavutjamai and Clements 2006 (from memory)",
    shows=(
        "solve | 4x^2 = -11x | -11/4",
        "solve | x^2 - 6x = 0 | x = 6",
    ),
    silent=(
        "solve | 4x^2 = -11x | 0, -11/4",
        "solve | x^2 - 5x + 6 = 0 | 3",
    ),
)
@instead_of(take_out_unknown, Place.FACTORING)
def divided_out_unknown(a: Surd, b: Surd) -> tuple[Linear, ...]:
    """Divides both sides by the unknown and loses the root 0."""
    return (Linear(a, b),)


@divided_out_unknown.also(
    choose_region,
    Place.QUADRATIC_INEQUALITY,
    shows=("solve | x^2 < 4x | x < 4", "solve | x^2 >= 5x | x >= 5"),
    silent=("solve | x^2 < 4x | 0 < x < 4",),
)
def _inequality_divided(roots: tuple[Surd, ...], sign: str, written: str) -> Region | None:
    return ray(sign, sum(roots, ZERO)) if len(roots) == 2 and ZERO in roots else None


@divided_out_unknown.also(factor_out_powers, Place.POLYNOMIAL_EQUATION)
def _root_zero_lost(numbers: Coefficients) -> tuple[Coefficients, bool]:
    return factor_out_powers(numbers)[0], False


@divided_out_unknown.also(
    copy_equation,
    Place.LINEAR,
    shows=("solve | 6x = 4x | no solution", "solve | 3x = 7x | no solution"),
    silent=("solve | 6x = 4x | 0", "solve | 6x = 4x + 2 | no solution"),
)
def _divided_to_false_statement(equation: Equation) -> Ending | None:
    """Divides both sides by the unknown, so that a false statement such as 6 = 4 is left."""
    alone = not (equation.left[2] or equation.right[2]) and equation.left[1] and equation.right[1]
    return Ending(NO_SOLUTION) if alone else None


@pattern(
    source="common practice",
    shows=(
        "solve | x^2 = 5x | ±sqrt(5)",
        "solve | 2y^2 = 6y | ±sqrt(3)",
    ),
    silent=(
        "solve | x^2 = 5x | 0, 5",
        "solve | x^2 = 5x | 5",
        "solve | x^2 = 5 | sqrt(5)",
    ),
)
@instead_of(copy_equation, Place.SQUARE_ROOT)
def unknown_left_out_on_one_side(equation: Equation) -> Equation | None:
    """Divides the side without the square by the unknown, or leaves its letter out."""
    (a, b, c), (a2, b2, c2) = equation.left, equation.right
    if a2 or c2 or b or c or not (a and b2):
        return None
    return Equation(equation.left, (ZERO, ZERO, b2))


@unknown_left_out_on_one_side.also(
    take_out_unknown,
    Place.FACTORING,
    shows=("solve | x^2 - 9x = 0 | 3, -3", "solve | 2x^2 - 6x = 0 | ±sqrt(3)"),
    silent=("solve | x^2 - 9x = 0 | 0, 9", "solve | x^2 - 9x = 0 | 3"),
)
def _unknown_left_out_of_linear_term(a: Surd, b: Surd) -> tuple[Linear, ...] | None:
    root = root_of(-b / a, 2)
    if root is None or not root.is_real:
        return None
    return (Linear(ONE, -root), Linear(ONE, root))


@pattern(
    source="Didis and Erbas 2015 (from memory); Vaiyavutjamai and Clements 2006 (from memory)",
    shows=(
        "solve | x^2 + 12x + 27 = 0 | -9",
        "solve | (x - 2)(x + 3) = 0 | x = 2",
    ),
    silent=(
        "solve | x^2 + 12x + 27 = 0 | -9, -3",
        "solve | x^2 + 12x + 27 = 0 | 9",
    ),
)
@instead_of(report, Place.FACTORING)
def second_root_left_out(roots: Roots) -> Choices | None:
    """Reports the root of one factor only."""
    if len(roots) < 2:
        return None
    return Choices(frozenset({one}) for one in roots)


_one_root = second_root_left_out.moves[0].version
second_root_left_out.also(
    report,
    Place.SQUARE_ROOT,
    Place.COMPLETING_THE_SQUARE,
    Place.QUADRATIC_FORMULA,
    late=True,
)(_one_root)
second_root_left_out.also(
    report, Place.RADICAL_EQUATION, Place.POWER_EQUATION, Place.RATIONAL_EQUATION
)(_one_root)


@second_root_left_out.also(report, Place.POLYNOMIAL_EQUATION, Place.QUADRATIC_FORM)
def _one_root_left_out(roots: Roots) -> Choices | None:
    return Choices(roots - {one} for one in roots) if len(roots) > 1 else None


@pattern(
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
@instead_of(copy_equation, Place.FACTORING)
def constant_factor_counted_as_root(equation: Equation) -> Ending | None:
    """Counts the number before the brackets as a solution."""
    if equation.scale in (ONE, -ONE) or not equation.factors or any(equation.right):
        return None
    roots = {-one.q / one.p for one in equation.factors}
    return Ending(frozenset({equation.scale, *roots}))


@pattern(
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
@instead_of(copy_equation, Place.FACTORING)
def square_joined_with_first_power(equation: Equation) -> Ending | None:
    """Joins the square and the first power of the unknown, as if the equation were linear."""
    a, b, c = equation.zero_form
    if not b or not (a + b):
        return None
    return Ending(frozenset({-c / (a + b)}))


@pattern(
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
@instead_of(report, Place.FACTORING)
def double_root_given_both_signs(roots: Roots) -> Roots | None:
    """Gives a repeated root with both signs."""
    if len(roots) != 1:
        return None
    (only,) = roots
    return frozenset({only, -only})


@pattern(
    source="Makonye and Nhlanhla 2014 (what the question asks is misread)",
    shows=(
        "solve | x^2 - x - 6 = 0 | (x - 3)(x + 2)",
        "solve | 2t^2 + 7t + 3 = 0 | (2t + 1)(t + 3)",
    ),
    silent=(
        "solve | x^2 - x - 6 = 0 | (x - 3)(x + 2) = 0",
        "solve | x^2 - x - 6 = 0 | (x + 3)(x - 2)",
        "solve | x^2 - x - 6 = 0 | 3, -2",
    ),
)
@instead_of(carry_constants, Place.FACTORING)
def stopped_at_factors(factors: tuple[Linear, ...], right: Surd) -> Ending | None:
    """Factors the equation's side and stops there, without the solutions."""
    if right:
        return None
    product = Polynomial.constant(1)
    for one in factors:
        product = product * Polynomial.univariate(UNKNOWN, (one.q, one.p))
    return Ending(tree_of_polynomial(product))
