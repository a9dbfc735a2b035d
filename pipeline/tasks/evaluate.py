"""The value of an expression, of numbers or with numbers put in."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import Node, Relation, letters
from pipeline.exact.values import Equation, Statement, StatementCode, number_of
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.reading.words import NUMBER
from pipeline.records import Numbers
from pipeline.tasks.simplify import expression_plans, right_expression
from pipeline.tasks.task import Asked, Task

_PART_OF: Final = re.compile(
    rf"^\s*(?:what\s+is\s+)?(?:(?P<rate>{NUMBER})\s*(?:%|percent)|(?P<part>\d+\s*/\s*\d+))"
    rf"\s+of\s+(?P<whole>\d+\s*/\s*\d+|{NUMBER})[\s.?]*$",
    re.IGNORECASE,
)


def _part_as_product(text: str) -> str:
    """Write `15% of 240` and `3/4 of 20` as products."""
    found = _PART_OF.match(text)
    if found is None:
        return text
    part = f"{found['rate']}/100" if found["rate"] else found["part"]
    whole = f"({found['whole']})" if "/" in found["whole"] else found["whole"]
    return f"{part} * {whole}"


def _behind_expression(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """Take the number of `2x + 3 = 13` where the value of 2x + 3 is asked for.

    15% of 80 is no percentage.
    """
    if asked.problem is None:
        return read
    tree = asked.problem.tree
    found = [_value_of(one, tree) for one in read.readings]
    if "%" in asked.text:
        found = [one for one in found if one.convention != "percent"]
    return replace(read, readings=tuple(found))


def _value_of(reading: Reading, tree: Node) -> Reading:
    match reading.value:
        case Equation(Relation((first, second), ("=",))) if first == tree and not letters(second):
            try:
                return replace(reading, value=number_of(second))
            except (CannotBeWorked, ZeroDivisionError):
                return reading
    return reading


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The value; where something is divided by zero there is none, which is the answer then."""
    try:
        return right_expression(problem, numbers)
    except ZeroDivisionError:
        none = Statement(StatementCode.NO_SOLUTION), Statement(StatementCode.NO_REAL)
        return RightAnswer(none[0], also=none[1:])


EVALUATE: Final = Task(
    "evaluate",
    "the value",
    "numbers, `15% of 240`, or an expression `at x = 5`",
    "2x^2 at x = 5",
    "50",
    expression_plans,
    _right,
    notation=Notation(signs=_part_as_product, of_lone_logarithm="logarithm"),
    meant=_behind_expression,
    form="worked-out",
    simplest="reduced",
    verbs=("evaluat", "berechn", "calcul", "évalu"),
    chance_by_size=True,
    of_any_numbers=True,
    of_expression=True,
)
