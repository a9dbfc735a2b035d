"""A proposal in words, and the question that would tell its readings apart."""

from __future__ import annotations

import inspect
import re
from collections.abc import Hashable, Iterator, Mapping
from typing import Any, Final

from pipeline.discovery.evidence import Proposal
from pipeline.discovery.search import led_to
from pipeline.errors import UnreadableProblem
from pipeline.procedures.other_steps import KEPT, OtherStep, is_shape, legend_of, write_down
from pipeline.procedures.walk import Step, Walk
from pipeline.reading.problems import Problem, read_problem
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tasks.catalogue import plans

MOST_READINGS: Final = 4
"""Readings that are listed, those first that foretell other answers elsewhere."""
MOST_COMPARED: Final = 40
"""Readings, the shortest first, that are held against further questions."""
FRESH: Final = 8
"""Further questions that are drawn."""


def told(proposal: Proposal) -> dict[str, Any]:
    """Say what several answers have in common.

    Returns:
        `what`: the rule in words; `readings`: other rules that foretell the same answers wherever
        these were given; `decided_by`: the shortest question on which one of them foretells another
        answer, or None.
    """
    asked, _ = proposal.hits[0]
    first = read_problem(asked.problem, asked.task)
    compared = (proposal.rule, *proposal.readings[:MOST_COMPARED])
    foretold: dict[OtherStep, list[frozenset[Hashable]]] = {rule: [] for rule in compared}
    fresh = sorted(_fresh(proposal), key=lambda one: (len(one.text), one.text))
    for problem in fresh:
        led = led_to(problem, asked.numbers, rules=compared)
        for rule, ends in foretold.items():
            ends.append(frozenset(end for end, rules in led.items() if rule in rules))
    mine = foretold[proposal.rule]
    apart: dict[tuple[frozenset[Hashable], ...], OtherStep] = {}
    for rule, ends in foretold.items():
        apart.setdefault(tuple(ends), rule)
    others = [one for one in apart.values() if one != proposal.rule]
    same = [rule for rule in compared[1:] if rule not in others]
    listed = (others + same)[:MOST_READINGS]
    decides = (
        problem.text
        for at, problem in enumerate(fresh)
        if any(foretold[rule][at] != mine[at] for rule in listed)
    )
    what, *readings = (_in_words(rule, first) for rule in (proposal.rule, *listed))
    return {"what": what, "readings": readings, "decided_by": next(decides, None)}


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


_WHOLE: Final[Mapping[tuple[str, ...], str]] = {
    ("first",): "only the least of several",
    ("last",): "only the greatest of several",
    ("one",): "only one of several",
    KEPT: "what was there before",
}


def _in_words(rule: OtherStep, problem: Problem) -> str:
    instead = _WHOLE.get(rule.instead) or ", ".join(rule.instead)
    if not rule.step:
        return f"{instead} is given for an answer (letters as in a course's own errors)"
    if is_shape(rule.step):
        return f"where {rule.step} stands, {instead} is written instead"
    if rule.step == write_down.__name__:
        return f"{_named(instead, {'r': 'the right answer'})} is written down for an answer"
    step = _step_of(rule, problem)
    if step is None:
        return f"at the step {rule.step}, {instead} comes out instead"
    said = re.split(r"\n\n|; ", inspect.getdoc(step.operation) or rule.step)[0]
    done = " ".join(said.split()).rstrip(".")
    named = _named(instead, legend_of(step, rule.instead))
    return f"at the step “{done}”, {named} comes out instead"


def _step_of(rule: OtherStep, problem: Problem) -> Step | None:
    steps = (
        step
        for plan in plans(problem)
        for step in Walk().through(plan.procedure, plan.start).log
        if step.operation.__name__ == rule.step
    )
    return next(steps, None)


def _named(text: str, legend: dict[str, str]) -> str:
    return re.sub(r"\b[a-z]\b", lambda one: f"[{legend.get(one[0], one[0])}]", text)
