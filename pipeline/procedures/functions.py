"""Functions: their values, also inside an expression, sums, products, compositions and inverses."""

from __future__ import annotations

import re
from typing import Final, Literal, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Node, replaced
from pipeline.exact.values import Equation
from pipeline.procedures.parts import Part, join, over, times, tree_of_part
from pipeline.procedures.questions import Definition, expression
from pipeline.procedures.solving_for import Formula, solve_formula
from pipeline.procedures.walk import Place, Walk

Operation = Literal["+", "-", "*", "/"]
_ONE = Polynomial.constant(1)


class Function(NamedTuple):
    """A function of a letter, and what is put in for it."""

    body: Part
    letter: str
    argument: Part


class Composition(NamedTuple):
    """outer(inner(argument)), both functions of `letter`."""

    outer: Part
    inner: Part
    letter: str
    argument: Part


class Combination(NamedTuple):
    """(first operation second)(argument)."""

    first: Part
    second: Part
    operation: Operation
    letter: str
    argument: Part


class Joined(NamedTuple):
    """Two values of functions joined by an operation, and what the result is divided by."""

    first: Function
    second: Function
    operation: Operation
    below: Part


class InverseOfFormula(NamedTuple):
    """The inverse of a function that is not linear: the equation to be solved for y."""

    body: Part
    letter: str
    formula: Formula


class Inverse(NamedTuple):
    """The inverse of factor*(slope*letter + constant); factor 1 where there is no bracket."""

    slope: Part
    constant: Part
    letter: str
    factor: Part = (_ONE, _ONE)


def apply(body: Part, letter: str, argument: Part) -> Part:
    """Put an argument into a function."""
    return over(_put_in(body[0], letter, argument), _put_in(body[1], letter, argument))


def _put_in(body: Polynomial, letter: str, argument: Part) -> Part:
    total: Part = (Polynomial({}), _ONE)
    for coefficient in reversed(body.collected(letter)):
        total = join(times(total, argument), (coefficient, _ONE))
    return total


def choose_order(outer: Part, inner: Part, letter: str) -> Part:
    """Put the inner function into the outer one."""
    return apply(outer, letter, inner)


def combine(first: Part, second: Part, operation: Operation) -> Part:
    """Add, subtract, multiply or divide two functions."""
    match operation:
        case "+":
            return join(first, second)
        case "-":
            return join(first, second, -1)
        case "*":
            return times(first, second)
    return over(first, second)


def start_inverse(slope: Part, constant: Part, letter: str) -> Part | None:
    """Decide to change x and y about and to solve for y."""
    return None


def start_bracket(start: Inverse) -> Part | None:
    """Decide to undo what stands before the bracket first."""
    return None


def carry_off(letter: Part, constant: Part) -> Part:
    """Undo the addition of the constant."""
    return join(letter, constant, -1)


def divide_off_slope(other: Part, slope: Part) -> Part:
    """Undo the multiplication."""
    return over(other, slope)


def find_value(step: Walk, start: Function) -> Node:
    """Put the argument in, and simplify."""
    return tree_of_part(step.do(apply, Place.FUNCTION, start.body, start.letter, start.argument))


def compose(step: Walk, start: Composition) -> Node:
    """Put one function into the other, then the argument into what came out."""
    whole = step.do(choose_order, Place.FUNCTION, start.outer, start.inner, start.letter)
    return _with_argument(step, whole, start)


def combine_functions(step: Walk, start: Combination) -> Node:
    """Combine two functions, then put the argument in."""
    whole = step.do(combine, Place.FUNCTION, start.first, start.second, start.operation)
    return _with_argument(step, whole, start)


def _with_argument(step: Walk, whole: Part, start: Composition | Combination) -> Node:
    if start.argument != (Polynomial.letter(start.letter), _ONE):
        whole = step.do(apply, Place.COMPOSITION, whole, start.letter, start.argument)
    return tree_of_part(whole)


