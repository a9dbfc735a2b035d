"""Errors in solving linear equations."""

from __future__ import annotations

from math import lcm

from pipeline.exact.coefficients import Coefficients, added, multiplied, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of, reduce_fraction
from pipeline.exact.trees import Node, Quotient, Sum
from pipeline.patterns.formulas import is_negative_part
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.solution_count import said
from pipeline.procedures.absolute_value import first_case, second_case
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation, Linear
from pipeline.procedures.functions import Inverse, start_bracket, start_inverse
from pipeline.procedures.inequalities import divide_ends
from pipeline.procedures.lines import read_slope
from pipeline.procedures.logarithms import Logarithms, combine_logs, divide_beyond
from pipeline.procedures.operations import (
    Roots,
    carry_constant,
    carry_unknown,
    coefficient_of_unknown,
    conclude,
    copy_equation,
    divide,
    divide_each,
    divide_off,
    start_isolating,
)
from pipeline.procedures.parts import Part, join, times, tree_of_part
from pipeline.procedures.parts import over as over_part
from pipeline.procedures.quantities import Quantity, minus, over
from pipeline.procedures.quantities import times as times_quantity
from pipeline.procedures.radical_equations import Sides, square_sides
from pipeline.procedures.rational_equations import (
    Term,
    clear_denominators,
    cross_multiply,
    fourth_term,
    solve_cleared,
)
from pipeline.procedures.solving_for import Formula, carry_letter, divide_by, start_with, turn_over
from pipeline.procedures.systems import Row, isolate_letter
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, Choices, Ending, Place, needed
from pipeline.tasks.number_of_solutions import Solutions, tell


@pattern(
    source="Scofield 2003 (kind of error); Sleeman 1984 (from memory)",
    shows=(
        "solve | 4x + 3 = 9 | 2",
        "solve | 5x = 20 | x = 15",
    ),
    silent=(
        "solve | 5x = 20 | 4",
        "solve | x + 5 = 20 | 15",
    ),
)
@instead_of(divide)
def coefficient_subtracted(right: Surd, a: Surd) -> Surd | None:
    """Undoes a multiplication by subtracting the number before the unknown."""
    return right - a if a != 1 else None


