"""Working to print: the lines that a procedure writes, done right and with one fault."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from fractions import Fraction
from itertools import chain
from typing import Final, NamedTuple

from pipeline.exact.evaluate import tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, tree_of_polynomial
from pipeline.exact.printing import tree_words
from pipeline.exact.trees import (
    Letter,
    Node,
    Numeral,
    Power,
    Product,
    Root,
    children,
    in_order,
    with_children,
)
from pipeline.exact.values import Equation as Written
from pipeline.exact.values import Point, Region, Value, value_words
from pipeline.patterns.catalogue import moves
from pipeline.patterns.registry import Example, Pattern
from pipeline.procedures.endings import comparable_ending, comparable_value, value_of
from pipeline.procedures.equations import Branches, Equation, Formula, Linear
from pipeline.procedures.parts import tree_of_part
from pipeline.procedures.polynomial_equations import QuadraticForm
from pipeline.procedures.rewriting.terms import canonical
from pipeline.procedures.systems import OneUnknown, Row, SolvedRow
from pipeline.procedures.walk import (
    Ending,
    Plan,
    Step,
    Walk,
    faulty_outcomes,
    right_ending,
    runs,
    said,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.problems import Problem
from pipeline.records import Request
from pipeline.tagging.questions import question_of, read_as_asked
from pipeline.tasks.catalogue import TASKS, plans, read_problem
from pipeline.tasks.factor import FACTOR
from pipeline.tasks.solve import SOLVE

_FORMS: Final = frozenset({FACTOR.name, "convert", "translate"})
"""Tasks that ask for another form of what is given: their steps are the answer."""


class Worked(NamedTuple):
    """A question worked twice, a line an entry; the first line is the question."""

    problem: str
    right: tuple[str, ...]
    wrong: tuple[str, ...]


def worked(pattern: Pattern) -> Worked | None:
    """Work a pattern's first example right and wrong, line by line; an equation where it has one.

    Tasks whose steps are no lines show the step that goes wrong, by the name of its operation.

    Returns:
        None where that step is the answer, and where no single procedure shows the fault: where
        the wrong answer would jump over lines that the right working has.
    """
    equations = (_equation(pattern.id, one) for one in pattern.shows if one.task == SOLVE.name)
    expressions = (
        _expression(pattern.id, one)
        for one in pattern.shows
        if one.task in TASKS and TASKS[one.task].of_expression and one.task != FACTOR.name
    )
    steps = (_single_step(pattern.id, one) for one in pattern.shows)
    found = chain(equations, expressions, steps)
    return next((one for one in found if one is not None), None)


def _equation(identifier: str, example: Example) -> Worked | None:
    problem = read_problem(example.problem, "solve")
    if problem.asked or problem.joined or problem.keep is not None or problem.offered:
        return None  # the last steps of a word problem, or a choice, are no lines of the equation
    target = comparable_value(read_answer(example.answer, problem.context).readings[0].value)
    for plan in plans(problem):
        faulty = _faulty_run(plan, identifier, target)
        right = _right_run(plan, problem)
        if faulty is None or right is None:
            continue
        shown = Worked(example.problem, _text(problem, right), _text(problem, faulty))
        if shown.wrong[-2] not in shown.right[:-2]:
            return shown
    return None


def _expression(identifier: str, example: Example) -> Worked | None:
    """Work an expression: the step that goes wrong, in its place of the whole, and the answers."""
    problem = read_problem(example.problem, example.task)
    answer = read_answer(example.answer, problem.context).readings[0].value
    for plan in plans(problem):
        right = right_ending(plan)
        step, wrong = _faulty_step(plan, identifier, comparable_value(answer))
        if step is None or right is None or isinstance(wrong, Ending):
            continue
        whole = plan.start[0] if isinstance(plan.start, tuple) else plan.start
        place = step.arguments[0]
        worked_out = step.result if step.result != place else canonical(place)
        return Worked(
            example.problem,
            _of_expression(problem, _put(whole, place, worked_out), value_of(right)),
            _of_expression(problem, _put(whole, place, wrong), answer),
        )
    return None


def _single_step(identifier: str, example: Example) -> Worked | None:
    """Show the step that goes wrong with what came out, between the question and the answers."""
    request = Request(example.task, example.problem, example.answer)
    question = question_of(request)
    problem, read = question.problem, read_as_asked(request, question)
    form = example.task in _FORMS or not read.readings
    if problem is None or form or _has_lines(problem):
        return None
    answer = read.readings[0].value
    for plan in plans(problem):
        right = right_ending(plan)
        step, wrong = _faulty_step(plan, identifier, comparable_value(answer))
        if step is None or right is None:
            continue
        ends = value_words(value_of(right)), value_words(answer)
        results = _outcome(step.result), _outcome(wrong)
        if None in results or set(results) & set(ends):
            continue
        name = step.operation.__name__.replace("_", " ")
        first, second = (
            (example.problem, f"{name}: {result}", end)
            for result, end in zip(results, ends, strict=True)
        )
        return Worked(example.problem, first, second)
    return None


def _has_lines(problem: Problem) -> bool:
    """Whether the working of a problem is written as equations below each other."""
    return problem.task == SOLVE.name and not problem.is_inequality and not problem.is_system


def _outcome(result: object) -> str | None:
    """Write what came out of a step; None for what is no expression and no answer."""
    match result:
        case Polynomial() as above, Polynomial() as below:
            return tree_words(tree_of_part((above, below)))
        case Polynomial():
            return tree_words(tree_of_polynomial(result))
    shown = isinstance(result, Node | Surd | Region | Written | Point)
    return value_words(value_of(result)) if shown else None


def _faulty_step(plan: Plan, identifier: str, target: Hashable) -> tuple[Step | None, object]:
    """Return the step whose faulty version by a pattern alone leads to an answer, and that."""
    run = Walk().through(plan.procedure, plan.start)
    results = tuple(step.result for step in run.log)
    for index, step in enumerate(run.log):
        for outcome, faults in faulty_outcomes(step, moves).items():
            if identifier in [one.id for one in faults]:
                again = Walk((*results[:index], outcome), logged=False)
                ends = again.through(plan.procedure, plan.start).endings
                if target in {comparable_ending(one, "real") for one in ends}:
                    return step, outcome
    return None, None


def _put(whole: object, place: object, other: object) -> Node | None:
    """Return a tree with another one in a place, the first that looks like it; None without one."""
    if whole == place:
        return other if isinstance(other, Node) else None
    if not isinstance(whole, Node):
        return None
    parts = children(whole)
    for index, part in enumerate(parts):
        found = _put(part, place, other)
        if found is not None:
            return with_children(whole, (*parts[:index], found, *parts[index + 1 :]))
    return None


def _of_expression(problem: Problem, line: Node | None, answer: Value) -> tuple[str, ...]:
    """The question, the line between where something is left to be worked out, and the answer."""
    values = ", ".join(f"{name} = {tree_words(value)}" for name, value in problem.substitutions)
    question = f"{tree_words(problem.tree)} at {values}" if values else tree_words(problem.tree)
    between = [] if line is None or canonical(line) == line else [tree_words(line)]
    return tuple(dict.fromkeys((question, *between, value_words(answer))))


def _faulty_run(plan: Plan, identifier: str, target: Hashable) -> Walk | None:
    for run, paths in runs(plan.procedure, plan.start, moves, 1):
        alone = [identifier] in [[one.id for one in path] for path in paths]
        if alone and target in map(said, run.endings):
            return run
    return None


def _right_run(plan: Plan, problem: Problem) -> Walk | None:
    """Return the right path of the same procedure, or of another where that one has none."""
    for one in (plan, *plans(problem)):
        run = Walk(logged=False).through(one.procedure, one.start)
        if run.endings:
            return run
    return None


def _text(problem: Problem, run: Walk) -> tuple[str, ...]:
    """Return the lines of a run without repetitions, its ending last."""
    letter = problem.letter
    lines = ["; ".join(tree_words(relation) for relation in problem.relations)]
    for line in run.lines:
        if isinstance(line, QuadraticForm):
            # The lines that follow are about the substitute, which takes a letter of its own.
            letter = "u" if problem.letter != "u" else "w"
            lines.append(f"{letter} = {_substituted(problem.letter, line.power, line.inner)}")
        elif isinstance(line, Row | OneUnknown | SolvedRow):
            lines.append(_of_system(in_order(problem.letters), line))
        else:
            lines += _of_one_unknown(letter, line)
    if run.endings:
        lines.append(_ending(problem.letter, run.endings[-1]))
    return tuple(dict.fromkeys(lines))


def _polynomial(letter: str, *numbers: Surd) -> str:
    """Write a polynomial, the coefficient of the highest power first."""
    return tree_words(tree_of_polynomial(Polynomial.univariate(letter, reversed(numbers))))


def _substituted(letter: str, power: int, inner: tuple[Surd, ...]) -> str:
    """Write what a substitute stands for, as `QuadraticForm` tells it."""
    if inner:
        return _polynomial(letter, *reversed(inner))
    if power > 1:
        return tree_words(Power(Letter(letter), Numeral(Fraction(power))))
    return {-1: f"1/{letter}", 0: f"√{letter}", -3: f"∛{letter}"}[power]


def _number(value: Surd) -> str:
    return tree_words(tree_of_surd(value))


def _of_one_unknown(letter: str, line: Equation | Branches | Formula) -> Iterator[str]:
    match line:
        case Formula():
            yield f"{letter} = {_of_formula(line)}"
        case Branches(p, q, signed):
            left = _polynomial(letter, p, q)
            if left != letter:
                yield " or ".join(f"{left} = {_number(one)}" for one in signed)
        case _ if line.factors:
            yield from _of_factors(letter, line.factors, line.right[2])
        case _:
            yield f"{_left(letter, line)} = {_polynomial(letter, *line.right)}"


def _left(letter: str, line: Equation) -> str:
    if line.square is None:
        return _polynomial(letter, *line.left)
    scale, p, q, _ = line.square
    tree: Node = Power(tree_of_polynomial(Polynomial.univariate(letter, (q, p))), _two())
    return tree_words(tree if scale == 1 else Product((tree_of_surd(scale), tree)))


def _two() -> Node:
    return Numeral(Fraction(2))


def _of_factors(letter: str, factors: tuple[Linear, ...], right: Surd) -> Iterator[str]:
    sides = [_polynomial(letter, one.p, one.q) for one in factors]
    if len(sides) > 1 and not right:
        trees = [tree_of_polynomial(Polynomial.univariate(letter, (f.q, f.p))) for f in factors]
        yield f"{tree_words(Product(tuple(trees)))} = 0"
    yield " or ".join(dict.fromkeys(f"{side} = {_number(right)}" for side in sides))


def _of_formula(line: Formula) -> str:
    minus_b, radicand, signed, below = line
    taken = signed[0] * signed[0] == radicand
    above = tree_words(Root(tree_of_surd(radicand))) if taken else _number(signed[0])
    above = f"{'±' if len(signed) > 1 or not radicand else '+'} {above}"
    if minus_b:
        above = f"{_number(minus_b)} {above}"
    return f"({above})/{_number(below)}" if below != 1 else above


def _of_system(names: list[str], line: Row | OneUnknown | SolvedRow) -> str:
    if isinstance(line, SolvedRow):
        return f"{names[1 - line.turned]} = {_polynomial(names[line.turned], line.m, line.k)}"
    if isinstance(line, OneUnknown):
        return f"{_polynomial(names[line.second], line.a, Surd.of(0))} = {_number(line.c)}"
    left = Polynomial.letter(names[0]) * line.a + Polynomial.letter(names[1]) * line.b
    return f"{tree_words(tree_of_polynomial(left))} = {_number(line.c)}"


def _ending(letter: str, ending: Hashable) -> str:
    if not isinstance(ending, frozenset):
        return value_words(value_of(ending))
    ordered = sorted(ending, key=lambda one: (one.approximate().real, one.approximate().imag))
    return " or ".join(f"{letter} = {_number(one)}" for one in ordered)
