"""Whether a claim is true: that a value solves an equation, or that an equation always holds."""

from __future__ import annotations

import re

from pipeline.drafting.computed import is_right
from pipeline.records import Request
from pipeline.tagging.questions import question_of
from pipeline.wording import letters_of


def holds(claim: str) -> bool | None:
    """Whether a claim is true; None where that cannot be computed.

    Args:
        claim: an equation that is said to hold for all numbers; or, with `;` between, a value, a
            letter with its value, or a point, and the equations that it is said to solve.
    """
    first, *relations = claim.split("; ")
    if not relations:
        return _always(first)
    letters = sorted(set().union(*map(letters_of, relations)) - {"e", "i"})
    values = first.strip("() ").split(",")
    if len(values) == 1 and "=" in first:
        letters, values = [first.partition("=")[0].strip()], [first.partition("=")[2]]
    if len(letters) != len(values):
        return None
    at = ", ".join(f"{name} = {text.strip()}" for name, text in zip(letters, values, strict=True))
    told = [_is_zero("evaluate", one, f" at {at}") for one in relations]
    return None if None in told else all(told)


def _always(relation: str) -> bool | None:
    if letters_of(relation):
        told = _is(Request("number-of-solutions", relation, ""), "all real numbers")
        if told is not None or re.search(r"sqrt|cbrt|[|<>!]", relation):
            return told
    return _is_zero("simplify", relation)


def _is_zero(task: str, relation: str, at: str = "") -> bool | None:
    """Whether the sides of an equation are equal."""
    left, equals, right = relation.partition("=")
    if not equals or left.endswith(("<", ">", "!")):
        return None
    return _is(Request(task, f"({left}) - ({right}){at}", ""), "0")


def _is(request: Request, text: str) -> bool | None:
    question = question_of(request)
    return None if question.right is None else is_right(text, request, question, question.right)
