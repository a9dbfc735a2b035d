"""Errors in moving terms from one side to the other."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import split_bars
from pipeline.procedures.equations import ONE, Linear
from pipeline.procedures.functions import carry_off
from pipeline.procedures.inequalities import carry_to_ends
from pipeline.procedures.lines import intercept_from
from pipeline.procedures.logarithms import Logarithms, carry_beyond, combine_logs
from pipeline.procedures.operations import Roots, carry_constant
from pipeline.procedures.parts import Part, join
from pipeline.procedures.quantities import Quantity, plus
from pipeline.procedures.radical_equations import Sides, solve_squared
from pipeline.procedures.rational_equations import Term, clear_denominators
from pipeline.procedures.solving_for import carry_term
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="Otero, Druga and Lan 2024 (labels 31 and 33); Hall 2002 (kind of error); Larino 2018"
    " (kind of error); Zakaria, Ibrahim and Maat 2010 (kind of error); Kieran 1984 (from memory)",
    shows=(
        "solve | x^2 - 7 = 0 | sqrt(7)i; -sqrt(7)i",
        "solve | x^2 - 4x + 13 = 0 | x=2 + sqrt(17) or x=2 - sqrt(17)",
        "solve | 4x - 10 = -12 | -11/2",
    ),
    silent=(
        "solve | x^2 - 7 = 0 | sqrt(7), -sqrt(7)",
        "solve | 4x - 10 = -12 | -1/2",
        "solve | 4x = -12 | 3",
    ),
)
@instead_of(carry_constant)
def constant_moved_same_sign(here: Surd, there: Surd) -> Surd:
    """Carries a constant across the equals sign without changing its sign."""
    return here + there


@constant_moved_same_sign.also(carry_off, Place.FUNCTION)
def _added_once_more(letter: Part, constant: Part) -> Part:
    return join(letter, constant)


@constant_moved_same_sign.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=("solve | 1/x + 1/4 = 1/2 | 4/3", "solve | 3/x + 2 = 5 | 3/7"),
    silent=("solve | 1/x + 1/4 = 1/2 | 4", "solve | 1/x = 1/2 | -2"),
)
def _beside_a_fraction(terms: tuple[Term, ...]) -> Choices | None:
    sides = {term.side for term in terms if len(term.below) > 1}
    beside = [one for one in terms if len(one.below) == len(one.above) == 1 and one.side in sides]
    if len(sides) != 1 or len(terms) < 3:
        return None
    return Choices(
        clear_denominators(
            tuple(term._replace(side=-term.side) if term is one else term for term in terms)
        )
        for one in beside
    )


@constant_moved_same_sign.also(
    carry_term,
    Place.FORMULA,
    shows=(
        "function | f(x) = x^3 + 1; f^-1(x) | cbrt(x + 1)",
        "solve-for | y = 3x + 4 for x | x = (y + 4)/3",
    ),
    silent=("function | f(x) = x^3 + 1; f^-1(x) | cbrt(x - 1)",),
)
def _carried_out_of_a_formula(other: Part, rest: Part) -> Part | None:
    return None if rest[0].letters or rest[1].letters else join(other, rest)


@constant_moved_same_sign.also(
    solve_squared,
    Place.RADICAL_EQUATION,
    shows=("solve | sqrt(x - 7) = 4 | 9", "solve | sqrt(x + 3) = 6 | 39"),
    silent=("solve | sqrt(x - 7) = 4 | 23", "solve | sqrt(x) = 6 | 42"),
)
def _constant_under_a_root(sides: Sides) -> Roots | None:
    inside, right = sides
    if len(inside) != 2 or len(right) > 1:
        return None
    return solve_squared(((-inside[0], inside[1]), right))


@constant_moved_same_sign.also(carry_to_ends, Place.CHAIN)
def _to_both_ends_with_its_sign(low: Surd, high: Surd, q: Surd) -> tuple[Surd, Surd]:
    return low + q, high + q


@constant_moved_same_sign.also(
    intercept_from,
    Place.LINE,
    shows=("line | through (1, 2), slope 3 | y = 3x + 5",),
    silent=("line | through (1, 2), slope 3 | y = 3x - 1",),
)
def _constant_found_with_its_sign(slope: Surd, x: Surd, y: Surd) -> Surd:
    return y + slope * x


@constant_moved_same_sign.also(
    split_bars,
    Place.ABSOLUTE_VALUE,
    shows=("solve | |x + 4| <= 6 | -2 <= x <= 10", "solve | |x - 3| > 5 | x < -8 or x > 2"),
    silent=("solve | |x + 4| <= 6 | -10 <= x <= 2",),
)
def _out_of_bars_with_its_sign(inside: Linear, sign: str, right: Surd) -> Region | None:
    return split_bars(Linear(inside.p, -inside.q), sign, right) if inside.q else None


@constant_moved_same_sign.also(
    carry_beyond,
    Place.LOGARITHM,
    shows=("logarithm | ln(x + 1) = 2 | e^2 + 1", "logarithm | 2^(x + 1) = 7 | ln(7)/ln(2) + 1"),
    silent=("logarithm | ln(x + 1) = 2 | e^2 - 1", "logarithm | ln(x) = 2 | e^2 + 1"),
)
def _constant_beside_a_power(here: Quantity, there: Surd) -> Quantity:
    return plus(here, there)


@constant_moved_same_sign.also(
    combine_logs,
    Place.LOGARITHM,
    shows=("logarithm | log_2(x + 3) = 4 | 19", "logarithm | log(x - 5) = 2 | 95"),
    silent=("logarithm | log_2(x + 3) = 4 | 13", "logarithm | log(x) = 2 | 95"),
)
def _constant_under_a_logarithm(start: Logarithms) -> tuple[Coefficients, Coefficients] | None:
    if start.second or len(start.first) != 2:
        return None
    return (-start.first[0], start.first[1]), (ONE,)
