"""Equations, inequalities and systems: which procedures solve them."""

from __future__ import annotations

import re
from collections.abc import Hashable
from contextlib import suppress
from dataclasses import replace
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Letter,
    Node,
    Product,
    Relation,
    children,
    in_order,
    letters,
    replaced,
)
from pipeline.exact.values import Equation, Number, Roots, Statement, StatementCode, number_of
from pipeline.procedures import symbolic_solving
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.equations import equation_of
from pipeline.procedures.polynomial_equations import substitution_plans
from pipeline.procedures.quadratic import QUADRATIC, solve_linear
from pipeline.procedures.rational_equations import proportion_of, solve_proportion
from pipeline.procedures.shapes_of_equations import equation_plans
from pipeline.procedures.shapes_of_inequalities import compound_plans, inequality_plans
from pipeline.procedures.solving_for import formula_plans
from pipeline.procedures.systems import system_plans
from pipeline.procedures.walk import Plan
from pipeline.procedures.word_problems import story_of, tell_story, told
from pipeline.procedures.written_sides import plans_of_sides
from pipeline.reading.judge import RightAnswer
from pipeline.reading.lines import read_line
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.reading.relations import UNSOLVED
from pipeline.records import Numbers
from pipeline.tasks.domain import with_interval
from pipeline.tasks.task import Asked, Task, right_of_run

_SAYS_LETTER: Final = re.compile(r"\bfor\s+[A-Za-z](?:_?\{?\w\}?)?\s*[.?]?\s*$")
_LETTER: Final = re.compile(r"[A-Za-z]")
_PAIRS: Final = re.compile(
    r"^[\s$]*\\?\{\s*(?:\\left)?\(\s*[A-Za-z]\s*,\s*[A-Za-z]\s*(?:\\right)?\)"
    r"\s*(?:\||:|\\mid|\\vert|such that)\s*([^{}]+?)\s*\\?\}[\s$.]*$"
)
_LENGTHS: Final = re.compile(
    r"^(\s*\d+(?:\.\d+)?\s*[A-Za-z]*?)\s*[xX×]\s*(\d+(?:\.\d+)?\s*[A-Za-z.]*\s*)$"
)


def plans(problem: Problem) -> list[Plan]:
    """Return the procedures that solve a problem, those of a word problem with its last steps."""
    found = _plans(problem)
    if not (problem.asked or problem.joined or problem.offered) and problem.keep is None:
        return found
    return [Plan(one.name, tell_story, story_of(problem, one)) for one in found]


def _plans(problem: Problem) -> list[Plan]:
    try:
        found = [*_of_proportion(problem), *_by_degree(problem)]
        if any(one.name != "proportion" for one in found):
            return found
        return [*found, *_by_shape(problem)]
    except (CannotBeWorked, ZeroDivisionError):
        return []


def _of_proportion(problem: Problem) -> list[Plan]:
    if len(problem.relations) != 1 or not problem.letter:
        return []
    proportion = proportion_of(problem.relations[0], problem.letter)
    return [] if proportion is None else [Plan("proportion", solve_proportion, proportion)]


def _by_degree(problem: Problem) -> list[Plan]:
    """A linear or quadratic equation in one letter."""
    if len(problem.relations) != 1 or not problem.letter:
        return []
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is None:
        return []
    sides = plans_of_sides(problem.relations[0], problem.letter)
    if equation.degree < 2:
        return [Plan("linear", solve_linear, equation), *sides]
    usual = [Plan(name, procedure, equation) for name, procedure in QUADRATIC.items()]
    first, second = problem.relations[0].sides
    return [*usual, *substitution_plans(first, second, problem.letter), *sides]


def _by_shape(problem: Problem) -> list[Plan]:
    """Whatever is no linear or quadratic equation in one letter."""
    relations, letter = problem.relations, problem.letter
    if problem.is_system and problem.is_inequality and problem.letters == {letter}:
        return compound_plans(relations, letter, problem.either)
    if len(relations) == 2:
        names = in_order(frozenset().union(*map(letters, relations)))
        return system_plans(*relations, names) if len(names) == 2 else []
    if len(relations) != 1:
        return []
    if problem.letters != {letter}:
        return formula_plans(problem) if _names_unknown(problem) else []
    if set(relations[0].signs) == {"="}:
        return equation_plans(relations[0], letter)
    return inequality_plans(relations[0], letter)


