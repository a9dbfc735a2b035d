"""The last steps of a word problem: which solutions count, and what is to be given of them.

Some questions offer numbers, of which those that solve it are to be given.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from math import prod
from typing import Any, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, value_at
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import intersection, single_points
from pipeline.exact.trees import Letter, Node, Relation, Substitution, in_order, replaced
from pipeline.exact.values import (
    Equation,
    Number,
    Point,
    Region,
    Roots,
    Value,
    members_of,
)
from pipeline.procedures import operations as op
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.equations import ONE, ZERO, coefficients
from pipeline.procedures.operations import Roots as Solutions
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, Place, Plan, Walk
from pipeline.reading.inequalities import chain_region
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Extreme, Problem

Offered = tuple[Surd, ...]


def _offered_numbers(problem: Problem) -> Offered:
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


def _picked(problem: Problem, value: Value) -> tuple[Number, ...]:
    """Return the right numbers among those offered, smallest first.

    Raises:
        CannotBeWorked: none of them solves the question.
    """
    solution = value if isinstance(value, Region) else comparable_value(value)
    try:
        found = pick_offered(solution, _offered_numbers(problem))
    except CannotBeWorked as error:
        raise CannotBeWorked("none of the numbers offered is a solution") from error
    ordered = sorted(found, key=lambda one: one.approximate().real)
    return tuple(Number.exactly(one) for one in ordered)


Kept = Region | Extreme | None
"""Which solutions count: those in a region, one by its size, or all."""
_UNKNOWN: tuple[Coefficients, ...] = ((ZERO, ONE),)


class Story(NamedTuple):
    """The procedure of the equation, and what the story makes of its solutions.

    Args:
        procedure, start: how the equation is solved, and from what.
        keep: which solutions count, None where all do.
        asked: what is to be given, polynomials in the unknown.
        joined: whether the solutions are to be added or multiplied.
        offered: numbers to choose from, none where none are offered.
    """

    procedure: Callable[[Walk, Any], Hashable]
    start: Any
    keep: Kept
    asked: tuple[Coefficients, ...]
    joined: str
    offered: tuple[Surd, ...] = ()


def keep_counting(roots: op.Roots, keep: Kept) -> op.Roots:
    """Keep the solutions that count."""
    if keep is None:
        return roots
    if not isinstance(keep, Region):
        real = sorted((one for one in roots if one.is_real), key=_size)
        return frozenset(real[-1:] if keep == "largest" else real[:1])
    return frozenset(one for one in roots if one.is_real and is_in(one, keep))


def give_asked(roots: op.Roots, asked: tuple[Coefficients, ...]) -> op.Roots:
    """Give what is asked for, which need not be the unknown, and may be several quantities."""
    return frozenset(value_at(quantity, one) for quantity in asked for one in roots)


def join_solutions(roots: op.Roots, joined: str) -> op.Roots:
    """Add the solutions, or multiply them."""
    return frozenset({sum(roots, ZERO) if joined == "sum" else prod(roots, start=ONE)})


def tell_story(step: Walk, story: Story) -> Hashable:
    """Solve the equation, keep the solutions that count, give what is asked."""
    roots = story.procedure(step, story.start)
    if story.offered:
        return step.do(pick_offered, Place.OFFER, roots, story.offered)
    if not isinstance(roots, frozenset):
        return roots
    kept = step.do(keep_counting, Place.WORD_PROBLEM, roots, story.keep)
    if not kept:
        return NO_SOLUTION
    if story.asked != _UNKNOWN:
        kept = step.do(give_asked, Place.WORD_PROBLEM, kept, story.asked)
    return step.do(join_solutions, Place.WORD_PROBLEM, kept, story.joined) if story.joined else kept


def story_of(problem: Problem, plan: Plan) -> Story:
    """Return what a word problem starts from.

    Raises:
        CannotBeWorked: what is kept or asked cannot be used.
    """
    offered = _offered_numbers(problem)
    asked = _asked(problem)
    return Story(plan.procedure, plan.start, _kept(problem), asked, problem.joined, offered)


def _kept(problem: Problem) -> Kept:
    if not isinstance(problem.keep, Relation):
        return problem.keep
    region = chain_region(problem.keep)
    if region is None:
        raise CannotBeWorked("what is kept is said by an inequality, such as `x > 0`")
    return region


def _asked(problem: Problem) -> tuple[Coefficients, ...]:
    if not problem.asked:
        return _UNKNOWN
    found = [coefficients(quantity, problem.letter) for quantity in problem.asked]
    known = tuple(one for one in found if one is not None)
    if len(known) < len(found):
        raise CannotBeWorked("errors are told where a polynomial in the unknown is asked for")
    return known


def told(problem: Problem, answer: RightAnswer) -> RightAnswer:
    """Return the right answer of the story from that of its equation.

    Raises:
        CannotBeWorked: no solution is left, or what is kept or asked cannot be used.
    """
    if problem.offered:
        found = _picked(problem, answer.value)
        right = found[0] if len(found) == 1 else Roots(found)
        return RightAnswer(right, other_form=(answer.value,))
    if not (problem.asked or problem.joined) and problem.keep is None:
        return answer
    if isinstance(answer.value, Point):
        return _of_point(problem, answer.value)
    kept = keep_counting(_members(answer.value), _kept(problem))
    if not kept:
        raise CannotBeWorked("no solution of the equation counts")
    if problem.joined and len(kept) == 1:
        raise CannotBeWorked("there is one solution alone, which may count twice")
    unknown = (Letter(problem.letter),)
    given = {
        _worth(tree, ((problem.letter, Number.exactly(one).tree),))
        for tree in problem.asked or unknown
        for one in kept
    }
    if problem.joined:
        given = set(join_solutions(frozenset(given), problem.joined))
    numbers = tuple(Number.exactly(one) for one in sorted(given, key=_size))
    if len(numbers) > 1:
        return RightAnswer(Roots(numbers))
    return RightAnswer(numbers[0], also=_as_equation(problem, numbers[0]))


def _of_point(problem: Problem, point: Point) -> RightAnswer:
    """What is asked of the solution of a system, which as a whole tells it in another form."""
    if not problem.asked:
        raise CannotBeWorked("of a system, one of its letters is to be asked for")
    trees = (one.tree for one in point.coordinates)
    values = tuple(zip(in_order(problem.letters), trees, strict=True))
    numbers = tuple(Number.exactly(_worth(tree, values)) for tree in problem.asked)
    if len(numbers) > 1:
        return RightAnswer(Roots(numbers))
    also = _as_equation(problem, numbers[0])
    return RightAnswer(numbers[0], also=also, other_form=(point,))


def _worth(tree: Node, values: Substitution) -> Surd:
    found = surd_of(replaced(tree, values))
    if found is None:
        raise CannotBeWorked("what is asked has no value there; expected such as `x + 4`")
    return found


def _as_equation(problem: Problem, number: Number) -> tuple[Value, ...]:
    """The number with what was asked before it: w + 4 = 12."""
    if not problem.asked:
        return ()
    return (Equation(Relation((problem.asked[0], number.tree), ("=",))),)


def _size(number: Surd) -> float:
    return number.approximate().real


def _members(value: Value) -> op.Roots:
    found = members_of(value)
    surds = frozenset(one.surd for one in found if one.surd is not None)
    if len(surds) != len(found):
        raise CannotBeWorked("a solution is no exact number")
    return surds
