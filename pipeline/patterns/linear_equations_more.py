"""Further errors in solving linear equations."""

from __future__ import annotations

from math import lcm

from pipeline.exact.numbers import Surd
from pipeline.patterns.distribution import (
    minus_not_carried_through,
    multiplied_last_term_only,
    multiplier_added,
)
from pipeline.patterns.like_terms import unlike_terms_joined
from pipeline.patterns.linear_equations import coefficient_subtracted
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation
from pipeline.procedures.operations import (
    coefficient_of_unknown,
    copy_equation,
    distribute,
    divide,
    start_isolating,
)
from pipeline.procedures.walk import Choices

_SKILL = "linear equations"
_PLACE = "linear equation"


@pattern(
    "addition-undone-by-dividing",
    skill=_SKILL,
    source="T. L. Scofield 2003, list of codes; Payne and Squibb 1990 (from memory)",
    shows=(
        "solve | x + 4 = 20 | 5",
        "solve | x - 3 = 21 | -7",
    ),
    silent=(
        "solve | x + 4 = 20 | 16",
        "solve | 4x = 20 | 5",
    ),
)
@instead_of(start_isolating, _PLACE)
def addition_undone_by_dividing(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd] | None:
    """Undoes an addition by dividing: from x + 4 = 20 takes x = 20/4."""
    return (a, ZERO, right / b) if a == 1 and b and b not in (ONE, -ONE) else None


@pattern(
    "coefficient-sign-dropped",
    skill=_SKILL,
    source="Larino 2018; Booth et al. 2014 (from memory)",
    shows=(
        "solve | -3x = 12 | 4",
        "solve | 5 - 2x = 11 | 3",
    ),
    silent=(
        "solve | -3x = 12 | -4",
        "solve | 3x = 12 | -4",
    ),
)
@instead_of(coefficient_of_unknown, _PLACE)
def coefficient_sign_dropped(a: Surd) -> Surd | None:
    """Divides by the size of a negative number before the unknown and drops its sign."""
    return -a if a.is_real and a.real_sign() < 0 and a != -1 else None


@pattern(
    "stopped-at-opposite-of-unknown",
    skill=_SKILL,
    source="Vlassis 2004 (from memory)",
    shows=(
        "solve | -x = 5 | 5",
        "solve | 3 - x = 10 | 7",
    ),
    silent=(
        "solve | -x = 5 | -5",
        "solve | x = 5 | -5",
    ),
)
@instead_of(divide, _PLACE)
def stopped_at_opposite_of_unknown(right: Surd, a: Surd) -> Surd | None:
    """Stops at -x and gives its value as that of x."""
    return right if a == -1 else None


@pattern(
    "negative-solution-made-positive",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 49 (Vlassis 2008)",
    shows=(
        "solve | x + 4 = 2 | 2",
        "solve | x + 19 = -27 | 46",
        "solve | 3x + 34 = 1 | 11",
    ),
    silent=(
        "solve | x + 4 = 2 | -2",
        "solve | x + 4 = 9 | -5",
    ),
)
@instead_of(divide, _PLACE)
def negative_solution_made_positive(right: Surd, a: Surd) -> Surd | None:
    """Gives a negative solution without its sign."""
    if not (right.is_real and a.is_real) or right.real_sign() >= 0 or a.real_sign() <= 0:
        return None
    return -right / a


@pattern(
    "division-undone-by-dividing",
    skill=_SKILL,
    source="Hall 2002; Booth et al. 2014 (from memory)",
    shows=(
        "solve | x/4 = 12 | 3",
        "solve | (2/5)n = 14 | 28/5",
    ),
    silent=(
        "solve | x/4 = 12 | 48",
        "solve | 4x = 12 | 48",
    ),
)
@instead_of(divide, _PLACE)
def division_undone_by_dividing(right: Surd, a: Surd) -> Surd | None:
    """Divides once more where multiplying undoes a division: from x/4 = 12 takes x = 3."""
    return right * a if a.is_rational and not a.is_integer else None


def _lone_bracket(equation: Equation) -> Bracket | None:
    """The bracket k*(p*x + q) where it stands alone before a number."""
    left = equation.brackets[0]
    if len(left) != 1 or not left[0].written or equation.right[1] or left[0].k == ONE:
        return None
    return left[0]


