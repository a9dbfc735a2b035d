"""Which faults write a line of a system: an equation of both unknowns, or of the one left."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from pipeline.exact.trees import in_order
from pipeline.patterns.catalogue import moves
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.runs import runs
from pipeline.procedures.shapes_of_systems import row_of
from pipeline.procedures.systems import Row, combine_rows, isolate_letter, scale_row
from pipeline.procedures.walk import Walk
from pipeline.reading.lines import Line
from pipeline.reading.problems import Problem
from pipeline.tasks.catalogue import plans

__all__ = ["faults_of_row"]


def faults_of_row(problem: Problem, line: Line) -> frozenset[str]:
    """Return the patterns that, made alone, write this line on the way to an answer.

    What goes wrong only in the answer itself writes no line before it.

    Args:
        problem: a system of two linear equations.
        line: its wrong line, one equation.
    """
    names = in_order(problem.letters)
    if len(line.relations) != 1 or len(names) != 2:
        return frozenset()
    row = row_of(line.relations[0], names)
    if row is None or not any(row[:2]):
        return frozenset()
    found: set[str] = set()
    for plan in plans(problem):
        right = Walk().through(plan.procedure, plan.start)
        order = [step.operation for step in right.log]
        for run, paths in runs(plan.procedure, plan.start, moves, 1):
            again = Walk(run.replay).through(plan.procedure, plan.start) if run.replay else run
            if any(_writes(*one, row) for one in _written(again, order)):
                found |= {path[0] for path in paths if path}
    return frozenset(found)


def _written(
    run: Walk, order: list[Callable[..., Any]]
) -> Iterator[tuple[Callable[..., Any], tuple[Any, ...], Any]]:
    """The faulty step of a run and those after it: operation, arguments, result."""
    if run.replay:
        yield order[len(run.replay) - 1], (), run.replay[-1]
    yield from ((step.operation, step.arguments, step.result) for step in run.log)


def _writes(
    operation: Callable[..., Any], arguments: tuple[Any, ...], result: Any, row: Row
) -> bool:
    """Whether a step stands for this very equation."""
    for one in (row, row.turned()):
        a, b, c = one
        if (
            a
            and b
            and (
                (operation is scale_row and result == one)
                or (operation is isolate_letter and result == isolate_letter(one))
            )
        ):
            return True
        if not a or b:
            continue
        if operation is combine_rows and result[0] and result[1] / result[0] == c / a:
            return True
        if operation is op.divide and (
            arguments in ((c, a), (-c, -a)) or (a == ONE and result == c)
        ):
            return True
    return False
