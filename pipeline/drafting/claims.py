"""Whether a claim is true: that a value solves an equation, or that an equation always holds."""

from __future__ import annotations

import re

from pipeline.drafting.computed import is_right
from pipeline.exact.values import Roots, value_key
from pipeline.reading.answer import read_answer
from pipeline.records import Request
from pipeline.tagging.questions import question_of
from pipeline.wording import letters_of

__all__ = ["holds"]


def holds(claim: str) -> bool | None:
    """Whether a claim is true; None where that cannot be computed.

    Args:
        claim: an equation or inequality that is said to hold for all numbers; or one with a value
            that is said to solve it, in either order, with `;` between.
    """
    first, _, second = claim.partition("; ")
    if not second:
        return _always(first)
    value, equation = sorted((first, second), key=len)
    return _solves(value, equation)


def _solves(value: str, equation: str) -> bool | None:
    right = question_of(Request("solve", equation, "")).right
    readings = read_answer(value).readings
    if right is None or not readings:
        return None
    found = right.value.members if isinstance(right.value, Roots) else (right.value,)
    return value_key(readings[0].value) in {value_key(one) for one in found}


def _always(relation: str) -> bool | None:
    if letters_of(relation):
        told = _is(Request("number-of-solutions", relation, ""), "all real numbers")
        if told is not None or re.search(r"sqrt|cbrt|[|<>!]", relation):
            return told
    left, equals, right = relation.partition("=")
    if not equals or left.endswith(("<", ">", "!")):
        return None
    return _is(Request("simplify", f"({left}) - ({right})", ""), "0")


def _is(request: Request, text: str) -> bool | None:
    question = question_of(request)
    return None if question.right is None else is_right(text, request, question, question.right)