@pattern(
    "taken-off-inside-bracket",
    skill=_SKILL,
    source="K. Lee and J. R. Star, The Insertion Error in Solving Linear Equations",
    shows=(
        "solve | 3(x + 2) = 15 | 13/3",
        "solve | 5(x - 1) = 20 | 21/5",
    ),
    silent=(
        "solve | 3(x + 2) = 15 | 3",
        "solve | 3x + 2 = 15 | 13/3",
    ),
)
@instead_of(copy_equation, _PLACE)
def taken_off_inside_bracket(equation: Equation) -> Equation | None:
    """Takes the constant out of a bracket as if no number stood before the bracket."""
    bracket = _lone_bracket(equation)
    if bracket is None:
        return None
    k, p, q, _ = bracket
    return Equation((ZERO, k * p, ZERO), (ZERO, ZERO, equation.right[2] - q))


@pattern(
    "fraction-cleared-from-its-term-only",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | x/2 + 3 = 7 | 11",
        "solve | x/3 - 1 = x/6 | 1",
        "solve | (x + 6)/3 + 6 = x | 6",
    ),
    silent=(
        "solve | x/2 + 3 = 7 | 8",
        "solve | x/2 = 7 | 14",
    ),
)
@instead_of(copy_equation, _PLACE)
def fraction_cleared_from_its_term_only(equation: Equation) -> Choices | None:
    """Multiplies the terms with fractions by the denominator and leaves the others as they are."""
    sides = equation.brackets
    terms = [term for side in sides for term in side]
    if any(term.written for term in terms) or not all(_is_simple(term) for term in terms):
        return None
    common = lcm(*(_denominator(term) for term in terms))
    whole = [term for term in terms if _denominator(term) == 1 and (term.p or term.q)]
    if common == 1 or not whole:
        return None
    factor = Surd.of(common)
    return Choices(
        _rescaled(sides, factor, also_right) for also_right in ((False, True) if sides[1] else ())
    )


def _is_simple(term: Bracket) -> bool:
    return term.p.is_rational and term.q.is_rational


def _denominator(term: Bracket) -> int:
    return lcm(term.p.denominator, term.q.denominator)


def _rescaled(sides: tuple[tuple[Bracket, ...], ...], factor: Surd, also_right: bool) -> Equation:
    """Multiply what has a denominator; the whole terms of the right side where it is said."""
    total = []
    for place, side in enumerate(sides):
        b = c = ZERO
        for term in side:
            by = factor if _denominator(term) > 1 or (also_right and place) else ONE
            b, c = b + term.p * by, c + term.q * by
        total.append((ZERO, b, c))
    return Equation(total[0], total[1])


@coefficient_subtracted.also(
    copy_equation,
    _PLACE,
    shows=("solve | 3(x + 4) = 27 | 20", "solve | 5(t - 3) = 40 | 38"),
    silent=("solve | 3(x + 4) = 27 | 5", "solve | 3(x + 4) = 27 | 23"),
)
def _number_before_bracket_subtracted(equation: Equation) -> Equation | None:
    bracket = _lone_bracket(equation)
    if bracket is None:
        return None
    right = equation.right[2] - bracket.k
    return Equation((ZERO, bracket.p, bracket.q), (ZERO, ZERO, right))


@unlike_terms_joined.also(
    copy_equation,
    _PLACE,
    shows=("solve | 3(x + 4) = 27 | 9/4", "solve | 4(n + 5) = 20 | 1"),
    silent=("solve | 3(x + 4) = 27 | 5",),
)
def _bracket_joined(equation: Equation) -> Choices | None:
    bracket = _lone_bracket(equation)
    if bracket is None or not bracket.q:
        return None
    k, p, q, _ = bracket
    joined = (p + q, q) if p == ONE else (p + q,)
    return Choices(Equation((ZERO, k * one, ZERO), equation.right) for one in joined)


@multiplier_added.also(
    distribute,
    _PLACE,
    shows=("solve | 3(x + 4) = 27 | 20", "solve | 2(3x + 1) = 18 | 5"),
    silent=("solve | 3(x + 4) = 27 | 5",),
)
def _number_before_bracket_added(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    return p, q + k


@unlike_terms_joined.also(
    start_isolating,
    _PLACE,
    shows=(
        "solve | 3x + 4 = 21 | 3",
        "solve | 5x - 2 = 12 | 4",
    ),
    silent=("solve | 3x + 4 = 21 | 17/3",),
)
def _joined_with_the_constant(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd] | None:
    return (a + b, ZERO, right) if b and a + b else None


@minus_not_carried_through.also(
    distribute,
    _PLACE,
    shows=(
        "solve | 12 - 3(4j + 3) = -17 | 19/6",
        "solve | -(y + 8) = -2 | 10",
    ),
    silent=("solve | 12 - 3(4j + 3) = -17 | 5/3",),
)
def _minus_reaches_first_term(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd] | None:
    return (k * p, -k * q) if k.is_real and k.real_sign() < 0 else None


@multiplied_last_term_only.also(distribute, _PLACE)
def _only_last_term(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    return p, k * q
