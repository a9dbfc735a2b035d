"""The tasks with a syntax of their own: what their problems look like, and who works them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from pipeline.procedures.converting import conversion_ways
from pipeline.procedures.dividing import division_ways
from pipeline.procedures.domains import domain_ways
from pipeline.procedures.isolating import Way
from pipeline.procedures.lines import line_ways, slope_ways
from pipeline.procedures.logarithms import logarithm_ways
from pipeline.procedures.solving_for import formula_ways
from pipeline.reading.problems import Problem

__all__ = ["FURTHER_TASKS", "TASKS", "Task", "task_ways"]


class Task(NamedTuple):
    """How the problems of a task are written.

    Args:
        name: the task, as the items file gives it.
        asks: what is to be found.
        syntax: how a problem is written.
        example: one problem.
        answer: its right answer.
    """

    name: str
    asks: str
    syntax: str
    example: str
    answer: str


TASKS: Final[tuple[Task, ...]] = ()

FURTHER_TASKS: Final = frozenset(
    ("slope", "line", "solve-for", "function", "domain", "divide", "convert", "logarithm")
)

_BUILDERS: Final[dict[str, Callable[[Problem], list[Way]]]] = {
    "convert": conversion_ways,
    "divide": division_ways,
    "domain": domain_ways,
    "logarithm": logarithm_ways,
    "slope": slope_ways,
    "solve-for": formula_ways,
    "line": line_ways,
}


def task_ways(problem: Problem) -> list[Way]:
    """Return the ways to work a problem of a task with its own syntax."""
    build = _BUILDERS.get(problem.task)
    return [] if build is None else build(problem)
