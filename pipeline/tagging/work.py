"""Shown working: where it first goes wrong, and what that leaves of the candidates.

The equation of a word problem is checked as any other, its last steps by themselves.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from functools import cache

from pipeline.exact.trees import Letter, Relation, letters
from pipeline.exact.values import Number, Roots, Value
from pipeline.patterns.catalogue import catalogue, fault_of, pattern_of
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.reading.lines import Line, lines_of
from pipeline.reading.problems import Problem
from pipeline.reading.records import Reading
from pipeline.records import Candidate, Explanation, Request, Verdict
from pipeline.tagging.following import (
    Checked,
    check_equations,
    check_expressions,
    check_relations,
    check_system,
    faults_shown,
)
from pipeline.tagging.match import candidate, shared, unexplained_weight
from pipeline.tagging.predict import faults_leading_to, predictions_of
from pipeline.tagging.priors import PAIR, weight_of
from pipeline.tagging.steps import faults_between, standing
from pipeline.tasks.catalogue import TASKS, solved


def _is_story(problem: Problem) -> bool:
    """Whether a problem says which solutions count, or what is asked."""
    return bool(problem.asked or problem.joined) or problem.keep is not None


def _check_story(request: Request, problem: Problem, lines: tuple[Line, ...]) -> Checked:
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


def _faults_of_last_steps(request: Request, problem: Problem, answer: Value) -> frozenset[str]:
    """Return the patterns of the last steps that lead to a wrong answer."""
    found = faults_leading_to((comparable_value(answer),), problem, request.numbers)
    return found & _last_steps()


def with_working(
    request: Request, problem: Problem, used: Reading | None, found: Explanation
) -> Explanation:
    """Add the first wrong line, and keep the candidates that it allows."""
    if request.task not in TASKS or TASKS[request.task].of_words:
        return found  # a sentence is put down at once: its lines do not follow from each other
    work = request.work or ""
    lines, unread = lines_of(work, problem.context, not problem.relations)
    answer = used.value if used is not None else None
    checked = _check(request, problem, lines, answer, found.verdict, _count(work, lines))
    reason = _reason(found, checked, unread)
    if found.verdict.has_candidates and checked.faults and answer is not None:
        found = _restricted(request, problem, checked, answer, found)
    return replace(found, first_wrong_line=checked.wrong, reason=reason)


def _count(work: str, lines: tuple[Line, ...]) -> int:
    """Count the student's lines."""
    if "\n" in work:
        return len(work.rstrip("\n").split("\n"))
    return max((line.number for line in lines), default=1)


def _reason(found: Explanation, checked: Checked, unread: tuple[int, ...]) -> str | None:
    parts = [found.reason] if found.reason else []
    if checked.wrong and found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM):
        named = " or ".join(sorted(checked.faults)) or "no known error fits"
        parts.append(f"right answer, but line {checked.wrong} does not follow: {named}")
    if unread:
        told = ", ".join(str(number) for number in unread)
        parts.append(f"line{'s' if len(unread) > 1 else ''} {told} could not be read")
    return "; ".join(parts) or None


def _check(
    request: Request,
    problem: Problem,
    lines: tuple[Line, ...],
    answer: Value | None,
    verdict: Verdict,
    count: int,
) -> Checked:
    if not lines:
        return Checked(None)
    last: Line | Problem | None
    task = TASKS[request.task]
    if task.of_expression:
        checked, last = check_expressions(request, problem, lines)
    elif _is_story(problem):
        checked, last = _check_story(request, problem, lines), problem
    elif task.of_equation and len(problem.relations) == 1 and not problem.is_inequality:
        checked, last = check_equations(request, problem, lines, answer)
    elif task.notation.solves and problem.is_system and not problem.is_inequality:
        checked, last = check_system(request, problem, lines)
    else:
        checked, last = check_relations(request, problem, lines)
    if checked.wrong or verdict is not Verdict.WRONG:
        return checked
    if last is None and answer and (stated := _first_stating(request, lines, answer)):
        faults = faults_leading_to((comparable_value(answer),), problem, request.numbers)
        trees = [stated.expression, *(one for r in stated.relations for one in r.sides)]
        shown = (faults_shown(problem, one, faults) for one in trees if one and not letters(one))
        return Checked(stated.number, next(shown, frozenset()))
    if last is None and lines[-1].expression is None:
        return Checked(None)  # only the arithmetic of such lines was followed
    return Checked(count + 1, _faults_of_answer(request, problem, last, answer))


