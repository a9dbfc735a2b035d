"""The slope through two points, or of a line."""

from __future__ import annotations

import re
from typing import Final

from pipeline.exact.trees import Letter
from pipeline.procedures.lines import Points, Written, slope_from_equation, slope_through
from pipeline.procedures.questions import plain_text, points_of, relation
from pipeline.procedures.shapes_of_systems import row_of
from pipeline.procedures.walk import Plan
from pipeline.reading.problems import Problem
from pipeline.tasks.task import Asked, Task

_ENDLESS: Final = re.compile(
    r"\s*(?:(?:the\s+)?slope\s*(?:is|=|:)?\s*|m\s*=\s*)?"
    r"(?:[-+]?(?:infinite|infinity|∞|inf)|[-+]?\d+/0|(?:it\s+is\s+)?(?:a\s+)?vertical(?:\s+line)?)"
    r"\s*(?:slope)?\s*\.?\s*",
    re.IGNORECASE,
)


def _in_words(answer: str, _: Asked) -> str:
    """Return `undefined` for a slope given as `infinite` or `6/0`, any other answer as it is."""
    return "undefined" if _ENDLESS.fullmatch(answer) else answer


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


SLOPE: Final = Task(
    "slope",
    "the slope",
    "two points, or an equation in x and y",
    "(1, 2), (3, 8)",
    "3",
    _plans,
    form="worked-out",
    rewritten=_in_words,
)
