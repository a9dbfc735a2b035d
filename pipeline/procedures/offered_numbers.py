"""Questions that offer numbers, of which those that solve it are to be given."""

from __future__ import annotations

from collections.abc import Hashable

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import intersection, single_points
from pipeline.exact.values import Number, Region, Roots, Statement, StatementCode, Value
from pipeline.procedures.operations import Roots as Solutions
from pipeline.procedures.statements import ALL_REAL
from pipeline.reading.problems import Problem

Offered = tuple[Surd, ...]


def offered_numbers(problem: Problem) -> Offered:
    """Return the numbers that a question offers; none where it offers none.

    Raises:
        CannotBeWorked: what is offered is no real number.
    """
    found = [surd_of(one) for one in problem.offered]
    known = tuple(one for one in found if one is not None and one.is_real)
    if len(known) < len(found):
        raise CannotBeWorked("numbers are offered to choose from, such as `choose from 0, 1, 2`")
    return known


def is_in(number: Surd, region: Region) -> bool:
    """Whether a real number lies in a region."""
    point = Number.exactly(number)
    return bool(intersection(single_points([point]), region).parts)


def pick_offered(solution: Hashable, offered: Offered) -> Solutions:
    """Pick the offered numbers that are solutions.

    Raises:
        CannotBeWorked: none is, or the solution is no set of real numbers.
    """
    if solution == ALL_REAL:
        return frozenset(offered)
    if isinstance(solution, Region):
        found = frozenset(one for one in offered if is_in(one, solution))
    else:
        found = frozenset(offered) & (solution if isinstance(solution, frozenset) else frozenset())
    if not found:
        raise CannotBeWorked
    return found


def picked(problem: Problem, value: Value) -> tuple[Number, ...]:
    """Return the right numbers among those offered, smallest first.

    Raises:
        CannotBeWorked: none of them solves the question.
    """
    solution: Hashable = value
    if isinstance(value, Roots):
        solution = frozenset(one.surd for one in value.members)
    if value == Statement(StatementCode.ALL_REAL):
        solution = ALL_REAL
    try:
        found = pick_offered(solution, offered_numbers(problem))
    except CannotBeWorked as error:
        raise CannotBeWorked("none of the numbers offered is a solution") from error
    ordered = sorted(found, key=lambda one: one.approximate().real)
    return tuple(Number.exactly(one) for one in ordered)
