"""Whether each line of shown working follows from the one before."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace

from pipeline.exact.trees import Letter, Node
from pipeline.exact.values import Value
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import equation_of
from pipeline.procedures.statements import ALL_REAL, NO_REAL
from pipeline.reading.lines import Line, is_true_calculation
from pipeline.reading.problems import Problem
from pipeline.records import Request
from pipeline.tagging.predict import faults_leading_to, predictions_of
from pipeline.tagging.steps import discriminant_faults, faults_between, named_discriminant, standing


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


def check_calculations(problem: Problem, lines: tuple[Line, ...]) -> Checked:
    """Check side calculations alone, for questions whose lines are no equations."""
    for line in lines:
        for relation in line.relations:
            if is_true_calculation(relation, problem.letter) is False:
                return Checked(line.number, line=line)
    return Checked(0)


def check_expressions(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[Checked, Problem]:
    """Check that every line has the value of the one before."""
    before = problem
    right = predictions_of(problem, request.numbers, depth=0).right.endings
    for line in lines:
        trees = _stated_trees(line)
        values = [comparable_ending(tree, request.numbers) for tree in trees]
        if len(values) > 1 and len(set(values)) == 1 and values[0] not in right:
            continue  # a true calculation beside the work
        for tree, value in zip(trees, values, strict=True):
            if value not in right:
                faults = faults_leading_to((value,), before, request.numbers)
                return Checked(line.number, faults, line), before
            before = replace(problem, tree=tree, relations=(), substitutions=())
    return Checked(0), before


def _stated_trees(line: Line) -> list[Node]:
    trees = [side for relation in line.relations for side in relation.sides]
    if line.relations and isinstance(trees[0], Letter):
        trees = trees[1:]
    return [line.expression] if line.expression is not None else trees


def check_equations(
    request: Request, problem: Problem, lines: tuple[Line, ...], answer: Value | None
) -> tuple[Checked, Line]:
    """Check that every line has the solutions of the problem, or is one branch of it."""
    letter = problem.letter
    before = Line(0, problem.text, problem.relations)
    first = current = _solutions(request, problem)
    exact = equation_of(problem.relations[0], letter) is not None
    sets = [standing(line, letter) for line in lines]
    for place, (line, found) in enumerate(zip(lines, sets, strict=True)):
        value = named_discriminant(line, letter)
        if value is not None and found is not False:
            stated = [before, Line(0, problem.text, problem.relations)]
            wrong = discriminant_faults(stated, value, letter)
            if wrong is not None:
                return Checked(line.number, wrong, line), before
            continue
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
            if not faults and not before.number:
                faults = faults_leading_to((found,), problem, request.numbers)
            return Checked(line.number, faults, line), before
    return Checked(0), before


def _solutions(request: Request, problem: Problem) -> Hashable | None:
    """The solution set that the lines have to keep."""
    if request.task == "solve":
        return standing(Line(0, problem.text, problem.relations), problem.letter)
    right = predictions_of(problem, request.numbers, depth=0).right.answer
    return None if right is None else comparable_value(right.value)


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
    """Whether a line is one branch, and the rest of the solutions comes later, if wrongly."""
    if not isinstance(found, frozenset) or not isinstance(current, frozenset):
        return False
    if not found or not found < current:
        return False
    covered = set(found)
    for one in later:
        if isinstance(one, frozenset) and one <= current:
            covered |= one
    further = [one for one in later if isinstance(one, frozenset) and one > found]
    return covered == current or any(not one <= current for one in further)


def _answer_set(answer: Value | None) -> Hashable | None:
    return None if answer is None else comparable_value(answer)
