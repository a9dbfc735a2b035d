"""Numbers of solutions: as counted by sympy, in the words that people use, and silence on them."""

from __future__ import annotations

import random

import pytest
import sympy

from pipeline.exact.values import value_key, value_source
from pipeline.reading.answer import read_answer
from pipeline.reading.records import ReadingContext
from pipeline.reading.source import value_of_source
from pipeline.records import Numbers, Request, Verdict
from pipeline.tagging.choices import tasks_behind
from pipeline.tagging.examine import examine
from pipeline.tagging.questions import question_of

TASK = "number-of-solutions"
X = sympy.Symbol("x")
COUNTS = ReadingContext(kind="count", letters=frozenset("x"))

# What a discriminant says of the solutions: OpenStax Elementary Algebra 2e, 10.3, and College
# Algebra 2e, 2.5; the equations are of our own.
RIGHT: list[tuple[str, Numbers, tuple[str, ...]]] = [
    ("x^2 + 5x + 4 = 0", "real", (
        "2", "two", "Two.", "2 real", "two real solutions", "2 rational", "2 distinct solutions",
        "two solutions, both real", "2 real, rational", "1 positive and 1 negative", "2 roots",
        "D=9 so 2 solutions", "2 because 9>0", "9 > 0, two real solutions", "2 x-intercepts",
        "one positive one negative", "two real and distinct", "has 2 real roots",
        "there are two", "it has 2 real solutions", "the equation has two real roots")),
    ("x^2 + 5x + 1 = 0", "real", ("2", "2 irrational solutions", "two real, irrational")),
    ("x^2 - 6x + 9 = 0", "real", (
        "1", "one", "only one", "one repeated", "1 (double root)", "two equal roots",
        "a double root", "1 solution (x=3)", "one, x = 3", "one solution x=3", "real and equal",
        "one solution, repeated", "one real, repeated", "2 identical real solutions", "exactly 1")),
    ("x^2 + 2x + 5 = 0", "real", (
        "0", "none", "zero", "no solution", "no real solutions", "0 real", "two complex solutions",
        "2 imaginary solutions", "2 complex, none real", "no real, 2 complex", "two non-real roots",
        "∅", "no solutions because discriminant is negative", "2 complex (no real)",
        "two complex conjugate roots")),
    ("x^2 + 2x + 5 = 0", "complex", ("2", "two", "two complex", "2 nonreal", "0 real, 2 complex")),
    ("2x + 3 = 2x + 3", "real", (
        "infinitely many", "infinite", "∞", "all real numbers", "infinitely many solutions")),
    ("2x + 3 = 2x + 5", "real", ("0", "none", "no solution")),
    ("5x = 0", "real", ("1", "one solution")),
    ("|x - 3| = 5", "real", ("2", "two")),
    ("sqrt(x + 6) = x", "real", ("1", "one solution")),
    ("x^3 = 8", "real", ("1", "one real and two complex", "1 real, 2 imaginary")),
    ("x^3 = 8", "complex", ("3", "1 real and 2 complex", "three")),
    ("x + y = 2; x - y = 0", "real", ("1", "one solution")),
    ("x + y = 2; 2x + 2y = 4", "real", ("infinitely many",)),
    ("x + y = 2; 2x + 2y = 5", "real", ("none", "0", "no solution")),
]  # fmt: skip

OTHER_FORM: list[tuple[str, Numbers, tuple[str, ...]]] = [
    (
        "x^2 + 5x + 4 = 0",
        "real",
        (
            "-1, -4",
            "x = -1 or x = -4",
            "real",
            "rational",
            "real, rational",
            "2 solutions: -1 and -4",
        ),
    ),
    ("x^2 - 6x + 9 = 0", "real", ("x = 3",)),
    ("x^2 - 6x + 9 = 0", "complex", ("2",)),
    ("x^2 + 5x + 4 = 0", "complex", ("2 complex",)),
    ("x^2 + 2x + 5 = 0", "real", ("complex",)),
    ("x + y = 2; x - y = 0", "real", ("(1, 1)",)),
]


@pytest.mark.parametrize(
    ("problem", "numbers", "answer"),
    [(problem, numbers, one) for problem, numbers, answers in RIGHT for one in answers],
)
def test_words_for_a_number_are_right(problem: str, numbers: Numbers, answer: str) -> None:
    found = examine(Request(TASK, problem, answer, numbers=numbers))

    assert found.verdict is Verdict.RIGHT, found
    assert found.patterns == ()


