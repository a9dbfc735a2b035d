"""Errors in counting the solutions of equations of any kind, and of systems."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Kind, Number
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.solution_count import called_no_solution
from pipeline.patterns.solution_numbers import said
from pipeline.patterns.vanished_unknowns import (
    identity_and_contradiction_swapped,
    vanished_unknown_read_as_zero,
)
from pipeline.procedures.statements import ALL_REAL
from pipeline.procedures.walk import Choices, Ending
from pipeline.tasks.number_of_solutions import COUNTING, Solutions, tell

_SKILL = "solution count"
_TWO = "number-of-solutions | x^2 + 5x + 4 = 0"
_ONE = "number-of-solutions | x^2 - 6x + 9 = 0"
_NONE = "number-of-solutions | x^2 + 2x + 5 = 0"
_ROOTS = "number-of-solutions | x^2 + 5x + 1 = 0"


@pattern(
    "solution-given-for-number",
    skill=_SKILL,
    source="common practice",
    shows=(f"{_ONE} | 3", "number-of-solutions | 4x = 12 | 3"),
    silent=(
        f"{_ONE} | x = 3",
        f"{_ONE} | 1",
        "number-of-solutions | 4x = 12 | one",
    ),
)
@instead_of(tell, COUNTING)
def solution_given_for_number(start: Solutions) -> Ending | None:
    """Gives the one solution itself in place of how many there are."""
    single = start.values[0] if len(start.values) == 1 else None
    surd = single.surd if isinstance(single, Number) else None
    return None if surd is None else Ending(surd)


@pattern(
    "degree-given-for-number",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def degree_given_for_number(start: Solutions) -> Ending | None:
    """Takes the degree of the equation for the number of its real solutions."""
    return Ending(Surd.of(start.degree)) if start.degree > 2 else None


@pattern(
    "zero-solution-not-counted",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def zero_solution_not_counted(start: Solutions) -> Choices | None:
    """Does not count 0, as if it were no solution."""
    zero = any(getattr(one, "surd", None) == Surd.of(0) for one in start.values)
    return said(start.real - 1, "real", "rational", "irrational") if zero else None


@pattern(
    "second-case-not-counted",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def second_case_not_counted(start: Solutions) -> Choices | None:
    """Counts one solution of an equation with an absolute value that has two."""
    two = start.shape == "absolute value" and start.real == 2
    return said(1, "real", *start.kinds) if two else None


@pattern(
    "impossible-absolute-value-counted",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def impossible_absolute_value_counted(start: Solutions) -> Choices | None:
    """Counts solutions of an equation whose absolute value would be negative."""
    if start.shape != "absolute value" or start.real or start.infinite:
        return None
    return Choices((*said(2, "real"), *said(1, "real")))


@pattern(
    "rejected-solution-counted",
    skill=_SKILL,
    source="common practice",
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
@instead_of(tell, COUNTING)
def rejected_solution_counted(start: Solutions) -> Choices | None:
    """Counts a solution that does not check in the equation."""
    kinds: tuple[Kind, ...] = ("real", "rational", "irrational")
    return said(start.real + start.rejected, *kinds) if start.rejected else None


@pattern(
    "coordinates-counted-apart",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def coordinates_counted_apart(start: Solutions) -> Choices | None:
    """Counts the coordinates of a solution of a system as solutions of their own."""
    return said(2 * start.real, "real") if start.shape == "system" and start.real else None


@called_no_solution.also(
    tell,
    COUNTING,
    shows=(f"{_TWO} | none", "number-of-solutions | 4x = 12 | no solution"),
    silent=(f"{_TWO} | 2", f"{_NONE} | no solution", f"{_ONE} | none"),
)
def _counted_as_none(start: Solutions) -> Choices | None:
    return said(0) if (start.real or start.nonreal) and start.sign != 0 else None


@identity_and_contradiction_swapped.also(
    tell,
    COUNTING,
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


@vanished_unknown_read_as_zero.also(
    tell,
    COUNTING,
    shows=(
        "number-of-solutions | 2x + 3 = 2x + 5 | 1",
        "number-of-solutions | 3(x + 1) = 3x + 3 | one solution",
    ),
    silent=(
        "number-of-solutions | 2x + 3 = 2x + 5 | no solution",
        "number-of-solutions | 3(x + 1) = 3x + 3 | infinitely many",
    ),
)
def _counted_as_one(start: Solutions) -> Choices | None:
    """Counts one solution, 0, where the unknown has dropped out of the equation."""
    return said(1, "real") if start.shape == "linear" and not start.real else None
