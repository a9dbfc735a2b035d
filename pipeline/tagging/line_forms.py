"""The shape of a line of working, comparable with the lines that procedures write.

Several procedures can lead to the same solutions; how a line is written tells which it was.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, PlusMinus, Relation, letters
from pipeline.procedures.equations import ONE, Equation, Linear, equation_of
from pipeline.procedures.systems import Row, isolate_letter
from pipeline.reading.lines import Line

Form = tuple[Hashable, ...]
"""A line's shape with its numbers, the same for lines that differ by a constant factor."""


def forms_of(line: Line, letter: str, whole: Equation | None) -> tuple[Form, ...]:
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
