"""Division of polynomials, with quotient and remainder."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, quotient_of
from pipeline.exact.polynomials import Polynomial, polynomial_of, tree_of_polynomial
from pipeline.exact.trees import Node, Product, Quotient, Sum
from pipeline.exact.values import Expression, value_source
from pipeline.procedures.equations import coefficients
from pipeline.procedures.rewriting.working import work_out
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.tasks.task import Asked, Task

_LONGEST: Final = 300
"""Characters of the longest answer in which a remainder is looked for."""
_TEXT: Final = re.compile(r"\\(?:text|mathrm)\s*\{([^{}]*)\}")
_REMAINDER: Final = re.compile(
    r"^\s*(?:quotient(?:\s+is)?|q(?=\s*[:=]))?\s*[:=]?\s*(?P<quotient>.+?)\s*[,;]?\s*"
    r"(?:\band\b\s*|\bwith\b\s*|\ba\b\s*|\\[,;]\s*)*"
    r"(?:\bremainder(?:\s+(?:of|is))?|\brem\b\.?|(?<![A-Za-z\\])[Rr](?![A-Za-z]))"
    r"\s*[:=]?\s*(?:\\[,;]\s*)*(?P<remainder>[^=,;]+?)\s*\.?\s*$",
    re.IGNORECASE,
)


class Division(NamedTuple):
    """above divided by below, polynomials in one letter."""

    above: Coefficients
    below: Coefficients
    letter: str


def divide_rows(above: Coefficients, below: Coefficients) -> tuple[Coefficients, Coefficients]:
    """Divide by the long division; return quotient and remainder."""
    return quotient_of(above, below)


def write_quotient(
    quotient: Coefficients, remainder: Coefficients, below: Coefficients, letter: str
) -> Node:
    """Write the quotient, and the remainder over the divisor."""
    whole, rest, divisor = (
        tree_of_polynomial(Polynomial.univariate(letter, one))
        for one in (quotient, remainder, below)
    )
    if not remainder:
        return whole
    return Sum((whole, Quotient(rest, divisor))) if quotient else Quotient(rest, divisor)


def divide_polynomials(step: Walk, start: Division) -> Node:
    """Divide, and write quotient and remainder."""
    quotient, remainder = step.do(divide_rows, Place.DIVISION, start.above, start.below)
    return step.do(write_quotient, Place.DIVISION, quotient, remainder, start.below, start.letter)


def _plans(problem: Problem) -> list[Plan]:
    """Read one polynomial divided by another.

    Raises:
        CannotBeWorked: the problem is no such quotient.
    """
    tree, letter = problem.tree, problem.letter
    if not isinstance(tree, Quotient) or problem.letters != {letter}:
        raise CannotBeWorked("a division is written like `(2x^3 + 3x - 5) / (x - 2)`")
    above, below = (coefficients(part, letter) for part in (tree.numerator, tree.denominator))
    if not above or not below:
        raise CannotBeWorked("one side of the division is no polynomial in one letter")
    division = Plan("division", divide_polynomials, Division(above, below, letter))
    alone = isinstance(tree.numerator, Sum) and not any(below[:-1])
    return [division, *([Plan("fraction", work_out, (tree, "simplify"))] if alone else [])]


_DIVIDED_BY: Final = re.compile(
    r"^\s*(?:divide\s+)?(?P<above>.+?)\s+(?:is\s+)?(?:divided\s+)?by\s+(?P<below>.+?)[\s.?]*$",
    re.IGNORECASE,
)


def _as_quotient(text: str) -> str:
    """Write `A by B` as a quotient."""
    return _DIVIDED_BY.sub(r"(\g<above>) / (\g<below>)", text)


def _spelled_out(answer: str, asked: Asked) -> str:
    """Return `x + 3 R 1` as `x + 3 + (1)/(x + 2)`, any other answer as it is."""
    problem = asked.problem
    if problem is None:
        return answer
    if len(answer) > _LONGEST or problem.letter in ("r", "R"):
        return answer
    found = _REMAINDER.match(_TEXT.sub(r" \1 ", answer))
    if found is None or not isinstance(problem.tree, Quotient):
        return answer
    quotient, remainder = found["quotient"], found["remainder"]
    if "/" in remainder and problem.letter in remainder:
        return f"{quotient} + {remainder}"
    divisor = value_source(Expression(problem.tree.denominator))
    return f"{quotient} + ({remainder})/({divisor})"


def _checked(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """The check of the division may be given, `(x + 2)(x + 3) + 1`."""
    if asked.problem is None:
        return read
    division = asked.problem.tree
    return replace(read, readings=tuple(_check_undone(one, division) for one in read.readings))


def _check_undone(reading: Reading, division: Node) -> Reading:
    """Take `divisor * quotient + remainder` for a division that is still to be written as one."""
    value = reading.value
    if not isinstance(value, Expression) or not isinstance(division, Quotient):
        return reading
    terms = value.tree.terms if isinstance(value.tree, Sum) else (value.tree,)
    products = [term for term in terms if isinstance(term, Product)]
    try:
        divisor = polynomial_of(division.denominator)
        factors = [polynomial_of(one) for term in products for one in term.factors]
        whole = divisor in factors and polynomial_of(value.tree)
        if not whole or whole != polynomial_of(division.numerator):
            return reading
    except (CannotBeWorked, ZeroDivisionError):
        return reading
    remarks = (*reading.remarks, "the dividend, written as divisor times quotient")
    undone = Expression(Quotient(value.tree, division.denominator))
    return replace(reading, value=undone, remarks=remarks)


DIVIDE: Final = Task(
    "divide",
    "quotient and remainder",
    "one polynomial over another, or `by` another",
    "(x^2 + 5x + 7) / (x + 2)",
    "x + 3 + 1/(x + 2)",
    _plans,
    notation=Notation(signs=_as_quotient),
    form="divided",
    rewritten=_spelled_out,
    meant=_checked,
    beside=("positive-exponents",),
)
