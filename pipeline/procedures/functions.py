"""Functions: their values, sums and products, compositions and inverses."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from pipeline.errors import BudgetExceeded
from pipeline.exact.building import tree_of_polynomial
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import Node, Quotient
from pipeline.procedures.isolating import Way
from pipeline.procedures.questions import Definition, definition, expression, plain_text
from pipeline.procedures.solving_for import Part, join, over, times
from pipeline.procedures.walk import Abandoned, Walk
from pipeline.reading.problems import Problem

__all__ = [
    "FUNCTION",
    "Combination",
    "Composition",
    "Function",
    "Inverse",
    "apply",
    "carry_off",
    "choose_order",
    "combine",
    "divide_off_slope",
    "function_ways",
    "start_inverse",
]

FUNCTION = "function"
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


class Inverse(NamedTuple):
    """The inverse of slope*letter + constant."""

    slope: Part
    constant: Part
    letter: str


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


def carry_off(letter: Part, constant: Part) -> Part:
    """Undo the addition of the constant."""
    return join(letter, constant, -1)


def divide_off_slope(other: Part, slope: Part) -> Part:
    """Undo the multiplication."""
    return over(other, slope)


def tree_of_part(part: Part) -> Node:
    """Return a part as a tree."""
    above, below = (tree_of_polynomial(one) for one in part)
    return above if part[1] == _ONE else Quotient(above, below)


def find_value(step: Walk, start: Function) -> Node:
    """Put the argument in, and simplify."""
    return tree_of_part(step.do(apply, FUNCTION, start.body, start.letter, start.argument))


def compose(step: Walk, start: Composition) -> Node:
    """Put one function into the other, then the argument into what came out."""
    whole = step.do(choose_order, FUNCTION, start.outer, start.inner, start.letter)
    if start.argument == (Polynomial.letter(start.letter), _ONE):
        return tree_of_part(whole)
    return tree_of_part(step.do(apply, "composition", whole, start.letter, start.argument))


def combine_functions(step: Walk, start: Combination) -> Node:
    """Combine two functions, then put the argument in."""
    whole = step.do(combine, FUNCTION, start.first, start.second, start.operation)
    if start.argument == (Polynomial.letter(start.letter), _ONE):
        return tree_of_part(whole)
    return tree_of_part(step.do(apply, "composition", whole, start.letter, start.argument))


def invert(step: Walk, start: Inverse) -> Node:
    """Undo the operations in the opposite order."""
    found = step.do(start_inverse, FUNCTION, start.slope, start.constant, start.letter)
    if found is None:
        found = (Polynomial.letter(start.letter), _ONE)
        if start.constant[0]:
            found = step.do(carry_off, FUNCTION, found, start.constant)
        if start.slope != (_ONE, _ONE):
            found = step.do(divide_off_slope, FUNCTION, found, start.slope)
    if not found[0]:
        raise Abandoned
    return tree_of_part(found)


_ONE_VALUE = re.compile(r"^([A-Za-z])\s*\((.+)\)$")
_INVERSE = re.compile(r"^([A-Za-z])\s*\^?\s*[({\ue003]?\s*-\s*1\s*[)}\ue004]?\s*\(\s*\w\s*\)$")
_COMPOSED = re.compile(r"^\(\s*([A-Za-z])\s*(?:o|∘|of)\s*([A-Za-z])\s*\)\s*\((.+)\)$")
_NESTED = re.compile(r"^([A-Za-z])\s*\(\s*([A-Za-z])\s*\((.+)\)\s*\)$")
_COMBINED = re.compile(r"^\(\s*([A-Za-z])\s*([-+*/·]?)\s*([A-Za-z])\s*\)\s*\((.+)\)$")


def function_ways(problem: Problem) -> list[Way]:
    """Read `f(x) = 2x^2 - 3; f(4)` and its like; the last part says what is asked.

    Raises:
        BudgetExceeded: the problem is not written so.
    """
    parts = [part.strip() for part in re.split(r";|,(?=\s*[A-Za-z(])", plain_text(problem.text))]
    known: dict[str, Definition] = {}
    for part in parts[:-1]:
        found = definition(part)
        if found is None:
            raise BudgetExceeded(f"a function is given like `f(x) = 2x + 1`, not {part!r}")
        known[found.name] = found
    if not known:
        raise BudgetExceeded("a function problem is written like `f(x) = 2x^2 - 3; f(4)`")
    return [_way(re.sub(r"^find\s+", "", parts[-1]).rstrip(".?"), known)]


def _way(asked: str, known: dict[str, Definition]) -> Way:
    inverse = _INVERSE.match(asked)
    if inverse:
        return _inverse(known, inverse[1])
    composed = _COMPOSED.match(asked) or _NESTED.match(asked)
    if composed and composed[2] in known:
        outer, inner = _body(known, composed[1]), _body(known, composed[2])
        letter = known[composed[1]].letter
        start = Composition(outer, inner, letter, _part(expression(composed[3])))
        return "composition", compose, start
    combined = _COMBINED.match(asked)
    if combined:
        sign: dict[str, Operation] = {"+": "+", "-": "-", "/": "/"}
        first, second = _body(known, combined[1]), _body(known, combined[3])
        return "combination", combine_functions, Combination(
            first, second, sign.get(combined[2], "*"), known[combined[1]].letter,
            _part(expression(combined[4])),
        )  # fmt: skip
    value = _ONE_VALUE.match(asked)
    if value:
        argument = _part(expression(value[2]))
        start_value = Function(_body(known, value[1]), known[value[1]].letter, argument)
        return "value", find_value, start_value
    raise BudgetExceeded(f"expected `f(4)`, `f(g(x))`, `(f + g)(x)` or `f^-1(x)`, not {asked!r}")


def _inverse(known: dict[str, Definition], name: str) -> Way:
    above, below = _body(known, name)
    letter = known[name].letter
    parts = above.collected(letter)
    if len(parts) != 2 or letter in below.letters:
        raise BudgetExceeded("only inverses of linear functions are worked step by step")
    constant, slope = (over((part, _ONE), (below, _ONE)) for part in parts)
    return "inverse", invert, Inverse(slope, constant, letter)


def _body(known: dict[str, Definition], name: str) -> Part:
    if name not in known:
        raise BudgetExceeded(f"the function {name} is not given")
    return _part(known[name].body)


def _part(node: Node) -> Part:
    found = fraction_of(node)
    if found is None:
        raise BudgetExceeded("the function is no quotient of polynomials")
    return found
