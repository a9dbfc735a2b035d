"""What a line of working stands for, and which faults lead from one line to the next."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from typing import Any

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, PlusMinus, Relation, letters
from pipeline.exact.values import Statement
from pipeline.patterns.catalogue import moves
from pipeline.procedures import symbolic
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import ONE, ZERO, Equation, Linear, Square, equation_of
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.plans import Plan
from pipeline.procedures.quadratic import QUADRATIC
from pipeline.procedures.right import closed_roots
from pipeline.procedures.walk import runs
from pipeline.records import Numbers
from pipeline.tagging.lines import Line, is_true_calculation
from pipeline.tagging.predict import slips_of

__all__ = ["faults_between", "standing"]

Form = tuple[Hashable, ...]
"""A line's shape with its numbers, the same for lines that differ by a constant factor."""


def standing(line: Line, letter: str) -> Hashable | None:
    """Return the comparable solution set of a line, complex roots included; None if unknown.

    A side calculation stands for "True" or "False".
    """
    if line.statement is not None:
        return comparable_value(line.statement)
    if not line.relations:
        return None
    calculations = [is_true_calculation(relation, letter) for relation in line.relations]
    if None not in calculations:
        return all(calculations)
    found: set[Surd] = set()
    for relation in line.alternatives():
        roots = _solution_set(relation, letter)
        if not isinstance(roots, frozenset):
            return roots
        found |= roots
    return frozenset(found)


def _solution_set(relation: Relation, letter: str) -> Hashable | None:
    """Return the solution set of one equation; the last side of a chain counts."""
    if letters(relation) != {letter}:
        return None
    if len(relation.sides) > 2:
        relation = Relation((relation.sides[0], relation.sides[-1]), ("=",))
    equation = equation_of(relation, letter)
    roots = closed_roots(equation) if equation is not None else None
    if isinstance(roots, Statement):
        return comparable_value(roots)
    if roots is not None:
        return roots
    try:
        return comparable_value(symbolic.solve_equation(relation, letter, "complex"))
    except (BudgetExceeded, ZeroDivisionError):
        return None


def faults_between(before: Line, after: Line, letter: str, numbers: Numbers) -> frozenset[str]:
    """Return the patterns that lead from one line to another by one fault.

    Several patterns can give the same numbers. The shape of the lines decides where it can: a
    pattern counts first if its procedure writes the very line, or starts from the very shape.
    """
    target, form = standing(after, letter), _form_of(after, letter)
    by_value: set[str] = set()
    by_form: set[str] = set()
    for plan in _plans_from(before, letter):
        for run, paths in runs(plan.procedure, plan.start, moves, 1):
            if target not in {comparable_ending(end, numbers) for end in run.endings}:
                continue
            named = {path[0] for path in paths if path}
            by_value |= named
            if form is not None and form in {_canonical(line) for line in run.lines}:
                by_form |= named
        if target is not None and not by_value:
            by_value |= {
                faults[0]
                for end, faults in slips_of(plan)
                if comparable_ending(end, numbers) == target
            }
    return frozenset(by_form or by_value)


def _plans_from(line: Line, letter: str) -> list[Plan]:
    """Return the procedures that go on from a line, only the one that its shape calls for."""
    equation = _equation_from(line, letter)
    if equation is None:
        return []
    if equation.degree < 2:
        return [Plan("linear", solve_linear, equation)]
    names = list(QUADRATIC)
    if equation.factors and not equation.right[2] and len(set(equation.factors)) > 1:
        names = ["factoring"]
    elif equation.square is not None and equation.square.q:
        names = ["square-root"]
    return [Plan(name, QUADRATIC[name], equation) for name in names]


def _equation_from(line: Line, letter: str) -> Equation | None:
    """Return the equation that a line states; two linear ones as the quadratic they came from."""
    alternatives = list(line.alternatives())
    sides = [equation_of(relation, letter) for relation in alternatives]
    if len(sides) == 1:
        return sides[0]
    if len(sides) != 2 or any(side is None or side.degree != 1 for side in sides):
        return None
    first, second = (side for side in sides if side is not None)
    unknown_right = any(first.right[:2]) or any(second.right[:2])
    value = first.right[2]
    if first.left == second.left and not unknown_right and value and value == -second.right[2]:
        return _squared(Linear(first.left[1], first.left[2]), value)
    if any((*first.right, *second.right)):
        return None
    return _product(Linear(*first.left[1:]), Linear(*second.left[1:]))


def _squared(inner: Linear, value: Surd) -> Equation:
    """Return (p*x + q)^2 = value^2."""
    found = _product(inner, inner)
    square = Square(ONE, inner.p, inner.q, ZERO)
    return replace(found, right=(ZERO, ZERO, value * value), square=square, factors=())


def _product(one: Linear, two: Linear) -> Equation:
    left = (one.p * two.p, one.p * two.q + one.q * two.p, one.q * two.q)
    return Equation(left, (ZERO, ZERO, ZERO), factors=(one, two))


def _form_of(line: Line, letter: str) -> Form | None:
    """Return a line's shape, or None when it has none that procedures write."""
    if len(line.relations) != 1 or len(line.relations[0].sides) != 2:
        return None
    relation = line.relations[0]
    if line.has_both_signs:
        return _form_with_signs(relation, line, letter)
    equation = equation_of(relation, letter)
    if equation is None:
        return None
    (a, b, c), (a2, b2, c2) = equation.left, equation.right
    if equation.factors and equation.square is None:
        return _canonical(("factors", equation.factors, c2 / equation.scale))
    if equation.square is not None and c2 and not equation.square.rest:
        scale, p, q, _ = equation.square
        return _canonical(("square", scale, p, q, c2))
    if equation.degree == 1:
        if isinstance(relation.sides[0], Letter) and not letters(relation.sides[1]):
            return None
        return _canonical(("linear", b, c, b2, c2))
    if a2 or b2:
        return None
    return _canonical(("zero form", a, b, c) if not c2 else ("constant right", a, b, c2 - c))


def _form_with_signs(relation: Relation, line: Line, letter: str) -> Form | None:
    if isinstance(relation.sides[0], Letter) and not isinstance(relation.sides[1], PlusMinus):
        return ("formula",)
    found = _equation_from(line, letter)
    if found is None or found.square is None:
        return None
    root = Surd.root_of(found.right[2])
    signed = () if root is None else (root, -root)
    return _canonical(("branches", found.square.p, found.square.q, signed))


def _canonical(line: tuple[Any, ...]) -> Form | None:
    """Bring a line to the form in which a constant factor makes no difference."""
    try:
        return _without_scale(*line)
    except ZeroDivisionError:
        return None


def _without_scale(kind: str, *numbers: Any) -> Form:
    match kind, numbers:
        case "square", (scale, p, q, right):
            return kind, q / p, right / (scale * p * p)
        case (("zero form" | "constant right"), (first, *others)):
            return kind, *(one / first for one in others)
        case "linear", (a, b, c, d):
            return kind, (d - b) / (a - c)
        case "factors", ((one,), right):
            return "linear", (right - one.q) / one.p
        case "factors", (factors, right):
            return kind, frozenset(-one.q / one.p for one in factors), right
        case "branches", (p, q, (only,)):
            return "linear", (only - q) / p
        case "branches", (p, q, signed):
            return kind, q / p, frozenset(one / p for one in signed)
        case _:
            return (kind,)
