"""What a line of working stands for, and which faults lead from one line to the next."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Relation, letters
from pipeline.patterns.catalogue import moves
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import ONE, ZERO, Equation, Linear, Square, equation_of
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.quadratic import QUADRATIC, discriminant
from pipeline.procedures.walk import Plan, Walk, runs, walk
from pipeline.reading.lines import Line, is_true_calculation
from pipeline.records import Numbers
from pipeline.tagging.line_forms import canonical, forms_of
from pipeline.tagging.predict import slips_of
from pipeline.tasks.solve import solution_set

_DISCRIMINANT = (frozenset("D"), frozenset("d"), frozenset("Δ"), frozenset("abc"))
"""Letters on the left of a line that states the discriminant."""


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
    return solution_set(relation, letter)


def faults_between(before: Line, after: Line, letter: str, numbers: Numbers) -> frozenset[str]:
    """Return the patterns that lead from one line to another by one fault.

    Several patterns can give the same numbers. The shape of the lines decides where it can: a
    pattern counts first if its procedure writes the very line, or starts from the very shape.
    """
    target = standing(after, letter)
    forms = forms_of(after, letter, _equation_from(after, letter))
    found: list[set[str]] = [set() for _ in (*forms, target)]
    for plan in _plans_from(before, letter):
        for run, paths in runs(plan.procedure, plan.start, moves, 1):
            if target not in {comparable_ending(end, numbers) for end in run.endings}:
                continue
            named = {path[0] for path in paths if path}
            written = {form for line in run.lines for form in canonical(line)}
            for level, form in enumerate((*forms, None)):
                if form is None or form in written:
                    found[level] |= named
        if not found[-1]:
            found[-1] |= _slips_to(plan, target, numbers)
    return frozenset(next((names for names in found if names), set()))


def named_discriminant(line: Line, letter: str) -> Surd | None:
    """Return the number that a line gives for b^2 - 4ac, as in `D = 25 - 24 = 1`."""
    if len(line.relations) != 1:
        return None
    first, *others = line.relations[0].sides
    names = letters(first)
    if names not in _DISCRIMINANT or letter in names or letters(others[-1]):
        return None
    return surd_of(others[-1])


def discriminant_faults(before: list[Line], value: Surd, letter: str) -> frozenset[str] | None:
    """Return the patterns that lead from one of the lines to a wrong discriminant.

    Returns:
        None when the value is right for one of the lines, or none of them is a quadratic.
    """
    found: set[str] = set()
    known = False
    for equation in (_equation_from(line, letter) for line in before):
        if equation is None or equation.degree < 2:
            continue
        a, b, c = equation.zero_form
        known = True
        for ending, faults in walk(_discriminant, (a, b, c), moves, 1):
            if ending == value and not faults:
                return None
            if ending == value:
                found.add(faults[0])
    return frozenset(found) if known else None


def _discriminant(step: Walk, abc: tuple[Surd, Surd, Surd]) -> Surd:
    return discriminant(step, "discriminant", abc)


def _slips_to(plan: Plan, target: Hashable, numbers: Numbers) -> set[str]:
    return {
        faults[0]
        for ending, faults in slips_of(plan)
        if comparable_ending(ending, numbers) == target
    }


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
