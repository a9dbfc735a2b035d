"""What one fault makes of a question: the rows of `store.prediction`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_key
from pipeline.records import Request
from pipeline.run.rules import Rules
from pipeline.tagging.choices import wrong_options
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.predict import predicted
from pipeline.tagging.priors import SINGLE
from pipeline.tagging.questions import question_of


def expected_answers(row: dict[str, Any], request: Request, rules: Rules) -> list[dict[str, Any]]:
    """Return the answers that single faults lead to on a question, and the faults.

    Args:
        row: the question, as columns of `store.examined`.
        request: the same question.
        rules: of the course.
    """
    return list(_found(row, request, rules))


def _row(key: str, name: str, weight: float = SINGLE, *, wrong: bool) -> dict[str, Any]:
    return {"value_key": key, "faults": [name], "pattern": name, "weight": weight, "wrong": wrong,
            "by_hand": False}  # fmt: skip


def _found(row: dict[str, Any], request: Request, rules: Rules) -> Iterator[dict[str, Any]]:
    if row["task"] == "choice":
        options = rules.options.get((row["problem"] or None, row["key"]), ())
        for key, name in wrong_options(request, options, rules.own):
            yield _row(key, name, wrong=True)
        return
    for one in own_predictions(rules.own, request):
        yield _row(one.key, one.id, wrong=True)
    if row["task"] == "judge" or not row["problem"]:
        return
    try:
        expected = predicted(row["task"], row["problem"], request.numbers, row["method"], 1)
    except UnreadableProblem:
        return
    right = _right_keys(request)
    for key, _, name, weight, _ in expected:
        yield _row(key, name, weight, wrong=key not in right)


def _right_keys(request: Request) -> frozenset[str]:
    """Values that the course takes for right, where its key is another than the computed one."""
    if request.key is None:
        return frozenset()
    question = Request(request.task, request.problem, "", request.key, None, request.numbers)
    right = question_of(question).right
    values = (right.value, *right.also, *right.other_form) if right else ()
    return frozenset(value_key(value) for value in values)