def _first_stating(request: Request, lines: tuple[Line, ...], answer: Value | None) -> Line | None:
    """The first line that already comes to a wrong answer."""
    target = comparable_value(answer) if answer is not None else None
    for line in lines:
        trees = [line.expression, *(relation.sides[-1] for relation in line.relations)]
        ends = [comparable_ending(tree, request.numbers) for tree in trees if tree is not None]
        if target is not None and target in ends:
            return line
    return None


def _faults_of_answer(
    request: Request, problem: Problem, last: Line | Problem | None, answer: Value | None
) -> frozenset[str]:
    """Return the patterns that lead from the last line to the answer."""
    if answer is None or last is None:
        return frozenset()
    if isinstance(last, Problem) and _is_story(last):
        return _faults_of_last_steps(request, last, answer)
    if isinstance(last, Problem):
        return faults_leading_to((comparable_value(answer),), last, request.numbers)
    letter = Letter(problem.letter)
    members = answer.members if isinstance(answer, Roots) else (answer,)
    numbers = [one for one in members if isinstance(one, Number) and one.surd is not None]
    if len(numbers) < len(members):
        return frozenset()
    stated = tuple(Relation((letter, one.tree), ("=",)) for one in numbers)
    found = faults_between(last, Line(0, request.answer, stated), problem.letter, request.numbers)
    if found or not (last.has_both_signs and last.relations[0].sides[0] == letter):
        return found
    ways = predictions_of(problem, request.numbers, depth=1).by_value
    return frozenset(
        faults[0].id
        for faults, plans in ways.get(comparable_value(answer), {}).values()
        if "formula" in plans
    )


def _restricted(
    request: Request, problem: Problem, checked: Checked, answer: Value, found: Explanation
) -> Explanation:
    """Keep the candidates that contain the fault of the wrong line."""
    kept = [one for one in found.patterns if set(one.faults) & checked.faults]
    named = {one for one in checked.faults if not pattern_of(one).general}
    if not any(named.intersection(one.faults) for one in kept) and (named or not kept):
        further = _from_wrong_line(request, problem, checked, answer)
        kept = list({frozenset(one.faults): one for one in (*further, *kept)}.values())
    patterns, rest = shared(kept, unexplained_weight(answer, request.task))
    return replace(found, patterns=patterns, unexplained=rest)


def _comes_to(line: Line, problem: Problem, request: Request) -> Hashable | None:
    """What answer a line comes to, if nothing goes wrong after it."""
    if TASKS[request.task].of_expression:
        return comparable_ending(line.expression, request.numbers) if line.expression else None
    return standing(line, problem.letter)


def _from_wrong_line(
    request: Request, problem: Problem, checked: Checked, answer: Value
) -> list[Candidate]:
    """Explain an answer by the fault of the wrong line, and at most one more after it."""
    line, target = checked.line, comparable_value(answer)
    first = [fault_of(one) for one in sorted(checked.faults)]
    alone = [candidate((one,), weight_of((one,))) for one in first]
    if line is None:
        return alone
    if _comes_to(line, problem, request) == target:
        return alone
    if not TASKS[request.task].notation.solves or len(line.relations) != 1:
        return []
    wrong = replace(problem, tree=line.relations[0], relations=line.relations)
    known = predictions_of(wrong, request.numbers, depth=1)
    later = [faults[0] for faults, _ in known.weights(target)]
    return [
        candidate((one, second), PAIR) for one in first for second in later
        if one != second and not (pattern_of(one.id).general or pattern_of(second.id).general)
    ]  # fmt: skip
