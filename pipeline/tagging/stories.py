"""Working of word problems: the equation is checked as any other, the last steps by themselves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from pipeline.exact.values import Value
from pipeline.patterns.catalogue import catalogue
from pipeline.procedures.endings import comparable_value
from pipeline.reading.lines import Line
from pipeline.reading.problems import Problem
from pipeline.records import Request
from pipeline.tagging.following import Checked, check_equations
from pipeline.tagging.predict import faults_leading_to
from pipeline.tagging.steps import standing
from pipeline.tasks.catalogue import solved


def is_story(problem: Problem) -> bool:
    """Whether a problem says which solutions count, or what is asked."""
    return bool(problem.asked or problem.joined) or problem.keep is not None


def check_story(request: Request, problem: Problem, lines: tuple[Line, ...]) -> Checked:
    """Check the lines of the equation; lines that give what counts or is asked are in order."""
    plain = replace(problem, asked=(), joined="", keep=None)
    last = _right_values(problem, request) | _right_values(
        replace(problem, asked=(), joined=""), request
    )
    worked = tuple(line for line in lines if not _gives(line, problem.letter, last))
    return check_equations(request, plain, worked, None)[0]


def _right_values(problem: Problem, request: Request) -> frozenset[object]:
    found = solved(problem, request.numbers).endings
    return frozenset().union(*(one for one in found if isinstance(one, frozenset)))


def _gives(line: Line, letter: str, values: frozenset[object]) -> bool:
    stated = standing(line, letter)
    if not isinstance(stated, frozenset) or not stated <= values:
        return False
    return all(len(relation.sides) == 2 for relation in line.relations)


@cache
def _last_steps() -> frozenset[str]:
    return frozenset(one.id for one in catalogue() if one.skill == "word problems")


def faults_of_last_steps(request: Request, problem: Problem, answer: Value) -> frozenset[str]:
    """Return the patterns of the last steps that lead to a wrong answer."""
    found = faults_leading_to((comparable_value(answer),), problem, request.numbers)
    return found & _last_steps()