@coefficient_subtracted.also(
    divide_off,
    Place.SQUARE_ROOT,
    shows=("solve | 4x^2 = 9 | sqrt(5), -sqrt(5)", "solve | 3x^2 = 12 | 3, -3"),
    silent=("solve | 4x^2 = 9 | 3/2, -3/2", "solve | x^2 = 9 | 3, -3"),
)
def _number_before_square_subtracted(scale: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    return (right - scale, ONE) if scale != ONE else None


@coefficient_subtracted.also(
    square_sides,
    Place.RADICAL_EQUATION,
    shows=("solve | 2sqrt(x) = 10 | 64", "solve | 3sqrt(x) = 12 | 81"),
    silent=("solve | 2sqrt(x) = 10 | 25", "solve | sqrt(x) = 10 | 81"),
)
def _number_before_radical_subtracted(
    k: Surd, inside: Coefficients, other: Coefficients
) -> Sides | None:
    return None if k == ONE else square_sides(ONE, inside, added(other, (-k,)))


def lone_bracket(equation: Equation) -> Bracket | None:
    """The bracket k*(p*x + q) where it stands alone before a number."""
    left = equation.brackets[0]
    if len(left) != 1 or not left[0].written or equation.right[1] or left[0].k == ONE:
        return None
    return left[0]


@coefficient_subtracted.also(
    copy_equation,
    Place.LINEAR,
    shows=("solve | 3(x + 4) = 27 | 20", "solve | 5(t - 3) = 40 | 38"),
    silent=("solve | 3(x + 4) = 27 | 5", "solve | 3(x + 4) = 27 | 23"),
)
def _number_before_bracket_subtracted(equation: Equation) -> Equation | None:
    bracket = needed(lone_bracket(equation))
    right = equation.right[2] - bracket.k
    return Equation((ZERO, bracket.p, bracket.q), (ZERO, ZERO, right))


@coefficient_subtracted.also(
    divide_by,
    Place.FORMULA,
    shows=(
        "solve-for | A = b h for h | A - b",
        "solve-for | I = P r t for t | I - P r",
        "solve-for | A = (1/2) b h for h | 2A - b",
    ),
    silent=("solve-for | A = b h for h | A/b",),
)
def _factor_subtracted(other: Part, factor: Part) -> Choices:
    whole = join(other, factor, -1)
    number = factor[0].ordered()[0][1] / factor[1].ordered()[0][1]
    if len(factor[0].terms) > 1 or number == 1 or not factor[0].letters:
        return Choices((whole,))
    one = Polynomial.constant(1)
    bare, rest = over_part(factor, (one * number, one)), over_part(other, (one * number, one))
    return Choices((whole, join(rest, bare, -1)))


@coefficient_subtracted.also(
    divide_beyond,
    Place.LOGARITHM,
    shows=("logarithm | e^(2x) = 5 | ln(5) - 2", "logarithm | ln(3x) = 2 | e^2 - 3"),
    silent=("logarithm | e^(2x) = 5 | ln(5)/2", "logarithm | ln(3x) = 2 | e^2/3"),
)
def _coefficient_of_exponent_subtracted(right: Quantity, a: Surd) -> Quantity:
    return minus(right, a)


@pattern(
    source="common practice",
    shows=(
        "solve | 2x + 3 = 11 | 8",
        "solve | 3x - 5 = 16 | x = 21",
    ),
    silent=(
        "solve | 2x + 3 = 11 | 4",
        "solve | x + 3 = 11 | 8",
    ),
)
@instead_of(divide)
def coefficient_not_divided_off(right: Surd, a: Surd) -> Surd | None:
    """Gives what a multiple of the unknown equals for the unknown itself."""
    return right if a not in (ONE, -ONE) else None


@coefficient_not_divided_off.also(
    divide_by,
    Place.FORMULA,
    shows=("solve-for | P = 2L + 2W for W | P - 2L", "solve-for | A = P + Prt for r | A - P"),
    silent=("solve-for | P = 2L + 2W for W | (P - 2L)/2",),
)
def _factor_not_divided_off(other: Part, factor: Part) -> Part:
    return other


@coefficient_not_divided_off.also(
    divide_each,
    Place.SQUARE_ROOT,
    shows=(
        "solve | (2x + 5)^2 = 9 | -2, -8",
        "solve | (3x - 2)^2 = 7 | 2 + sqrt(7), 2 - sqrt(7)",
        "solve | (3x + 2)^2 = 49 | 5, -9",
        "solve | (2x - 5)^3 = 27 | 8",
    ),
    silent=("solve | (2x + 5)^2 = 9 | -1, -4", "solve | (5 - x)^2 = 9 | -2, -8"),
)
def _values_not_divided(signed: tuple[Surd, ...], p: Surd) -> tuple[Surd, ...] | None:
    return signed if p != -ONE else None


@coefficient_not_divided_off.also(
    first_case,
    Place.ABSOLUTE_VALUE,
    shows=("solve | |2x + 5| = 9 | 4, -14", "solve | |3x - 2| = 7 | 9, -5"),
    silent=("solve | |2x + 5| = 9 | 2, -7", "solve | |x + 5| = 9 | 4, -14"),
)
def _first_case_not_divided(inside: Linear, right: Linear) -> Surd | None:
    return right.q - inside.q if inside.p not in (ONE, -ONE) and not right.p else None


@coefficient_not_divided_off.also(second_case, Place.ABSOLUTE_VALUE)
def _second_case_not_divided(inside: Linear, right: Linear) -> Surd | None:
    return -right.q - inside.q if inside.p not in (ONE, -ONE) and not right.p else None


@coefficient_not_divided_off.also(
    fourth_term,
    Place.PROPORTION,
    shows=("solve | x/4 = 6/8 | 24", "solve | x/10 = 6/4 | 60"),
    silent=("solve | x/4 = 6/8 | 3", "solve | x/4 = 6/8 | 48"),
)
def _cross_product_given(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Multiplies crosswise and does not divide by the number diagonal to the unknown."""
    return beside * level


@coefficient_not_divided_off.also(
    divide_beyond,
    Place.LOGARITHM,
    shows=("logarithm | e^(2x) = 7 | ln(7)", "logarithm | ln(3x) = 2 | e^2"),
    silent=("logarithm | e^(2x) = 7 | ln(7)/2",),
)
def _coefficient_beside_a_logarithm(right: Quantity, a: Surd) -> Quantity:
    return right


@coefficient_not_divided_off.also(
    combine_logs,
    Place.LOGARITHM,
    shows=("logarithm | log(2x) = 3 | 1000", "logarithm | log_2(3x) = 4 | 16"),
    silent=("logarithm | log(2x) = 3 | 500",),
)
def _coefficient_under_a_logarithm(start: Logarithms) -> tuple[Coefficients, Coefficients] | None:
    if start.second or len(start.first) != 2 or start.first[1] == ONE:
        return None
    return (start.first[0], ONE), (ONE,)


@coefficient_not_divided_off.also(
    divide_ends,
    Place.CHAIN,
    shows=("solve | -3 < 2x + 1 < 7 | -4 < x < 6", "solve | 4 <= 2x <= 10 | 4 <= x <= 10"),
    silent=("solve | -3 < 2x + 1 < 7 | -2 < x < 3",),
)
def _ends_not_divided(low: Surd, high: Surd, p: Surd) -> tuple[Surd, Surd] | None:
    return (low, high) if p.real_sign() > 0 else None


@pattern(
    source="Hall 2002 (kind of error); Larino 2018 (kind of error)",
    shows=(
        "solve | 4x + 4 = 18 | x=2/7",
        "solve | 4x = 3 | 4/3",
    ),
    silent=(
        "solve | 4x = 3 | 3/4",
        "solve | 4x + 4 = 18 | x=7/2",
    ),
)
@instead_of(divide)
def divided_upside_down(right: Surd, a: Surd) -> Surd | None:
    """Divides the wrong way round: from 4x = 3 takes x = 4/3."""
    return a / right if a != 1 else None


@divided_upside_down.also(
    divide,
    Place.LINEAR,
    shows=("solve | 2x = 0 | 2", "solve | 5x = 0 | 5"),
    silent=("solve | 2x = 0 | 0", "solve | 5x = 10 | 5"),
)
def _divided_by_zero(right: Surd, a: Surd) -> Surd | None:
    """Divides by 0 where 0 is to be divided, and takes 5 for 5/0."""
    return None if right else a


@divided_upside_down.also(
    solve_cleared,
    Place.RATIONAL_EQUATION,
    shows=("solve | 2/x = 6 | 3", "solve | 5/x = 2 | 2/5"),
    silent=("solve | 2/x = 6 | 1/3", "solve | 2/x = 6 | 12"),
)
def _divided_upside_down_without_denominators(difference: Coefficients) -> Roots | None:
    """Gives the value of 1/x for that of x."""
    if len(difference) != 2 or not difference[0]:
        return None
    return frozenset({-difference[1] / difference[0]})


def lone_fraction(terms: tuple[Term, ...]) -> tuple[Surd, Coefficients, Surd] | None:
    """See k/(p*x + q) = value among numbers; return k, what is below, and the value."""
    unknown = [term for term in terms if len(term.below) > 1]
    if len(unknown) != 1 or (len(unknown[0].above), len(unknown[0].below)) != (1, 2):
        return None
    (fraction,), value = unknown, ZERO
    for term in terms:
        if term is not fraction:
            if len(term.above) > 1:
                return None
            value = value - term.above[0] / term.below[0] * (term.side * fraction.side)
    return fraction.above[0], fraction.below, value


@divided_upside_down.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=("solve | 2/(x - 1) = 4 | 3", "solve | 1/x + 1/4 = 1/2 | 1/4"),
    silent=("solve | 2/(x - 1) = 4 | 3/2", "solve | 2/(x - 1) = 4 | 9"),
)
def _bracket_divided_upside_down(terms: tuple[Term, ...]) -> Coefficients | None:
    """Gives the value of 1/x, or of 1 over the bracket, for that of what stands below."""
    found = lone_fraction(terms)
    return None if found is None else added(scaled(found[1], found[0]), (-found[2],))


@divided_upside_down.also(
    divide_by,
    Place.FORMULA,
    shows=(
        "solve-for | A = b h for h | b/A",
        "solve-for | d = r t for t | r/d",
    ),
    silent=("solve-for | d = r t for t | d/r",),
)
def _turned_over(other: Part, factor: Part) -> Part:
    return over_part(factor, other)


@divided_upside_down.also(
    turn_over,
    Place.FORMULA,
    shows=(
        "solve-for | y = 3/(x - 2) for x | y/3 + 2",
        "function | f(x) = 3/(x - 2); f^-1(x) | x/3 + 2",
    ),
    silent=(
        "solve-for | y = 3/(x - 2) for x | 3/y + 2",
        "function | f(x) = 3/(x - 2); f^-1(x) | 3/x + 2",
    ),
)
def _fraction_not_turned_over(above: Node, other: Part) -> Node:
    return Quotient(tree_of_part(other), above)


@divided_upside_down.also(
    divide_beyond,
    Place.LOGARITHM,
    shows=("logarithm | e^(2x) = 5 | 2/ln(5)", "logarithm | ln(3x) = 2 | 3/e^2"),
    silent=("logarithm | e^(2x) = 5 | ln(5)/2", "logarithm | ln(3x) = 2 | e^2/3"),
)
def _exponent_divided_upside_down(right: Quantity, a: Surd) -> Quantity:
    return over(a, right)


@pattern(
    source="Payne and Squibb 1990 (from memory)",
    shows=(
        "solve | 7x - 11 = 15 | 92/7",
        "solve | 2x + 6 = 10 | x = -1",
    ),
    silent=(
        "solve | 2x + 6 = 10 | 2",
        "solve | 2x = 10 | 5",
    ),
)
@instead_of(start_isolating, Place.LINEAR)
def divided_one_term_only(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd] | None:
    """Divides one term only by the number before the unknown, and not the constant beside it."""
    return (a / a, b, right / a) if b and a != 1 else None


_ONE = Polynomial.constant(1)


@divided_one_term_only.also(start_inverse, Place.FUNCTION)
def _undone_in_the_wrong_order(slope: Part, constant: Part, letter: str) -> Part | None:
    if not constant[0] or slope == (_ONE, _ONE):
        return None
    return join(over_part((Polynomial.letter(letter), _ONE), slope), constant, -1)


@divided_one_term_only.also(
    start_with,
    Place.FORMULA,
    shows=(
        "solve-for | P = 2L + 2W for W | P/2 - 2L",
        "solve-for | 3x + 2y = 12 for y | y = 6 - 3x",
    ),
    silent=("solve-for | P = 2L + 2W for W | P/2 - L",),
)
def _one_term_divided(start: Formula) -> Part | None:
    if not start.rest[0] or start.factor[0] == start.factor[1]:
        return None
    return join(over_part(start.other, start.factor), start.rest, -1)


@pattern(
    source="Otero, Druga and Lan 2024 (label 52)",
    shows=(
        "solve | 4x - 12 = 2x + 11 | 23/6",
        "solve | 5x = 2x + 21 | 3",
    ),
    silent=(
        "solve | 4x - 12 = 2x + 11 | 23/2",
        "solve | 5x + 2x = 21 | 7",
    ),
)
@instead_of(carry_unknown, Place.LINEAR)
def unknown_terms_added(here: Surd, there: Surd) -> Choices:
    """Adds the unknowns of both sides where one should be subtracted from the other."""
    return Choices((here + there, -(here + there)))


@unknown_terms_added.also(
    carry_letter,
    Place.FORMULA,
    shows=(
        "solve-for | ax + b = cx + d for x | (d - b)/(a + c)",
        "solve-for | px + q = rx for x | -q/(p + r)",
    ),
    silent=(
        "solve-for | ax + b = cx + d for x | (d - b)/(a - c)",
        "solve-for | ax + cx + b = d for x | (d - b)/(a + c)",
    ),
)
def _terms_with_the_letter_added(here: Part, there: Part) -> Part:
    return join(here, there)


@pattern(
    source="Scofield 2003 (kind of error); Payne and Squibb 1990 (from memory)",
    shows=(
        "solve | x + 4 = 20 | 5",
        "solve | x - 3 = 21 | -7",
    ),
    silent=(
        "solve | x + 4 = 20 | 16",
        "solve | 4x = 20 | 5",
    ),
)
@instead_of(start_isolating, Place.LINEAR)
def addition_undone_by_dividing(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd] | None:
    """Undoes an addition by dividing: from x + 4 = 20 takes x = 20/4."""
    return (a, ZERO, right / b) if a == 1 and b and b not in (ONE, -ONE) else None


@pattern(
    source="Otero, Druga and Lan 2024 (label 52); Larino 2018 (kind of error); Booth et al. 2014"
    " (from memory)",
    shows=(
        "solve | -3x = 12 | 4",
        "solve | 5 - 2x = 11 | 3",
        "solve | -2x < 6 | x < 3",
        "solve | -2x < 6 | x > 3",
    ),
    silent=(
        "solve | -2x < 6 | x < -3",
        "solve | -3x = 12 | -4",
        "solve | 3x = 12 | -4",
    ),
)
@instead_of(coefficient_of_unknown, Place.LINEAR, Place.LINEAR_INEQUALITY)
def coefficient_sign_dropped(a: Surd) -> Surd | None:
    """Divides by the size of a negative number before the unknown and drops its sign."""
    return -a if a.is_real and a.real_sign() < 0 and a != -1 else None


@coefficient_sign_dropped.also(divide)
def _divided_by_size(right: Surd, a: Surd) -> Surd | None:
    return right / -a if a.is_real and a.real_sign() < 0 and a != -1 else None


@coefficient_sign_dropped.also(
    read_slope,
    Place.SLOPE,
    shows=("slope | y = 3 - 2x | 2", "slope | y = -3x + 5 | 3"),
    silent=("slope | y = 3 - 2x | -2", "slope | y = 3x - 2 | -3"),
)
def _sign_of_slope_dropped(row: Row, solved: bool) -> Surd | None:
    """Reads the slope without its sign."""
    slope = isolate_letter(row)[0] if solved else ZERO
    return -slope if slope.real_sign() < 0 else None


_MINUS_ONE = (Polynomial.constant(-1), Polynomial.constant(1))


def _opposite(part: Part) -> Part:
    return part[0] * -1, part[1]


@coefficient_sign_dropped.also(
    divide_by,
    Place.FORMULA,
    shows=(
        "solve-for | 2x - 3y = 12 for y | y = (12 - 2x)/3",
        "solve-for | 5x - 2y = 10 for y | y = (10 - 5x)/2",
    ),
    silent=("solve-for | 2x - 3y = 12 for y | y = (2x - 12)/3",),
)
def _sign_of_factor_dropped(other: Part, factor: Part) -> Part | None:
    if not is_negative_part(factor) or factor == _MINUS_ONE:
        return None
    return over_part(other, _opposite(factor))


@pattern(
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
@instead_of(divide)
def stopped_at_opposite_of_unknown(right: Surd, a: Surd) -> Surd | None:
    """Stops at -x and gives its value as that of x."""
    return right if a == -1 else None


@stopped_at_opposite_of_unknown.also(
    divide_by,
    Place.FORMULA,
    shows=("solve-for | 4x - y = 7 for y | y = 7 - 4x", "solve-for | 3a - b = c for b | c - 3a"),
    silent=("solve-for | 4x - y = 7 for y | y = 4x - 7",),
)
def _opposite_of_letter_given(other: Part, factor: Part) -> Part | None:
    """Stops at the opposite of the letter, such as -y, and gives its value for the letter."""
    return other if factor == _MINUS_ONE else None


@pattern(
    source="Vlassis 2008 (label 49 of Otero, Druga and Lan 2024)",
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
@instead_of(divide)
def negative_solution_made_positive(right: Surd, a: Surd) -> Surd | None:
    """Gives a negative solution without its sign."""
    if not (right.is_real and a.is_real) or right.real_sign() >= 0 or a.real_sign() <= 0:
        return None
    return -right / a


@pattern(
    source="Hall 2002 (kind of error); Booth et al. 2014 (from memory)",
    shows=(
        "solve | x/4 = 12 | 3",
        "solve | (2/5)n = 14 | 28/5",
    ),
    silent=(
        "solve | x/4 = 12 | 48",
        "solve | 4x = 12 | 48",
    ),
)
@instead_of(divide, Place.LINEAR)
def division_undone_by_dividing(right: Surd, a: Surd) -> Surd | None:
    """Divides once more where multiplying undoes a division: from x/4 = 12 takes x = 3."""
    return right * a if a.is_rational and not a.is_integer else None


@division_undone_by_dividing.also(
    divide_by,
    Place.FORMULA,
    shows=(
        "solve-for | A = (1/2)b h for h | h = A/(2b)",
        "solve-for | V = (1/3)B h for h | h = V/(3B)",
        "solve-for | A = (a + b)h/2 for h | h = A/(2(a + b))",
    ),
    silent=("solve-for | A = (1/2)b h for h | h = 2A/b",),
)
def _fraction_multiplied(other: Part, factor: Part) -> Part | None:
    """Divides once more where multiplying undoes a division, as by 2 from A = (1/2)bh."""
    number = factor[0].ordered()[0][1]
    alike = all(one in (number, -number) for one in factor[0].terms.values())
    if not alike or not number.is_rational or number.is_integer:
        return None
    return times(over_part(other, factor), (factor[0] ** 0 * (number * number), factor[1] ** 0))


@pattern(
    source="Lee and Star (the insertion error)",
    shows=(
        "solve | 3(x + 2) = 15 | 13/3",
        "solve | 5(x - 1) = 20 | 21/5",
    ),
    silent=(
        "solve | 3(x + 2) = 15 | 3",
        "solve | 3x + 2 = 15 | 13/3",
    ),
)
@instead_of(copy_equation, Place.LINEAR)
def taken_off_inside_bracket(equation: Equation) -> Equation | None:
    """Takes the constant out of a bracket as if no number stood before the bracket."""
    k, p, q, _ = needed(lone_bracket(equation))
    return Equation((ZERO, k * p, ZERO), (ZERO, ZERO, equation.right[2] - q))


@pattern(
    source="common practice",
    shows=(
        "solve | 4(n + 5) = 20 | 5",
        "solve | 5(y - 3) = 10 | y = 2",
    ),
    silent=(
        "solve | 4(n + 5) = 20 | 0",
        "solve | 4n + 5 = 20 | 5",
    ),
)
@instead_of(copy_equation, Place.LINEAR)
def bracket_given_as_unknown(equation: Equation) -> Equation | None:
    """Gives what the bracket equals for the unknown itself."""
    bracket = lone_bracket(equation)
    return None if bracket is None else Equation((ZERO, bracket.k, ZERO), equation.right)


@bracket_given_as_unknown.also(
    carry_constant,
    Place.LOGARITHM,
    shows=("solve | 3^(x + 1) = 81 | 4", "logarithm | 2^(x - 3) = 32 | 5"),
    silent=("solve | 3^(x + 1) = 81 | 3", "logarithm | 2^x = 32 | 5"),
)
def _exponent_given_as_unknown(here: Surd, there: Surd) -> Ending:
    """Gives what the exponent equals for the unknown itself."""
    return Ending(frozenset({here}))


@bracket_given_as_unknown.also(
    combine_logs,
    Place.LOGARITHM,
    shows=("logarithm | log_2(x - 1) = 3 | 8", "logarithm | log_3(x + 1) = 2 | 9"),
    silent=("logarithm | log_2(x - 1) = 3 | 9", "logarithm | log_2(x) = 3 | 8"),
)
def _argument_given_as_unknown(start: Logarithms) -> tuple[Coefficients, Coefficients] | None:
    """Gives what stands under the logarithm for the unknown itself."""
    beside = not start.second and len(start.first) == 2 and start.first[0]
    return ((ZERO, ONE), (ONE,)) if beside else None


@taken_off_inside_bracket.also(
    start_with,
    Place.FORMULA,
    shows=(
        "solve-for | y = (x + 3)/2 for x | x = 2(y - 3)",
        "solve-for | C = (5/9)(F - 32) for F | F = (9/5)(C + 32)",
    ),
    silent=("solve-for | y = (x + 3)/2 for x | x = 2y - 3",),
)
def _carried_out_of_bracket(start: Formula) -> Part | None:
    whole = fraction_of(start.held) if isinstance(start.held, Sum) else None
    if whole is None or len(whole[0].collected(start.letter)) != 2:
        return None
    inside = reduce_fraction(whole[0].collected(start.letter)[0], whole[1])
    beside = join(join(start.other, start.rest, -1), inside, -1)
    return join(over_part(beside, start.factor), inside)


@taken_off_inside_bracket.also(
    start_bracket,
    Place.FUNCTION,
    shows=("function | f(x) = (x + 3)/2; f^-1(x) | 2(x - 3)",),
    silent=("function | f(x) = (x + 3)/2; f^-1(x) | 2x - 3",),
)
def _inverse_out_of_bracket(start: Inverse) -> Part:
    beside = join((Polynomial.letter(start.letter), _ONE), start.constant, -1)
    return over_part(over_part(beside, start.factor), start.slope)


def _is_simple(term: Bracket) -> bool:
    """Whether a term has no bracket, or one that is the numerator of a fraction."""
    written = term.written and term.k.is_integer
    return not written and term.k.is_rational and term.p.is_rational and term.q.is_rational


def _denominator(term: Bracket) -> int:
    return lcm((term.k * term.p).denominator, (term.k * term.q).denominator)


def _rescaled(sides: tuple[tuple[Bracket, ...], ...], factor: Surd, also_right: bool) -> Equation:
    """Multiply what has a denominator; the whole terms of the right side where it is said."""
    total = []
    for place, side in enumerate(sides):
        b = c = ZERO
        for term in side:
            by = term.k * (factor if _denominator(term) > 1 or (also_right and place) else ONE)
            b, c = b + term.p * by, c + term.q * by
        total.append((ZERO, b, c))
    return Equation(total[0], total[1])


@pattern(
    source="from memory",
    shows=(
        "solve | x/2 + 3 = 7 | 11",
        "solve | x/3 - 1 = x/6 | 1",
        "solve | (x + 6)/3 + 6 = x | 6",
        "solve | x/4 - (x - 2)/3 = 1 | 7",
    ),
    silent=(
        "solve | x/2 + 3 = 7 | 8",
        "solve | x/2 = 7 | 14",
    ),
)
@instead_of(copy_equation, Place.LINEAR)
def fraction_cleared_from_its_term_only(equation: Equation) -> Choices | None:
    """Multiplies the terms with fractions by the denominator and leaves the others as they are."""
    sides = equation.brackets
    terms = [term for side in sides for term in side]
    if not all(_is_simple(term) for term in terms):
        return None
    common = lcm(*(_denominator(term) for term in terms))
    whole = [term for term in terms if _denominator(term) == 1 and (term.p or term.q)]
    if common == 1 or not whole:
        return None
    factor = Surd.of(common)
    return Choices(
        _rescaled(sides, factor, also_right) for also_right in ((False, True) if sides[1] else ())
    )


@pattern(
    source="Otero, Druga and Lan 2024 (label 30)",
    shows=(
        "solve | 0.15x = 60 | 9",
        "solve | 4x = 12 | 48",
    ),
    silent=(
        "solve | 0.15x = 60 | 400",
        "solve | x/4 = 12 | 3",
    ),
)
@instead_of(divide)
def multiplied_by_coefficient(right: Surd, a: Surd) -> Surd | None:
    """Multiplies by the number before the unknown where one has to divide by it."""
    unit = a.is_rational and abs(a.as_fraction().numerator) == 1
    return None if unit else right * a


@multiplied_by_coefficient.also(
    divide,
    Place.DECIMALS,
    shows=("solve | 0.2x = 5 | 1", "solve | 0.5x - 1 = 4 | 2.5"),
    silent=("solve | 0.2x = 5 | 25", "solve | (1/5)x = 5 | 1"),
)
def _multiplied_by_decimal(right: Surd, a: Surd) -> Surd | None:
    return right * a if abs(a.as_fraction().numerator) == 1 else None


@multiplied_by_coefficient.also(
    divide_beyond,
    Place.LOGARITHM,
    shows=("logarithm | e^(2x) = 5 | 2ln(5)", "logarithm | ln(3x) = 2 | 3e^2"),
    silent=("logarithm | e^(2x) = 5 | ln(5)/2", "logarithm | ln(3x) = 2 | e^2/3"),
)
def _multiplied_by_coefficient_beyond(right: Quantity, a: Surd) -> Quantity:
    return times_quantity(right, a)


@multiplied_by_coefficient.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=("solve | 3/x + 2 = 5 | 9", "solve | 2/x + 1/3 = 1 | 4/3"),
    silent=("solve | 3/x + 2 = 5 | 1", "solve | 1/x + 1/4 = 1/2 | 1/4"),
)
def _fraction_multiplied_by_its_numerator(terms: tuple[Term, ...]) -> Coefficients | None:
    """Multiplies by the numerator where one has to divide it: from 3/x = 3 takes x = 9."""
    found = lone_fraction(terms)
    usual = found is None or found[0] in (ONE, -ONE)
    return None if found is None or usual else added(found[1], (-found[0] * found[2],))


@multiplied_by_coefficient.also(
    divide_by,
    Place.FORMULA,
    shows=(
        "solve-for | d = r t for t | t = d r",
        "solve-for | y = m x + b for x | x = m(y - b)",
        "solve-for | A = (1/2)bh for h | h = 2Ab",
    ),
    silent=("solve-for | d = r t for t | t = d/r", "solve-for | y = x + b for x | x = y - b"),
)
def _multiplied_by_factor(other: Part, factor: Part) -> Choices | None:
    """Multiplies by what stands before the letter where dividing undoes it."""
    if not factor[0].letters:
        return None
    bare = factor[0].monic(), factor[1].monic()
    return Choices((times(other, factor), times(times(other, bare), over_part(bare, factor))))


@pattern(
    source="Linchevski and Herscovics 1996 (label 33 of Otero, Druga and Lan 2024)",
    shows=(
        "solve | 5n + 90 = 240 | -30",
        "solve | x + 12 = 30 | -18",
    ),
    silent=(
        "solve | 5n + 90 = 240 | 30",
        "solve | 5n = 150 | -30",
    ),
)
@instead_of(carry_constant, Place.LINEAR)
def constant_carried_turned_round(here: Surd, there: Surd) -> Surd:
    """Turns the difference round when a constant is carried: from 5n + 90 = 240 takes 90 - 240."""
    return there - here


@constant_carried_turned_round.also(
    start_with,
    Place.FORMULA,
    shows=("solve-for | ax + by = c for y | y = (ax - c)/b", "solve-for | P = a + b for b | a - P"),
    silent=("solve-for | ax + by = c for y | y = (c - ax)/b",),
)
def _difference_turned_round(start: Formula) -> Part | None:
    if not start.rest[0] or is_negative_part(start.factor):
        return None
    return over_part(join(start.rest, start.other, -1), start.factor)


@pattern(
    source="Otero, Druga and Lan 2024 (label 25)",
    shows=(
        "solve | 3/7 = x/28 | 21/28",
        "solve | x/15 = 2/5 | 2/3",
        "solve | x/6 = 4/8 | 16/3",
    ),
    silent=(
        "solve | 3/7 = x/28 | 12",
        "solve | x/28 = 3 | 84",
    ),
)
@instead_of(fourth_term, Place.PROPORTION)
def proportion_multiplied_along_one_side(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Multiplies both numbers of one fraction in a proportion and divides by the third."""
    return level * across / beside


@proportion_multiplied_along_one_side.also(
    copy_equation,
    Place.LINEAR,
    shows=("solve | (x + 3)/4 = (x - 1)/2 | -7", "solve | (x + 1)/3 = (x - 2)/5 | 13/2"),
    silent=("solve | (x + 3)/4 = (x - 1)/2 | 5", "solve | (x + 3)/4 = x - 1 | -7"),
)
def _sides_times_own_denominators(equation: Equation) -> Equation | None:
    """Multiplies each numerator by the denominator below it, not by the other one."""
    terms = [side[0] for side in equation.brackets if len(side) == 1 and _is_simple(side[0])]
    below = [Surd.of(_denominator(term)) for term in terms]
    if len(set(below)) != 2 or ONE in below:
        return None
    (_, a, b), (_, c, d) = equation.left, equation.right
    one, two = (n * n for n in below)
    return Equation((ZERO, a * one, b * one), (ZERO, c * two, d * two))


@proportion_multiplied_along_one_side.also(
    cross_multiply,
    Place.RATIONAL_EQUATION,
    shows=("solve | 5/(x - 2) = 3/(x + 4) | 11", "solve | 2/(x + 1) = 6/x | 1/2"),
    silent=("solve | 5/(x - 2) = 3/(x + 4) | -13", "solve | 6/x = 2 | 1/3"),
)
def _fractions_times_own_denominators(terms: tuple[Term, ...]) -> Coefficients | None:
    """Multiplies each numerator by the denominator below it, not by the other one."""
    sides = {term.side: multiplied(term.above, term.below) for term in terms}
    if len(sides) != 2 or len(terms) != 2 or any(term.below == (ONE,) for term in terms):
        return None
    return added(sides[1], scaled(sides[-1], -ONE))


@pattern(
    source="Hart 1981 (from memory); Tourniaire and Pulos 1985 (from memory)",
    shows=(
        "solve | 2/3 = x/12 | 11",
        "solve | 6/8 = x/20 | 18",
    ),
    silent=(
        "solve | 2/3 = x/12 | 8",
        "solve | 6/8 = x/20 | 16",
    ),
)
@instead_of(fourth_term, Place.PROPORTION)
def proportion_by_differences(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Keeps the difference of the two numbers the same instead of their quotient."""
    return beside + level - across


@pattern(
    source="from memory",
    shows=(
        "solve | 2x + 3 = 2x + 5 | 0",
        "solve | 3(x + 1) = 3x + 3 | x = 0",
    ),
    silent=(
        "solve | 2x + 3 = 2x + 5 | no solution",
        "solve | 2x + 3 = 3x + 3 | 1",
    ),
)
@instead_of(conclude)
def vanished_unknown_read_as_zero(right: Surd) -> Roots:
    """Answers 0 where the unknown has dropped out of the equation."""
    return frozenset({ZERO})


@vanished_unknown_read_as_zero.also(
    tell,
    Place.NUMBER_OF_SOLUTIONS,
    shows=(
        "number-of-solutions | 2x + 3 = 2x + 5 | 1",
        "number-of-solutions | 3(x + 1) = 3x + 3 | one solution",
        "number-of-solutions | x + y = 5; 2x + 2y = 10 | 1",
    ),
    silent=(
        "number-of-solutions | 2x + 3 = 2x + 5 | no solution",
        "number-of-solutions | 3(x + 1) = 3x + 3 | infinitely many",
    ),
)
def _counted_as_one(start: Solutions) -> Choices | None:
    """Counts one solution where the unknown has dropped out of the equation."""
    dropped_out = start.shape in ("linear", "system") and not start.real
    return said(1, "real") if dropped_out else None


@pattern(
    source="from memory",
    shows=(
        "solve | 3(x + 1) = 3x + 3 | no solution",
        "solve | 2x + 3 = 2x + 5 | all real numbers",
    ),
    silent=(
        "solve | 3(x + 1) = 3x + 3 | all real numbers",
        "solve | 2x + 3 = 2x + 5 | 0",
    ),
)
@instead_of(conclude)
def identity_and_contradiction_swapped(right: Surd) -> str:
    """Takes a statement that is always true for one that never is, or the reverse."""
    return ALL_REAL if right else NO_SOLUTION


@identity_and_contradiction_swapped.also(
    tell,
    Place.NUMBER_OF_SOLUTIONS,
    shows=(
        "number-of-solutions | 2x + 3 = 2x + 5 | infinitely many",
        "number-of-solutions | x + y = 2; 2x + 2y = 4 | none",
    ),
    silent=(
        "number-of-solutions | 2x + 3 = 2x + 5 | 0",
        "number-of-solutions | x + y = 2; 2x + 2y = 4 | infinitely many",
    ),
)
def _swapped(start: Solutions) -> Choices | None:
    if start.shape not in ("linear", "system") or start.real:
        return None
    return said(0) if start.infinite else Choices((Ending(ALL_REAL),))
