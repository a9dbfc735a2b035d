"""All tasks that are worked step by step, their procedures and their right answers."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.walk import Plan
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import PLAIN, Problem, read_as
from pipeline.records import WITHOUT_PROBLEM, Numbers
from pipeline.tasks.convert import CONVERT
from pipeline.tasks.discriminant import DISCRIMINANT
from pipeline.tasks.divide import DIVIDE
from pipeline.tasks.domain import DOMAIN
from pipeline.tasks.evaluate import EVALUATE
from pipeline.tasks.expand import EXPAND
from pipeline.tasks.factor import FACTOR
from pipeline.tasks.function import FUNCTION
from pipeline.tasks.line import LINE
from pipeline.tasks.logarithm import LOGARITHM
from pipeline.tasks.number_of_solutions import NUMBER_OF_SOLUTIONS
from pipeline.tasks.rewrite import REWRITE
from pipeline.tasks.simplify import SIMPLIFY
from pipeline.tasks.slope import SLOPE
from pipeline.tasks.solve import SOLVE
from pipeline.tasks.solve_for import SOLVE_FOR
from pipeline.tasks.square_constant import SQUARE_CONSTANT
from pipeline.tasks.task import right_of_run
from pipeline.tasks.translate import TRANSLATE
from pipeline.tasks.vertex import VERTEX

_ALL: Final = (
    SOLVE,
    SQUARE_CONSTANT,
    EXPAND,
    FACTOR,
    SIMPLIFY,
    EVALUATE,
    DISCRIMINANT,
    VERTEX,
    REWRITE,
    SLOPE,
    LINE,
    SOLVE_FOR,
    FUNCTION,
    DOMAIN,
    DIVIDE,
    CONVERT,
    LOGARITHM,
    TRANSLATE,
    NUMBER_OF_SOLUTIONS,
)
TASKS: Final = {task.name: task for task in _ALL}
"""The tasks by name, in the order of the page that lists them."""
NAMES: Final = (*TASKS, "judge", *WITHOUT_PROBLEM)
"""All tasks that a single answer can be explained for; those without procedures are judged only."""


@dataclass(frozen=True, slots=True)
class Solved:
    """A problem's right answer.

    Args:
        answer: what to judge by; None when it could not be computed.
        endings: its comparable endings, which no prediction may equal.
        reason: why it could not be computed.
    """

    answer: RightAnswer | None
    endings: frozenset[Hashable] = field(default_factory=frozenset)
    reason: str | None = None


def read_problem(text: str, task: str = SOLVE.name) -> Problem:
    """Read a problem as its task writes problems.

    Raises:
        UnreadableProblem: the text lies outside the grammar; the message says where and why.
    """
    return read_as(text, task, TASKS[task].notation if task in TASKS else PLAIN)


def plans(problem: Problem) -> tuple[Plan, ...]:
    """Return the procedures that serve a problem; none where it can only be judged."""
    task = TASKS.get(problem.task)
    try:
        return tuple(task.plans(problem)) if task else ()
    except (CannotBeWorked, ZeroDivisionError):
        return ()


def solved(problem: Problem, numbers: Numbers) -> Solved:
    """Compute the right answer of a problem; there is none where it is only judged by a key."""
    task = TASKS.get(problem.task)
    if task is None:
        return Solved(None, reason="no right answer is computed for this task")
    try:
        if task.right is None:
            answer = right_of_run(task.plans(problem), numbers)
        else:
            answer = task.right(problem, numbers)
    except (CannotBeWorked, ZeroDivisionError, NotImplementedError) as error:
        return Solved(None, reason=f"the right answer could not be computed: {error}")
    values = (answer.value, *answer.also, *answer.other_form)
    endings = frozenset(comparable_value(value) for value in values)
    return Solved(answer, endings)
