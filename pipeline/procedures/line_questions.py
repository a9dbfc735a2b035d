"""What is told of a line: points, a slope, intercepts, or a line beside it."""

from __future__ import annotations

import re
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter
from pipeline.procedures.isolating import Way
from pipeline.procedures.lines import (
    Line,
    Points,
    Upright,
    Written,
    find_line,
    find_upright,
    slope_from_equation,
    slope_through,
)
from pipeline.procedures.questions import number, plain_text, points_of, relation
from pipeline.procedures.shapes_of_systems import row_of
from pipeline.reading.problems import Problem

__all__ = ["line_ways", "slope_ways", "slope_words"]

_Pair = tuple[Surd, Surd]
_ZERO: Final = Surd.of(0)
_NUMBER: Final = r"\s*(?:=|of|is|at)?\s*([-+/*.\d\s]*\d[-+/*.\d\s]*)"
_SLOPE_GIVEN: Final = re.compile(
    r"\b(?:slope|m)\s*(?:=|of|is)?\s*([-+/*.\d\s()]*\d[-+/*.\d\s()]*)", re.IGNORECASE
)
_X_INTERCEPT: Final = re.compile(r"\bx[-\s]*intercept" + _NUMBER, re.IGNORECASE)
_Y_INTERCEPT: Final = re.compile(
    r"(?:\by[-\s]*intercept|(?<!x-)(?<!x )(?<!x)\bintercept|\bb)" + _NUMBER, re.IGNORECASE
)
_OTHER: Final = re.compile(
    r"\b(parallel|perpendicular)\s+to\s+(?:the\s+line\s+)?"
    r"([^,;]+?)(?=[,;]|\s+(?:and\s+)?(?:through|passing|passes|containing|contains|at)\b|$)",
    re.IGNORECASE,
)
_AXIS: Final = re.compile(r"^(?:the\s+)?([xy])[-\s]*axis\s*$", re.IGNORECASE)
_NO_NUMBER: Final = r"(?:undefined|infinite|infinity|not\s+defined|does\s+not\s+exist|none)"
_VERTICAL: Final = re.compile(
    rf"\bvertical\b|\bno\s+slope\b|\bundefined\s+slope\b|"
    rf"\b(?:slope|m)\s*(?:=|:|is)?\s*{_NO_NUMBER}",
    re.IGNORECASE,
)
_HORIZONTAL: Final = re.compile(r"\bhorizontal\b|\bzero\s+slope\b", re.IGNORECASE)
_ENDLESS: Final = re.compile(
    r"\s*(?:(?:the\s+)?slope\s*(?:is|=|:)?\s*|m\s*=\s*)?"
    r"(?:[-+]?(?:infinite|infinity|∞|inf)|[-+]?\d+/0|(?:it\s+is\s+)?(?:a\s+)?vertical(?:\s+line)?)"
    r"\s*(?:slope)?\s*\.?\s*",
    re.IGNORECASE,
)


def slope_words(answer: str) -> str:
    """Return `undefined` for a slope given as `infinite` or `6/0`, any other answer as it is."""
    return "undefined" if _ENDLESS.fullmatch(answer) else answer


def slope_ways(problem: Problem) -> list[Way]:
    """Read two points or an equation in x and y."""
    text = plain_text(problem.text)
    points = points_of(text)
    if len(points) == 2 and points[0] != points[1]:
        return [("slope", slope_through, Points(*points[0], *points[1]))]
    written = _written(re.sub(r"^.*\bof\b", "", text))
    return [] if written is None else [("slope", slope_from_equation, written)]


def _written(text: str) -> Written | None:
    equation = relation(text)
    row = row_of(equation, ["x", "y"])
    return None if row is None else Written(row, equation.sides[0] == Letter("y"))


def line_ways(problem: Problem) -> list[Way]:
    """Read points, a slope, an intercept, a direction, or a line beside it.

    Raises:
        BudgetExceeded: these do not fix a line.
    """
    text = plain_text(problem.text)
    other = _OTHER.search(text)
    rest = text if other is None else text[: other.start()] + text[other.end() :]
    points = [*points_of(rest), *_intercepts(rest)]
    if len(points) == 2 and points[0] != points[1]:
        return [("line", find_line, Line(points[0], points=Points(*points[0], *points[1])))]
    if len(points) != 1:
        raise BudgetExceeded("a line needs two points, or a point and a slope")
    if other is not None:
        return _beside(points[0], other[2], other[1].casefold() == "perpendicular")
    if _VERTICAL.search(rest) or _HORIZONTAL.search(rest):
        return [("line", find_upright, Upright(points[0], bool(_VERTICAL.search(rest))))]
    given = _SLOPE_GIVEN.search(_without_points(rest))
    if not given:
        raise BudgetExceeded("a line needs two points, or a point and a slope")
    return [("line", find_line, Line(points[0], slope=number(given[1])))]


def _beside(through: _Pair, text: str, turned: bool) -> list[Way]:
    axis = _AXIS.match(text.strip())
    if axis:
        vertical = (axis[1].casefold() == "y") != turned
        return [("line", find_upright, Upright(through, vertical))]
    beside = _written(text)
    line = Line(through, beside=beside, turned=turned)
    return [] if beside is None else [("line", find_line, line)]


def _without_points(text: str) -> str:
    return re.sub(r"\([^()]*,[^()]*\)", ";", text)


def _intercepts(text: str) -> list[_Pair]:
    """Return the points on the axes that are told by one number."""
    bare = _without_points(text)
    along, up = _X_INTERCEPT.search(bare), _Y_INTERCEPT.search(bare)
    found = [] if along is None else [(number(along[1]), _ZERO)]
    return found if up is None else [*found, (_ZERO, number(up[1]))]
