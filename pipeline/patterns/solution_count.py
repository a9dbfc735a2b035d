"""Errors about how many solutions there are."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from pipeline.exact.coefficients import Coefficients, exact_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Count, Kind, Number
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import drop_bars, split_bars
from pipeline.procedures.equations import Equation
from pipeline.procedures.exponential_equations import match_exponents
from pipeline.procedures.inequalities import clear_denominator, turn_sign
from pipeline.procedures.logarithms import combine_logs, start_removing
from pipeline.procedures.operations import copy_equation
from pipeline.procedures.polynomial_equations import roots_of_rest
from pipeline.procedures.radical_equations import square_at_once, square_two
from pipeline.procedures.rational_equations import cross_multiply
from pipeline.procedures.systems import isolate_letter
from pipeline.procedures.walk import NO_SOLUTION, Choices, Ending, Place
from pipeline.tasks.number_of_solutions import Solutions, tell


@pattern(
    source="public study pages (complex roots); common practice (real roots)",
    shows=(
        "solve | x^2 + 2x - 15 = 0 | no real solution",
        "solve | 4x = 12 | no solution",
        "solve | sqrt(x + 7) = x - 5 | no solution",
        "solve | |x - 3| = 5 | no solution",
        "solve | x^3 - 4x = 0 | no solution",
        "solve | x + y = 7; x - y = 1 | no solution",
    ),
    silent=(
        "solve | x^2 + 4 = 0 | no real solution",
        "solve | sqrt(x + 7) = -3 | no solution",
        "solve | x + y = 7; x + y = 1 | no solution",
        "solve | x^2 + 2x - 15 = 0 | 0",
    ),
)
@instead_of(copy_equation)
def called_no_solution(equation: Equation) -> Ending:
    """Says that there is no solution where there are solutions."""
    return Ending(NO_SOLUTION)


def _nothing_begun(*_: Any, **_named: Any) -> Ending:
    return Ending(NO_SOLUTION)


_FIRST_STEPS: Final[tuple[Callable[..., Any], ...]] = (
    square_at_once, square_two, drop_bars, cross_multiply, isolate_letter,
    clear_denominator, start_removing, combine_logs, split_bars, match_exponents,
)  # fmt: skip
for _first in _FIRST_STEPS:
    called_no_solution.also(_first)(_nothing_begun)


called_no_solution.also(
    turn_sign,
    Place.CHAIN,
    shows=(
        "solve | -3 < 2x + 1 < 7 | no solution",
        "solve | |x| < 3 | no solution",
        "solve | (x + 3)/(x - 2) > 0 | no solution",
        "logarithm | ln(x) = 2 | no solution",
        "logarithm | 2^x = 8 | no solution",
    ),
    silent=(
        "solve | 5 < 2x + 1 < 3 | no solution",
        "solve | |x| < -3 | no solution",
        "logarithm | log(x) + log(x - 3) = 1 | 10",
        "logarithm | 2^x = -8 | no solution",
    ),
)(_nothing_begun)


@called_no_solution.also(roots_of_rest)
def _no_root(numbers: Coefficients) -> Ending | None:
    # Elsewhere the key alone judges, and tells no error.
    return None if exact_roots(numbers) is None else Ending(NO_SOLUTION)


def said(number: int, *kinds: Kind) -> Choices:
    """Every way to say a number of solutions: alone, and with its kind."""
    if not number:
        return Choices((Ending(Surd.of(0)), Ending(NO_SOLUTION)))
    counts = [Ending(Count(((number, kind),))) for kind in kinds]
    return Choices((Ending(Surd.of(number)), *counts))


_TWO = "number-of-solutions | x^2 + 5x + 4 = 0"


_ONE = "number-of-solutions | x^2 - 6x + 9 = 0"


_NONE = "number-of-solutions | x^2 + 2x + 5 = 0"


@called_no_solution.also(
    tell,
    Place.NUMBER_OF_SOLUTIONS,
    shows=(f"{_TWO} | none", "number-of-solutions | 4x = 12 | no solution"),
    silent=(f"{_TWO} | 2", f"{_NONE} | no solution", f"{_ONE} | none"),
)
def _counted_as_none(start: Solutions) -> Choices | None:
    return said(0) if (start.real or start.nonreal) and start.sign != 0 else None


_ROOTS = "number-of-solutions | x^2 + 5x + 1 = 0"


@pattern(
    source="from memory",
    shows=(f"{_TWO} | 1", f"{_ROOTS} | one real solution"),
    silent=(
        f"{_TWO} | 2 real",
        f"{_TWO} | 0",
        f"{_ROOTS} | one negative and one positive",
        f"{_ONE} | 1",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def positive_discriminant_one_solution(start: Solutions) -> Choices | None:
    """Counts one solution of a quadratic equation whose discriminant is positive."""
    return said(1, "real", "rational", "irrational") if start.sign == 1 else None


@pattern(
    source="from memory",
    shows=(f"{_ONE} | none", f"{_ONE} | 0", f"{_ONE} | no real solutions"),
    silent=(f"{_ONE} | one", f"{_ONE} | two equal roots", f"{_TWO} | 0", f"{_NONE} | 0"),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def zero_discriminant_no_solution(start: Solutions) -> Choices | None:
    """Counts no solution of a quadratic equation whose discriminant is zero."""
    return said(0) if start.sign == 0 else None


@pattern(
    source="questions of teachers on the web",
    shows=(f"{_ONE} | 2", f"{_ONE} | two real solutions"),
    silent=(
        f"{_ONE} | two equal real roots",
        f"{_ONE} | 1 (double root)",
        f"{_ONE} | x = 3",
        f"{_TWO} | 2",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def zero_discriminant_two_solutions(start: Solutions) -> Choices | None:
    """Counts two solutions where the discriminant is zero, because of the plus-minus sign."""
    return said(2, "real", "rational", "irrational") if start.sign == 0 else None


@pattern(
    source="from memory",
    shows=(f"{_NONE} | 1 negative solution", f"{_NONE} | one"),
    silent=(f"{_NONE} | no real solution", f"{_NONE} | 2", f"{_TWO} | 1"),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def negative_discriminant_one_solution(start: Solutions) -> Choices | None:
    """Counts one solution, a negative one, where the discriminant is negative."""
    return said(1, "real", "nonreal", "rational") if start.sign == -1 else None


@pattern(
    source="common practice",
    shows=(f"{_NONE} | 2 real", f"{_NONE} | two irrational solutions"),
    silent=(f"{_NONE} | 2 complex", f"{_NONE} | no real, 2 imaginary", f"{_TWO} | 2 real"),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def negative_discriminant_two_real(start: Solutions) -> Choices | None:
    """Counts two real solutions where the discriminant is negative."""
    return said(2, "real", "rational", "irrational") if start.sign == -1 else None


@pattern(
    source="common practice",
    shows=(f"{_NONE} | 2", "number-of-solutions | x^3 = 8 | 3"),
    silent=(
        f"{_NONE} | two complex solutions",
        f"{_NONE} | 0",
        "number-of-solutions | x^3 = 8 | 1 real, 2 complex",
        "number-of-solutions | x^3 = 8 | one",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def complex_solutions_counted_as_real(start: Solutions) -> Choices | None:
    """Counts solutions that are not real among the real ones."""
    total = start.real + start.nonreal
    return Choices((Ending(Surd.of(total)),)) if start.nonreal else None


def _called(number: int, kind: Kind) -> Choices:
    """A kind, with the number of solutions or alone."""
    return Choices(Ending(Count(((count, kind),))) for count in (number, None))


@pattern(
    source="common practice",
    shows=(f"{_TWO} | 2 imaginary", f"{_ROOTS} | two complex solutions"),
    silent=(f"{_TWO} | 2 real", f"{_NONE} | 2 imaginary", f"{_ROOTS} | irrational"),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def real_solutions_called_complex(start: Solutions) -> Choices | None:
    """Calls solutions complex or imaginary that are real."""
    return None if start.nonreal or not start.real else _called(start.real, "nonreal")


@pattern(
    source="from memory",
    shows=(
        "number-of-solutions | 2x^2 + 5x + 2 = 0 | irrational",
        f"{_TWO} | 2 irrational solutions",
    ),
    silent=(
        "number-of-solutions | 2x^2 + 5x + 2 = 0 | 2 rational",
        f"{_TWO} | two real solutions",
        f"{_ROOTS} | 2 irrational",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def perfect_square_called_irrational(start: Solutions) -> Choices | None:
    """Calls the solutions irrational though the discriminant is a perfect square."""
    square = start.discriminant is not None and "rational" in start.kinds and start.real
    return _called(start.real, "irrational") if square else None


@pattern(
    source="common practice",
    shows=(f"{_ROOTS} | 2 rational", f"{_ROOTS} | rational"),
    silent=(f"{_ROOTS} | 2 real, irrational", f"{_TWO} | rational"),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def irrational_called_rational(start: Solutions) -> Choices | None:
    """Calls the solutions rational though the discriminant is no perfect square."""
    irrational = start.discriminant is not None and "irrational" in start.kinds
    return _called(start.real, "rational") if irrational else None


@pattern(
    source="a public list of errors",
    shows=(f"{_TWO} | 9", f"{_NONE} | -16"),
    silent=(
        f"{_TWO} | 2",
        f"{_TWO} | -1, -4",
        "number-of-solutions | x^2 - 3x + 2 = 0 | 2",
        f"{_ONE} | no solution",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def discriminant_given_for_number(start: Solutions) -> Ending | None:
    """Gives the value of the discriminant in place of the number of solutions."""
    given = start.discriminant is not None and bool(start.discriminant)
    return Ending(start.discriminant) if given else None


@pattern(
    source="common practice",
    shows=(f"{_ONE} | 3", "number-of-solutions | 4x = 12 | 3"),
    silent=(
        f"{_ONE} | x = 3",
        f"{_ONE} | 1",
        "number-of-solutions | 4x = 12 | one",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def solution_given_for_number(start: Solutions) -> Ending | None:
    """Gives the one solution itself in place of how many there are."""
    single = start.values[0] if len(start.values) == 1 else None
    surd = single.surd if isinstance(single, Number) else None
    return None if surd is None else Ending(surd)


@pattern(
    source="common practice",
    shows=(
        "number-of-solutions | (x - 2)^2(x + 1) = 0 | 3",
        "number-of-solutions | x^4 = 16 | 4",
    ),
    silent=(
        "number-of-solutions | (x - 2)^2(x + 1) = 0 | 2",
        "number-of-solutions | x^4 = 16 | 2 real, 2 imaginary",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def degree_given_for_number(start: Solutions) -> Ending | None:
    """Takes the degree of the equation for the number of its real solutions."""
    return Ending(Surd.of(start.degree)) if start.degree > 2 else None


@pattern(
    source="common practice",
    shows=(
        "number-of-solutions | 5x = 0 | none",
        "number-of-solutions | x^2 = 5x | 1",
    ),
    silent=(
        "number-of-solutions | 5x = 0 | one",
        "number-of-solutions | 5x = 0 | x = 0",
        "number-of-solutions | x^2 = 5x | two",
        f"{_ONE} | none",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def zero_solution_not_counted(start: Solutions) -> Choices | None:
    """Does not count 0, as if it were no solution."""
    zero = any(getattr(one, "surd", None) == Surd.of(0) for one in start.values)
    return said(start.real - 1, "real", "rational", "irrational") if zero else None


@pattern(
    source="common practice",
    shows=(
        "number-of-solutions | |x - 3| = 5 | 1",
        "number-of-solutions | |2x + 1| = 9 | one solution",
    ),
    silent=(
        "number-of-solutions | |x - 3| = 5 | 2",
        "number-of-solutions | |x - 3| = 0 | 1",
        "number-of-solutions | |x - 3| = 5 | 8, -2",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def second_case_not_counted(start: Solutions) -> Choices | None:
    """Counts one solution of an equation with an absolute value that has two."""
    two = start.shape == "absolute value" and start.real == 2
    return said(1, "real", *start.kinds) if two else None


@pattern(
    source="common practice",
    shows=(
        "number-of-solutions | |x - 3| = -5 | 2",
        "number-of-solutions | |x + 1| + 4 = 1 | one",
    ),
    silent=(
        "number-of-solutions | |x - 3| = -5 | none",
        "number-of-solutions | |x + 1| + 4 = 1 | no solution",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def impossible_absolute_value_counted(start: Solutions) -> Choices | None:
    """Counts solutions of an equation whose absolute value would be negative."""
    if start.shape != "absolute value" or start.real or start.infinite:
        return None
    return Choices((*said(2, "real"), *said(1, "real")))


@pattern(
    source="Schechter 2006 (extraneous roots); South African examiners' comments, November 2024",
    shows=(
        "number-of-solutions | sqrt(x + 6) = x | 2",
        "number-of-solutions | x/(x - 3) = 3/(x - 3) | 1",
    ),
    silent=(
        "number-of-solutions | sqrt(x + 6) = x | 1",
        "number-of-solutions | sqrt(x + 6) = x | x = 3",
        "number-of-solutions | x/(x - 3) = 3/(x - 3) | 0",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def rejected_solution_counted(start: Solutions) -> Choices | None:
    """Counts a solution that does not check in the equation."""
    kinds: tuple[Kind, ...] = ("real", "rational", "irrational")
    return said(start.real + start.rejected, *kinds) if start.rejected else None


@pattern(
    source="common practice",
    shows=(
        "number-of-solutions | x + y = 2; x - y = 0 | 2",
        "number-of-solutions | 2x + y = 5; x - y = 1 | two solutions",
    ),
    silent=(
        "number-of-solutions | x + y = 2; x - y = 0 | 1",
        "number-of-solutions | 2x + y = 5; x - y = 1 | (2, 1)",
    ),
)
@instead_of(tell, Place.NUMBER_OF_SOLUTIONS)
def coordinates_counted_apart(start: Solutions) -> Choices | None:
    """Counts the coordinates of a solution of a system as solutions of their own."""
    return said(2 * start.real, "real") if start.shape == "system" and start.real else None
