"""What is right of a number of solutions, and the other ways to say it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeAlias

from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import (
    Count,
    Equation,
    Kind,
    Number,
    Point,
    Points,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.procedures.counting import Solutions, solutions_of
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem
from pipeline.records import Numbers

__all__ = ["right_count"]

_Parts: TypeAlias = tuple[tuple[int | None, Kind], ...]
_NONE: Final = (Statement(StatementCode.NO_REAL), Statement(StatementCode.NO_SOLUTION))


def right_count(problem: Problem, numbers: Numbers) -> RightAnswer:
    """Return the number of solutions, with what else is true of it and says as much.

    Over the real numbers the real ones are counted, over the complex numbers all distinct ones.

    Raises:
        BudgetExceeded: they cannot be counted.
    """
    found = solutions_of(problem)
    if found.infinite:
        return RightAnswer(Statement(StatementCode.ALL_REAL))
    total = found.real + (found.nonreal if numbers == "complex" else 0)
    none = _NONE if not total else ()
    also = (*none, *_as_right(found, numbers))
    return RightAnswer(Number.exactly(total), also, tuple(_incomplete(found, numbers)))


def _as_right(found: Solutions, numbers: Numbers) -> Iterable[Value]:
    real: list[_Parts] = [((found.real, kind),) for kind in found.kinds]
    if 0 < found.rational < found.real and "rational" not in found.kinds:
        real.append(((found.rational, "rational"), (found.real - found.rational, "irrational")))
    others: _Parts = ((found.nonreal, "nonreal"),)
    if not found.real:
        return [Count(others)] if found.nonreal else []
    if not found.nonreal:
        return map(Count, real)
    both = [Count((*one, *others)) for one in real]
    return both if numbers == "complex" else [*both, *map(Count, real)]


def _incomplete(found: Solutions, numbers: Numbers) -> Iterable[Value]:
    """Yield what is true and does not say how many: kinds alone, the solutions themselves."""
    if found.real and not found.nonreal:
        yield from (Count(((None, kind),)) for kind in found.kinds)
    if found.nonreal and not found.real:
        yield Count(((None, "nonreal"),))
    if found.real and found.nonreal and numbers == "complex":
        yield from (Count(((found.real, kind),)) for kind in found.kinds)
    if numbers == "complex":
        yield Count(((found.real + found.nonreal, "nonreal"),))
        if found.degree > found.real + found.nonreal:
            yield Number.exactly(found.degree)
    yield from _themselves(found)


def _themselves(found: Solutions) -> Iterable[Value]:
    points = tuple(one for one in found.values if isinstance(one, Point))
    numbers = tuple(one for one in found.values if isinstance(one, Number))
    real = tuple(one for one in numbers if one.surd is not None and one.surd.is_real)
    if points:
        yield points[0] if len(points) == 1 else Points(points)
    for members in {numbers, real}:
        if len(members) > 1:
            yield Roots(members)
        elif members:
            yield Equation(Relation((members[0].tree, Letter(found.letter)), ("=",)))
