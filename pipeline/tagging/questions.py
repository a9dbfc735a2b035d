"""What an answer is judged by: the problem as read, its right answer, and the course's key."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from pipeline.errors import UnreadableProblem
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Statement,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.calls import has_calls, has_letter_exponent
from pipeline.reading.judge import RightAnswer, judge, read_key
from pipeline.reading.problems import Problem
from pipeline.reading.records import AnswerKind, ReadAnswer, ReadingContext
from pipeline.records import WITHOUT_PROBLEM, Numbers, Request, Verdict
from pipeline.tasks.catalogue import TASKS, read_problem, solved
from pipeline.tasks.domain import with_interval
from pipeline.tasks.task import Asked

_KINDS: Final[dict[type, AnswerKind]] = {
    Number: "number", Expression: "expression", Point: "point", Points: "point",
    Region: "region", Equation: "equation",
}  # fmt: skip
KEYS_DIFFER: Final = "key and computed answer differ"


@dataclass(frozen=True, slots=True)
class Question:
    """What an answer is judged by.

    Args:
        problem: the problem as read; None where there is none or it cannot be read.
        right: what is right; None when nothing can be judged.
        computed: the computed right answer, where the key is another one.
        reason: why nothing can be judged, or what to know of the key.
    """

    problem: Problem | None = None
    right: RightAnswer | None = None
    computed: RightAnswer | None = None
    reason: str | None = None


def form_of(request: Request) -> str:
    """Return the form asked for, the task's usual one when the course named none."""
    task = TASKS.get(request.task)
    if task is None:
        return request.form or "any"
    if task.form_for is not None:
        return task.form_for(request.problem, request.form)
    return request.form or task.form


def question_of(request: Request) -> Question:
    """Return what a request's answer is judged by."""
    return _question(request.task, request.question, request.key, request.numbers)


@lru_cache(maxsize=4096)
def _question(task: str, text: str, key: str | None, numbers: Numbers) -> Question:
    if task == "read":
        return Question()
    problem: Problem | None = None
    reason: str | None = None
    if task not in WITHOUT_PROBLEM and text.strip():
        try:
            problem = read_problem(text, task)
        except UnreadableProblem as error:
            reason = str(error)
    if task in ("compare", "judge"):
        return _with_key(key, problem, None, "no key was given", numbers)
    found = None if problem is None else solved(problem, numbers)
    computed = found.answer if found else None
    reason = reason or (found.reason if found else "no problem was given")
    return _with_key(key, problem, computed, None if computed else reason, numbers)


def _with_key(
    key: str | None,
    problem: Problem | None,
    computed: RightAnswer | None,
    reason: str | None,
    numbers: Numbers,
) -> Question:
    """Judge by the key where there is one that differs from the computed answer."""
    if key is None or not key.strip():
        return Question(problem, computed, None, reason)
    context = ReadingContext() if problem is None else problem.context
    given = read_key(key, context)
    if isinstance(given, str):
        told = f"the key cannot be read: {given}"
        return Question(problem, computed, None, told)
    if computed is None:
        return Question(problem, given)
    typed = read_answer(key, context)
    verdict = judge(typed, computed, "any", numbers, missing_brackets="meant").verdict
    decimal = verdict is Verdict.RIGHT_OTHER_FORM and bool(computed.without_percent)
    if verdict is Verdict.RIGHT or decimal:  # 0.45 stored for 45 % leaves the percent asked for
        return Question(problem, computed)
    if verdict is Verdict.RIGHT_OTHER_FORM:
        both = RightAnswer(given.value, (*given.also, computed.value, *computed.also))
        return Question(problem, both)
    return Question(problem, given, computed, KEYS_DIFFER)


def context_of(request: Request, question: Question) -> ReadingContext:
    """Return what the question tells the reader of its answers."""
    problem = question.problem
    translated = request.task in TASKS and TASKS[request.task].of_words
    base = ReadingContext() if problem is None else problem.context
    return ReadingContext(
        letters=base.letters,
        kind=_kind(request.task, question),
        complex_numbers=request.numbers == "complex",
        decimal_comma=request.decimal_comma,
        min_places=request.min_places,
        i_is_letter=base.i_is_letter or (translated and request.numbers == "real"),
        has_i=base.has_i,
        translated=translated,
        letter_exponents=question.right is not None and has_letter_exponent(question.right.value),
        functions=base.functions
        or (question.right is not None and has_calls(question.right.value)),
    )


def _kind(task: str, question: Question) -> AnswerKind | None:
    right, problem = question.right, question.problem
    known = TASKS.get(task)
    if known is not None and known.notation.kind is not None:
        return known.notation.kind
    if right is None:
        return None
    solved_for = known is not None and known.notation.solves
    if isinstance(right.value, Statement):
        ordered = problem is not None and problem.is_inequality
        return ("region" if ordered else "roots") if solved_for else None
    return _KINDS.get(type(right.value), "roots")


def read_as_asked(request: Request, question: Question) -> ReadAnswer:
    """Read an answer as its question is meant: each task knows notations of its own."""
    context, task = context_of(request, question), TASKS.get(request.task)
    asked = Asked(request.problem, question.problem, context)
    if task is not None:
        read = read_answer(task.rewritten(request.answer, asked), context)
        return replace(task.meant(read, asked), raw=request.answer)
    read = read_answer(request.answer, context)
    is_region = question.problem is not None and question.problem.is_inequality
    return with_interval(read, asked) if is_region else read
