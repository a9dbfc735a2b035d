"""Errors with the zero product property."""

from __future__ import annotations

from collections.abc import Callable

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Equation, Linear
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
from pipeline.procedures.walk import Abandoned, Choices

_SKILL = "zero product"


@pattern(
    "root-takes-factor-sign",
    skill=_SKILL,
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
@instead_of(carry_constants, "factoring")
def root_takes_factor_sign(factors: tuple[Linear, ...], right: Surd) -> tuple[Linear, ...] | None:
    """Reads each root off its factor with the sign as it stands: x + 3 gives 3."""
    return None if right else factors


@pattern(
    "root-ignores-coefficient",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students",
    shows=(
        "solve | (2x - 7)(x + 8) = 0 | 7, -8",
        "solve | (3x + 2)(5x - 4) = 0 | -2, 4",
    ),
    silent=(
        "solve | (2x - 7)(x + 8) = 0 | 7/2, -8",
        "solve | (x - 7)(x + 8) = 0 | -7, 8",
    ),
)
@instead_of(divide_factors, "factoring")
def root_ignores_coefficient(carried: tuple[Linear, ...]) -> Choices:
    """Does not divide by the number before the unknown of a factor: 2x - 7 gives 7."""
    return _misread(carried, lambda one: one.q)


@pattern(
    "root-upside-down",
    skill=_SKILL,
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
@instead_of(divide_factors, "factoring")
def root_upside_down(carried: tuple[Linear, ...]) -> Choices:
    """Turns the root of a factor upside down: 3x + 7 gives -3/7."""
    return _misread(carried, lambda one: one.p / one.q)


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
    "zero-product-with-nonzero",
    skill=_SKILL,
    source="Mid-Atlantic Center and University of Georgia, Situation 45: Zero-Product Property;"
    " OpenStax Elementary Algebra 2e, 10.2",
    shows=(
        "solve | (x - 7)(x + 4) = 8 | 15, 4",
        "solve | x^2 - 2x = 4 | 4; 6",
    ),
    silent=(
        "solve | (x - 7)(x + 4) = 0 | 7, 4",
        "solve | (x - 1)(x + 4) = 14 | 3, -6",
    ),
)
@instead_of(gather_right_side, "factoring")
def zero_product_with_nonzero(equation: Equation) -> Choices | None:
    """Sets each factor equal to the right side although that side is not zero."""
    (a, b, c), (a2, b2, k) = equation.left, equation.right
    if a2 or b2 or not k or not a:
        return None
    if equation.factors:
        sides = dict.fromkeys((k, k / equation.scale))
        return Choices((equation.factors, side) for side in sides)
    if c:
        try:
            return Choices([(pair_of_factors(a, b, c), k)]) if b else None
        except Abandoned:
            return None
    return Choices(_products_with_unknown(a, b, k)) if b else None


def _products_with_unknown(a: Surd, b: Surd, k: Surd) -> list[tuple[tuple[Linear, ...], Surd]]:
    """Write a*x^2 + b*x as a product in the usual ways, each with the right side that is left."""
    common = _common_factor(a, b)
    bare, rest = Linear(ONE, ZERO), Linear(a / common, b / common)
    found: list[tuple[tuple[Linear, ...], Surd]] = [((bare, Linear(a, b)), k)]
    if common != ONE:
        found += [((Linear(common, ZERO), rest), k), ((bare, rest), k / common)]
    return found


def _common_factor(a: Surd, b: Surd) -> Surd:
    whole = primitive(a, b, ZERO)
    return ONE if whole is None else a / whole[0]


@pattern(
    "divided-out-unknown",
    skill=_SKILL,
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
@instead_of(take_out_unknown, "factoring")
def divided_out_unknown(a: Surd, b: Surd) -> tuple[Linear, ...]:
    """Divides both sides by the unknown and loses the root 0."""
    return (Linear(a, b),)


@pattern(
    "unknown-left-out-on-one-side",
    skill=_SKILL,
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
@instead_of(copy_equation, "square-root property")
def unknown_left_out_on_one_side(equation: Equation) -> Equation | None:
    """Divides the side without the square by the unknown, or leaves its letter out."""
    (a, b, c), (a2, b2, c2) = equation.left, equation.right
    if a2 or c2 or b or c or not (a and b2):
        return None
    return Equation(equation.left, (ZERO, ZERO, b2))


@pattern(
    "second-root-left-out",
    skill=_SKILL,
    source="Didis and Erbas 2015; Vaiyavutjamai and Clements 2006 (both from memory)",
    shows=(
        "solve | x^2 + 12x + 27 = 0 | -9",
        "solve | (x - 2)(x + 3) = 0 | x = 2",
    ),
    silent=(
        "solve | x^2 + 12x + 27 = 0 | -9, -3",
        "solve | x^2 + 12x + 27 = 0 | 9",
    ),
)
@instead_of(report, "factoring")
def second_root_left_out(roots: Roots) -> Choices | None:
    """Reports the root of one factor only."""
    if len(roots) < 2:
        return None
    return Choices(frozenset({one}) for one in roots)


second_root_left_out.also(
    report, "square-root property", "completing the square", "quadratic formula", late=True
)(second_root_left_out.moves[0].version)