@pytest.mark.parametrize(
    ("problem", "numbers", "answer"),
    [(problem, numbers, one) for problem, numbers, answers in OTHER_FORM for one in answers],
)
def test_what_is_true_but_no_number_has_no_error(
    problem: str, numbers: Numbers, answer: str
) -> None:
    found = examine(Request(TASK, problem, answer, numbers=numbers))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM, found
    assert found.patterns == ()


def test_a_solution_is_no_number_of_solutions() -> None:
    assert examine(Request(TASK, "x^2 - 4x + 4 = 0", "x = 2")).verdict is Verdict.RIGHT_OTHER_FORM
    assert examine(Request(TASK, "x^2 - 4x + 3 = 0", "x = 2")).verdict is Verdict.WRONG
    assert examine(Request(TASK, "x^2 - 4x + 3 = 0", "1, 2")).verdict is Verdict.WRONG


def test_over_the_complex_numbers_no_solution_is_an_error() -> None:
    found = examine(Request(TASK, "x^2 + 2x + 5 = 0", "none", numbers="complex"))

    assert [one.id for one in found.patterns] == ["called-no-solution"]


@pytest.mark.parametrize("answer", ["many", "at least one", "solutions", "1 2", "2 or 3", "yes"])
def test_what_is_no_number_is_not_read_as_one(answer: str) -> None:
    found = examine(Request(TASK, "x^2 + 5x + 4 = 0", answer))

    assert found.verdict in (Verdict.UNREADABLE, Verdict.WRONG)
    assert found.patterns == ()


def test_the_source_of_a_count_is_read_back() -> None:
    for answer in ("2 irrational", "1 real and 2 complex", "irrational", "3 nonreal"):
        value = read_answer(answer, COUNTS).readings[0].value
        source = value_of_source(value_source(value))
        assert source is not None
        assert value_key(source) == value_key(value)


def test_a_key_may_name_the_kind() -> None:
    request = Request(TASK, "x^2 + 5x + 1 = 0", "two irrational roots", key="2 irrational")

    assert examine(request).verdict is Verdict.RIGHT
    assert question_of(request).reason is None


def test_inequalities_have_no_number_of_solutions() -> None:
    assert "of an equation" in str(question_of(Request(TASK, "x < 2", "")).reason)


@pytest.mark.parametrize("chain", ["x^2 = 4 = 2x", "x^3 = 4 = 2x"])
def test_chains_of_equations_have_no_number_of_solutions(chain: str) -> None:
    assert "of an equation" in str(question_of(Request(TASK, chain, "")).reason)


def test_quadratics_are_counted_as_sympy_counts() -> None:
    rng = random.Random("numbers of solutions")
    for _ in range(60):
        a = rng.choice([1, 1, 2, 3, -1])
        b, c = rng.randint(-6, 6), rng.randint(-9, 9)
        roots = sympy.roots(sympy.Poly(a * X**2 + b * X + c, X))
        real = [root for root in roots if root.is_real]
        problem = f"{a}x^2 + ({b})x + ({c}) = 0"
        assert examine(Request(TASK, problem, str(len(real)))).verdict is Verdict.RIGHT
        every = Request(TASK, problem, str(len(roots)), numbers="complex")
        assert examine(every).verdict is Verdict.RIGHT
        kind = "rational" if all(root.is_rational for root in real) else "irrational"
        said = f"{len(real)} {kind}" if real else f"{len(roots)} complex"
        assert examine(Request(TASK, problem, said)).verdict is Verdict.RIGHT


def test_cubics_without_exact_roots_are_counted_as_sympy_counts() -> None:
    for text, polynomial in (
        ("x^3 - 3x + 1 = 0", X**3 - 3 * X + 1),
        ("x^3 + x + 1 = 0", X**3 + X + 1),
        ("x^5 - 5x + 1 = 0", X**5 - 5 * X + 1),
    ):
        count = sympy.Poly(polynomial, X).count_roots()
        assert examine(Request(TASK, text, str(count))).verdict is Verdict.RIGHT


def test_a_cubic_with_real_roots_that_have_no_real_form_is_not_said_to_have_none() -> None:
    found = question_of(Request("solve", "x^3 - 3x + 1 = 0", ""))

    assert found.right is None
    assert "no solution in closed form" in str(found.reason)
    assert question_of(Request("solve", "x^3 + x + 1 = 0", "")).right is not None


def test_an_option_counts_solutions_only_where_it_answers_nothing_else() -> None:
    assert tasks_behind("x^2 - 6x + 9 = 0", "one real solution", "real") == (TASK,)
    assert TASK not in tasks_behind("4x = 4", "1", "real")
    assert tasks_behind("Three less than a number: x - 3", "x - 3", "real") == ()
