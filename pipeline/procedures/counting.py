"""How many solutions an equation or a system has, and of which kind."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from typing import Literal, NamedTuple, TypeAlias

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Absolute, Negation, Node, Sum, children
from pipeline.exact.values import (
    Kind,
    Number,
    Point,
    Points,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.procedures.equations import equation_of
from pipeline.procedures.isolating import Way
from pipeline.procedures.statements import ALL_REAL
from pipeline.procedures.walk import Walk
from pipeline.reading.problems import Problem

__all__ = ["COUNTING", "Solutions", "count_solutions", "counting_ways", "solutions_of", "tell"]

COUNTING = "number of solutions"
Shape: TypeAlias = Literal["linear", "quadratic", "polynomial", "absolute value", "system", "other"]


class Solutions(NamedTuple):
    """What is to be known of the solutions for telling how many there are.

    Args:
        shape: of the equation.
        real, nonreal: distinct solutions.
        infinite: whether every number, or every point of a line, is one.
        kinds: what is true of all real solutions: `real`, and `rational` or `irrational`.
        rational: real solutions that are rational.
        values: the solutions themselves; of a system its points.
        letter: the unknown.
        degree: of a polynomial equation, else 0.
        discriminant: of a quadratic equation, else None.
        rejected: solutions of a later equation that do not solve this one.
    """

    shape: Shape
    real: int
    nonreal: int
    infinite: bool
    kinds: tuple[Kind, ...]
    rational: int
    values: tuple[Number, ...] | tuple[Point, ...]
    letter: str
    degree: int
    discriminant: Surd | None
    rejected: int

    @property
    def sign(self) -> int | None:
        """Sign of the discriminant, -1, 0 or 1; None where there is none."""
        return None if self.discriminant is None else self.discriminant.real_sign()


def tell(solutions: Solutions) -> Solutions:
    """Tell how many solutions there are."""
    return solutions


def count_solutions(step: Walk, start: Solutions) -> Hashable:
    """Say how many real solutions there are."""
    told = step.do(tell, COUNTING, start)
    return ALL_REAL if told.infinite else Surd.of(told.real)


def counting_ways(problem: Problem) -> list[Way]:
    """Read an equation or a system.

    Raises:
        BudgetExceeded: its solutions cannot be counted.
    """
    return [("number of solutions", count_solutions, solutions_of(problem))]


def solutions_of(problem: Problem) -> Solutions:
    """Find what is to be counted.

    Raises:
        BudgetExceeded: it is no equation or system, or cannot be solved.
    """
    # Imported late: right answers are computed above, and this is one of them.
    from pipeline.procedures.right import solved

    if not problem.relations or problem.is_inequality:
        raise BudgetExceeded("solutions are counted of an equation, or of a system joined by `;`")
    if len(problem.relations) == 1 and len(problem.letters) > 1:
        raise BudgetExceeded("an equation in several letters has no number of solutions")
    found = solved(replace(problem, task="solve"), "complex")
    if found.answer is None and _shape(problem) != "polynomial":
        raise BudgetExceeded("the equation could not be solved")
    answer = found.answer.value if found.answer else None
    values = _values(answer) if answer else ()
    infinite = answer == Statement(StatementCode.ALL_REAL)
    start = Solutions(
        _shape(problem), 0, 0, infinite, (), 0, values, problem.letter, _degree(problem),
        _discriminant(problem), _rejected(problem),
    )  # fmt: skip
    numbers = [one for one in values if isinstance(one, Number)]
    if answer is None or any(one.surd is None for one in numbers):
        return _counted(start, problem)
    if not numbers:
        return start._replace(real=len(values), kinds=("real",))
    told = _of_numbers(start, numbers)
    if told.shape == "polynomial" and told.real + told.nonreal < told.degree:
        counted = _counted(start, problem)
        return told._replace(real=counted.real, nonreal=counted.nonreal)
    return told


def _of_numbers(start: Solutions, numbers: list[Number]) -> Solutions:
    real = [one.surd for one in numbers if one.surd is not None and one.surd.is_real]
    rational = sum(one.is_rational for one in real)
    return start._replace(
        real=len(real),
        nonreal=len(numbers) - len(real),
        rational=rational,
        kinds=_kinds(len(real), rational),
    )


def _kinds(count: int, rational: int) -> tuple[Kind, ...]:
    if rational == count:
        return ("real", "rational")
    return ("real",) if rational else ("real", "irrational")


def _values(value: Value) -> tuple[Number, ...] | tuple[Point, ...]:
    match value:
        case Roots(members) | Points(members):
            return members
        case Number() | Point():
            return (value,)  # type: ignore[return-value]  # one of the two
        case Statement():
            return ()
    raise BudgetExceeded("the solutions cannot be counted")


def _difference(problem: Problem) -> Node:
    left, right = problem.relations[0].sides
    return Sum((left, Negation(right)))


def _counted(start: Solutions, problem: Problem) -> Solutions:
    """Count the roots of a polynomial that no square roots reach, by Sturm's theorem."""
    import sympy

    whole = polynomial_of(_difference(problem))
    if whole is None or not all(one.is_rational for one in whole.coefficients(problem.letter)):
        raise BudgetExceeded("the solutions are no exact numbers")
    numbers = [
        sympy.Rational(one.as_fraction().numerator, one.as_fraction().denominator)
        for one in reversed(whole.coefficients(problem.letter))
    ]
    free = sympy.Poly(numbers, sympy.Symbol("x")).sqf_part()
    real = int(free.count_roots())
    rational = sum(one.surd is not None for one in start.values if isinstance(one, Number))
    return start._replace(
        real=real, nonreal=int(free.degree()) - real, kinds=("real",), rational=rational, values=()
    )


def _shape(problem: Problem) -> Shape:
    if len(problem.relations) > 1:
        return "system"
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is not None:
        return "quadratic" if equation.degree == 2 else "linear"
    if any(map(_has_bars, problem.relations[0].sides)):
        return "absolute value"
    return "polynomial" if _degree(problem) else "other"


def _has_bars(node: Node) -> bool:
    return isinstance(node, Absolute) or any(map(_has_bars, children(node)))


def _degree(problem: Problem) -> int:
    if len(problem.relations) != 1:
        return 0
    whole = polynomial_of(_difference(problem))
    return 0 if whole is None else whole.degree(problem.letter)


def _discriminant(problem: Problem) -> Surd | None:
    if _shape(problem) != "quadratic":
        return None
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is None:
        return None
    a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
    return b * b - 4 * a * c if a else None


def _rejected(problem: Problem) -> int:
    """Count what is found on the way and does not solve the equation, such as after squaring."""
    from pipeline.procedures.further import further_plans

    if _shape(problem) not in ("other", "absolute value"):
        return 0
    for _, procedure, start in further_plans(replace(problem, task="solve")):
        run = Walk().through(procedure, start)
        for step in run.log:
            before = step.arguments[0] if step.arguments else None
            if isinstance(before, frozenset) and isinstance(step.result, frozenset):
                left = before - step.result
                if left and step.result <= before and all(one.is_real for one in left):
                    return len(left)
    return 0
