"""Errors with logarithms and with unknowns in exponents."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, scaled
from pipeline.exact.evaluate import root_of
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import (
    Call,
    Constant,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Sum,
    letters,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO
from pipeline.procedures.exponential_equations import match_exponents, same_base, start_unwrapping
from pipeline.procedures.logarithm_laws import (
    Factor,
    factors_inside,
    join_arguments,
    keep_quotient,
    logarithm_of,
    multiple_inside,
    spread,
    sum_of_logarithms,
)
from pipeline.procedures.logarithms import (
    Isolated,
    Logarithms,
    base_from,
    combine_logs,
    divide_beyond,
    evaluate_log,
    exponent_for,
    is_logarithm,
    power_inside,
    start_removing,
    to_exponential,
)
from pipeline.procedures.parts import Part, join, tree_of_part
from pipeline.procedures.parts import times as times_part
from pipeline.procedures.quantities import (
    EULER,
    Quantity,
    logarithm,
    node_of,
    over,
    quantity_of,
    raised,
    settled,
    times,
)
from pipeline.procedures.rewriting.terms import signed, terms_of
from pipeline.procedures.solving_for import as_power, by_logarithm
from pipeline.procedures.walk import Choices, Ending, Place

Unwrapped = tuple[Surd, Quantity, Surd]


@pattern(
    source="Scofield 2003 (distributing before the power); a teacher's list of errors, 2015",
    shows=(
        "logarithm | 3*2^x = 36 | 2",
        "logarithm | 5*2^x = 40 | log(40)",
    ),
    silent=(
        "logarithm | 5*2^x = 40 | 3",
        "logarithm | 6^x = 36 | 2",
    ),
)
@instead_of(start_unwrapping, Place.LOGARITHM)
def coefficient_joined_to_base(factor: Surd, base: Quantity, rest: Surd) -> Unwrapped:
    """Multiplies the number before a power into its base: 3 * 2^x as 6^x."""
    return ONE, times(base, factor), rest


@pattern(
    source="Linchevski and Livneh 1999 (working from left to right)",
    shows=(
        "logarithm | 1 + 2*3^x = 27 | 2",
        "logarithm | 3 + 2*5^x = 125 | 2",
    ),
    silent=(
        "logarithm | 3 + 2*5^x = 53 | 2",
        "logarithm | 3*3^x = 27 | 2",
    ),
)
@instead_of(start_unwrapping, Place.LOGARITHM)
def constant_joined_to_coefficient(factor: Surd, base: Quantity, rest: Surd) -> Unwrapped | None:
    """Adds a constant to the number before a power: 1 + 2 * 3^x as 3 * 3^x."""
    return (factor + rest, base, ZERO) if rest else None


_TEN = Surd.of(10)
_MOST_BASE = 10
_ONE = (Surd.of(1),)
Factors = tuple[Factor, ...]
Ratio = tuple[Coefficients, Coefficients]


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2^x = 7 | ln(7)",
        "logarithm | 3^(2x) = 5 | log(5)/2",
    ),
    silent=(
        "logarithm | 2^x = 7 | ln(7)/ln(2)",
        "logarithm | 10^x = 250 | log(250)",
        "logarithm | e^(2x) = 5 | ln(5)/2",
    ),
)
@instead_of(match_exponents, Place.LOGARITHM)
def logarithm_of_base_left_out(base: Quantity, right: Surd) -> Choices | None:
    """Takes the logarithm of the right side and does not divide by that of the base."""
    if right.real_sign() <= 0 or right == 1:
        return None
    return Choices(logarithm(right, other) for other in (EULER, _TEN) if other != base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2^x = 7 | ln(7/2)",
        "logarithm | 3^x = 5 | log(5/3)",
    ),
    silent=(
        "logarithm | 2^x = 7 | ln(7)/ln(2)",
        "logarithm | 2^x = 7 | 7/2",
    ),
)
@instead_of(match_exponents, Place.LOGARITHM)
def quotient_of_logarithms_as_logarithm_of_quotient(base: Quantity, right: Surd) -> Choices | None:
    """Takes the logarithm of a quotient where the quotient of two logarithms is needed."""
    if right.real_sign() <= 0 or not isinstance(base, Surd):
        return None
    inside = over(right, base)
    return Choices((logarithm(inside), logarithm(inside, _TEN)))


@quotient_of_logarithms_as_logarithm_of_quotient.also(
    keep_quotient,
    Place.LAWS,
    shows=("simplify | ln(x)/ln(y) | ln(x/y)", "evaluate | log_2(32)/log_2(4) | 3"),
    silent=("simplify | ln(x)/ln(y) | ln(x)*ln(y)", "evaluate | log_2(32)/log_2(4) | 5/2"),
)
def _quotient_taken_inside(base: Quantity, above: Node, below: Node) -> Choices:
    """Writes the quotient of two logarithms as the logarithm of the quotient."""
    inside = Quotient(above, below)
    found = _joined_inside(base, inside)
    if not letters(inside):
        return Choices((found,))
    spread_out = sum_of_logarithms(base, tuple(factors_inside(inside, Surd.of(1))))
    return Choices((found, spread_out))


def _joined_inside(base: Quantity, inside: Node) -> Node | Ending:
    """The one logarithm, worked out where it is that of a number."""
    if letters(inside):
        return logarithm_of(inside, base)
    value = evaluate_log(base, quantity_of(inside))
    return Ending(value if isinstance(value, str) else settled(value))


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2^(2x) = 8^(x - 1) | -1",
        "logarithm | 4^x = 8^(2x - 5) | 5",
    ),
    silent=(
        "logarithm | 2^(2x) = 8^(x - 1) | 3",
        "logarithm | 2^(2x) = 2^(x - 1) | -1",
    ),
)
@instead_of(same_base, Place.LOGARITHM)
def exponents_of_unlike_bases_equated(first: Quantity, second: Quantity) -> tuple[Surd, Surd]:
    """Sets exponents equal though their bases are not the same."""
    return ONE, ONE


@exponents_of_unlike_bases_equated.also(
    match_exponents,
    Place.LOGARITHM,
    shows=("logarithm | 4^x = 8 | 3", "logarithm | 9^(x + 1) = 27 | 2", "solve | 8^x = 4 | 2"),
    silent=("logarithm | 4^x = 8 | 3/2", "logarithm | 2^x = 8 | 3", "logarithm | 4^x = 7 | 7"),
)
def _exponent_of_another_base(base: Quantity, right: Surd) -> Surd | None:
    """Takes the exponent of the right side although its base is another one: 3 of 4^x = 2^3."""
    if not right.is_integer or right.real_sign() <= 0 or right == 1:
        return None
    for exponent in range(right.as_fraction().numerator.bit_length(), 1, -1):
        root = root_of(right, exponent)
        if root is not None and root.is_integer:
            return None if root == base else Surd.of(exponent)
    return None


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2^(2x) = 8^(x - 1) | -1/5",
        "logarithm | 3^(x + 1) = 9^x | -2",
    ),
    silent=(
        "logarithm | 2^(2x) = 8^(x - 1) | 3",
        "logarithm | 3^(x + 1) = 9^x | 1",
    ),
)
@instead_of(same_base, Place.LOGARITHM)
def exponent_of_other_side_multiplied(first: Quantity, second: Quantity) -> tuple[Surd, Surd]:
    """Multiplies the exponent of the wrong side when both are written with one base."""
    k, m = same_base(first, second)
    return m, k


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x) + 3 = 7 | 125",
        "logarithm | 2log_3(x) = 4 | 81/2",
        "logarithm | 3ln(x) + 2 = 8 | (e^8 - 2)/3",
    ),
    silent=(
        "logarithm | log_2(x) + 3 = 7 | 16",
        "logarithm | 2log_3(x) = 4 | 9",
        "logarithm | log_2(x + 3) = 7 | 125",
    ),
)
@instead_of(start_removing, Place.LOGARITHM)
def logarithm_removed_before_isolating(start: Isolated) -> tuple[Coefficients, Surd]:
    """Writes the equation as a power before the logarithm stands alone."""
    rest = (start.rest,) if start.rest else ()
    return added(scaled(start.inside, start.factor), rest), start.right


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2ln(x) = ln(16) | 8",
        "logarithm | 3log(x) = log(8) | 8/3",
    ),
    silent=(
        "logarithm | 2ln(x) = ln(16) | 4",
        "logarithm | ln(2x) = ln(16) | 8",
    ),
)
@instead_of(power_inside, Place.LOGARITHM)
def coefficient_of_logarithm_as_factor(factor: Surd, inside: Coefficients) -> Coefficients:
    """Takes the number before a logarithm inside as a factor, not as an exponent."""
    return scaled(inside, factor)


_ONE_POLYNOMIAL = Polynomial.constant(1)


@coefficient_of_logarithm_as_factor.also(
    multiple_inside,
    Place.LAWS,
    shows=("simplify | 2ln(x) + ln(3) | ln(6x)", "simplify | 3log(x) - log(y) | log(3x/y)"),
    silent=("simplify | 2ln(x) + ln(3) | ln(3x^2)",),
)
def _factor_taken_inside(factor: Surd, inside: Part) -> Part:
    return times_part(inside, (Polynomial.constant(factor), _ONE_POLYNOMIAL))


@pattern(
    source="common practice",
    shows=(
        "logarithm | 2ln(x) = ln(16) | 16",
        "logarithm | 3log(x) = log(8) | 8",
    ),
    silent=(
        "logarithm | 2ln(x) = ln(16) | 4",
        "logarithm | ln(x) = ln(16) | 16",
    ),
)
@instead_of(power_inside, Place.LOGARITHM)
def coefficient_of_logarithm_dropped(factor: Surd, inside: Coefficients) -> Coefficients:
    """Leaves out the number before a logarithm."""
    return inside


@coefficient_of_logarithm_dropped.also(
    multiple_inside,
    Place.LAWS,
    shows=("simplify | 2ln(x) + ln(3) | ln(3x)", "simplify | 3log(x) - log(y) | log(x/y)"),
    silent=("simplify | 2ln(x) + ln(3) | ln(3x^2)",),
)
def _factor_left_out(factor: Surd, inside: Part) -> Part:
    return inside


@pattern(
    source="common practice",
    shows=(
        "logarithm | ln(x) = 2 | 100",
        "logarithm | log(x) = 3 | e^3",
        "logarithm | log_2(x) = 3 | 1000",
    ),
    silent=(
        "logarithm | ln(x) = 2 | e^2",
        "logarithm | log(x) = 3 | 1000",
        "logarithm | log_2(x) = 3 | 8",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def logarithm_read_with_other_base(base: Quantity, right: Surd) -> Choices:
    """Raises 10 or e to the right side where the logarithm has another base."""
    return Choices(raised(other, right) for other in (_TEN, EULER) if other != base)


@logarithm_read_with_other_base.also(
    as_power,
    Place.FORMULA,
    shows=("solve-for | ln(y) = 2x for y | y = 10^(2x)", "solve-for | log(y) = x for y | y = e^x"),
    silent=("solve-for | ln(y) = 2x for y | y = e^(2x)",),
)
def _raised_to_other_side(base: Node, other: Part) -> Choices:
    bases = (Numeral(Fraction(10)), Constant("e"))
    return Choices(Power(one, tree_of_part(other)) for one in bases if one != base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_x(64) = 3 | 64/3",
        "logarithm | log_x(25) = 2 | 25/2",
    ),
    silent=(
        "logarithm | log_x(64) = 3 | 4",
        "logarithm | log_x(25) = 2 | 5",
    ),
)
@instead_of(base_from, Place.LOGARITHM)
def base_found_by_dividing(argument: Quantity, right: Surd) -> Quantity:
    """Divides the number by the logarithm to find the base."""
    return over(argument, right)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 4",
        "logarithm | log_3(81) | 27",
    ),
    silent=(
        "logarithm | log_2(8) | 3",
        "logarithm | log_2(8) | 16",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def logarithm_as_quotient(base: Quantity, argument: Quantity) -> Quantity:
    """Divides the number by the base."""
    return over(argument, base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 1/3",
        "logarithm | log_25(5) | 2",
    ),
    silent=(
        "logarithm | log_2(8) | 3",
        "logarithm | log_25(5) | 1/2",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def base_and_number_swapped(base: Quantity, argument: Quantity) -> Quantity | None:
    """Asks which power of the number the base is."""
    if argument == Surd.of(1):
        return None
    try:
        return 1 / exponent_for(base, argument)
    except CannotBeWorked:
        return over(logarithm(base), logarithm(argument))


@base_and_number_swapped.also(
    by_logarithm,
    Place.FORMULA,
    shows=("solve-for | 2^y = x for y | y = log_x(2)", "solve-for | 5^y = x for y | log_x(5)"),
    silent=("solve-for | 2^y = x for y | y = log_2(x)",),
)
def _logarithm_of_base(base: Node, other: Part) -> Node:
    return Call("log", (base,), tree_of_part(other))


@base_and_number_swapped.also(
    match_exponents,
    Place.LOGARITHM,
    shows=("logarithm | 2^x = 7 | ln(2)/ln(7)", "logarithm | 4^x = 64 | 1/3"),
    silent=("logarithm | 2^x = 7 | ln(7)/ln(2)", "logarithm | 2^x = 7 | 7/2"),
)
def _exponent_upside_down(base: Quantity, right: Surd) -> Quantity | None:
    if right == 1 or right.real_sign() <= 0:
        return None
    return over(logarithm(base), logarithm(right))


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(1/8) | 3",
        "logarithm | log_3(1/9) | 2",
    ),
    silent=(
        "logarithm | log_2(1/8) | -3",
        "logarithm | log_2(8) | -3",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def logarithm_of_fraction_made_positive(base: Quantity, argument: Quantity) -> Surd | None:
    """Loses the minus of a logarithm of a number between 0 and 1."""
    found = exponent_for(base, argument)
    return -found if found.real_sign() < 0 else None


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_3(1/9) | 1/2",
        "logarithm | log_2(1/8) | 1/3",
    ),
    silent=(
        "logarithm | log_3(1/9) | -2",
        "logarithm | log_9(3) | 1/2",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def logarithm_of_reciprocal_as_reciprocal(base: Quantity, argument: Quantity) -> Surd | None:
    """Takes the reciprocal of a logarithm for the logarithm of a reciprocal."""
    found = exponent_for(base, argument)
    return -ONE / found if found.real_sign() < 0 else None


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 64",
        "logarithm | log_3(2) | 8",
    ),
    silent=(
        "logarithm | log_2(8) | 3",
        "logarithm | log_2(8) | 256",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def number_raised_to_base(base: Quantity, argument: Quantity) -> Quantity | None:
    """Raises the number to the base of the logarithm."""
    small = isinstance(base, Surd) and base.is_integer and 1 < base.as_fraction() <= _MOST_BASE
    return raised(argument, base) if small else None


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 16",
        "evaluate | log_3(9) | 27",
    ),
    silent=(
        "logarithm | log_2(8) | 4",
        "logarithm | log_2(8) | 3",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def logarithm_as_product(base: Quantity, argument: Quantity) -> Quantity:
    """Multiplies the number by the base."""
    return times(base, argument)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_5(1) | 1",
        "logarithm | log(1) | 1",
    ),
    silent=(
        "logarithm | log_5(1) | 0",
        "logarithm | log_5(5) | 0",
    ),
)
@instead_of(evaluate_log, Place.LOGARITHM)
def logarithm_of_one_as_one(base: Quantity, argument: Quantity) -> Surd | None:
    """Gives 1 as the logarithm of 1."""
    return Surd.of(1) if argument == Surd.of(1) else None


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 22",
        "logarithm | log_3(x) = 4 | 64",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_3(x) = 4 | 12",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def base_and_exponent_swapped(base: Quantity, right: Surd) -> Quantity | None:
    """Raises the right side to the base instead of the base to the right side."""
    small = not isinstance(base, Surd) or (base.is_integer and abs(base.as_fraction()) <= 12)
    return raised(right, base) if small and right.is_rational else None


@base_and_exponent_swapped.also(
    as_power,
    Place.FORMULA,
    shows=("solve-for | log_2(y) = x for y | y = x^2", "solve-for | log_3(y) = 2x for y | 8x^3"),
    silent=("solve-for | log_2(y) = x for y | y = 2^x",),
)
def _other_side_raised_to_base(base: Node, other: Part) -> Node:
    return Power(tree_of_part(other), base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x) = 5 | 5/2",
        "logarithm | log_3(x) = 6 | 2",
    ),
    silent=(
        "logarithm | log_2(x) = 5 | 32",
        "logarithm | log_2(x) = 5 | 10",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def right_side_divided_by_base(base: Quantity, right: Surd) -> Quantity:
    """Divides the right side by the base to get rid of a logarithm."""
    return over(right, base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 7",
        "logarithm | log_3(x) = 4 | 12",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_3(x) = 4 | 81",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def base_times_right_side(base: Quantity, right: Surd) -> Quantity:
    """Multiplies the base by the right side."""
    return times(base, right)


@base_times_right_side.also(
    as_power,
    Place.FORMULA,
    shows=("solve-for | log_2(y) = x for y | y = 2x", "solve-for | log_3(y) = x + 1 for y | 3x+3"),
    silent=("solve-for | log_2(y) = x for y | y = 2^x",),
)
def _base_times_other_side(base: Node, other: Part) -> Node:
    return Product((base, tree_of_part(other)))


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x) = 8 | 3",
        "logarithm | ln(3x) = 2 | ln(2)/3",
        "solve-for | ln(y) = 2x for y | y = ln(2x)",
        "solve-for | ln(y) = x + 3 for y | ln(x + 3)",
    ),
    silent=(
        "logarithm | log_2(x) = 8 | 256",
        "solve-for | ln(y) = 2x for y | y = e^(2x)",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def logarithm_taken_once_more(base: Quantity, right: Surd) -> Quantity | None:
    """Takes the logarithm of the right side, where the base is to be raised to it."""
    found = match_exponents(base, right)
    return None if isinstance(found, str) else found


@logarithm_taken_once_more.also(as_power, Place.FORMULA)
def _logarithm_of_other_side(base: Node, other: Part) -> Node:
    return by_logarithm(base, other)


@pattern(
    source="common practice",
    shows=(
        "solve-for | x = 3e^y for y | y = ln(x)/3",
        "solve-for | A = 5*2^t for t | log_2(A)/5",
    ),
    silent=(
        "solve-for | x = 3e^y for y | y = ln(x/3)",
        "solve-for | x = e^(3y) for y | y = ln(x)/3",
    ),
)
@instead_of(by_logarithm, Place.FORMULA)
def coefficient_divided_off_after_logarithm(base: Node, other: Part) -> Node | None:
    """Takes the logarithm before dividing by the coefficient, and divides by it afterwards."""
    size = other[0].ordered()[0][1] / other[1].ordered()[0][1]
    if size == 1:
        return None
    rest = times_part(other, (Polynomial.constant(ONE / size), _ONE_POLYNOMIAL))
    return Product((node_of(size), by_logarithm(base, rest)))


@coefficient_divided_off_after_logarithm.also(
    start_unwrapping,
    Place.LOGARITHM,
    shows=("logarithm | 3e^x = 12 | ln(12)/3", "logarithm | 5*2^x = 40 | log_2(40)/5"),
    silent=("logarithm | 3e^x = 12 | ln(4)", "logarithm | e^(3x) = 12 | ln(12)/3"),
)
def _divided_by_coefficient_afterwards(factor: Surd, base: Quantity, rest: Surd) -> Unwrapped:
    return ONE, raised(base, factor), rest


@pattern(
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 2",
        "logarithm | log_3(2x) = 4 | 2",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_2(x + 3) = 5 | 22",
    ),
)
@instead_of(to_exponential, Place.LOGARITHM)
def logarithm_crossed_out(base: Quantity, right: Surd) -> Surd:
    """Leaves out the logarithm and keeps the right side as it is."""
    return right


@logarithm_crossed_out.also(
    as_power,
    Place.FORMULA,
    shows=("solve-for | ln(y) = 2x for y | y = 2x", "solve-for | ln(y) = x - 3 for y | y = x - 3"),
    silent=("solve-for | ln(y) = 2x for y | y = e^(2x)",),
)
def _other_side_given(base: Node, other: Part) -> Node:
    return tree_of_part(other)


@logarithm_crossed_out.also(
    evaluate_log,
    Place.LOGARITHM,
    shows=("evaluate | ln(e^3) | e^3", "evaluate | log(100) | 100"),
    silent=("evaluate | ln(e^3) | 3",),
)
def _number_inside_given(base: Quantity, argument: Quantity) -> Quantity:
    return argument


@pattern(
    source="Scofield 2003 (kind of error); common practice",
    shows=(
        "logarithm | log(x) + log(x - 3) = 1 | 13/2",
        "logarithm | log_3(x + 5) - log_3(x - 3) = 2 | no solution",
    ),
    silent=(
        "logarithm | log(x) + log(x - 3) = 1 | 5",
        "logarithm | log_3(x + 5) - log_3(x - 3) = 2 | 4",
    ),
)
@instead_of(combine_logs, Place.LOGARITHM)
def sum_of_logarithms_as_logarithm_of_sum(start: Logarithms) -> Ratio | None:
    """Adds the numbers of two logarithms, or subtracts them, under one logarithm."""
    if not start.second:
        return None
    return added(start.first, scaled(start.second, Surd.of(start.side))), _ONE


@sum_of_logarithms_as_logarithm_of_sum.also(
    join_arguments,
    Place.LAWS,
    shows=(
        "simplify | ln(x) + ln(y) | ln(x + y)",
        "simplify | log_2(x) - log_2(y) | log_2(x - y)",
    ),
    silent=("simplify | ln(x) + ln(y) | ln(xy)", "simplify | ln(x) - ln(y) | ln(x/y)"),
)
def _arguments_added(base: Quantity, first: Part, second: Part, side: int) -> Part:
    return join(first, second, side)


@pattern(
    source="common practice",
    shows=(
        "logarithm | 3^(2x - 1) = 81 | 14",
        "logarithm | 2^x = 32 | 16",
        "logarithm | 2^x = 10 | log(10)/2",
    ),
    silent=(
        "logarithm | 3^(2x - 1) = 81 | 5/2",
        "logarithm | 2^x = 32 | 5",
    ),
)
@instead_of(match_exponents, Place.LOGARITHM)
def exponent_found_by_dividing(base: Quantity, right: Surd) -> Choices:
    """Divides the right side, or its logarithm, by the base to get at the exponent."""
    divided: list[Quantity] = [right]
    if right.real_sign() > 0 and right != 1:
        divided += [logarithm(right), logarithm(right, _TEN)]
    return Choices(over(one, base) for one in divided)


@exponent_found_by_dividing.also(
    by_logarithm,
    Place.FORMULA,
    shows=("solve-for | 2^y = x for y | y = x/2", "solve-for | e^y = 2x for y | y = 2x/e"),
    silent=("solve-for | 2^y = x for y | y = log_2(x)",),
)
def _other_side_over_base(base: Node, other: Part) -> Node:
    return Quotient(tree_of_part(other), base)


@pattern(
    source="common practice",
    shows=(
        "logarithm | 3^(2x - 1) = 81 | 41",
        "logarithm | 2^(x + 1) = 32 | 31",
    ),
    silent=(
        "logarithm | 3^(2x - 1) = 81 | 5/2",
        "logarithm | 2^(x + 1) = 32 | 4",
    ),
)
@instead_of(match_exponents, Place.LOGARITHM)
def exponent_set_equal_to_right_side(base: Quantity, right: Surd) -> Surd:
    """Sets the exponent equal to the right side and drops the base."""
    return right


@pattern(
    source="common practice",
    shows=(
        "logarithm | e^(2x) = 5 | ln(5/2)",
        "logarithm | e^(3x) = 12 | ln(4)",
    ),
    silent=(
        "logarithm | e^(2x) = 5 | ln(5)/2",
        "logarithm | 3e^x = 12 | ln(4)",
    ),
)
@instead_of(divide_beyond, Place.LOGARITHM)
def logarithm_divided_inside(right: Quantity, a: Surd) -> Quantity | None:
    """Divides the number under a logarithm where the logarithm is to be divided."""
    if not (isinstance(right, Call) and is_logarithm(right)):
        return None
    return replace(right, arguments=(node_of(over(quantity_of(right.arguments[0]), a)),))


@pattern(
    source="common practice",
    shows=(
        "expand | ln(x/y) | ln(x) + ln(y)",
        "expand | log(x^2y) | 2log(x) - log(y)",
        "simplify | 2log(x) - log(y) | log(x^2y)",
    ),
    silent=(
        "expand | ln(x/y) | ln(x) - ln(y)",
        "expand | ln(x + y) | ln(x) - ln(y)",
        "simplify | log(x) + log(y) | log(xy)",
    ),
)
@instead_of(spread, Place.LAWS)
def sum_and_difference_of_logarithms_swapped(base: Quantity, factors: Factors) -> Node | None:
    """Adds logarithms for a quotient, or subtracts them for a product."""
    first, *rest = factors
    if not rest or len({one.exponent.real_sign() for one in rest}) > 1:
        return None
    turned = (Factor(inside, -exponent) for inside, exponent in rest)
    return sum_of_logarithms(base, (first, *turned))


@sum_and_difference_of_logarithms_swapped.also(join_arguments, Place.LAWS)
def _joined_the_other_way(base: Quantity, first: Part, second: Part, side: int) -> Part:
    return join_arguments(base, first, second, -side)


@sum_and_difference_of_logarithms_swapped.also(
    combine_logs,
    Place.LOGARITHM,
    shows=("logarithm | log_2(x + 6) - log_2(x) = 4 | 2",),
    silent=("logarithm | log(x) + log(x - 3) = 1 | 5",),
)
def _combined_the_other_way(start: Logarithms) -> Ratio | None:
    return combine_logs(start._replace(side=-start.side)) if start.second else None


@pattern(
    source="common practice",
    shows=(
        "simplify | ln(x) - ln(y) | ln(x)/ln(y)",
        "simplify | log(x^2) - log(5) | log(x^2)/log(5)",
    ),
    silent=(
        "simplify | ln(x) - ln(y) | ln(x/y)",
        "simplify | ln(x) + ln(y) | ln(x)/ln(y)",
    ),
)
@instead_of(join_arguments, Place.LAWS)
def difference_of_logarithms_as_quotient_of_logarithms(
    base: Quantity, first: Part, second: Part, side: int
) -> Ending | None:
    """Writes a difference of logarithms as a quotient of logarithms."""
    if side > 0:
        return None
    above, below = (logarithm_of(tree_of_part(one), base) for one in (first, second))
    return Ending(Quotient(above, below))


@pattern(
    source="common practice",
    shows=(
        "simplify | ln(x) + ln(y) | ln(x)*ln(y)",
        "simplify | log(x) + log(5) | log(x)*log(5)",
    ),
    silent=(
        "simplify | ln(x) + ln(y) | ln(xy)",
        "simplify | ln(x) - ln(y) | ln(x)*ln(y)",
    ),
)
@instead_of(join_arguments, Place.LAWS)
def sum_of_logarithms_as_product_of_logarithms(
    base: Quantity, first: Part, second: Part, side: int
) -> Ending | None:
    """Writes a sum of logarithms as a product of logarithms."""
    if side < 0:
        return None
    one, two = (logarithm_of(tree_of_part(part), base) for part in (first, second))
    return Ending(Product((one, two)))


@pattern(
    source="common practice",
    shows=(
        "expand | log(x^2y) | 2log(x)*log(y)",
        "expand | log_2(8x) | 3log_2(x)",
    ),
    silent=(
        "expand | log(x^2y) | 2log(x) + log(y)",
        "expand | ln(x/y) | ln(x)*ln(y)",
    ),
)
@instead_of(spread, Place.LAWS)
def logarithm_of_product_as_product_of_logarithms(base: Quantity, factors: Factors) -> Node | None:
    """Writes the logarithm of a product as a product of logarithms."""
    if len(factors) < 2 or any(one.exponent.real_sign() < 0 for one in factors):
        return None
    return Product(tuple(sum_of_logarithms(base, (one,)) for one in factors))


@pattern(
    source="common practice",
    shows=(
        "expand | ln(x^3/y) | 3ln(x)/ln(y)",
        "expand | log(x/5) | log(x)/log(5)",
    ),
    silent=(
        "expand | ln(x^3/y) | 3ln(x) - ln(y)",
        "expand | ln(x*y) | ln(x)/ln(y)",
    ),
)
@instead_of(spread, Place.LAWS)
def logarithm_of_quotient_as_quotient_of_logarithms(
    base: Quantity, factors: Factors
) -> Node | None:
    """Writes the logarithm of a quotient as a quotient of logarithms."""
    above = tuple(one for one in factors if one.exponent.real_sign() > 0)
    below = tuple(Factor(one, -power) for one, power in factors if power.real_sign() < 0)
    if not above or not below:
        return None
    return Quotient(sum_of_logarithms(base, above), sum_of_logarithms(base, below))


@pattern(
    source="common practice",
    shows=(
        "expand | log(x^2y) | 2log(x) + 2log(y)",
        "expand | ln(5x^3) | 3ln(5x)",
        "expand | log(x/y^2) | 2log(x) - 2log(y)",
    ),
    silent=(
        "expand | log(x^2y) | 2log(x) + log(y)",
        "expand | log(x/y^2) | log(x) - 2log(y)",
        "expand | ln((5x)^3) | 3ln(5x)",
    ),
)
@instead_of(spread, Place.LAWS)
def exponent_put_before_whole_logarithm(base: Quantity, factors: Factors) -> Node | None:
    """Puts the exponent of one factor before the logarithm of the whole product or quotient."""
    large = [one.exponent for one in factors if one.exponent not in (1, -1)]
    if len(large) != 1 or len(factors) < 2:
        return None
    size = large[0] if large[0].real_sign() > 0 else -large[0]
    spread_out = (
        Factor(inside, power if power == large[0] else power * size) for inside, power in factors
    )
    return sum_of_logarithms(base, tuple(spread_out))


@pattern(
    source="OpenStax Elementary Algebra 2e, 1.9 (related: minus before brackets); common practice",
    shows=(
        "expand | ln(x/(yz)) | ln(x) - ln(y) + ln(z)",
        "expand | log(x^2/(3y)) | 2log(x) - log(3) + log(y)",
    ),
    silent=(
        "expand | ln(x/(yz)) | ln(x) - ln(y) - ln(z)",
        "expand | ln(xz/y) | ln(x) - ln(y) + ln(z)",
    ),
)
@instead_of(spread, Place.LAWS)
def minus_before_first_logarithm_only(base: Quantity, factors: Factors) -> Node | None:
    """Subtracts the logarithm of the first factor of a denominator and adds those of the others."""
    below = [one for one in factors if one.exponent.real_sign() < 0]
    if len(below) < 2:
        return None
    changed = (Factor(one.inside, -one.exponent) if one in below[1:] else one for one in factors)
    return sum_of_logarithms(base, tuple(changed))


@pattern(
    source="Scofield 2003 (functions spread over sums); Schechter 2006",
    shows=(
        "expand | ln(x + y) | ln(x) + ln(y)",
        "expand | log(100 - k) | 2 - log(k)",
        "expand | ln(x^2 + y^2) | 2ln(x) + 2ln(y)",
    ),
    silent=(
        "expand | ln(x*y) | ln(x) + ln(y)",
        "expand | ln(x + y) | ln(x)*ln(y)",
        "expand | ln(p - q) | ln(q) - ln(p)",
    ),
)
@instead_of(spread, Place.LAWS)
def logarithm_spread_over_sum(base: Quantity, factors: Factors) -> Node | None:
    """Writes the logarithm of a sum as the sum of the logarithms."""
    if not any(isinstance(one.inside, Sum) for one in factors):
        return None
    terms: list[Factor] = []
    for inside, exponent in factors:
        for sign, term in map(signed, terms_of(inside)):
            terms += factors_inside(term, exponent if sign > 0 else -exponent)
    return sum_of_logarithms(base, tuple(terms))


@logarithm_spread_over_sum.also(
    combine_logs,
    Place.LOGARITHM,
    shows=("logarithm | log(x + 3) = 2 | 100/3", "logarithm | log_2(x - 5) = 3 | 40"),
    silent=("logarithm | log(x + 3) = 2 | 97", "logarithm | log(x + 3) = 2 | 103"),
)
def _spread_in_equation(start: Logarithms) -> tuple[Coefficients, Coefficients] | None:
    """Writes the logarithm of a sum as the sum of the logarithms."""
    if start.second or len(start.first) != 2 or not start.first[0]:
        return None
    constant, factor = start.first
    term = (Surd.of(0), factor)
    if constant.real_sign() < 0:
        return term, (-constant,)
    return scaled(term, constant), (Surd.of(1),)


@pattern(
    source="Scofield 2003 (related: cancelling what is no factor); common practice",
    shows=(
        "simplify | log(6)/log(2) | 3",
        "simplify | ln(x)/ln(y) | x/y",
    ),
    silent=(
        "simplify | log(8)/log(2) | 3",
        "simplify | ln(x)/ln(y) | y/x",
    ),
)
@instead_of(keep_quotient, Place.LAWS)
def logarithms_cancelled_in_quotient(base: Quantity, above: Node, below: Node) -> Node:
    """Crosses the signs of two logarithms out of a fraction, as if they were factors."""
    return Quotient(above, below)


@pattern(
    source="common practice",
    shows=(
        "evaluate | log(20)/log(4) | log(16)",
        "simplify | ln(x)/ln(y) | ln(x - y)",
    ),
    silent=(
        "evaluate | log(20)/log(4) | log(5)",
        "simplify | ln(x) - ln(y) | ln(x/y)",
    ),
)
@instead_of(keep_quotient, Place.LAWS)
def quotient_of_logarithms_as_logarithm_of_difference(
    base: Quantity, above: Node, below: Node
) -> Node | Ending:
    """Writes the quotient of two logarithms as the logarithm of the difference."""
    return _joined_inside(base, Sum((above, Negation(below))))
