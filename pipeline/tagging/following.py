"""Shown working: whether each line follows, and what that leaves of the candidates."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import union
from pipeline.exact.trees import Letter, Node, Product, Relation, in_order, letters, replaced
from pipeline.exact.values import Equation, Expression, Number, Point, Region, Roots, Value
from pipeline.patterns.catalogue import fault_of, moves, pattern_of
from pipeline.procedures.endings import comparable_ending, comparable_value
from pipeline.procedures.equations import ZERO, Named, equation_of
from pipeline.procedures.lines import Line as LineToFind
from pipeline.procedures.lines import Written, write_line
from pipeline.procedures.systems import isolate_letter, row_of
from pipeline.procedures.walk import ALL_REAL, NO_REAL, Faults, Plan, Walk, runs
from pipeline.reading.lines import Line, is_true_calculation, lines_of
from pipeline.reading.problems import Problem
from pipeline.reading.records import Reading
from pipeline.records import Candidate, Explanation, Numbers, Request, Verdict
from pipeline.tagging.match import candidate, shared, unexplained_weight
from pipeline.tagging.predict import faults_leading_to, predictions_of
from pipeline.tagging.priors import PAIR, weight_of
from pipeline.tagging.steps import (
    Form,
    discriminant_faults,
    faults_between,
    forms,
    forms_of_row,
    named_discriminant,
    standing,
)
from pipeline.tasks.catalogue import TASKS, plans, solved
from pipeline.tasks.domain import Conditions, boundary


@dataclass(frozen=True, slots=True)
class _Checked:
    """What checking found.

    Args:
        wrong: number of the first line that does not follow; 0 when all do; None if none reads.
        faults: patterns of that step, empty when none is known.
        line: the wrong line itself, None when it is the answer.
    """

    wrong: int | None
    faults: frozenset[str] = frozenset()
    line: Line | None = None


def _check_expressions(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[_Checked, Problem]:
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
                return _Checked(line.number, _faults_shown(before, tree, faults), line), before
            if not _is_power_written_out(tree):
                before = replace(problem, tree=tree, relations=(), substitutions=())
    return _Checked(0), before


def _is_power_written_out(tree: Node) -> bool:
    """Whether it is (x - 5)(x - 5), in which the rules for powers still tell what goes wrong."""
    return isinstance(tree, Product) and len(tree.factors) > len(set(tree.factors)) == 1


def _stated_trees(line: Line) -> list[Node]:
    trees = [side for relation in line.relations for side in relation.sides]
    if line.relations and isinstance(trees[0], Letter):
        trees = trees[1:]
    return [line.expression] if line.expression is not None else trees


def _check_equations(
    request: Request, problem: Problem, lines: tuple[Line, ...], answer: Value | None
) -> tuple[_Checked, Line]:
    """Check that every line has the solutions of the problem, or is one branch of it."""
    letter = problem.letter
    before = Line(0, problem.text, problem.relations)
    first = current = _solutions(request, problem)
    exact = equation_of(problem.relations[0], letter) is not None
    sets = [standing(line, letter) for line in lines]
    ends = [] if answer is None else [comparable_value(answer)]
    for place, (line, found) in enumerate(zip(lines, sets, strict=True)):
        value = named_discriminant(line, letter)
        if value is not None and found is not False:
            stated = [before, Line(0, problem.text, problem.relations)]
            wrong = discriminant_faults(stated, value, letter)
            if wrong is not None:
                return _Checked(line.number, wrong, line), before
            continue
        if found is None or _holds(found, current, request.numbers):
            continue
        if found is True or found is False:
            return _Checked(line.number, line=line), before
        if found == current:
            before = line
        elif not exact and (_grows(found, current) or _drops_extraneous(found, current, first)):
            before, current = line, found
        elif not _is_branch(found, current, [*sets[place + 1 :], *ends]):
            faults = faults_between(before, line, letter, request.numbers)
            if current == first:
                faults |= _faults_from_problem(request, problem, found, faults)
            return _Checked(line.number, faults, line), before
    return _Checked(0), before


def _faults_from_problem(
    request: Request, problem: Problem, found: Hashable, known: frozenset[str]
) -> frozenset[str]:
    """Return the patterns that lead from the problem to a line, only of its sides if one is known.

    Args:
        request: the request.
        problem: the problem, which the lines before say in other words.
        found: the solutions of the line.
        known: patterns that lead to it from the line before.
    """
    if all(pattern_of(one).general for one in known):
        return faults_leading_to((found,), problem, request.numbers)
    of_sides = faults_leading_to((found,), problem, request.numbers, "sides")
    return frozenset(one for one in of_sides if not pattern_of(one).general)


def _solutions(request: Request, problem: Problem) -> Hashable | None:
    """The solution set that the lines have to keep."""
    if TASKS[request.task].notation.solves:
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


def _check_relations(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[_Checked, Problem | None]:
    """Check that every line, solved, comes to the answer, or is a part of it or a step to it.

    A line that is about something else, as the boundaries of a region, is passed over.

    Returns:
        What was found, and the problem that the last line states; None where none was followed.
    """
    answer = solved(problem, request.numbers).answer
    target = None if answer is None else comparable_value(answer.value)
    ways = plans(problem)
    accepted = {target, *_parts(problem, ways)}
    named = {one for way in ways for one in _written(way) if isinstance(one, Named)}
    later = [one for line in lines for one in _stated(problem, line, ways)]
    before = problem if problem.is_inequality else None
    for line in lines:
        if any(is_true_calculation(one, problem.letter) is False for one in line.relations):
            return _Checked(line.number, line=line), before
        steps = _names(problem, line)
        if steps and {one.letter for one in steps} <= {one.letter for one in named}:
            before = before or problem
            for step in steps:
                if step not in named:
                    return _Checked(
                        line.number, _faults_writing(problem, forms(step)), line
                    ), before
            continue
        found = list(_stated(problem, line, ways))
        before = before or (problem if found else None)
        keys = [comparable_value(one) for one in found]
        if before is None or not keys:
            continue
        if accepted.isdisjoint(keys) and not any(_is_part(one, later, target) for one in found):
            faults = faults_leading_to(keys, before, request.numbers)
            faults = faults or _faults_of_row(problem, line, ["x", "y"])
            return _Checked(line.number, faults, line), before
        if TASKS[problem.task].of_letter and len(line.relations) == 1:
            before = _as_problem(problem, line.relations)
    return _Checked(0), before


def _written(plan: Plan) -> list[object]:
    """The lines that a procedure writes without a fault."""
    return Walk(logged=False).through(plan.procedure, plan.start).lines


def _names(problem: Problem, line: Line) -> list[Named]:
    """The letters and numbers of `m = 8/4 = 2`; h and k are those of a vertex."""
    found = []
    for relation in line.relations:
        match relation:
            case Relation((Letter(name), *_, last)) if surd_of(last) is not None:
                name = dict(TASKS[problem.task].other_names).get(name, name)
                found.append(Named(name, surd_of(last) or ZERO))
    return found if len(found) == len(line.relations) else []


def _parts(problem: Problem, ways: Sequence[Plan]) -> Iterator[Hashable]:
    """The solution sets of the single conditions of a compound inequality or a domain."""
    for relation in problem.relations if problem.is_system else ():
        yield from map(comparable_value, _stated(problem, Line(0, "", (relation,)), ways))
    for start in (way.start for way in ways):
        for condition in start.conditions if isinstance(start, Conditions) else ():
            yield comparable_ending(boundary(condition), "real")
        given = start.beside if isinstance(start, LineToFind) else start
        if isinstance(given, Written) and given.row.b:
            yield comparable_value(write_line(*isolate_letter(given.row)))


def _as_problem(problem: Problem, relations: tuple[Relation, ...], either: bool = False) -> Problem:
    task = TASKS[TASKS[problem.task].lines_of or problem.task]
    found = replace(problem, task=task.name, notation=task.notation, tree=relations[0])
    found = replace(found, relations=relations, either=either)
    return found if problem.letter else replace(found, letter="y", letters=frozenset("xy"))


def _stated(problem: Problem, line: Line, ways: Sequence[Plan]) -> Iterator[Value]:
    """What a line comes to: a solution set, or what the letter asked for is equal to.

    In the working of an inverse the letters may not be changed about yet.
    """
    task = TASKS[problem.task]
    if line.statement is not None and not task.says_beside:
        yield line.statement
    if not line.relations or line.has_both_signs:
        return
    signs = {sign for one in line.relations for sign in one.signs}
    if problem.is_inequality or task.of_region:
        if signs & {"=", "!="} or any(letters(one) != {problem.letter} for one in line.relations):
            return
        states = [
            _as_problem(problem, line.relations, either)
            for either in ((True, False) if len(line.relations) > 1 else (False,))
        ]
    elif len(line.relations) == 1 and signs == {"="} and task.follows is not None:
        if not all(task.follows(way.start) for way in ways):
            return
        (relation,) = line.relations
        turned = tuple(
            replaced(side, (("x", Letter("y")), ("y", Letter("x")))) for side in relation.sides
        )
        both = (relation, replace(relation, sides=turned))
        states = [_as_problem(problem, (one,)) for one in both[: 1 + task.of_inverse]]
        states = [one for one in states if one.letter in letters(one.tree) <= one.letters]
    else:
        return
    for one in states:
        answer = solved(one, "real").answer
        value = None if answer is None else answer.value
        if isinstance(value, Equation) and task.of_inverse:
            value = Expression(value.relation.sides[1])
        if value is not None:
            yield value


def _is_part(found: Value, later: list[Value], target: Hashable) -> bool:
    """Whether a line is one part of the solutions, and the rest comes in lines of its own."""
    if not isinstance(found, Region):
        return False
    others = [one for one in later if isinstance(one, Region) and comparable_value(one) != target]
    return any(comparable_value(union(found, one)) == target for one in others)


def _check_system(
    request: Request, problem: Problem, lines: tuple[Line, ...]
) -> tuple[_Checked, Line | None]:
    """Check that every line of a system with one solution holds for that solution."""
    right = solved(problem, request.numbers).answer
    point = None if right is None else _coordinates(problem, right.value)
    if point is None:
        return _Checked(None), None
    before: Line | None = None
    for line in lines:
        verdicts = [_holds_values(relation, point) for relation in line.relations]
        if False in verdicts:
            faults = _faults(before, line, request.numbers)
            faults = faults or _faults_of_row(problem, line, in_order(problem.letters))
            return _Checked(line.number, faults, line), before
        before = line if verdicts else before
    return _Checked(0), before


def _coordinates(problem: Problem, value: Value) -> tuple[tuple[str, Node], ...] | None:
    if not isinstance(value, Point):
        return None
    return tuple(
        (name, one.tree)
        for name, one in zip(in_order(problem.letters), value.coordinates, strict=True)
    )


def _holds_values(relation: Relation, point: tuple[tuple[str, Node], ...]) -> bool | None:
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


def _faults_of_row(problem: Problem, line: Line, names: list[str]) -> frozenset[str]:
    """Return the patterns that, made alone, write one equation on the way to an answer."""
    row = row_of(line.relations[0], names) if len(line.relations) == 1 and len(names) == 2 else None
    return frozenset() if row is None else _faults_writing(problem, forms_of_row(row))


def _faults_shown(problem: Problem, tree: Node, faults: frozenset[str]) -> frozenset[str]:
    """Keep of some patterns those that write an expression, or else such as write no other one.

    A fault may be made in a part of an expression, so that its own tree contradicts none.
    """
    shapes = forms(tree)
    told = {
        (path[0].id, form in shapes, form[0])
        for written, paths in _written_by_faults(problem)
        for form in written
        if form[0] in {one[0] for one in shapes}
        for path in paths
    }
    others = {one for one, fits, kind in told if not fits and kind != "tree"}
    return faults & {one for one, fits, _ in told if fits} or faults - others or faults


def _faults_writing(problem: Problem, lines: Iterable[Form]) -> frozenset[str]:
    """Return the patterns that, made alone, write one of some lines."""
    shapes = frozenset(lines)
    return frozenset(
        path[0].id
        for written, paths in _written_by_faults(problem)
        if not shapes.isdisjoint(written)
        for path in paths
    )


def _written_by_faults(problem: Problem) -> Iterator[tuple[set[Form], list[Faults]]]:
    """The shapes of all lines that a single fault leads to, and of what it makes itself."""
    for plan in plans(problem):
        for run, paths in runs(plan.procedure, plan.start, moves, 1):
            written = {form for one in (*run.lines, *run.replay[-1:]) for form in forms(one)}
            yield written, [path for path in paths if path]


def _is_story(problem: Problem) -> bool:
    """Whether a problem says which solutions count, or what is asked."""
    return bool(problem.asked or problem.joined) or problem.keep is not None


def _check_story(request: Request, problem: Problem, lines: tuple[Line, ...]) -> _Checked:
    """Check the lines of the equation; lines that give what counts or is asked are in order."""
    plain = replace(problem, asked=(), joined="", keep=None)
    last = _right_values(problem, request) | _right_values(
        replace(problem, asked=(), joined=""), request
    )
    worked = tuple(line for line in lines if not _gives(line, problem.letter, last))
    return _check_equations(request, plain, worked, None)[0]


def _right_values(problem: Problem, request: Request) -> frozenset[object]:
    found = solved(problem, request.numbers).endings
    return frozenset().union(*(one for one in found if isinstance(one, frozenset)))


def _gives(line: Line, letter: str, values: frozenset[object]) -> bool:
    stated = standing(line, letter)
    if not isinstance(stated, frozenset) or not stated <= values:
        return False
    return all(len(relation.sides) == 2 for relation in line.relations)


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


def _reason(found: Explanation, checked: _Checked, unread: tuple[int, ...]) -> str | None:
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
) -> _Checked:
    if not lines:
        return _Checked(None)
    last: Line | Problem | None
    task = TASKS[request.task]
    if task.of_expression:
        checked, last = _check_expressions(request, problem, lines)
    elif _is_story(problem):
        checked, last = _check_story(request, problem, lines), problem
    elif task.of_equation and len(problem.relations) == 1 and not problem.is_inequality:
        checked, last = _check_equations(request, problem, lines, answer)
    elif task.notation.solves and problem.is_system and not problem.is_inequality:
        checked, last = _check_system(request, problem, lines)
    else:
        checked, last = _check_relations(request, problem, lines)
    if checked.wrong or verdict is not Verdict.WRONG:
        return checked
    if last is None and answer and (stated := _first_stating(request, lines, answer)):
        faults = faults_leading_to((comparable_value(answer),), problem, request.numbers)
        trees = [stated.expression, *(one for r in stated.relations for one in r.sides)]
        shown = (_faults_shown(problem, one, faults) for one in trees if one and not letters(one))
        return _Checked(stated.number, next(shown, frozenset()))
    if last is None and lines[-1].expression is None:
        return _Checked(None)  # only the arithmetic of such lines was followed
    return _Checked(count + 1, _faults_of_answer(request, problem, last, answer))


def _first_stating(request: Request, lines: tuple[Line, ...], answer: Value) -> Line | None:
    """The first line that already comes to a wrong answer."""
    target = comparable_value(answer)
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
    target = (comparable_value(answer),)
    if isinstance(last, Problem):
        faults = faults_leading_to(target, last, request.numbers)
        if not _is_story(last):
            return faults
        # The lines of the equation are in order, so that one of the last steps went wrong.
        return frozenset(one for one in faults if pattern_of(one).skill == "word problems")
    letter = Letter(problem.letter)
    members = answer.members if isinstance(answer, Roots) else (answer,)
    numbers = [one for one in members if isinstance(one, Number) and one.surd is not None]
    if len(numbers) < len(members):
        return frozenset()
    stated = tuple(Relation((letter, one.tree), ("=",)) for one in numbers)
    found = faults_between(last, Line(0, request.answer, stated), problem.letter, request.numbers)
    if found or not (last.has_both_signs and last.relations[0].sides[0] == letter):
        return found
    return faults_leading_to(target, problem, request.numbers, "formula")


def _restricted(
    request: Request, problem: Problem, checked: _Checked, answer: Value, found: Explanation
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
    request: Request, problem: Problem, checked: _Checked, answer: Value
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
