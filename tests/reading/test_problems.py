"""Problem texts of a course are read, or refused with the place and the way out."""

from __future__ import annotations

import pytest

from pipeline.errors import UnreadableProblem
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Negation, Relation, Sum
from pipeline.exact.values import Equation, Expression, value_key
from pipeline.tasks.catalogue import read_problem


@pytest.mark.parametrize(
    ("text", "letter", "expected"),
    [
        ("x^2 - 6x + 8 = 0", "x", "x**2 - 6*x + 8"),
        ("(x - 7)(x + 4) = 8", "x", "x**2 - 3*x - 36"),
        ("3(2t-5) = 4t + 1", "t", "2*t - 16"),
        ("m² = 11", "m", "m**2 - 11"),
        (r"$\frac{x}{2}-1=x^{2}$", "x", "-x**2 + Rational(1, 2)*x - 1"),
        ("Solve x^2 = 4", "x", "x**2 - 4"),
        ("2 − 3y = 8.", "y", "-3*y - 6"),
        ("z/4 = 3", "z", "Rational(1, 4)*z - 3"),
        ("4x^2 = -11x", "x", "4*x**2 + 11*x"),
    ],
)
def test_equation(text: str, letter: str, expected: str) -> None:
    problem = read_problem(text)
    assert problem.letter == letter
    assert isinstance(problem.tree, Relation)
    left, right = problem.tree.sides
    difference = polynomial_of(Sum((left, Negation(right))))
    assert difference is not None
    assert value_key(Expression(problem.tree.sides[0])) is not None
    assert str(difference) == expected


@pytest.mark.parametrize(
    ("text", "task", "letter", "count"),
    [
        ("3x + 2y = 6; x - y = 1", "solve", "x", 2),
        ("A = bh/2 for h", "solve", "h", 1),
        ("2l + 2w = P, solve for w", "solve", "w", 1),
        ("|2x - 1| < 5", "solve", "x", 1),
        ("sqrt(x + 6) = x", "solve", "x", 1),
        ("2/(x+5) - 1/(x-1) = 1", "solve", "x", 1),
        ("-3 < 2x + 1 <= 7", "solve", "x", 1),
        ("x^2 + 10x", "square-constant", "x", 0),
        ("3x(x - 4)", "expand", "x", 0),
        ("sqrt(48)/sqrt(108)", "simplify", "", 0),
        ("-8*7", "evaluate", "", 0),
    ],
)
def test_kinds_of_problems(text: str, task: str, letter: str, count: int) -> None:
    problem = read_problem(text, task)
    assert problem.letter == letter
    assert len(problem.relations) == count


def test_a_value_can_be_put_in() -> None:
    problem = read_problem("2x^2 at x=5", "evaluate")
    assert [name for name, _ in problem.substitutions] == ["x"]
    assert read_problem("xy - 3 when x = 2, y = -1", "evaluate").substitutions[1][0] == "y"


@pytest.mark.parametrize("text", ["y = 2(x-3)^2 + 1", "f(x) = 2(x-3)^2 + 1", "2(x-3)^2 + 1"])
def test_a_vertex_problem_is_its_right_side(text: str) -> None:
    problem = read_problem(text, "vertex")
    assert value_key(Expression(problem.tree)) == "2*x**2 - 12*x + 19"
    assert problem.relations == ()


def test_i_is_a_letter_only_where_the_problem_makes_it_one() -> None:
    assert read_problem("i^2 - 4i = 5").context.i_is_letter
    assert not read_problem("(3+2i)(1-i)", "simplify").context.i_is_letter


@pytest.mark.parametrize("text", ["", "x^2 - = 3", "see page 4", "2x + (3 = 5", "x" * 3000])
def test_what_is_no_problem_is_refused(text: str) -> None:
    with pytest.raises(UnreadableProblem, match="write it like"):
        read_problem(text)


@pytest.mark.parametrize("task", ["slope", "line", "function", "convert"])
def test_tasks_with_a_syntax_of_their_own_keep_the_text(task: str) -> None:
    problem = read_problem("through (1, 2) and (3, 8)", task)
    assert problem.text == "through (1, 2) and (3, 8)"
    assert problem.relations == ()


def test_relations_keep_their_signs() -> None:
    problem = read_problem("x^2 + 8x > -15")
    assert problem.is_inequality
    assert value_key(Equation(problem.relations[0])) == "x**2 + 8*x + 15 > 0"
