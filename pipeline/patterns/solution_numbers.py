"""Errors in telling from a discriminant how many solutions there are, and of which kind."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Count, Kind
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.walk import Choices, Ending
from pipeline.tasks.number_of_solutions import COUNTING, Solutions, tell

_SKILL = "solution count"
_TWO = "number-of-solutions | x^2 + 5x + 4 = 0"
_ONE = "number-of-solutions | x^2 - 6x + 9 = 0"
_NONE = "number-of-solutions | x^2 + 2x + 5 = 0"
_ROOTS = "number-of-solutions | x^2 + 5x + 1 = 0"


def said(number: int, *kinds: Kind) -> Choices:
    """Every way to say a number of solutions: alone, and with its kind."""
    if not number:
        return Choices((Ending(Surd.of(0)), Ending(NO_SOLUTION)))
    counts = [Ending(Count(((number, kind),))) for kind in kinds]
    return Choices((Ending(Surd.of(number)), *counts))


def _called(number: int, kind: Kind) -> Choices:
    """A kind, with the number of solutions or alone."""
    return Choices(Ending(Count(((count, kind),))) for count in (number, None))


@pattern(
    "positive-discriminant-one-solution",
    skill=_SKILL,
    source="from memory",
    shows=(f"{_TWO} | 1", f"{_ROOTS} | one real solution"),
    silent=(
        f"{_TWO} | 2 real",
        f"{_TWO} | 0",
        f"{_ROOTS} | one negative and one positive",
        f"{_ONE} | 1",
    ),
)
@instead_of(tell, COUNTING)
def positive_discriminant_one_solution(start: Solutions) -> Choices | None:
    """Counts one solution of a quadratic equation whose discriminant is positive."""
    return said(1, "real", "rational", "irrational") if start.sign == 1 else None


@pattern(
    "zero-discriminant-no-solution",
    skill=_SKILL,
    source="from memory",
    shows=(f"{_ONE} | none", f"{_ONE} | 0", f"{_ONE} | no real solutions"),
    silent=(f"{_ONE} | one", f"{_ONE} | two equal roots", f"{_TWO} | 0", f"{_NONE} | 0"),
)
@instead_of(tell, COUNTING)
def zero_discriminant_no_solution(start: Solutions) -> Choices | None:
    """Counts no solution of a quadratic equation whose discriminant is zero."""
    return said(0) if start.sign == 0 else None


@pattern(
    "zero-discriminant-two-solutions",
    skill=_SKILL,
    source="questions of teachers on the web",
    shows=(f"{_ONE} | 2", f"{_ONE} | two real solutions"),
    silent=(
        f"{_ONE} | two equal real roots",
        f"{_ONE} | 1 (double root)",
        f"{_ONE} | x = 3",
        f"{_TWO} | 2",
    ),
)
@instead_of(tell, COUNTING)
def zero_discriminant_two_solutions(start: Solutions) -> Choices | None:
    """Counts two solutions where the discriminant is zero, because of the plus-minus sign."""
    return said(2, "real", "rational", "irrational") if start.sign == 0 else None


@pattern(
    "negative-discriminant-one-solution",
    skill=_SKILL,
    source="from memory",
    shows=(f"{_NONE} | 1 negative solution", f"{_NONE} | one"),
    silent=(f"{_NONE} | no real solution", f"{_NONE} | 2", f"{_TWO} | 1"),
)
@instead_of(tell, COUNTING)
def negative_discriminant_one_solution(start: Solutions) -> Choices | None:
    """Counts one solution, a negative one, where the discriminant is negative."""
    return said(1, "real", "nonreal", "rational") if start.sign == -1 else None


@pattern(
    "negative-discriminant-two-real",
    skill=_SKILL,
    source="common practice",
    shows=(f"{_NONE} | 2 real", f"{_NONE} | two irrational solutions"),
    silent=(f"{_NONE} | 2 complex", f"{_NONE} | no real, 2 imaginary", f"{_TWO} | 2 real"),
)
@instead_of(tell, COUNTING)
def negative_discriminant_two_real(start: Solutions) -> Choices | None:
    """Counts two real solutions where the discriminant is negative."""
    return said(2, "real", "rational", "irrational") if start.sign == -1 else None


@pattern(
    "complex-solutions-counted-as-real",
    skill=_SKILL,
    source="common practice",
    shows=(f"{_NONE} | 2", "number-of-solutions | x^3 = 8 | 3"),
    silent=(
        f"{_NONE} | two complex solutions",
        f"{_NONE} | 0",
        "number-of-solutions | x^3 = 8 | 1 real, 2 complex",
        "number-of-solutions | x^3 = 8 | one",
    ),
)
@instead_of(tell, COUNTING)
def complex_solutions_counted_as_real(start: Solutions) -> Choices | None:
    """Counts solutions that are not real among the real ones."""
    total = start.real + start.nonreal
    return Choices((Ending(Surd.of(total)),)) if start.nonreal else None


@pattern(
    "real-solutions-called-complex",
    skill=_SKILL,
    source="common practice",
    shows=(f"{_TWO} | 2 imaginary", f"{_ROOTS} | two complex solutions"),
    silent=(f"{_TWO} | 2 real", f"{_NONE} | 2 imaginary", f"{_ROOTS} | irrational"),
)
@instead_of(tell, COUNTING)
def real_solutions_called_complex(start: Solutions) -> Choices | None:
    """Calls solutions complex or imaginary that are real."""
    return None if start.nonreal or not start.real else _called(start.real, "nonreal")


@pattern(
    "perfect-square-called-irrational",
    skill=_SKILL,
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
@instead_of(tell, COUNTING)
def perfect_square_called_irrational(start: Solutions) -> Choices | None:
    """Calls the solutions irrational though the discriminant is a perfect square."""
    square = start.discriminant is not None and "rational" in start.kinds and start.real
    return _called(start.real, "irrational") if square else None


@pattern(
    "irrational-called-rational",
    skill=_SKILL,
    source="common practice",
    shows=(f"{_ROOTS} | 2 rational", f"{_ROOTS} | rational"),
    silent=(f"{_ROOTS} | 2 real, irrational", f"{_TWO} | rational"),
)
@instead_of(tell, COUNTING)
def irrational_called_rational(start: Solutions) -> Choices | None:
    """Calls the solutions rational though the discriminant is no perfect square."""
    irrational = start.discriminant is not None and "irrational" in start.kinds
    return _called(start.real, "rational") if irrational else None


@pattern(
    "discriminant-given-for-number",
    skill=_SKILL,
    source="a public list of mistakes",
    shows=(f"{_TWO} | 9", f"{_NONE} | -16"),
    silent=(
        f"{_TWO} | 2",
        f"{_TWO} | -1, -4",
        "number-of-solutions | x^2 - 3x + 2 = 0 | 2",
        f"{_ONE} | no solution",
    ),
)
@instead_of(tell, COUNTING)
def discriminant_given_for_number(start: Solutions) -> Ending | None:
    """Gives the value of the discriminant in place of the number of solutions."""
    given = start.discriminant is not None and bool(start.discriminant)
    return Ending(start.discriminant) if given else None
