"""Right answers, computed; every one that can be exact is."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Number, Point, Roots, Statement, StatementCode, Value
from pipeline.procedures import symbolic_solving
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.equations import Equation, equation_of
from pipeline.procedures.further import further_right
from pipeline.procedures.parabolas import asked_coordinate, parabola
from pipeline.procedures.plans import three_coefficients
from pipeline.procedures.right_counts import right_count
from pipeline.procedures.tasks import FURTHER_TASKS
from pipeline.procedures.translating import right_translation
from pipeline.procedures.vertex_forms import rewritten
from pipeline.procedures.word_problems import told
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem
from pipeline.records import Numbers

__all__ = ["Solved", "closed_roots", "solved"]


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


def solved(problem: Problem, numbers: Numbers) -> Solved:
    """Compute the right answer of a problem."""
    own_syntax = problem.task in FURTHER_TASKS
    compute = _further if own_syntax else _COMPUTED.get(problem.task, _expression)
    try:
        answer = told(problem, compute(problem, numbers))
    except (BudgetExceeded, ZeroDivisionError, NotImplementedError) as error:
        return Solved(None, reason=f"the right answer could not be computed: {error}")
    values = (answer.value, *answer.also, *answer.other_form)
    endings = frozenset(comparable_value(value) for value in values)
    return Solved(answer, endings)


def _solve(problem: Problem, numbers: Numbers) -> RightAnswer:
    if not problem.relations:
        raise BudgetExceeded("there is no equation to solve")
    further = further_right(problem, numbers)
    if further is not None:
        return further
    if problem.is_system and (problem.is_inequality or problem.either):
        raise BudgetExceeded("inequalities in several letters, or beyond our procedures")
    if problem.is_system:
        return RightAnswer(symbolic_solving.solve_system(problem.relations, numbers))
    (relation,) = problem.relations
    letter = problem.letter
    if problem.is_inequality:
        return RightAnswer(symbolic_solving.solve_inequality(relation, letter))
    equation = equation_of(relation, letter)
    roots = closed_roots(equation) if equation is not None else None
    if roots is None:
        return _judged_real(symbolic_solving.solve_equation(relation, letter, numbers))
    if isinstance(roots, Statement):
        return RightAnswer(roots)
    value = _roots(roots)
    if numbers == "real" and not all(root.is_real for root in roots):
        return RightAnswer(
            Statement(StatementCode.NO_REAL),
            also=(Statement(StatementCode.NO_SOLUTION),),
            other_form=(value,),
        )
    return RightAnswer(value)


def _judged_real(value: Value) -> RightAnswer:
    if value == Statement(StatementCode.NO_REAL):
        return RightAnswer(value, also=(Statement(StatementCode.NO_SOLUTION),))
    return RightAnswer(value)


def closed_roots(equation: Equation) -> frozenset[Surd] | Statement | None:
    """Return the roots of a linear or quadratic equation; None when they are no surds."""
    a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
    if not a and not b:
        return Statement(StatementCode.NO_SOLUTION if c else StatementCode.ALL_REAL)
    if not a:
        return frozenset({-c / b})
    root = Surd.root_of(b * b - 4 * a * c)
    return None if root is None else frozenset({(root - b) / (2 * a), (-root - b) / (2 * a)})


def _roots(found: frozenset[Surd]) -> Roots:
    ordered = sorted(found, key=lambda one: (one.approximate().real, one.approximate().imag))
    return Roots(tuple(Number.exactly(one) for one in ordered))


def _square_constant(problem: Problem, _: Numbers) -> RightAnswer:
    a, b, c = three_coefficients(problem)
    if not a or c:
        raise BudgetExceeded("it is not of the form x^2 + bx")
    half = b / (2 * a)
    return RightAnswer(Number.exactly(a * half * half))


def _discriminant(problem: Problem, _: Numbers) -> RightAnswer:
    a, b, c = three_coefficients(problem)
    return RightAnswer(Number.exactly(b * b - 4 * a * c))


def _vertex(problem: Problem, _: Numbers) -> RightAnswer:
    a, b, c = three_coefficients(problem)
    axis = -b / (2 * a)
    both = Number.exactly(axis), Number.exactly((a * axis + b) * axis + c)
    coordinate = asked_coordinate(problem.text)
    return RightAnswer(Point(both) if coordinate is None else Roots((both[coordinate],)))


def _rewrite(problem: Problem, _: Numbers) -> RightAnswer:
    return rewritten(*three_coefficients(problem), parabola(problem)[1])


def _further(problem: Problem, numbers: Numbers) -> RightAnswer:
    answer = further_right(problem, numbers)
    if answer is None:
        raise BudgetExceeded("no procedure reaches an answer")
    return answer


def _expression(problem: Problem, numbers: Numbers) -> RightAnswer:
    # Imported late: this package builds on ours.
    from pipeline.procedures.rewriting.right import right_expression

    return right_expression(problem, numbers)


_COMPUTED: Final[dict[str, Callable[[Problem, Numbers], RightAnswer]]] = {
    "solve": _solve,
    "square-constant": _square_constant,
    "discriminant": _discriminant,
    "vertex": _vertex,
    "rewrite": _rewrite,
    "translate": right_translation,
    "number-of-solutions": right_count,
}
