"""The ways to solve a linear equation, and the four ways to solve a quadratic one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import (
    ONE,
    ZERO,
    Bracket,
    Branches,
    Difference,
    Equation,
    Formula,
    Linear,
    Square,
    product_of,
    squared,
)
from pipeline.procedures.walk import NO_REAL, Place, Plan, Walk


def factor(step: Walk, equation: Equation) -> op.Roots:
    """Bring to zero form, factor, and set each factor to zero."""
    place = Place.FACTORING
    equation = step.do(op.copy_equation, place, equation)
    early = step.do(op.gather_right_side, place, equation)
    if early is not None:
        factors, right = early
    elif equation.factors and not equation.right[2]:
        factors, right = _without_lost_root(step, equation), ZERO
    else:
        a, b, c = _zero_form(step, place, equation)
        factors, right = _factors(step, a, b, c), ZERO
    step.write(product_of, factors, right)
    carried = step.do(op.carry_constants, place, factors, right)
    roots = frozenset(step.do(op.divide_factors, place, carried))
    return step.do(op.report, place, roots)


def _without_lost_root(step: Walk, equation: Equation) -> tuple[Linear, ...]:
    bare = [one for one in equation.factors if not one.q]
    other = [one for one in equation.factors if one.q]
    if not bare:
        return equation.factors
    return step.do(op.take_out_unknown, Place.FACTORING, other[0].p, other[0].q)


def _factors(step: Walk, a: Surd, b: Surd, c: Surd) -> tuple[Linear, ...]:
    if not c:
        return step.do(op.take_out_unknown, Place.FACTORING, a, b)
    return step.do(op.pair_of_factors, Place.FACTORING, a, b, c)


def take_square_roots(step: Walk, equation: Equation) -> op.Roots:
    """Isolate the square and take both square roots."""
    place = Place.SQUARE_ROOT
    equation = step.do(op.copy_equation, place, equation)
    square, right = _square_and_right(step, equation)
    at_once = step.do(op.isolate_square, place, square.scale, square.rest, right)
    if at_once is not None:
        scale, value = at_once
        return frozenset({(value - scale * square.q) / (scale * square.p)})
    if square.rest:
        right = step.do(op.carry_constant, place, right, square.rest)
    step.write(squared, square.scale, square.p, square.q, right)
    value, before = step.do(op.divide_off, place, square.scale, right)
    return _from_square(step, place, (before * square.p, before * square.q), value)


def _square_and_right(step: Walk, equation: Equation) -> tuple[Square, Surd]:
    """See the square as written, a*x^2 + c on one side, or a perfect-square trinomial."""
    (a, b, c), (a2, b2, c2) = equation.left, equation.right
    if equation.square:
        return equation.square, c2
    if b == b2:
        whole = step.do(op.carry_unknown, Place.SQUARE_ROOT, a, a2) if a2 else a
        return Square(whole, ONE, ZERO, c), c2
    lead = Surd.root_of(a)
    if a2 or b2 or lead is None or not lead.is_rational or b * b != 4 * a * c or not a:
        raise CannotBeWorked
    return Square(ONE, lead, b / (2 * lead), ZERO), c2


def complete_the_square(step: Walk, equation: Equation) -> op.Roots:
    """Move the constant right, divide by a, add the square of half the coefficient, take roots."""
    place = Place.COMPLETING_THE_SQUARE
    equation = step.do(op.copy_equation, place, equation)
    a, b, right = _constant_right(step, place, equation)
    if not b:
        raise CannotBeWorked
    step.write(Equation, (a, b, ZERO), (ZERO, ZERO, right))
    whole, right = step.do(op.divide_by_leading, place, a, b, right)
    half = step.do(op.half, place, whole)
    added = step.do(op.square, place, half, whole)
    total = step.do(op.add_square, place, right, added)
    term = step.do(op.binomial_term, place, half, added, whole)
    step.write(squared, ONE, ONE, term, total)
    return _from_square(step, place, (ONE, term), total)


def _from_square(step: Walk, place: str, linear: tuple[Surd, Surd], value: Surd) -> op.Roots:
    """From (p*x + q)^2 = value go on to x."""
    p, q = linear
    signed = _signed_roots(step, place, value)
    step.write(Branches, p, q, signed)
    if q:
        carried = step.do(op.shift_back, place, q)
        signed = step.do(op.add_shift, place, carried, signed)
    if p != ONE:
        signed = step.do(op.divide_each, place, signed, p)
    return step.do(op.report, place, frozenset(signed))


def _signed_roots(step: Walk, place: str, radicand: Surd) -> tuple[Surd, ...]:
    if radicand.is_rational and radicand.terms and radicand.terms[0][1] < 0:
        step.may_end(NO_REAL)
    value = step.do(op.root, place, radicand)
    return step.do(op.branches, place, value)


def use_the_formula(step: Walk, equation: Equation) -> op.Roots:
    """Bring to zero form and use the quadratic formula."""
    place = Place.QUADRATIC_FORMULA
    equation = step.do(op.copy_equation, place, equation)
    equation = step.do(op.read_coefficients, place, equation)
    a, b, c = _zero_form(step, place, equation)
    step.write(Equation, (a, b, c), (ZERO, ZERO, ZERO))
    minus_b = step.do(op.negate, place, b)
    radicand = discriminant(step, place, (a, b, c))
    signed = _signed_roots(step, place, radicand)
    below = step.do(op.twice_leading, place, a)
    step.write(Formula, minus_b, radicand, signed, below)
    return step.do(op.report, place, step.do(op.quotients, place, minus_b, signed, below))


def discriminant(step: Walk, place: str, abc: tuple[Surd, Surd, Surd]) -> Surd:
    """Compute b^2 - 4ac."""
    a, b, c = abc
    squared = step.do(op.square, place, b, b)
    product = step.do(op.four_a_c, place, a, c)
    found = step.do(op.difference, place, squared, product)
    if place == Place.DISCRIMINANT:
        step.write(Difference, squared, product, found)
    return found


def _zero_form(step: Walk, place: str, equation: Equation) -> tuple[Surd, Surd, Surd]:
    """Bring all terms to the left side."""
    return _gathered(step, place, equation, (equation.left[2], equation.right[2]))


def _constant_right(step: Walk, place: str, equation: Equation) -> tuple[Surd, Surd, Surd]:
    """Bring the terms with the unknown to the left side and the constant to the right."""
    return _gathered(step, place, equation, (equation.right[2], equation.left[2]))


def _gathered(
    step: Walk, place: str, equation: Equation, constants: tuple[Surd, Surd]
) -> tuple[Surd, Surd, Surd]:
    """Bring the unknown to the left side, and the second of the constants to the first."""
    (a, b, _), (a2, b2, _), (here, there) = equation.left, equation.right, constants
    a = step.do(op.carry_unknown, place, a, a2) if a2 else a
    b = step.do(op.carry_unknown, place, b, b2) if b2 else b
    here = step.do(op.carry_constant, place, here, there) if there else here
    if not a:
        raise CannotBeWorked
    return a, b, here


QUADRATIC: Final[dict[str, Callable[[Walk, Equation], op.Roots]]] = {
    "factoring": factor,
    "square-root": take_square_roots,
    "complete-square": complete_the_square,
    "formula": use_the_formula,
}
"""The procedures by the names that a course uses for them."""


def usual_methods(plans: Sequence[Plan]) -> frozenset[str]:
    """Return the ways that the shape of a quadratic equation calls for; none where all serve alike.

    Roots are taken of a square that alone holds the unknown; a product that is 0 is set to zero
    factor by factor, and so is what has no constant, or a square less a number.

    Source: Marecek, Anthony-Smith and Honeycutt Mathis (2020), Elementary Algebra 2e, section 10.3,
    on the most appropriate method; from memory.
    """
    equation = next((one.start for one in plans if one.procedure is use_the_formula), None)
    if equation is None:
        return frozenset()
    _, b, c = equation.zero_form
    square, is_zero = equation.square or not b, not any(equation.right)
    product = (is_zero and (equation.factors or square)) or not (c or square)
    called_for = {"square-root": square, "factoring": product}
    return frozenset(name for name, fits in called_for.items() if fits)


def solve_linear(step: Walk, equation: Equation) -> op.Roots | str:
    """Multiply out, gather the unknown on one side and the constants on the other, divide."""
    a, right = isolate_unknown(step, equation)
    if not a:
        return step.do(op.conclude, Place.LINEAR, right)
    a = step.do(op.coefficient_of_unknown, Place.LINEAR, a)
    if not equation.decimals:
        return frozenset({step.do(op.divide, Place.LINEAR, right, a)})
    found = step.do(op.divide, Place.DECIMALS, right, a)
    return frozenset({step.do(op.place_point, Place.LINEAR, found, right, a)})


def isolate_unknown(step: Walk, equation: Equation) -> tuple[Surd, Surd]:
    """Go on to a*x = right, and return a and right; a is zero when no unknown is left."""
    equation = step.do(op.copy_equation, Place.LINEAR, equation)
    a, b = _side(step, equation.brackets[0], equation.left)
    c, d = _side(step, equation.brackets[1], equation.right)
    step.write(Equation, (ZERO, a, b), (ZERO, c, d))
    if not a:
        a, b, c, d = c, d, a, b
    a = step.do(op.carry_unknown, Place.LINEAR, a, c) if c else a
    if not a:
        return a, d - b
    a, b, d = step.do(op.start_isolating, Place.LINEAR, a, b, d)
    if b:
        here, d = d, step.do(op.carry_constant, Place.LINEAR, d, b)
        d = step.do(op.line_up_points, Place.LINEAR, d, here, b) if equation.decimals else d
    step.write(Equation, (ZERO, a, ZERO), (ZERO, ZERO, d))
    return a, d


def _side(
    step: Walk, brackets: tuple[Bracket, ...], whole: tuple[Surd, Surd, Surd]
) -> tuple[Surd, Surd]:
    if not any(bracket.written for bracket in brackets):
        return whole[1], whole[2]
    parts = [
        step.do(op.distribute, Place.LINEAR, term.k, term.p, term.q)
        if term.written
        else (term.p, term.q)
        for term in brackets
    ]
    return reduce(lambda one, two: (one[0] + two[0], one[1] + two[1]), parts)
