"""The quadratic function that a question is about, however its name is written."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, polynomial_of, tree_of_polynomial
from pipeline.exact.trees import Call, Constant, Letter, Negation, Node, Product, Sum, letters
from pipeline.procedures.equations import coefficients
from pipeline.reading.problems import Problem

AXIS: Final = 0
HEIGHT: Final = 1
_AXIS: Final = re.compile(r"\baxis\s+of\s+symmetry\b", re.IGNORECASE)
_HEIGHT: Final = re.compile(r"\b(?:max|min)imum\b", re.IGNORECASE)


class Quadratic(NamedTuple):
    """The function a*x^2 + b*x + c, and its letter."""

    a: Surd
    b: Surd
    c: Surd
    letter: str


def quadratic_of(problem: Problem) -> Quadratic:
    """Return the quadratic function that a problem is about.

    Raises:
        CannotBeWorked: it is no polynomial of degree 2 in one letter.
    """
    side, letter = parabola(problem)
    found = coefficients(side, letter)
    if found is None or len(found) != 3:
        raise CannotBeWorked("it is no quadratic in one letter")
    c, b, a = found
    return Quadratic(a, b, c, letter)


def asked_coordinate(text: str) -> int | None:
    """Return the coordinate of the vertex that a question asks for, None for the vertex itself."""
    if _AXIS.search(text):
        return AXIS
    return HEIGHT if _HEIGHT.search(text) else None


def parabola(problem: Problem) -> tuple[Node, str]:
    """Return the expression of a function and its letter.

    `y = ...`, `k(x) = ...`, `y - 2 = ...` and a bare expression are all served.

    Raises:
        CannotBeWorked: an equation that cannot be solved for the other letter.
    """
    if len(problem.relations) != 1:
        return _upright(problem.tree, problem.letter, problem.name)
    left, right = problem.relations[0].sides[:2]
    for called, body in ((left, right), (right, left)):
        letter = _argument(called, body)
        if letter is not None:
            return body, letter
    names = sorted(letters(left) | letters(right))
    if len(names) != 2:
        side = right if letters(right) else left
        return side, problem.letter
    return _solved(left, right, names)


def _upright(body: Node, letter: str, other: str) -> tuple[Node, str]:
    if (letter, other) == ("y", "x"):
        raise CannotBeWorked("the parabola opens to the side")
    return body, letter


def _argument(left: Node, right: Node) -> str | None:
    """The letter in the brackets of `k(x)`, which can look like a product."""
    match left:
        case Call(_, (Letter(name),)):
            return name
        case Product((Letter() | Constant() as called, Letter(name))) if called != Letter(name):
            alone = not letters(called) & letters(right)
            return name if alone and letters(right) <= {name} else None
    return None


def _solved(left: Node, right: Node, names: list[str]) -> tuple[Node, str]:
    """Solve for the letter of the first degree; a side that stands alone is kept as written."""
    whole = polynomial_of(Sum((left, Negation(right))))
    other = next((one for one in names if whole is not None and _is_linear_in(whole, one)), None)
    if whole is None or other is None:
        raise CannotBeWorked("it is no equation of a parabola")
    (letter,) = set(names) - {other}
    factor = whole.terms[((other, 1),)]
    for one, two in ((left, right), (right, left)):
        rest = polynomial_of(Sum((one, Negation(Letter(other)))))
        if rest is not None and rest.is_constant and other not in letters(two):
            shift = tree_of_polynomial(rest)
            body = Sum((two, Negation(shift))) if rest.terms else two
            return _upright(body, letter, other)
    rest = Polynomial({key: value for key, value in whole.terms.items() if key != ((other, 1),)})
    return _upright(tree_of_polynomial(rest * (-1 / factor)), letter, other)


def _is_linear_in(whole: Polynomial, name: str) -> bool:
    """Whether a letter occurs in one term alone, to the first power and with no other letter."""
    holding = [key for key in whole.terms if name in dict(key)]
    return holding == [((name, 1),)]
