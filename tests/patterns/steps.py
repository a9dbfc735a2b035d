"""Steps of a question's working: `python -m tests.patterns.steps simplify "(3 + 2i)/(1 - i)"`.

A pattern stands in for one of these operations, in its place or everywhere.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from typing import Final

from pipeline.exact.printing import tree_words
from pipeline.exact.trees import Node
from pipeline.procedures.walk import Place, Step, Walk
from pipeline.tasks.catalogue import plans, read_problem

_SURD: Final = re.compile(r"Surd\(([^()]*)\)")


def steps_done(task: str, problem: str) -> Iterator[Step]:
    """Yield the steps of each procedure that serves a problem, done without a fault."""
    for plan in plans(read_problem(problem, task)):
        yield from Walk().through(plan.procedure, plan.start).log


def described(step: Step) -> str:
    """Name a step's module, operation and place, and say what it takes and what comes out."""
    operation = step.operation
    takes = ", ".join(map(_words, step.arguments))
    where = f"{operation.__module__}.{operation.__name__}, Place.{Place(step.place).name}"
    return f"{where}: {takes} -> {_words(step.result)}"


def _words(value: object) -> str:
    text = tree_words(value) if isinstance(value, Node) else str(value)
    return _SURD.sub(r"\1", text)


if __name__ == "__main__":
    print(*dict.fromkeys(map(described, steps_done(*sys.argv[1:]))), sep="\n")
