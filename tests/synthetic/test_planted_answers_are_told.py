"""The classifier on planted answers: right is right, a wrong rule is among the explanations."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine
from synthetic_data.problems import Problem
from synthetic_data.question_bank import problem_pools
from synthetic_data.questions import Question
from synthetic_data.stray_answers import coarse_spellings, guesses
from synthetic_data.typing_habits import spellings
from synthetic_data.values import Value

POOLS = problem_pools()


def asked(place: int) -> Iterator[tuple[Problem, Question]]:
    """A few problems of one pool, as the items file asks them."""
    pool = POOLS[place]
    for problem in pool.problems[:3]:
        yield (
            problem,
            Question("", pool.topic, (problem,), 1, method=pool.method, numbers=pool.numbers),
        )


def explained(problem: Problem, question: Question, text: str) -> Explanation:
    return examine(
        Request(
            task=problem.task,
            problem=problem.text,
            answer=text,
            numbers="complex" if question.numbers else "real",
            method=question.method or None,
        )
    )


def plainest(value: Value, problem: Problem) -> str:
    return spellings(value, problem.letter)[0][1]


@pytest.mark.parametrize("place", range(len(POOLS)))
def test_right_answers_are_right(place: int) -> None:
    for problem, question in asked(place):
        found = explained(problem, question, plainest(problem.right, problem))
        assert (found.verdict, found.patterns) == (Verdict.RIGHT, ())


@pytest.mark.parametrize("place", range(len(POOLS)))
def test_every_planted_rule_is_among_the_explanations(place: int) -> None:
    for problem, question in asked(place):
        for rule, values in problem.wrong.items():
            for value in values:
                found = explained(problem, question, plainest(value, problem))
                named = {fault for one in found.patterns for fault in one.faults}
                assert found.verdict is Verdict.WRONG, (problem.text, rule)
                assert set(rule.split(" + ")) <= named, (problem.text, rule, named)


@pytest.mark.parametrize("place", range(len(POOLS)))
def test_guesses_are_wrong_and_mostly_unexplained(place: int) -> None:
    unexplained = []
    for problem, question in asked(place):
        for value in guesses(problem):
            found = explained(problem, question, plainest(value, problem))
            assert found.verdict is Verdict.WRONG
            unexplained.append(found.unexplained)
    assert sum(unexplained) / len(unexplained) > 0.9


def test_numbers_rounded_too_far_are_neither_right_nor_wrong() -> None:
    seen = 0
    for place in range(len(POOLS)):
        for problem, question in asked(place):
            for text in coarse_spellings(problem):
                seen += 1
                assert explained(problem, question, text).verdict is Verdict.TOO_COARSE
    assert seen > 20
