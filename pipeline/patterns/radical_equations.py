"""Errors with radical equations."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.coefficients import Coefficients, added, multiplied, scaled
from pipeline.exact.evaluate import root_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Negation, Node, Numeral, Power, Quotient
from pipeline.exact.values import Number
from pipeline.exact.values import Roots as RootValues
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import keep_valid
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.equations import Linear
from pipeline.procedures.logarithms import keep_positive
from pipeline.procedures.operations import Roots
from pipeline.procedures.parts import Part, tree_of_part
from pipeline.procedures.radical_equations import (
    Radical,
    Sides,
    keep_solutions,
    raise_both,
    square_at_once,
    square_sides,
)
from pipeline.procedures.solving_for import power_of_root, root_of_power
from pipeline.procedures.walk import Choices, Ending, Place, needed


@pattern(
    source="South African examiners' comments, November 2024; Schechter 2006",
    shows=(
        "solve | sqrt(x + 6) = x | 3, -2",
        "solve | sqrt(2r - 3) + 5 = 0 | 14",
        "solve | |x - 2| = 3x | 1/2, -1",
    ),
    silent=(
        "solve | sqrt(x + 6) = x | 3",
        "solve | sqrt(x - 2) + 2 = x | 2, 3",
    ),
)
@instead_of(keep_solutions, Place.RADICAL_EQUATION)
def extraneous_root_kept(roots: Roots, k: Surd, inside: Coefficients, other: Coefficients) -> Roots:
    """Keeps a root that does not solve the equation as it was given."""
    return roots


@extraneous_root_kept.also(keep_valid, Place.ABSOLUTE_VALUE)
def _both_cases_kept(roots: tuple[Surd | None, ...], right: Linear) -> tuple[Surd | None, ...]:
    return roots


@extraneous_root_kept.also(
    keep_positive,
    Place.LOGARITHM,
    shows=(
        "logarithm | log(x) + log(x - 3) = 1 | 5, -2",
        "logarithm | log_2(x) + log_2(x - 2) = 3 | 4, -2",
    ),
    silent=("logarithm | log(x) + log(x - 3) = 1 | 5",),
)
def _nonpositive_argument_kept(roots: Roots, inside: tuple[Coefficients, ...]) -> Roots:
    """Keeps a root for which a logarithm does not exist."""
    return roots


@pattern(
    source="common practice",
    shows=(
        "solve | sqrt(x + 6) = x | -2",
        "solve | sqrt(x - 2) + 2 = x | 3",
    ),
    silent=(
        "solve | sqrt(x + 6) = x | 3",
        "solve | sqrt(x - 2) + 2 = x | 5",
    ),
)
@instead_of(keep_solutions, Place.RADICAL_EQUATION)
def valid_root_rejected(
    roots: Roots, k: Surd, inside: Coefficients, other: Coefficients
) -> Choices | None:
    """Rejects a root that solves the equation."""
    return Choices(frozenset({one}) for one in roots) if len(roots) == 2 else None


@pattern(
    source="Scofield 2003",
    shows=(
        "solve | sqrt(x) + 3 = 7 | 40",
        "solve | sqrt(2x) + 1 = 5 | 12",
    ),
    silent=(
        "solve | sqrt(x) + 3 = 7 | 16",
        "solve | sqrt(x) = 7 | 49",
    ),
)
@instead_of(square_at_once, Place.RADICAL_EQUATION)
def squared_term_by_term(start: Radical) -> Choices | None:
    """Squares each term of a sum, as if sqrt(x) + 3 = 7 were x + 9 = 49."""
    if len(start.rest) != 1 or len(start.right) > 1:
        return None
    square = multiplied(start.rest, start.rest)
    negative = start.rest[0].real_sign() < 0
    inside, right = scaled(start.inside, start.k * start.k), multiplied(start.right, start.right)
    sides = [(added(inside, square), right)]
    if negative:
        sides.append((added(inside, scaled(square, Surd.of(-1))), right))
    return Choices(sides)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 8.6 (related: isolate it first); common practice",
    shows=(
        "solve | sqrt(x) + 2 = 7 | 47",
        "solve | sqrt(2x) - 3 = 5 | 14",
    ),
    silent=(
        "solve | sqrt(x) + 2 = 7 | 25",
        "solve | sqrt(x + 2) = 7 | 47",
    ),
)
@instead_of(square_at_once, Place.RADICAL_EQUATION)
def term_beside_root_not_squared(start: Radical) -> Sides | None:
    """Squares the root and the other side, and leaves the number beside the root as it is."""
    if len(start.rest) != 1 or len(start.right) > 1:
        return None
    inside = scaled(start.inside, start.k * start.k)
    return added(inside, start.rest), multiplied(start.right, start.right)


@pattern(
    source="South African examiners' comments, November 2024",
    shows=(
        "solve | sqrt(x + 5) = 3 | -2",
        "solve | sqrt(3x - 5) = 5 | 10/3",
    ),
    silent=(
        "solve | sqrt(x + 5) = 3 | 4",
        "solve | sqrt(x + 5) = 1 | -4",
    ),
)
@instead_of(square_sides, Place.RADICAL_EQUATION)
def one_side_squared(k: Surd, inside: Coefficients, other: Coefficients) -> Choices:
    """Removes the radical on the one side and leaves the other side as it is."""
    return Choices(((scaled(inside, k * k), other), (inside, scaled(other, 1 / k))))


@one_side_squared.also(
    power_of_root,
    Place.FORMULA,
    shows=(
        "solve-for | y = 3sqrt(x - 2) for x | y/3 + 2",
        "solve-for | v = sqrt(2gh) for h | h = v/(2g)",
    ),
    silent=("solve-for | v = sqrt(2gh) for h | h = v^2/(2g)",),
)
def _other_side_not_squared(other: Part, index: Node) -> Node:
    return tree_of_part(other)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 8.6 (caution)",
    shows=(
        "solve | 2sqrt(x) = 6 | 18",
        "solve | 3sqrt(3x - 5) - 8 = 4 | 53/3",
    ),
    silent=(
        "solve | 2sqrt(x) = 6 | 9",
        "solve | sqrt(x) = 6 | 36",
    ),
)
@instead_of(square_sides, Place.RADICAL_EQUATION)
def outside_coefficient_not_squared(k: Surd, inside: Coefficients, other: Coefficients) -> Sides:
    """Squares the radical and leaves the number before it as it is."""
    return scaled(inside, k), multiplied(other, other)


@outside_coefficient_not_squared.also(
    power_of_root,
    Place.FORMULA,
    shows=(
        "solve-for | y = 3sqrt(x - 2) for x | y^2/3 + 2",
        "solve-for | T = 2pi sqrt(L/g) for L | L = gT^2/(2pi)",
    ),
    silent=("solve-for | y = 3sqrt(x - 2) for x | y^2/9 + 2",),
)
def _factor_before_root_not_squared(other: Part, index: Node) -> Node | None:
    one = Polynomial.constant(1)
    number = other[0].ordered()[0][1]
    if len(other[0].terms) != 1 or other == (other[0] * (1 / number), one):
        return None
    above = Power(tree_of_part((other[0] * (1 / number), one)), index)
    return Quotient(above, tree_of_part((other[1] * (1 / number), one)))


@pattern(
    source="Slavit 2006 (power taken as a multiple)",
    shows=(
        "solve | sqrt(x + 5) = 3 | 1",
        "solve | sqrt(2x) - 1 = 4 | x = 5",
    ),
    silent=(
        "solve | sqrt(x + 5) = 3 | 4",
        "solve | sqrt(x + 5) = 2 | -1",
    ),
)
@instead_of(square_sides, Place.RADICAL_EQUATION)
def right_side_doubled_not_squared(
    k: Surd, inside: Coefficients, other: Coefficients
) -> Choices | None:
    """Doubles the right side instead of squaring it."""
    twice = scaled(other, Surd.of(2))
    both = (scaled(inside, k * k), twice), (inside, scaled(twice, 1 / k))
    return Choices(both) if len(other) == 1 else None


@pattern(
    source="common practice",
    shows=(
        "solve | sqrt(x) = 9 | 3",
        "solve | sqrt(x + 1) = 4 | 1",
    ),
    silent=(
        "solve | sqrt(x) = 9 | 81",
        "solve | sqrt(x + 1) = 4 | 3",
    ),
)
@instead_of(square_sides, Place.RADICAL_EQUATION)
def root_taken_in_place_of_square(
    k: Surd, inside: Coefficients, other: Coefficients
) -> Sides | None:
    """Undoes a square root by taking the root once more."""
    value = other[0] / k if len(other) == 1 and inside[-1] == 1 else k - k
    root = root_of(value, 2) if value.real_sign() > 0 else None
    return None if root is None else (inside, (root,))


@root_taken_in_place_of_square.also(
    raise_both,
    Place.POWER_EQUATION,
    Place.BARE_POWER,
    shows=("solve | x^(1/2) = 9 | 3", "solve | x^(1/3) = 8 | 2"),
    silent=("solve | x^(1/2) = 9 | 81", "solve | x^2 = 9 | 3"),
)
def _root_taken_for_exponent_of_root(right: Surd, above: int, below: int) -> tuple[Surd, ...]:
    """Undoes an exponent such as one half by taking the root once more."""
    return (needed(root_of(right, needed(below if above == 1 else None))),)


@pattern(
    source="Mathematics Educators question 14757 (a comment)",
    shows=(
        "solve | x^3 = 8 | 2, -2",
        "solve | (x - 1)^3 = 27 | 4, -2",
    ),
    silent=(
        "solve | x^3 = 8 | 2",
        "solve | x^4 = 16 | 2, -2",
    ),
)
@instead_of(raise_both, Place.POWER_EQUATION, Place.BARE_POWER)
def odd_root_given_both_signs(right: Surd, above: int, below: int) -> tuple[Surd, ...] | None:
    """Gives an odd root both signs, as if it were a square root."""
    if above % 2 == 0 or above == 1:
        return None
    (value,) = raise_both(right, above, below)
    return value, -value


@pattern(
    source="common practice",
    shows=(
        "solve | x^4 = 16 | 4, -4",
        "solve | x^3 = 64 | 8",
        "solve | x^3 = 64 | 8, -8",
    ),
    silent=(
        "solve | x^4 = 16 | 2, -2",
        "solve | x^2 = 16 | 4, -4",
    ),
)
@instead_of(raise_both, Place.POWER_EQUATION, Place.BARE_POWER)
def square_root_for_another_root(right: Surd, above: int, below: int) -> Choices | None:
    """Takes the square root where another root is to be taken."""
    if above == 2 or below != 1 or right.real_sign() <= 0:
        return None
    both = raise_both(right, 2, 1)
    return Choices((both, both[:1]))


@odd_root_given_both_signs.also(
    raise_both,
    Place.BARE_POWER,
    shows=("solve | x^3 = 5 | x = ±5^(1/3)", r"solve | x^3 + 2 = 12 | \pm\sqrt[3]{10}"),
    silent=("solve | x^3 = 5 | 5^(1/3)", "solve | x^3 = 5 | ±sqrt(5)"),
)
def _irrational_root_given_both_signs(right: Surd, above: int, below: int) -> Ending | None:
    """Gives an odd root both signs, as if it were a square root."""
    if above % 2 == 0 or above == 1 or below != 1 or not right.is_rational:
        return None
    size = right if right.real_sign() > 0 else -right
    if root_of(size, above) is not None:
        return None
    plus = Power(tree_of_surd(size), Quotient(Numeral(Fraction(1)), Numeral(Fraction(above))))
    both = RootValues((Number(None, plus), Number(None, Negation(plus))))
    return Ending(comparable_value(both))


@pattern(
    source="Robinson 2013 (related: power taken as a multiple); common practice",
    shows=(
        "solve | x^3 = 27 | 9",
        "solve | x^(3/2) = 27 | 18",
    ),
    silent=(
        "solve | x^3 = 27 | 3",
        "solve | x^(3/2) = 27 | 9",
    ),
)
@instead_of(raise_both, Place.POWER_EQUATION, Place.BARE_POWER)
def power_undone_by_dividing(right: Surd, above: int, below: int) -> tuple[Surd, ...]:
    """Divides by the exponent instead of taking the root."""
    return (right * below / above,)


@power_undone_by_dividing.also(
    root_of_power,
    Place.FORMULA,
    shows=(
        "function | f(x) = x^3 + 1; f^-1(x) | (x - 1)/3",
        "function | f(x) = 2x^5; f^-1(x) | x/10",
        "solve-for | A = P(1 + r)^n for r | A/(Pn) - 1",
    ),
    silent=(
        "function | f(x) = x^3 + 1; f^-1(x) | cbrt(x - 1)",
        "solve-for | V = s^3 for s | s = cbrt(V)",
    ),
)
def _formula_of_power_by_dividing(other: Part, exponent: Node) -> Node | None:
    return Quotient(tree_of_part(other), exponent) if exponent != Numeral(Fraction(2)) else None


@pattern(
    source="common practice",
    shows=(
        "solve | x^(3/2) = 27 | 3",
        "solve | (x + 5)^(3/2) = 8 | -3",
    ),
    silent=(
        "solve | x^(3/2) = 27 | 9",
        "solve | x^3 = 27 | 3",
    ),
)
@instead_of(raise_both, Place.POWER_EQUATION, Place.BARE_POWER)
def denominator_of_exponent_forgotten(
    right: Surd, above: int, below: int
) -> tuple[Surd, ...] | None:
    """Takes the root that the numerator of the exponent says and forgets its denominator."""
    return raise_both(right, above, 1) if below > 1 and above > 1 else None
