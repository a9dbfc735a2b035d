"""The slope through two points, or of a line."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import Equation, Number, Roots
from pipeline.procedures.lines import Points, Written, slope_from_equation, slope_through
from pipeline.procedures.questions import plain_text, points_of, relation
from pipeline.procedures.systems import row_of
from pipeline.procedures.walk import Plan
from pipeline.reading.problems import Notation, Problem, lone_letters
from pipeline.reading.records import Reading
from pipeline.tasks.task import Asked, Task

_ENDLESS: Final = re.compile(
    r"\s*(?:(?:the\s+)?slope\s*(?:is|=|:)?\s*|m\s*=\s*)?"
    r"(?:[-+]?(?:infinite|infinity|∞|inf)|[-+]?\d+/0(?:\s*(?:is|=|,)?\s*undefined)?)"
    r"\s*(?:slope)?\s*\.?\s*",
    re.IGNORECASE,
)


_LEVEL: Final = re.compile(r"\s*(?:an?\s+)?horizontal(?:\s+line)?\s*\.?\s*", re.IGNORECASE)
SLOPE_TOLD: Final = r"(?:m|(?:the\s+)?slope)\s*(?:=|:|\bis\b)?\s*(?P<m>[-−+]?[\d./]+)"
_PARTS: Final = re.compile(r"\s*[,;\n]\s*(?:so\s+|and\s+)?|\s+(?:so|and|or)\s+")


def parts_told(answer: str) -> list[str]:
    """Return the parts of an answer that tells several things of a line: `y = 3x + 1, m = 3`."""
    return [part for part in _PARTS.split(answer.strip().rstrip(".")) if part]


def _in_words(answer: str, _: Asked) -> str:
    """Return `undefined` for `infinite` or `6/0`, and of several parts the one with the slope."""
    if _ENDLESS.fullmatch(answer):
        return "undefined"
    if _LEVEL.fullmatch(answer):
        return "0"
    parts = parts_told(answer)
    told = [part for part in parts if re.fullmatch(SLOPE_TOLD, part)]
    beside = all("=" in part and part[0] in "yb" for part in parts if part not in told)
    return told[0] if len(told) == 1 and len(parts) > 1 and beside else answer


def _plans(problem: Problem) -> list[Plan]:
    """Read two points or an equation in x and y."""
    text = plain_text(problem.text)
    points = points_of(text)
    if len(points) == 2 and points[0] != points[1]:
        return [Plan("slope", slope_through, Points(*points[0], *points[1]))]
    written = written_line(re.sub(r"^.*\bof\b", "", text))
    return [] if written is None else [Plan("slope", slope_from_equation, written)]


def written_line(text: str) -> Written | None:
    """Return the equation of a line as it is written, or None where it is none in x and y."""
    equation = relation(text)
    row = row_of(equation, ["x", "y"])
    return None if row is None else Written(row, equation.sides[0] == Letter("y"))


def line_of_label(reading: Reading, letter: str) -> Reading:
    """Take a number that a letter stands before for the line `x = 3`."""
    value = reading.value
    if isinstance(value, Roots) and len(value.members) == 1:
        value = value.members[0]
    if not isinstance(value, Number):
        return reading
    relation = Relation((Letter(letter.casefold()), value.tree), ("=",))
    return replace(reading, value=Equation(relation))


SLOPE: Final = Task(
    "slope",
    "the slope",
    "two points, or an equation in x and y",
    "(1, 2), (3, 8)",
    "3",
    _plans,
    notation=Notation(letters=lone_letters),
    form="worked-out",
    rewritten=_in_words,
    lines_of="solve-for",
    follows=lambda start: isinstance(start, Written),
)
