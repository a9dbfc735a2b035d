"""Formulas solved for one of their letters."""

from __future__ import annotations

from typing import Final

from pipeline.procedures.solving_for import formula_plans
from pipeline.tasks.task import Task

SOLVE_FOR: Final = Task(
    "solve-for",
    "a formula for the letter",
    "an equation, then `for` and a letter; `, x > 0` between them where x, y or z is positive",
    "P = 2L + 2W for W",
    "W = (P - 2L)/2",
    formula_plans,
    follows=lambda _: True,
    of_letter=True,
)
