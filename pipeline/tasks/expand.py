"""Products multiplied out."""

from __future__ import annotations

from typing import Final

from pipeline.reading.problems import Notation
from pipeline.tasks.simplify import expression_plans, right_expression
from pipeline.tasks.task import Task

EXPAND: Final = Task(
    "expand",
    "the product multiplied out",
    "an expression",
    "(x + 3)^2",
    "x^2 + 6x + 9",
    expression_plans,
    right_expression,
    notation=Notation(kind="expression"),
    form="expanded",
    beside=("positive-exponents",),
    verbs=("expand", "multiply out", "ausmultipl", "développ", "develop", "desarroll"),
    chance_by_size=True,
    of_any_numbers=True,
    of_expression=True,
)
