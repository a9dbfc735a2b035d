"""Errors in solving a formula for one of its letters."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Node
from pipeline.patterns.linear_equations import (
    coefficient_subtracted,
    divided_one_term_only,
    divided_upside_down,
)
from pipeline.patterns.linear_equations_more import (
    coefficient_sign_dropped,
    division_undone_by_dividing,
    stopped_at_opposite_of_unknown,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.square_root_property import (
    halved_instead_of_rooted,
    rooted_term_by_term,
    square_undone_without_root,
)
from pipeline.patterns.systems import term_moved_same_sign
from pipeline.procedures.equations import ONE
from pipeline.procedures.solving_for import (
    FORMULA,
    Formula,
    Part,
    carry_term,
    divide_by,
    join,
    over,
    root_of_square,
    start_with,
    times,
    tree_with_pi,
)
from pipeline.procedures.walk import Choices

_MINUS_ONE = (Polynomial.constant(-1), Polynomial.constant(1))


@term_moved_same_sign.also(
    carry_term,
    FORMULA,
    shows=(
        "solve-for | P = 2L + 2W for W | (P + 2L)/2",
        "solve-for | 3x + 2y = 12 for y | y = (3/2)x + 6",
        "solve | 3x + 2y = 12 for y | y = (3/2)x + 6",
    ),
    silent=("solve-for | 3x + 2y = 12 for y | y = (-3/2)x + 6",),
)
def _carried_with_its_sign(other: Part, rest: Part) -> Part:
    return join(other, rest)


@divided_one_term_only.also(
    start_with,
    FORMULA,
    shows=(
        "solve-for | P = 2L + 2W for W | P/2 - 2L",
        "solve-for | 3x + 2y = 12 for y | y = 6 - 3x",
    ),
    silent=("solve-for | P = 2L + 2W for W | P/2 - L",),
)
def _one_term_divided(start: Formula) -> Part | None:
    if not start.rest[0] or start.factor[0] == start.factor[1]:
        return None
    return join(over(start.other, start.factor), start.rest, -1)


@pattern(
    "last-term-not-divided",
    skill="formulas",
    source="Payne and Squibb 1990 (from memory); common practice",
    shows=(
        "solve-for | P = 2L + 2W for W | P - L",
        "solve-for | 3x + 2y = 12 for y | y = 12 - (3/2)x",
    ),
    silent=(
        "solve-for | P = 2L + 2W for W | (P - 2L)/2",
        "solve-for | A = b h for h | A/b",
    ),
)
@instead_of(start_with, FORMULA)
def last_term_not_divided(start: Formula) -> Part | None:
    """Divides the term that was carried across and leaves the other one undivided."""
    if not start.rest[0] or start.factor[0] == start.factor[1]:
        return None
    return join(start.other, over(start.rest, start.factor), -1)


@coefficient_subtracted.also(
    divide_by,
    FORMULA,
    shows=(
        "solve-for | A = b h for h | A - b",
        "solve-for | I = P r t for t | I - P r",
    ),
    silent=("solve-for | A = b h for h | A/b",),
)
def _factor_subtracted(other: Part, factor: Part) -> Part:
    return join(other, factor, -1)


@divided_upside_down.also(
    divide_by,
    FORMULA,
    shows=(
        "solve-for | A = b h for h | b/A",
        "solve-for | d = r t for t | r/d",
    ),
    silent=("solve-for | d = r t for t | d/r",),
)
def _turned_over(other: Part, factor: Part) -> Part:
    return over(factor, other)


def _is_negative(factor: Part) -> bool:
    number = factor[0].ordered()[0][1] * factor[1].ordered()[0][1]
    return len(factor[0].terms) == 1 and number.is_real and number.real_sign() < 0


def _opposite(part: Part) -> Part:
    return part[0] * -1, part[1]


@coefficient_sign_dropped.also(
    divide_by,
    FORMULA,
    shows=(
        "solve-for | 2x - 3y = 12 for y | y = (12 - 2x)/3",
        "solve-for | 5x - 2y = 10 for y | y = (10 - 5x)/2",
    ),
    silent=("solve-for | 2x - 3y = 12 for y | y = (2x - 12)/3",),
)
def _sign_of_factor_dropped(other: Part, factor: Part) -> Part | None:
    if not _is_negative(factor) or factor == _MINUS_ONE:
        return None
    return over(other, _opposite(factor))


@stopped_at_opposite_of_unknown.also(
    divide_by,
    FORMULA,
    shows=("solve-for | 4x - y = 7 for y | y = 7 - 4x", "solve-for | 3a - b = c for b | c - 3a"),
    silent=("solve-for | 4x - y = 7 for y | y = 4x - 7",),
)
def _opposite_of_letter_given(other: Part, factor: Part) -> Part | None:
    """Stops at the opposite of the letter, such as -y, and gives its value for the letter."""
    return other if factor == _MINUS_ONE else None


@pattern(
    "minus-not-divided-through",
    skill="formulas",
    source="OpenStax Elementary Algebra 2e, 2.6; Larino 2018 (signs in dividing)",
    shows=(
        "solve-for | 2x - 3y = 12 for y | y = (2x + 12)/3",
        "solve-for | 7m - 2n = 14 for n | n = -7 - (7/2)m",
        "solve-for | 4x - y = 7 for y | y = 4x + 7",
    ),
    silent=(
        "solve-for | 2x - 3y = 12 for y | y = (2x - 12)/3",
        "solve-for | 2x + 3y = 12 for y | y = (2x + 12)/3",
    ),
)
@instead_of(divide_by, FORMULA)
def minus_not_divided_through(other: Part, factor: Part) -> Choices | None:
    """Divides by a negative number and changes the sign of one term only."""
    terms = list(other[0].terms.items())
    if not _is_negative(factor) or not 2 <= len(terms) <= 4:
        return None
    return Choices(
        over((Polynomial({**other[0].terms, monomial: -number}), other[1]), factor)
        for monomial, number in terms
    )


@division_undone_by_dividing.also(
    divide_by,
    FORMULA,
    shows=(
        "solve-for | A = (1/2)b h for h | h = A/(2b)",
        "solve-for | V = (1/3)B h for h | h = V/(3B)",
    ),
    silent=("solve-for | A = (1/2)b h for h | h = 2A/b",),
)
def _fraction_multiplied(other: Part, factor: Part) -> Part | None:
    """Divides once more where multiplying undoes a division, as by 2 from A = (1/2)bh."""
    number = factor[0].ordered()[0][1]
    if len(factor[0].terms) != 1 or not number.is_rational or number.is_integer:
        return None
    return times(over(other, factor), (factor[0] ** 0 * (number * number), factor[1] ** 0))


@pattern(
    "only-one-factor-divided-off",
    skill="formulas",
    source="common practice",
    shows=(
        "solve-for | V = l w h for h | V/w",
        "solve-for | I = P r t for t | t = I/P",
        "solve-for | S = 2prh for p | p = S/2",
    ),
    silent=(
        "solve-for | V = l w h for h | V/(l w)",
        "solve-for | d = r t for t | d",
    ),
)
@instead_of(divide_by, FORMULA)
def only_one_factor_divided_off(other: Part, factor: Part) -> Choices | None:
    """Divides by one of the factors before the letter and leaves the others out."""
    if len(factor[0].terms) != 1 or not factor[1].is_constant:
        return None
    ((monomial, number),) = factor[0].terms.items()
    if len(monomial) < 2:
        return None
    letters = [Polynomial.letter(name) ** power for name, power in monomial]
    if number.is_integer and number not in (ONE, -ONE):
        letters.append(Polynomial.constant(number))
    return Choices(over(other, (letter, factor[1])) for letter in letters)


@pattern(
    "one-factor-not-divided-off",
    skill="formulas",
    source="common practice",
    shows=(
        "solve-for | S = 2prh for p | p = S/(2h)",
        "solve-for | S = 2prh for p | p = S/(rh)",
        "solve-for | V = 3klw for w | w = V/(kl)",
    ),
    silent=(
        "solve-for | S = 2prh for p | p = S/(2rh)",
        "solve-for | V = l w h for h | V/w",
    ),
)
@instead_of(divide_by, FORMULA)
def one_factor_not_divided_off(other: Part, factor: Part) -> Choices | None:
    """Leaves one of three or more factors out when dividing by what stands before the letter."""
    if len(factor[0].terms) != 1 or not factor[1].is_constant:
        return None
    ((monomial, number),) = factor[0].terms.items()
    parts = [Polynomial.letter(name) ** power for name, power in monomial]
    parts += [Polynomial.constant(number)] if number not in (1, -1) else []
    if len(parts) < 3:
        return None
    return Choices(over(other, over(factor, (part, Polynomial.constant(1)))) for part in parts)


@square_undone_without_root.also(
    root_of_square,
    FORMULA,
    shows=(
        "solve-for | V = pr^2h for r | r = V/(ph)",
        "solve-for | E = (1/2)mv^2 for v | v = 2E/m",
    ),
    silent=("solve-for | V = pr^2h for r | r = sqrt(V/(ph))",),
)
def _square_of_letter_dropped(other: Part) -> Node:
    return tree_with_pi(other)


@halved_instead_of_rooted.also(
    root_of_square,
    FORMULA,
    shows=(
        "solve-for | V = pr^2h for r | r = V/(2ph)",
        "solve-for | A = s^2 for s | s = A/2",
    ),
    silent=("solve-for | A = s^2 for s | s = sqrt(A)",),
)
def _half_of_right_side(other: Part) -> Node:
    return tree_with_pi(over(other, (Polynomial.constant(2), Polynomial.constant(1))))


@rooted_term_by_term.also(
    root_of_square,
    FORMULA,
    shows=(
        "solve-for | a^2 + b^2 = c^2 for a | a = c - b",
        "solve-for | a^2 + 9b^2 = 4c^2 for a | a = 2c - 3b",
    ),
    silent=("solve-for | a^2 + b^2 = c^2 for a | a = sqrt(c^2 - b^2)",),
)
def _each_term_of_right_side_rooted(other: Part) -> Node | None:
    """Takes the square root of each term of a sum, as if a^2 = c^2 - b^2 were a = c - b."""
    if len(other[0].terms) < 2 or other[1] != Polynomial.constant(1):
        return None
    roots = {}
    for monomial, number in other[0].terms.items():
        root = Surd.root_of(abs(number.as_fraction())) if number.is_rational else None
        if root is None or not root.is_rational or any(power % 2 for _, power in monomial):
            return None
        sign = 1 if number.real_sign() > 0 else -1
        roots[tuple((name, power // 2) for name, power in monomial)] = root * sign
    return tree_with_pi((Polynomial(roots), other[1]))
