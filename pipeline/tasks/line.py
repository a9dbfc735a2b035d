"""What is told of a line: points, a slope, intercepts, or a line beside it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.procedures.lines import Line, Points, Upright, Written, find_line, find_upright
from pipeline.procedures.questions import number, plain_text, points_of
from pipeline.procedures.walk import Plan
from pipeline.reading.answer import read_answer
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer
from pipeline.tasks.slope import SLOPE_TOLD, line_of_label, parts_told, written_line
from pipeline.tasks.task import Asked, Task

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
_NAMED: Final = re.compile(r"^[\s$]*(?:[A-Za-z]+[\s:]+)*([xyXY])\s*=[^=]+$")
_INTERCEPT: Final = (
    r"(?:b|(?:the\s+)?(?:y\s*-?\s*)?int(?:ercept)?\.?)\s*(?:=|:|\bis\b)?\s*(?P<b>[-−+]?[\d./]+)"
)
_BETWEEN: Final = r"\s*(?:[,;&]|\band\b|,\s*and\b|\s)\s*"
_SLOPE_AND_INTERCEPT: Final = tuple(
    re.compile(rf"^\s*{first}{_BETWEEN}{second}\s*\.?\s*$", re.IGNORECASE)
    for first, second in ((SLOPE_TOLD, _INTERCEPT), (_INTERCEPT, SLOPE_TOLD))
)
_TOLD_BESIDE: Final = (
    re.compile(SLOPE_TOLD),
    re.compile(_INTERCEPT, re.IGNORECASE),
    *_SLOPE_AND_INTERCEPT,
)


def _plans(problem: Problem) -> list[Plan]:
    """Read points, a slope, an intercept, a direction, or a line beside it.

    Raises:
        CannotBeWorked: these do not fix a line.
    """
    text = plain_text(problem.text)
    other = _OTHER.search(text)
    rest = text if other is None else text[: other.start()] + text[other.end() :]
    points = [*points_of(rest), *_intercepts(rest)]
    if len(points) == 2 and points[0] != points[1]:
        both = Points(*points[0], *points[1])
        return [Plan("line", find_line, Line(one, points=both)) for one in points]
    if len(points) != 1:
        raise CannotBeWorked("a line needs two points, or a point and a slope")
    if other is not None:
        return _beside(points[0], other[2], other[1].casefold() == "perpendicular")
    if _VERTICAL.search(rest) or _HORIZONTAL.search(rest):
        return [Plan("line", find_upright, Upright(points[0], bool(_VERTICAL.search(rest))))]
    given = _SLOPE_GIVEN.search(_without_points(rest))
    if not given:
        raise CannotBeWorked("a line needs two points, or a point and a slope")
    return [Plan("line", find_line, Line(points[0], slope=number(given[1])))]


def _beside(through: _Pair, text: str, turned: bool) -> list[Plan]:
    axis = _AXIS.match(text.strip())
    if axis:
        vertical = (axis[1].casefold() == "y") != turned
        return [Plan("line", find_upright, Upright(through, vertical))]
    beside = written_line(text)
    line = Line(through, beside=beside, turned=turned)
    return [] if beside is None else [Plan("line", find_line, line)]


def _without_points(text: str) -> str:
    return re.sub(r"\([^()]*,[^()]*\)", ";", text)


def _intercepts(text: str) -> list[_Pair]:
    """Return the points on the axes that are told by one number."""
    bare = _without_points(text)
    along, up = _X_INTERCEPT.search(bare), _Y_INTERCEPT.search(bare)
    found = [] if along is None else [(number(along[1]), _ZERO)]
    return found if up is None else [*found, (_ZERO, number(up[1]))]


def _equation_told(answer: str, _: Asked) -> str:
    """Return the last equation of `m = 3, b = 1, y = 3x + 1`, which says the rest again."""
    parts = parts_told(answer)
    told = [part for part in parts if not any(one.fullmatch(part) for one in _TOLD_BESIDE)]
    both = all("=" in part and {"x", "y"} <= set(part) for part in told)
    return told[-1] if told and len(parts) > 1 and both else answer


def _as_line(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """Keep the letter of `x = 3`, elsewhere a label; take slope and intercept for the line."""
    for pattern in _SLOPE_AND_INTERCEPT:
        told = pattern.match(read.raw)
        if told:
            line = read_answer(f"y = ({told['m']})x + ({told['b']})", asked.context)
            readings = [replace(one, convention="slope-and-intercept") for one in line.readings]
            return replace(line, raw=read.raw, readings=tuple(readings))
    named = _NAMED.match(read.raw)
    if not named:
        return read
    return replace(read, readings=tuple(line_of_label(one, named[1]) for one in read.readings))


LINE: Final = Task(
    "line",
    "an equation of the line",
    "`through` one or two points; `slope`, intercepts, `vertical`, `horizontal`, "
    "`parallel to`, `perpendicular to`",
    "through (1, 2), slope 3",
    "y = 3x - 1",
    _plans,
    notation=Notation(letters=lambda _: frozenset("xy")),
    rewritten=_equation_told,
    meant=_as_line,
    beside=("slope-intercept",),
    lines_of="solve-for",
    says_beside=True,
    follows=lambda start: isinstance(start, Line | Written),
)
