"""Every right answer of the course, worked out a second time by sympy from the question's text."""

from __future__ import annotations

import sympy as sp

from synthetic_data.problems import Problem
from synthetic_data.question_bank import problem_pools, question_bank
from synthetic_data.surds import Surd
from synthetic_data.values import PRIME
from tests.synthetic.algebra import expression, in_sympy

ALGEBRA = {"solve", "expand", "factor", "simplify", "square-constant", "discriminant", "vertex"}


def _sides(text: str) -> tuple[sp.Expr, sp.Expr]:
    left, right = text.split("=")
    return expression(left), expression(right)


def _right(problem: Problem) -> object:
    x = sp.Symbol(problem.letter)
    match problem.task:
        case "solve":
            left, right = _sides(problem.text)
            return set(sp.roots(sp.Poly(sp.expand(left - right), x)))
        case "discriminant":
            left, right = _sides(problem.text)
            return sp.discriminant(left - right, x)
        case "vertex":
            parabola = sp.expand(_sides(problem.text)[1])
            axis = sp.solve(sp.diff(parabola, x), x)[0]
            return axis, parabola.subs(x, axis)
        case "square-constant":
            return (expression(problem.text).coeff(x, 1) / 2) ** 2
    return sp.nsimplify(sp.expand(expression(problem.text)))


def _agree(problem: Problem) -> bool:
    if problem.right == PRIME:
        return sp.Poly(expression(problem.text)).is_irreducible
    ours, theirs = in_sympy(problem.right, problem.letter), _right(problem)
    if isinstance(ours, set):
        return {sp.expand(one) for one in ours} == {sp.expand(one) for one in theirs}
    if isinstance(ours, tuple):
        return ours == theirs
    return sp.simplify(sp.expand(ours - theirs)) == 0


def test_every_right_answer_is_what_sympy_finds() -> None:
    """For the word problem the story keeps one of sympy's two solutions."""
    asked = {
        (problem.task, problem.text): problem
        for question in question_bank()
        for problem in question.problems
        if problem.task in ALGEBRA and not question.keep
    }
    assert len(asked) > 900
    assert [text for (_, text), problem in asked.items() if not _agree(problem)] == []


def test_the_word_problems_keep_the_positive_solution() -> None:
    stories = [question for question in question_bank() if question.keep == "x > 0"]
    assert len(stories) == 2
    for question in stories:
        (problem,) = question.problems
        found = {one for one in _right(problem) if one > 0}
        assert found == in_sympy(problem.right)


def test_no_wrong_rule_leads_to_the_right_answer() -> None:
    """Compared by value in sympy, not by the generator's own comparison."""
    for pool in problem_pools():
        for problem in pool.problems[:3]:
            if problem.right == PRIME:
                continue
            right = _plain(problem, in_sympy(problem.right, problem.letter))
            for rule, values in problem.wrong.items():
                for value in values:
                    if not hasattr(value, "spellings"):
                        wrong = _plain(problem, in_sympy(value, problem.letter))
                        assert wrong != right, (problem.text, rule)


def _plain(problem: Problem, value: object) -> object:
    if isinstance(value, set):
        return {sp.expand(one) for one in value}
    return value if isinstance(value, tuple) else sp.expand(value)


def test_a_surd_is_in_lowest_terms() -> None:
    for pool in problem_pools():
        for problem in pool.problems:
            for member in getattr(problem.right, "members", ()):
                if isinstance(member, Surd) and not member.is_rational:
                    squares = sp.factorint(abs(member.radicand)).values()
                    assert all(power == 1 for power in squares)