def invert(step: Walk, start: Inverse) -> Node:
    """Undo the operations in the opposite order."""
    bare = start.factor == (_ONE, _ONE)
    found = (
        step.do(start_inverse, Place.FUNCTION, start.slope, start.constant, start.letter)
        if bare
        else step.do(start_bracket, Place.FUNCTION, start)
    )
    if found is None:
        found = (Polynomial.letter(start.letter), _ONE)
        if not bare:
            found = step.do(divide_off_slope, Place.FUNCTION, found, start.factor)
        if start.constant[0]:
            found = step.do(carry_off, Place.FUNCTION, found, start.constant)
        if start.slope != (_ONE, _ONE):
            found = step.do(divide_off_slope, Place.FUNCTION, found, start.slope)
    if not found[0]:
        raise CannotBeWorked
    return tree_of_part(found)


def divide_difference(above: Part, below: Part) -> Part:
    """Divide a difference of values by what stands below it."""
    return over(above, below)


def join_values(step: Walk, start: Joined) -> Node:
    """Find both values, join them, and divide."""
    first, second = (
        step.do(apply, Place.FUNCTION, one.body, one.letter, one.argument)
        if one.argument != (Polynomial.letter(one.letter), _ONE)
        else one.body
        for one in (start.first, start.second)
    )
    whole = step.do(combine, Place.FUNCTION, first, second, start.operation)
    if start.below != (_ONE, _ONE):
        whole = step.do(divide_difference, Place.FUNCTION, whole, start.below)
    return tree_of_part(whole)


def invert_formula(step: Walk, start: InverseOfFormula) -> Node:
    """Change the letters about, and solve for the other one."""
    nothing = (Polynomial({}), _ONE)
    found = step.do(start_inverse, Place.FUNCTION, nothing, start.body, start.letter)
    if found is not None:
        return tree_of_part(found)
    equation = solve_formula(step, start.formula)
    if not isinstance(equation, Equation):
        raise CannotBeWorked
    return equation.relation.sides[1]


_DEEPEST: Final = 4


class Called(NamedTuple):
    """An expression with a letter in the place of each value of a function.

    Args:
        frame: the expression, capital letters standing for the values.
        calls: such a letter -> name of the function, and what is put in.
    """

    frame: Node
    calls: dict[str, tuple[str, Called]]


def read_calls(text: str, known: dict[str, Definition], depth: int = 0) -> Called:
    """Read an expression in which functions stand.

    Raises:
        CannotBeWorked: it cannot be read, or functions stand too deep in one another.
    """
    if depth > _DEEPEST:
        raise CannotBeWorked("functions stand too deep in one another")
    free = iter([name for name in "ABCDEFGHJKLMNPQRSTUVW" if name not in text])
    starts = re.compile(rf"(?<![A-Za-z])([{''.join(known)}])\s*\(")
    frame, calls, place = "", {}, 0
    while (found := starts.search(text, place)) is not None:
        end = _closing(text, found.end())
        name = next(free, None)
        if name is None:
            raise CannotBeWorked("too many functions")
        calls[name] = (found[1], read_calls(text[found.end() : end], known, depth + 1))
        frame += text[place : found.start()] + f" {name} "
        place = end + 1
    return Called(expression(frame + text[place:]), calls)


def _closing(text: str, start: int) -> int:
    depth = 1
    for place in range(start, len(text)):
        depth += (text[place] == "(") - (text[place] == ")")
        if not depth:
            return place
    raise CannotBeWorked("a bracket is not closed")


def with_bodies(asked: Called, known: dict[str, Definition]) -> Node:
    """Return the expression with the rules of the functions written out."""
    values = []
    for name, (function, inner) in asked.calls.items():
        given = known[function]
        body = replaced(given.body, ((given.letter, with_bodies(inner, known)),))
        values.append((name, body))
    return replaced(asked.frame, tuple(values)) if values else asked.frame
