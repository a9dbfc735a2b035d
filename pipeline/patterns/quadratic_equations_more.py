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
    divide_off,
    report,
    root,
    shift_back,
)
from pipeline.procedures.walk import Ending

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
