"""What a line of working stands for, and which faults lead from one line to the next.

Several procedures can lead to the same solutions; the shape of a line, compared with the lines that
procedures write, tells which it was.
"""

from __future__ import annotations

from collections.abc import Hashable

from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Negation, Node, PlusMinus, Relation, Sum, letters
from pipeline.patterns.catalogue import moves
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import (
    ONE,
    ZERO,
    Branches,
    Difference,
    Equation,
    Formula,
    Linear,
    Named,
    equation_of,
    product_of,
    squared,
)
from pipeline.procedures.quadratic import QUADRATIC, discriminant, solve_linear
from pipeline.procedures.systems import OneUnknown, Row, SolvedRow, isolate_letter
from pipeline.procedures.walk import Plan, Walk, runs, walk
from pipeline.reading.lines import Line, is_true_calculation
from pipeline.records import Numbers
from pipeline.tagging.predict import slips_of
from pipeline.tasks.solve import solution_set

Form = tuple[Hashable, ...]
"""A line's shape with its numbers, the same for lines that differ by a constant factor."""


def _forms_of(line: Line, letter: str) -> tuple[Form, ...]:
    """Return a line's shapes, the most telling first; none where procedures write no such line."""
    if len(line.relations) != 1 or len(line.relations[0].sides) != 2:
        return ()
    first, second = line.relations[0].sides
    if line.has_both_signs:
        if isinstance(first, Letter) and not isinstance(second, PlusMinus):
            return (("formula",),)
        whole = _equation_from(line, letter)  # both signs taken together
        if whole is None or whole.square is None:
            return ()
        root = Surd.root_of(whole.right[2])
        signed = () if root is None else (root, -root)
        return forms(Branches(whole.square.p, whole.square.q, signed))
    equation = equation_of(line.relations[0], letter)
    tells_nothing = isinstance(first, Letter) and not letters(second)  # x = 3 may come of any way
    return () if equation is None or tells_nothing else forms(equation)


def forms(line: object) -> tuple[Form, ...]:
    """Return the shapes of a line that a procedure writes; a constant factor makes no difference.

    Args:
        line: an entry of `Walk.lines`, or a student's line as one.
    """
    try:
        match line:
            case Equation():
                return _of_equation(line)
            case Branches(p, q, (only,)):
                return (("one root", (only - q) / p),)
            case Branches(p, q, signed):
                return (("branches", q / p, frozenset(one / p for one in signed)),)
            case OneUnknown(second, a, c):
                return (("one unknown", second, a == ONE, c / a),)
            case Row() | SolvedRow() | Named():
                return ((type(line), *line),)
            case Formula():
                return (("formula",),)
            case Difference():
                return (("difference", line.squared, line.is_added, line.product),)
    except ZeroDivisionError:
        pass
    return _of_tree(line) if isinstance(line, Node) else ()


def _of_tree(tree: Node) -> tuple[Form, ...]:
    """Return an expression itself, and before it a difference of numbers as a discriminant's."""
    match tree:
        case Sum((first, second)):
            added = not isinstance(second, Negation)
            body = second.argument if isinstance(second, Negation) else second
            numbers = surd_of(first), surd_of(body)
            if None not in numbers:
                return (("difference", numbers[0], added, numbers[1]), ("tree", tree))
    return (("tree", tree),)


def forms_of_row(row: Row) -> frozenset[Form]:
    """Return the shapes of an equation of a system: of both its unknowns, or of the one left."""
    a, b, c = row
    left: tuple[object, ...] = (OneUnknown(not a, a or b, c),)
    if a and b:
        left = (
            SolvedRow(False, *isolate_letter(row)),
            SolvedRow(True, *isolate_letter(row.turned())),
        )
    return frozenset(form for line in (row, Row(-a, -b, -c), *left) for form in forms(line))


def _of_equation(equation: Equation) -> tuple[Form, ...]:
    (a, b, c), (a2, b2, right) = equation.left, equation.right
    if equation.factors and equation.square is None:
        if len(equation.factors) == 1:
            return (("one root", (right - equation.factors[0].q) / equation.factors[0].p),)
        roots = frozenset(-one.q / one.p for one in equation.factors)
        return (("factors", roots, right / equation.scale),)
    if equation.degree < 2:
        scaled = (c / b, b2 / b, right / b) if b else (right / b2, ZERO, c / b2)
        return ("linear", *scaled), ("one root", (right - c) / (b - b2))
    if equation.square is not None and right and not equation.square.rest:
        scale, p, q, _ = equation.square
        return (("square", q / p, right / (scale * p * p)),)
    if a2 or b2:
        return ()
    if c and b * b == 4 * a * c and right:
        return (("square", b / (2 * a), right / a),)
    return (("quadratic", b / a, c / a, right / a),)


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
    shapes = _forms_of(after, letter)
    found: list[set[str]] = [set() for _ in (*shapes, target)]
    for plan in _plans_from(before, letter):
        for run, paths in runs(plan.procedure, plan.start, moves, 1):
            if target not in {comparable_ending(end, numbers) for end in run.endings}:
                continue
            named = {path[0].id for path in paths if path}
            written = {form for line in run.lines for form in forms(line)}
            for level, form in enumerate((*shapes, None)):
                if form is None or form in written:
                    found[level] |= named
        if not found[-1]:
            found[-1] |= {
                faults[0].id
                for ending, faults in slips_of(plan)
                if comparable_ending(ending, numbers) == target
            }
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
                found.add(faults[0].id)
    return frozenset(found) if known else None


def _discriminant(step: Walk, abc: tuple[Surd, Surd, Surd]) -> Surd:
    return discriminant(step, "discriminant", abc)


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
        return squared(ONE, *first.left[1:], value * value)
    if any((*first.right, *second.right)):
        return None
    return product_of((Linear(*first.left[1:]), Linear(*second.left[1:])), ZERO)
