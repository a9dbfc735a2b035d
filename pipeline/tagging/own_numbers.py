"""The numbers of a problem by the letters that a course's own formulas call them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import Final

from pipeline.errors import CannotBeWorked, UnreadableProblem
from pipeline.exact.polynomials import Polynomial, polynomial_of
from pipeline.exact.trees import Negation, Sum
from pipeline.exact.values import Number, Roots, Value
from pipeline.reading.problems import Problem, read_problem

COEFFICIENTS: Final = "abcd"
"""Coefficients, highest power first, with everything on one side; a linear one has a and b."""
WRITTEN: Final = "pqrstuvw"
"""The first eight numbers as they stand in the problem, each with a minus sign right before it."""
KEY: Final = "k"
"""The right answer, where it is one rational number."""
UNKNOWN: Final = "x"
"""The unknown of the problem, whatever its letter there."""

_NUMBER: Final = re.compile(r"(-\s*)?(\d+(?:\.\d+)?|\.\d+)")
_MINUS: Final = str.maketrans(dict.fromkeys("−–—‐‑﹣－", "-"))
_SUPERSCRIPTS: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_LONGEST: Final = 12
"""Digits of a number that is still calculated with."""


def unknown_of(task: str, text: str) -> str:
    """Return the letter of the unknown; x where the problem names none."""
    problem = _read(task, text)
    return (problem.letter if problem is not None else "") or UNKNOWN


def numbers_of(task: str, text: str, right: Value | None) -> dict[str, Fraction]:
    """Return the numbers of a problem by letter.

    Args:
        task: of the problem.
        text: the problem as the course wrote it; prose is allowed.
        right: the right answer, where it is known.
    """
    found = dict(zip(WRITTEN, _written(text), strict=False))
    found.update(_coefficients(_read(task, text)))
    match right:
        case Number(surd, _, _) | Roots((Number(surd, _, _),)) if surd is not None:
            if surd.is_rational:
                found[KEY] = surd.as_fraction()
    return found


def _written(text: str) -> Iterator[Fraction]:
    for minus, digits in _NUMBER.findall(text.translate(_MINUS).translate(_SUPERSCRIPTS)):
        if len(digits) > _LONGEST:
            return
        yield -Fraction(digits) if minus else Fraction(digits)


@lru_cache(maxsize=1024)
def _read(task: str, text: str) -> Problem | None:
    try:
        return read_problem(text, task)
    except UnreadableProblem:
        return None


def _coefficients(problem: Problem | None) -> dict[str, Fraction]:
    polynomial = None if problem is None else _polynomial(problem)
    if problem is None or polynomial is None or polynomial.letters != {problem.letter}:
        return {}
    ordered = polynomial.coefficients(problem.letter)[::-1]
    if not 2 <= len(ordered) <= len(COEFFICIENTS) or not all(one.is_rational for one in ordered):
        return {}
    return {name: one.as_fraction() for name, one in zip(COEFFICIENTS, ordered, strict=False)}


def _polynomial(problem: Problem) -> Polynomial | None:
    tree = problem.tree
    if problem.relations:
        if len(problem.relations) > 1 or len(problem.relations[0].sides) != 2:
            return None
        left, right = problem.relations[0].sides
        tree = Sum((left, Negation(right)))
    try:
        return polynomial_of(tree)
    except (CannotBeWorked, ZeroDivisionError):
        return None
