"""Every spelling of the generator is read as the value that was meant, compared in sympy."""

from __future__ import annotations

import ast

import sympy as sp

from pipeline.exact.values import value_source
from pipeline.reading.answer import read_answer
from pipeline.reading.records import ReadingContext
from synthetic_data.problems import Problem
from synthetic_data.question_bank import problem_pools
from synthetic_data.stray_answers import UNREADABLE, guesses, slips
from synthetic_data.typing_habits import spellings
from synthetic_data.values import NO_REAL, PRIME, Typed, Value
from tests.synthetic.algebra import in_sympy, walk

KINDS = {
    "solve": "roots",
    "square-constant": "number",
    "discriminant": "number",
    "vertex": "point",
}


def _context(problem: Problem) -> ReadingContext:
    return ReadingContext(
        letters=frozenset(problem.letter),
        kind=KINDS.get(problem.task, "expression"),
        complex_numbers=True,
        i_is_letter=False,
    )


def _read(text: str, problem: Problem) -> object:
    """The first reading in sympy: a set of solutions, a pair for a point, else an expression."""
    readings = read_answer(text, _context(problem)).readings
    if not readings:
        return None
    node = ast.parse(value_source(readings[0].value), mode="eval").body
    match node:
        case ast.List(members):
            return {walk(member) for member in members}
        case ast.Tuple(members):
            return tuple(walk(member) for member in members)
    return walk(node)


def _same(read: object, meant: object, habit: str) -> bool:
    if isinstance(meant, set) and not isinstance(read, set):
        read = {read}
    if isinstance(meant, set | tuple):
        if type(read) is not type(meant) or len(read) != len(meant):
            return False
        ours, theirs = (_sorted(meant), _sorted(read)) if isinstance(meant, set) else (meant, read)
        return all(_equal(a, b, habit) for a, b in zip(ours, theirs, strict=True))
    return _equal(meant, read, habit)


def _sorted(values: set[sp.Expr]) -> list[sp.Expr]:
    return sorted(values, key=lambda one: (round(float(sp.re(one)), 2), float(sp.im(one))))


def _equal(meant: sp.Expr, read: object, habit: str) -> bool:
    if not isinstance(read, sp.Expr):
        return False
    if habit == "three places":
        return abs(sp.N(meant - read)) <= 0.0005
    return sp.expand(meant - read) == 0


def _misread(problem: Problem, values: tuple[Value, ...]) -> list[tuple[str, str]]:
    return [
        (problem.text, text)
        for value in values
        if not isinstance(value, Typed)
        for habit, text, _ in spellings(value, problem.letter)
        if not _same(_read(text, problem), in_sympy(value, problem.letter), habit)
    ]


def test_right_answers_in_every_spelling() -> None:
    for pool in problem_pools():
        for problem in pool.problems[:4]:
            assert _misread(problem, (problem.right,)) == []


def test_wrong_answers_in_every_spelling() -> None:
    for pool in problem_pools():
        problem = pool.problems[0]
        for values in problem.wrong.values():
            assert _misread(problem, values) == []


def test_slips_and_guesses_in_every_spelling() -> None:
    for pool in problem_pools():
        problem = pool.problems[0]
        assert _misread(problem, slips(problem) + guesses(problem)) == []


def test_statements_are_read() -> None:
    problem = problem_pools()[0].problems[0]
    for statement, code in ((NO_REAL, "NO_REAL"), (PRIME, "PRIME")):
        for text in statement.spellings:
            readings = read_answer(text, _context(problem)).readings
            assert [value_source(one.value) for one in readings][:1] == [code]


def test_what_is_planted_as_unreadable_is_not_read() -> None:
    for pool in problem_pools()[::6]:
        problem = pool.problems[0]
        assert [text for text in UNREADABLE if read_answer(text, _context(problem)).readings] == []
