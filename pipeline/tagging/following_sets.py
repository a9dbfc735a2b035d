"""Whether the lines of inequalities, systems and logarithms follow from the ones before."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import replace

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import union
from pipeline.exact.trees import Node, Relation, in_order, letters, replaced
from pipeline.exact.values import Point, Region, Value
from pipeline.patterns.catalogue import moves
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.runs import runs
from pipeline.procedures.shapes_of_systems import row_of
from pipeline.reading.lines import Line, is_true_calculation
from pipeline.reading.problems import Problem
from pipeline.records import Numbers, Request
from pipeline.tagging.following import Checked
from pipeline.tagging.line_forms import canonical, forms_of_row
from pipeline.tagging.predict import faults_leading_to
from pipeline.tagging.steps import faults_between
from pipeline.tasks.catalogue import plans, solved


def check_inequalities(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[Checked, Problem]:
    """Check that every line has the solution set of the problem, or is one part of it.

    An equation beside the work, such as the one for the boundaries, is passed over.
    """
    right = solved(problem, request.numbers).answer
    if right is None:
        return Checked(None), problem
    target, before = comparable_value(right.value), problem
    accepted = {target, *(comparable_value(one) for one in _parts(problem))}
    later = [one for line in lines for one in _stated(problem, line)]
    for line in lines:
        if any(is_true_calculation(one, problem.letter) is False for one in line.relations):
            return Checked(line.number, line=line), before
        found = list(_stated(problem, line))
        if not found:
            continue
        if any(comparable_value(one) in accepted or _is_part(one, later, target) for one in found):
            before = _as_problem(problem, line) if len(line.relations) == 1 else before
            continue
        faults = faults_leading_to(map(comparable_value, found), before, request.numbers)
        return Checked(line.number, faults, line), before
    return Checked(0), before


def _parts(problem: Problem) -> Iterator[Value]:
    """The solution sets of the single inequalities of a compound one."""
    if problem.is_system:
        for relation in problem.relations:
            yield from _stated(problem, Line(0, "", (relation,)))


def _as_problem(problem: Problem, line: Line, either: bool = False) -> Problem:
    return replace(problem, tree=line.relations[0], relations=line.relations, either=either)


def _stated(problem: Problem, line: Line) -> Iterator[Value]:
    """The solution sets that a line can stand for; none where it is no inequality."""
    if line.statement is not None:
        yield line.statement
    if not line.relations or line.has_both_signs:
        return
    if any(letters(one) != {problem.letter} or "=" in one.signs for one in line.relations):
        return
    for either in (True, False) if len(line.relations) > 1 else (False,):
        answer = solved(_as_problem(problem, line, either), "real").answer
        if answer is not None:
            yield answer.value


def _is_part(found: Value, later: list[Value], target: Hashable) -> bool:
    """Whether a line is one part of the solutions, and the rest comes in lines of its own."""
    if not isinstance(found, Region):
        return False
    others = [one for one in later if isinstance(one, Region) and comparable_value(one) != target]
    return any(comparable_value(union(found, one)) == target for one in others)


def check_system(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[Checked, Line | None]:
    """Check that every line of a system with one solution holds for that solution."""
    right = solved(problem, request.numbers).answer
    point = None if right is None else _coordinates(problem, right.value)
    if point is None:
        return Checked(None), None
    before: Line | None = None
    for line in lines:
        verdicts = [_holds(relation, point) for relation in line.relations]
        if False in verdicts:
            faults = _faults(before, line, request.numbers)
            return Checked(line.number, faults or _faults_of_row(problem, line), line), before
        before = line if verdicts else before
    return Checked(0), before


def _coordinates(problem: Problem, value: Value) -> tuple[tuple[str, Node], ...] | None:
    if not isinstance(value, Point):
        return None
    return tuple(
        (name, one.tree)
        for name, one in zip(in_order(problem.letters), value.coordinates, strict=True)
    )


def _holds(relation: Relation, point: tuple[tuple[str, Node], ...]) -> bool | None:
    """Whether an equation holds at a point; None where that cannot be told exactly."""
    if set(relation.signs) != {"="}:
        return None
    try:
        values: set[Surd | None] = {surd_of(replaced(one, point)) for one in relation.sides}
    except (CannotBeWorked, ZeroDivisionError):
        return None
    return None if None in values else len(values) == 1


def _faults(before: Line | None, line: Line, numbers: Numbers) -> frozenset[str]:
    names = frozenset().union(*(letters(one) for one in line.relations))
    if before is None or len(names) != 1:
        return frozenset()
    (letter,) = names
    if any(letters(one) != names for one in before.relations):
        return frozenset()
    return faults_between(before, line, letter, numbers)


def _faults_of_row(problem: Problem, line: Line) -> frozenset[str]:
    """Return the patterns that, made alone, write one equation on the way to an answer."""
    names = in_order(problem.letters)
    row = row_of(line.relations[0], names) if len(line.relations) == 1 and len(names) == 2 else None
    forms = frozenset() if row is None else forms_of_row(row)
    return frozenset(
        path[0]
        for plan in (plans(problem) if forms else ())
        for run, paths in runs(plan.procedure, plan.start, moves, 1)
        if any(not forms.isdisjoint(canonical(written)) for written in run.lines)
        for path in paths
        if path
    )
