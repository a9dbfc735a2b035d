"""Shown working, checked line by line: where it first goes wrong, and by which fault."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from typing import Final

from pipeline.exact.trees import Letter, Node, Relation
from pipeline.exact.values import Roots, Value
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import equation_of
from pipeline.procedures.statements import ALL_REAL, NO_REAL
from pipeline.procedures.walk import Faults
from pipeline.reading.problems import Problem
from pipeline.reading.records import Reading
from pipeline.records import WITH_PATTERNS, Explanation, Request, Verdict
from pipeline.tagging.lines import Line, is_true_calculation, lines_of
from pipeline.tagging.match import shared, unexplained_weight
from pipeline.tagging.predict import PAIR, SINGLE, predictions_of, weight_of
from pipeline.tagging.steps import faults_between, standing

__all__ = ["with_working"]

EXPRESSION_TASKS: Final = ("expand", "factor", "simplify", "evaluate")


@dataclass(frozen=True, slots=True)
class Checked:
    """What checking found.

    Args:
        wrong: number of the first line that does not follow; 0 when all do; None if none reads.
        faults: patterns of that step, empty when none is known.
        line: the wrong line itself, None when it is the answer.
    """

    wrong: int | None
    faults: frozenset[str] = frozenset()
    line: Line | None = None


def with_working(
    request: Request, problem: Problem, used: Reading | None, found: Explanation
) -> Explanation:
    """Add the first wrong line, and keep the candidates that it allows."""
    if request.task not in WITH_PATTERNS:
        return found
    work = request.work or ""
    lines, unread = lines_of(work, problem.context)
    answer = used.value if used is not None else None
    checked = _check(request, problem, lines, answer, found.verdict, _count(work, lines))
    reason = _reason(found, checked, unread)
    if found.verdict is Verdict.WRONG and checked.faults and answer is not None:
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
    if request.task in EXPRESSION_TASKS:
        checked, last = _check_expressions(request, problem, lines)
    elif request.task == "solve" and len(problem.relations) == 1 and not problem.is_inequality:
        checked, last = _check_equations(request, problem, lines, answer)
    else:
        checked, last = _check_calculations(problem, lines), None
    if checked.wrong or verdict is not Verdict.WRONG:
        return checked
    return Checked(count + 1, _faults_of_answer(request, problem, last, answer))


def _check_calculations(problem: Problem, lines: tuple[Line, ...]) -> Checked:
    """Check side calculations alone, for questions whose lines are no equations."""
    for line in lines:
        for relation in line.relations:
            if is_true_calculation(relation, problem.letter) is False:
                return Checked(line.number, line=line)
    return Checked(0)


def _check_expressions(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[Checked, Problem]:
    """Check that every line has the value of the one before."""
    before = problem
    right = predictions_of(problem, request.numbers, depth=0).right.endings
    for line in lines:
        for tree in _stated_trees(line):
            after = replace(problem, tree=tree, relations=(), substitutions=())
            if comparable_ending(tree, request.numbers) not in right:
                return Checked(line.number, _expression_faults(request, before, tree), line), before
            before = after
    return Checked(0), before


def _stated_trees(line: Line) -> list[Node]:
    trees = [side for relation in line.relations for side in relation.sides]
    if line.relations and isinstance(trees[0], Letter):
        trees = trees[1:]
    return [line.expression] if line.expression is not None else trees


def _expression_faults(request: Request, before: Problem, tree: Node) -> frozenset[str]:
    known = predictions_of(before, request.numbers, depth=1)
    ending = comparable_ending(tree, request.numbers)
    return frozenset(faults[0] for faults, _ in known.weights(ending))


def _check_equations(
    request: Request, problem: Problem, lines: tuple[Line, ...], answer: Value | None
) -> tuple[Checked, Line]:
    """Check that every line has the solutions of the problem, or is one branch of it."""
    letter = problem.letter
    before = Line(0, problem.text, problem.relations)
    first = current = standing(before, letter)
    exact = equation_of(problem.relations[0], letter) is not None
    sets = [standing(line, letter) for line in lines]
    for place, (line, found) in enumerate(zip(lines, sets, strict=True)):
        if found is None or _holds(found, current, request.numbers):
            continue
        if found is True or found is False:
            return Checked(line.number, line=line), before
        if found == current:
            before = line
        elif not exact and (_grows(found, current) or _drops_extraneous(found, current, first)):
            before, current = line, found
        elif not _is_branch(found, current, [*sets[place + 1 :], _answer_set(answer)]):
            faults = faults_between(before, line, letter, request.numbers)
            return Checked(line.number, faults, line), before
    return Checked(0), before


def _holds(found: Hashable, current: Hashable, numbers: str) -> bool:
    """Whether a calculation or a statement is in order as it stands."""
    if found is True:
        return True
    if found is False:
        return current == NO_REAL
    if found == NO_REAL and isinstance(current, frozenset):
        return numbers == "real" and not any(root.is_real for root in current)
    return found == ALL_REAL == current


def _grows(found: Hashable, current: Hashable) -> bool:
    """Whether solutions only came in, as when both sides are squared."""
    return isinstance(found, frozenset) and isinstance(current, frozenset) and found > current


def _drops_extraneous(found: Hashable, current: Hashable, first: Hashable) -> bool:
    """Whether only solutions went that the problem itself does not have."""
    return _grows(current, found) and (found == first or _grows(found, first))


def _is_branch(found: Hashable, current: Hashable, later: list[Hashable | None]) -> bool:
    """Whether a line is one branch, and the rest of the solutions comes later."""
    if not isinstance(found, frozenset) or not isinstance(current, frozenset):
        return False
    if not found or not found < current:
        return False
    covered = set(found)
    for one in later:
        if isinstance(one, frozenset) and one <= current:
            covered |= one
    return covered == current


def _answer_set(answer: Value | None) -> Hashable | None:
    return None if answer is None else comparable_value(answer)


def _faults_of_answer(
    request: Request, problem: Problem, last: Line | Problem | None, answer: Value | None
) -> frozenset[str]:
    """Return the patterns that lead from the last line to the answer."""
    if answer is None or last is None:
        return frozenset()
    if isinstance(last, Problem):
        known = predictions_of(last, request.numbers, depth=1)
        return frozenset(faults[0] for faults, _ in known.weights(comparable_value(answer)))
    if not isinstance(answer, Roots) or any(one.surd is None for one in answer.members):
        return frozenset()
    letter = Letter(problem.letter)
    stated = tuple(Relation((letter, one.tree), ("=",)) for one in answer.members)
    return faults_between(last, Line(0, request.answer, stated), problem.letter, request.numbers)


def _restricted(
    request: Request, problem: Problem, checked: Checked, answer: Value, found: Explanation
) -> Explanation:
    """Keep the candidates that contain the fault of the wrong line."""
    kept = [(one.faults, one.weight) for one in found.patterns if set(one.faults) & checked.faults]
    if not kept:
        kept = _from_wrong_line(request, problem, checked, answer)
    patterns, rest = shared(kept, request.task, unexplained_weight(answer))
    return replace(found, patterns=patterns, unexplained=rest)


def _from_wrong_line(
    request: Request, problem: Problem, checked: Checked, answer: Value
) -> list[tuple[Faults, float]]:
    """Explain an answer by the fault of the wrong line, and at most one more after it."""
    line, target = checked.line, comparable_value(answer)
    if line is None or request.task != "solve":
        return [((one,), weight_of((one,))) for one in sorted(checked.faults)] if not line else []
    if standing(line, problem.letter) == target:
        return [((one,), SINGLE) for one in sorted(checked.faults)]
    if len(line.relations) != 1:
        return []
    wrong = replace(problem, tree=line.relations[0], relations=line.relations)
    later = [
        faults for faults, _ in predictions_of(wrong, request.numbers, depth=1).weights(target)
    ]
    return [
        ((one, second[0]), PAIR) for one in sorted(checked.faults) for second in later
        if one != second[0]
    ]  # fmt: skip
