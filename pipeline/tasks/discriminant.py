"""The discriminant of a quadratic equation, and nothing more."""

from __future__ import annotations

from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.procedures.equations import ZERO, Equation, equation_of
from pipeline.procedures.operations import read_coefficients
from pipeline.procedures.parabolas import Quadratic, quadratic_of
from pipeline.procedures.quadratic import discriminant
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.problems import Notation, Problem
from pipeline.tasks.task import Task


def read_terms(a: Surd, b: Surd, c: Surd, letter: str) -> Quadratic:
    """Read the numbers before the letters, and the constant."""
    return Quadratic(a, b, c, letter)


def find_discriminant(step: Walk, start: tuple[Equation, str]) -> Surd:
    """Bring to zero form and compute b^2 - 4ac."""
    equation, letter = start
    equation = step.do(read_coefficients, Place.DISCRIMINANT, equation)
    a, b, c, _ = step.do(read_terms, Place.DISCRIMINANT, *equation.zero_form, letter)
    return discriminant(step, "discriminant", (a, b, c))


def _plans(problem: Problem) -> list[Plan]:
    return [Plan("discriminant", find_discriminant, _start(problem))]


def _start(problem: Problem) -> tuple[Equation, str]:
    if not problem.relations:
        a, b, c, letter = quadratic_of(problem)
        return Equation((a, b, c), (ZERO, ZERO, ZERO)), letter
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is None or equation.degree < 2:
        raise CannotBeWorked("it is no quadratic equation in one letter")
    return equation, problem.letter


DISCRIMINANT: Final = Task(
    "discriminant",
    "b^2 - 4ac",
    "a quadratic equation",
    "x^2 + 5x + 4 = 0",
    "9",
    _plans,
    notation=Notation(kind="number"),
    chance_by_size=True,
    of_any_numbers=True,
)
