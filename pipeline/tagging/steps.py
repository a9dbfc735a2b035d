"""What a line of working stands for, and which faults lead from one line to the next.

Several procedures can lead to the same solutions; the shape of a line, compared with the lines that
procedures write, tells which it was.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from typing import Any

from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, PlusMinus, Relation, letters
from pipeline.patterns.catalogue import moves
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import ONE, ZERO, Equation, Linear, Square, equation_of
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.quadratic import QUADRATIC, discriminant
from pipeline.procedures.systems import Row, isolate_letter
from pipeline.procedures.walk import Plan, Walk, runs, walk
from pipeline.reading.lines import Line, is_true_calculation
from pipeline.records import Numbers
from pipeline.tagging.predict import slips_of
from pipeline.tasks.solve import solution_set

Form = tuple[Hashable, ...]
"""A line's shape with its numbers, the same for lines that differ by a constant factor."""


def _forms_of(line: Line, letter: str, whole: Equation | None) -> tuple[Form, ...]:
    """Return a line's shapes, the most telling first; none where procedures write no such line.

    Args:
        line: the line.
        letter: the unknown.
        whole: the equation that the line stands for, both signs taken together.
    """
    if len(line.relations) != 1 or len(line.relations[0].sides) != 2:
        return ()
    relation = line.relations[0]
    if line.has_both_signs:
        return _with_signs(relation, whole)
    equation = equation_of(relation, letter)
    if equation is None:
        return ()
    if equation.degree == 1:
        return _linear(relation, equation)
    return _quadratic(equation)


def forms_of_row(row: Row) -> frozenset[Form]:
    """Return the shapes of an equation of a system: of both its unknowns, or of the one left."""
    a, b, c = row
    if not a or not b:
        left = canonical(("unknown left", not a, a or b, c))
        return frozenset({("row", a, b, c), ("row", -a, -b, -c), *left})
    solved = (
        ("solved row", at, *isolate_letter(one)) for at, one in enumerate((row, row.turned()))
    )
    return frozenset(form for line in (("row", *row), *solved) for form in canonical(line))


def _linear(relation: Relation, equation: Equation) -> tuple[Form, ...]:
    """A bare `x = number` tells nothing of the way to it."""
    if isinstance(relation.sides[0], Letter) and not letters(relation.sides[1]):
        return ()
    return canonical(("linear", *equation.left[1:], *equation.right[1:]))


def _quadratic(equation: Equation) -> tuple[Form, ...]:
    (a, b, c), (a2, b2, right) = equation.left, equation.right
    if equation.factors and equation.square is None:
        return canonical(("factors", equation.factors, right / equation.scale))
    if equation.square is not None and right and not equation.square.rest:
        scale, p, q, _ = equation.square
        return canonical(("square", scale, p, q, right))
    if a2 or b2:
        return ()
    if c and b * b == 4 * a * c and right:
        return canonical(("square", a, ONE, b / (2 * a), right))
    return canonical(("zero form", a, b, c) if not right else ("constant right", a, b, right - c))


def _with_signs(relation: Relation, whole: Equation | None) -> tuple[Form, ...]:
    if isinstance(relation.sides[0], Letter) and not isinstance(relation.sides[1], PlusMinus):
        return (("formula",),)
    if whole is None or whole.square is None:
        return ()
    root = Surd.root_of(whole.right[2])
    signed = () if root is None else (root, -root)
    return canonical(("branches", whole.square.p, whole.square.q, signed))


def canonical(line: tuple[Any, ...]) -> tuple[Form, ...]:
    """Bring a written line to forms in which a constant factor makes no difference."""
    try:
        return _without_scale(*line)
    except ZeroDivisionError:
        return ()


def _without_scale(kind: str, *numbers: Any) -> tuple[Form, ...]:
    match kind, numbers:
        case "square", (scale, p, q, right):
            return ((kind, q / p, right / (scale * p * p)),)
        case (("zero form" | "constant right"), (first, *others)):
            return ((kind, *(one / first for one in others)),)
        case "linear", (a, b, c, d):
            scaled = (kind, b / a, c / a, d / a) if a else (kind, d / c, a, b / c)
            return scaled, ("one root", (d - b) / (a - c))
        case "factors", (factors, right):
            return _factors(factors, right)
        case "branches", (p, q, signed):
            return _branches(p, q, signed)
        case "unknown left", (second, a, right):
            return ((kind, second, a == ONE, right / a),)
        case (("row" | "solved row"), _):
            return ((kind, *numbers),)
        case _:
            return ((kind,),)


def _factors(factors: tuple[Linear, ...], right: Surd) -> tuple[Form, ...]:
    if len(factors) == 1:
        return (("one root", (right - factors[0].q) / factors[0].p),)
    return (("factors", frozenset(-one.q / one.p for one in factors), right),)


def _branches(p: Surd, q: Surd, signed: tuple[Surd, ...]) -> tuple[Form, ...]:
    if len(signed) == 1:
        return (("one root", (signed[0] - q) / p),)
    return (("branches", q / p, frozenset(one / p for one in signed)),)


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
    forms = _forms_of(after, letter, _equation_from(after, letter))
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
