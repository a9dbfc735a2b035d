"""A proposal in words, and the question that would tell its readings apart."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from pipeline.discovery.evidence import Proposal
from pipeline.discovery.search import Rule, endings_of
from pipeline.errors import UnreadableProblem
from pipeline.procedures.other_steps import is_shape, legend_of, write_down
from pipeline.procedures.walk import Step, Walk
from pipeline.reading.problems import Problem, read_problem
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tasks.catalogue import plans

__all__ = ["Told", "told"]

MOST_READINGS: Final = 4
"""Readings that are listed; each is held against further questions."""
FRESH: Final = 8
"""Further questions that are drawn."""


class Told(NamedTuple):
    """What a page says of a proposal.

    Args:
        rule: as a course's own pattern says it.
        what: in words.
        readings: other rules that foretell the same answers wherever these were given.
        decided_by: the shortest question on which one of them foretells another answer.
    """

    rule: str
    what: str
    readings: tuple[str, ...]
    decided_by: str | None


def told(proposal: Proposal) -> Told:
    """Say what several answers have in common."""
    asked, _ = proposal.hits[0]
    first = read_problem(asked.problem, asked.task)
    readings = proposal.readings[:MOST_READINGS]
    fresh = list(_fresh(proposal))
    decides = [
        problem.text
        for problem in fresh
        if any(
            endings_of(one, problem, asked.numbers)
            != endings_of(proposal.rule, problem, asked.numbers)
            for one in readings
        )
    ]
    words = [_in_words(one, first) for one in (proposal.rule, *readings)]
    return Told(
        written(proposal.rule), words[0], tuple(words[1:]), min(decides, key=len, default=None)
    )


def written(rule: Rule) -> str:
    """Write a rule as a course's own pattern says it."""
    return str(rule.otherwise) if rule.step else rule.instead[0]


def _fresh(proposal: Proposal) -> Iterator[Problem]:
    """Further questions like those that were asked, the shortest first."""
    asked = sorted(
        (one for one, _ in proposal.hits), key=lambda one: (len(one.problem), one.problem)
    )
    left = FRESH
    for one in asked:
        for text in with_other_numbers(one.task, one.problem, one.numbers):
            if left:
                left -= 1
                try:
                    yield read_problem(text, one.task)
                except UnreadableProblem:
                    continue


def _in_words(rule: Rule, problem: Problem) -> str:
    instead = ", ".join(rule.instead)
    if not rule.step:
        return f"{instead} is given for an answer (letters as in a course's own errors)"
    if is_shape(rule.step):
        return f"where {rule.step} stands, {instead} is written instead"
    if rule.step == write_down.__name__:
        return f"{_named(instead, {'r': 'the right answer'})} is written down for an answer"
    step = _step_of(rule, problem)
    if step is None:
        return f"at the step {rule.step}, {instead} comes out instead"
    said = (inspect.getdoc(step.operation) or rule.step).split("\n\n")[0]
    done = " ".join(said.split()).rstrip(".")
    return f"at the step “{done}”, {_named(instead, legend_of(step))} comes out instead"


def _step_of(rule: Rule, problem: Problem) -> Step | None:
    steps = (
        step
        for plan in plans(problem)
        for step in Walk().through(plan.procedure, plan.start).log
        if step.operation.__name__ == rule.step
    )
    return next(steps, None)


def _named(text: str, legend: dict[str, str]) -> str:
    return re.sub(r"\b[a-z]\b", lambda one: f"[{legend.get(one[0], one[0])}]", text)