def _names_unknown(problem: Problem) -> bool:
    """Whether it is told which letter to solve for: by name, or by one x, y or z among others."""
    unknowns = problem.letters & {"x", "y", "z"}
    return len(problem.letters) < 2 or len(unknowns) == 1 or bool(_SAYS_LETTER.search(problem.text))


def _for_any_letter(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The right answers for each letter, where it is not told which one is asked for."""
    found: list[RightAnswer] = []
    for letter in sorted(problem.letters, key=lambda name: name != problem.letter):
        with suppress(CannotBeWorked, ZeroDivisionError):
            plans = formula_plans(replace(problem, letter=letter))
            found.append(right_of_run(plans, numbers))
    if not found:
        raise CannotBeWorked("several letters: end the problem with the one asked for, as `for y`")
    first, *rest = found
    others = [value for one in rest for value in (one.value, *one.also)]
    return replace(first, also=(*first.also, *others))


def right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """Return the right answer: that of a procedure, or sympy's where none gets there.

    Raises:
        CannotBeWorked: neither finds one.
    """
    if not problem.relations:
        raise CannotBeWorked("there is no equation to solve")
    if not (problem.is_system or _names_unknown(problem)):
        return _for_any_letter(problem, numbers)
    try:
        answer = _with_line(problem, right_of_run(_plans(problem), numbers))
    except CannotBeWorked:
        answer = _by_symbols(problem, numbers)
    return told(problem, answer)


def solution_set(relation: Relation, letter: str) -> Hashable | None:
    """Return the comparable solutions of an equation, complex ones included; None if unknown."""
    problem = Problem("", "solve", relation, letter, (relation,), frozenset({letter}))
    try:
        return comparable_value(right(problem, "complex").value)
    except (CannotBeWorked, ZeroDivisionError):
        return None


def _by_symbols(problem: Problem, numbers: Numbers) -> RightAnswer:
    if problem.is_system and (problem.is_inequality or problem.either):
        raise CannotBeWorked("inequalities in several letters, or beyond our procedures")
    if problem.is_system:
        return RightAnswer(symbolic_solving.solve_system(problem.relations, numbers))
    (relation,) = problem.relations
    if problem.is_inequality and len(problem.letters) > 1:
        raise CannotBeWorked("the inequality cannot be solved for its letter step by step")
    if problem.is_inequality:
        return RightAnswer(symbolic_solving.solve_inequality(relation, problem.letter))
    value = symbolic_solving.solve_equation(relation, problem.letter, numbers)
    if value == Statement(StatementCode.NO_REAL):
        return RightAnswer(value, also=(Statement(StatementCode.NO_SOLUTION),))
    return RightAnswer(value)


def _with_line(problem: Problem, answer: RightAnswer) -> RightAnswer:
    """Two equations that are one line have that line for an answer, too."""
    equal = all(set(relation.signs) == {"="} for relation in problem.relations)
    if not problem.is_system or answer.value != Statement(StatementCode.ALL_REAL) or not equal:
        return answer
    return replace(answer, also=(*answer.also, Equation(problem.relations[0])))


def _rewritten(answer: str, asked: Asked) -> str:
    """Pairs such as {(x, y) | 3x - 2y = 6} are told by their equation, two lengths as 8 x 12."""
    pairs = _PAIRS.match(answer)
    text = pairs[1] if pairs else answer
    return _LENGTHS.sub(r"\1, \2", text) if _asks_two(asked) else text


def _asks_two(asked: Asked) -> bool:
    return asked.problem is not None and len(asked.problem.asked) == 2


def _meant(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    if asked.problem is None:
        return read
    if len(asked.problem.relations) == 1:
        read = check_as_number(read, asked, asked.problem.relations[0])
    read = with_interval(read, asked) if asked.problem.is_inequality else solved(read, asked)
    if asked.problem.is_system:
        read = replace(read, readings=tuple(_line_of_point(one, asked) for one in read.readings))
    if not _asks_two(asked):
        return read
    return replace(read, readings=tuple(map(_both_sides, read.readings)))


def _line_of_point(reading: Reading, asked: Asked) -> Reading:
    """Take a point with a letter in it, `(x, 5 - x)`, for the line where it solves the system."""
    problem, value = asked.problem, reading.value
    members = value.members if isinstance(value, Roots) else ()
    if problem is None or not any(letters(one.tree) for one in members):
        return reading
    names = in_order(problem.letters)
    if len(members) != len(names) or any(set(one.signs) != {"="} for one in problem.relations):
        return reading
    point = tuple(zip(names, (one.tree for one in members), strict=True))
    for relation in problem.relations:
        difference = polynomial_of(replaced(relation.difference, point))
        if difference is None or difference:
            return reading
    return replace(reading, value=Equation(problem.relations[0]))


def solved(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """An equation left as the answer stands for its solutions, as an inequality for its region.

    One with further solutions, as squaring makes it, says nothing of what becomes of them.
    """
    problem = asked.problem
    if problem is None or problem.is_system or problem.asked or problem.keep is not None:
        return read
    numbers: Numbers = "complex" if asked.context.complex_numbers else "real"
    found: list[Reading] = []
    for one in read.readings:
        if isinstance(one.value, Equation) and len(names := letters(one.value.relation)) == 1:
            relation, (letter,) = one.value.relation, names
            left = Problem("", "solve", relation, letter, (relation,), names)
            with suppress(CannotBeWorked, ZeroDivisionError):
                value = right_of_run(_plans(left), numbers).value
                ends, due = map(comparable_value, (value, right(problem, numbers).value))
                wider = isinstance(ends, frozenset) and isinstance(due, frozenset) and due < ends
                if not wider:
                    found.append(replace(one, value=value, convention=UNSOLVED))
    return replace(read, readings=(*read.readings, *found))


def check_as_number(read: ReadAnswer, asked: Asked, relation: Relation) -> ReadAnswer:
    """Take the number that was put into an equation, `3*4 = 12` for 3x = 12, for the answer."""
    letters_typed = _LETTER.search(read.raw) and not asked.context.functions
    if relation.signs != ("=",) or "=" not in read.raw or letters_typed:
        return read
    line = read_line(1, read.raw, asked.context, None)
    if line is None or [one.signs for one in line.relations] != [("=",)]:
        return read
    told_by = ("the number that was put into the question",)
    for sides in (relation.sides, relation.sides[::-1]):
        bound: set[Node] = set()
        if _puts_in(replace(relation, sides=sides), line.relations[0], bound) and len(bound) == 1:
            return replace(read, readings=(Reading(number_of(bound.pop()), told_by, "check"),))
    return read


def _puts_in(pattern: Node, node: Node, bound: set[Node]) -> bool:
    """Whether a tree is another with numbers in place of its letter; collects these numbers."""
    if isinstance(pattern, Letter):
        bound.add(node)
        return not letters(node)
    parts, others = children(pattern), children(node)
    if type(pattern) is not type(node) or len(parts) != len(others):
        return False
    if not parts:
        return pattern == node
    return all(_puts_in(a, b, bound) for a, b in zip(parts, others, strict=True))


def _both_sides(reading: Reading) -> Reading:
    """Take a product of two numbers for two lengths where two quantities are asked for."""
    match reading.value:
        case Number(tree=Product((first, second))):
            return replace(reading, value=Roots((number_of(first), number_of(second))))
    return reading


SOLVE: Final = Task(
    "solve",
    "all solutions",
    "an equation, inequality, chain, or system joined by `;`; `for y` or `; choose from 0, 1`"
    " may end it",
    "x^2 - 4x = 2",
    "2 + sqrt(6), 2 - sqrt(6)",
    plans,
    right,
    notation=Notation(solves=True),
    rewritten=_rewritten,
    meant=_meant,
    simplest="exact+simplified",
    beside=("interval",),
    verbs=("solve", "lös", "resuelv", "résou", "resou"),
    also_asks=("solve-for",),
    chance_by_size=True,
    of_any_numbers=True,
    of_equation=True,
    of_letter=True,
)
