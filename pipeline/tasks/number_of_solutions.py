"""How many solutions an equation or a system has, and of which kind."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import replace
from typing import Final, Literal, NamedTuple, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Absolute, Letter, Relation, holds
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
from pipeline.procedures.equations import equation_of
from pipeline.procedures.walk import ALL_REAL, Place, Plan, Walk
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.records import Numbers
from pipeline.tasks import solve
from pipeline.tasks.task import Task

_Parts: TypeAlias = tuple[tuple[int | None, Kind], ...]
_NONE: Final = (Statement(StatementCode.NO_REAL), Statement(StatementCode.NO_SOLUTION))
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


def tell(start: Solutions) -> Solutions:
    """Tell how many solutions there are."""
    return start


def count_solutions(step: Walk, start: Solutions) -> Hashable:
    """Say how many real solutions there are."""
    told = step.do(tell, Place.NUMBER_OF_SOLUTIONS, start)
    return ALL_REAL if told.infinite else Surd.of(told.real)


def _plans(problem: Problem) -> list[Plan]:
    """Read an equation or a system.

    Raises:
        CannotBeWorked: its solutions cannot be counted.
    """
    return [Plan("number of solutions", count_solutions, _solutions_of(problem))]


def _solutions_of(problem: Problem) -> Solutions:
    """Find what is to be counted.

    Raises:
        CannotBeWorked: it is no equation or system, or cannot be solved.
    """
    chain = any(len(one.sides) > 2 for one in problem.relations)
    if not problem.relations or problem.is_inequality or chain:
        raise CannotBeWorked("solutions are counted of an equation, or of a system joined by `;`")
    if len(problem.relations) == 1 and len(problem.letters) > 1:
        raise CannotBeWorked("an equation in several letters has no number of solutions")
    answer = _solved(problem)
    if answer is None and _shape(problem) != "polynomial":
        raise CannotBeWorked("the equation could not be solved")
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


def _solved(problem: Problem) -> Value | None:
    try:
        return solve.right(replace(problem, task="solve"), "complex").value
    except (CannotBeWorked, ZeroDivisionError, NotImplementedError):
        return None


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
    raise CannotBeWorked("the solutions cannot be counted")


def _counted(start: Solutions, problem: Problem) -> Solutions:
    """Count the roots of a polynomial that no square roots reach, by Sturm's theorem."""
    import sympy

    whole = polynomial_of(problem.relations[0].difference)
    if whole is None or not all(one.is_rational for one in whole.coefficients(problem.letter)):
        raise CannotBeWorked("the solutions are no exact numbers")
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
    if holds(problem.relations[0], Absolute):
        return "absolute value"
    return "polynomial" if _degree(problem) else "other"


def _degree(problem: Problem) -> int:
    if len(problem.relations) != 1:
        return 0
    whole = polynomial_of(problem.relations[0].difference)
    return 0 if whole is None else whole.degree(problem.letter)


def _discriminant(problem: Problem) -> Surd | None:
    equation = None if problem.is_system else equation_of(problem.relations[0], problem.letter)
    if equation is None or equation.degree < 2:
        return None
    a, b, c = equation.zero_form
    return b * b - 4 * a * c


def _rejected(problem: Problem) -> int:
    """Count what is found on the way and does not solve the equation, such as after squaring."""
    if _shape(problem) not in ("other", "absolute value"):
        return 0
    for _, procedure, start in solve.plans(replace(problem, task="solve")):
        run = Walk().through(procedure, start)
        for step in run.log:
            before = step.arguments[0] if step.arguments else None
            if isinstance(before, frozenset) and isinstance(step.result, frozenset):
                left = before - step.result
                if left and step.result <= before and all(one.is_real for one in left):
                    return len(left)
    return 0


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """Return the number of solutions, with what else is true of it and says as much.

    Over the real numbers the real ones are counted, over the complex numbers all distinct ones.

    Raises:
        CannotBeWorked: they cannot be counted.
    """
    found = _solutions_of(problem)
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


NUMBER_OF_SOLUTIONS: Final = Task(
    "number-of-solutions",
    "how many solutions there are, and of which kind",
    "an equation, or a system joined by `;`",
    "x^2 - 6x + 9 = 0",
    "1",
    _plans,
    _right,
    notation=Notation(kind="count"),
    of_any_numbers=True,
)
