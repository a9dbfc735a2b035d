"""The right path of each task with a syntax of its own agrees with sympy."""

from __future__ import annotations

import random
from typing import Any

import pytest
import sympy

from pipeline.exact.numbers import Surd
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.questions import question_of
from pipeline.tasks.catalogue import TASKS
from tests.patterns.catalogue_page import PAGE_OF_TASKS, page_of_tasks

X, Y, A, P, V = sympy.symbols("x y A P V")
HOW_MANY = 300


def verdict(task: str, problem: str, answer: object) -> Verdict:
    return examine(Request(task, problem, str(answer).replace("**", "^"))).verdict


def is_right(task: str, problem: str, answer: object) -> bool:
    return verdict(task, problem, answer) in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)


def nonzero(rng: random.Random, size: int = 9) -> int:
    return rng.choice([n for n in range(-size, size + 1) if n])


def test_slopes() -> None:
    rng = random.Random("slopes")
    for _ in range(HOW_MANY):
        x1, y1, x2, y2 = (rng.randint(-9, 9) for _ in range(4))
        if (x1, y1) == (x2, y2):
            continue
        answer = "undefined" if x1 == x2 else sympy.Rational(y2 - y1, x2 - x1)
        assert is_right("slope", f"({x1}, {y1}), ({x2}, {y2})", answer)


def test_slopes_of_equations() -> None:
    rng = random.Random("slopes of equations")
    for _ in range(HOW_MANY):
        a, b, c = nonzero(rng), nonzero(rng), rng.randint(-20, 20)
        slope = sympy.diff(sympy.solve(a * X + b * Y - c, Y)[0], X)
        assert is_right("slope", f"({a})x + ({b})y = {c}", slope)


def test_lines() -> None:
    rng = random.Random("lines")
    for _ in range(HOW_MANY):
        x, y, slope = rng.randint(-9, 9), rng.randint(-9, 9), sympy.Rational(nonzero(rng), 3)
        a, b = nonzero(rng), nonzero(rng)
        line = sympy.expand(slope * (X - x) + y)
        assert is_right("line", f"through ({x}, {y}), slope {slope}", f"y = {line}")
        beside = sympy.Line(sympy.Point(0, 0), sympy.Point(b, -a))
        turned = beside.perpendicular_line(sympy.Point(x, y)).equation(X, Y)
        assert is_right("line", f"through ({x}, {y}), perpendicular to ({a})x + ({b})y = 1",
                        f"{turned} = 0")  # fmt: skip
        along = beside.parallel_line(sympy.Point(x, y)).equation(X, Y)
        assert is_right("line", f"through ({x}, {y}), parallel to ({a})x + ({b})y = 1",
                        f"{along} = 0")  # fmt: skip


@pytest.mark.thorough
def test_values_and_compositions_of_functions() -> None:
    rng = random.Random("functions")
    for _ in range(HOW_MANY):
        a, b, c, m, k = nonzero(rng), rng.randint(-9, 9), rng.randint(-9, 9), nonzero(rng), 1
        k = rng.randint(-9, 9)
        f, g = a * X**2 + b * X + c, m * X + k
        given = f"f(x) = ({a})x^2 + ({b})x + ({c}); g(x) = ({m})x + ({k}); "
        value = rng.randint(-5, 5)
        assert is_right("function", f"{given}f({value})", f.subs(X, value))
        assert is_right(
            "function",
            f"{given}f(a + h)",
            sympy.expand(f.subs(X, sympy.Symbol("a") + sympy.Symbol("h"))),
        )
        assert is_right("function", f"{given}(f o g)(x)", sympy.expand(f.subs(X, g)))
        assert is_right("function", f"{given}g(f({value}))", g.subs(X, f.subs(X, value)))
        assert is_right("function", f"{given}(f - g)(x)", sympy.expand(f - g))
        assert is_right("function", f"{given}(fg)(x)", sympy.expand(f * g))
        assert is_right("function", f"{given}g^-1(x)", sympy.solve(g - Y, X)[0].subs(Y, X))


a, b, c, f, h, k, m, p, q, r, t, w = sympy.symbols("a b c f h k m p q r t w")
FORMULAS = (
    ("A = b*h/2", A - b * h / 2),
    ("P = 2*k + 2*w", P - 2 * k - 2 * w),
    ("y = m*x + b", Y - m * X - b),
    ("V = k*w*h", V - k * w * h),
    ("A = P + P*r*t", A - P - P * r * t),
    ("V = 2*k*w + 2*w*h + 2*k*h", V - 2 * k * w - 2 * w * h - 2 * k * h),
    ("1/f = 1/p + 1/q", 1 / f - 1 / p - 1 / q),
    ("a*x + b*y = c", a * X + b * Y - c),
    ("a*(x + 1) = b*x", a * (X + 1) - b * X),
)


@pytest.mark.parametrize(("formula", "difference"), FORMULAS, ids=str)
def test_formulas(formula: str, difference: Any) -> None:
    """Formulas of OpenStax Elementary Algebra 2e, 2.6, and some of their kind."""
    for letter in sorted(difference.free_symbols, key=str):
        (found,) = sympy.solve(difference, letter)
        problem = f"{formula} for {letter}"
        assert is_right("solve-for", problem, f"{letter} = {found}"), problem
        assert is_right("solve-for", problem, found), problem
        assert not is_right("solve-for", problem, f"{letter} = {found + 1}"), problem


positive = {name: sympy.Symbol(name, positive=True) for name in "ABCEFLPTVacghiklmnrtvxy"}
BOUND = (
    ("V = (4/3)*pi*r^3", "r", "V - 4*pi*r**3/3"),
    ("A = P*(1 + i)^n", "P", "A - P*(1 + i)**n"),
    ("A = P*(1 + i)^n", "i", "A - P*(1 + i)**n"),
    ("T = 2*pi*sqrt(L/g)", "L", "T - 2*pi*sqrt(L/g)"),
    ("T = 2*pi*sqrt(L/g)", "g", "T - 2*pi*sqrt(L/g)"),
    ("C = (5/9)*(F - 32)", "F", "C - 5*(F - 32)/9"),
    ("E = (1/2)*m*v^2", "v", "E - m*v**2/2"),
    ("F = k*m/r^2", "r", "F - k*m/r**2"),
    ("y = 3*sqrt(x - 2) + a", "x", "y - 3*sqrt(x - 2) - a"),
    ("V = pi*r^2*h + 2*pi*r^3", "h", "V - pi*r**2*h - 2*pi*r**3"),
    ("A = P*e^(r*t)", "P", "A - P*exp(r*t)"),
    ("A = P*e^(r*t)", "t", "A - P*exp(r*t)"),
    ("y = 3/(x - 2)", "x", "y - 3/(x - 2)"),
)


@pytest.mark.parametrize(("formula", "letter", "difference"), BOUND)
def test_formulas_with_the_letter_in_a_power_or_root(
    formula: str, letter: str, difference: str
) -> None:
    """Formulas of OpenStax Intermediate Algebra 2e, 2.3 and 8.6, and of College Algebra 2e, 6.7."""
    difference = sympy.sympify(difference, locals=positive)
    (found,) = (one for one in sympy.solve(difference, positive[letter]) if not _has_root_less(one))
    answer = (
        str(found)
        .replace("log(", "ln(")
        .replace("exp(r*t)", "(e^(r*t))")
        .replace("exp(-r*t)", "(e^(-r*t))")
    )
    problem = f"{formula} for {letter}"

    assert is_right("solve-for", problem, f"{letter} = {answer}"), problem
    assert not is_right("solve-for", problem, f"{letter} = {answer} + 1"), problem


def _has_root_less(found: Any) -> bool:
    """Whether it is another than the positive root."""
    return bool(found.could_extract_minus_sign() or found.has(sympy.I))


def test_inequalities_for_a_letter() -> None:
    """The sign turns exactly where the number before the letter is negative."""
    rng = random.Random("inequalities for a letter")
    turned = {"<": ">", ">": "<", "<=": ">=", ">=": "<="}
    for _ in range(60):
        a, b, c, sign = nonzero(rng), nonzero(rng), rng.randint(-20, 20), rng.choice(list(turned))
        problem = f"({a})x + ({b})y {sign} {c} for y"
        alone, kept = sympy.Rational(c, b) - sympy.Rational(a, b) * X, sign
        right, wrong = (turned[sign], sign) if b < 0 else (kept, turned[sign])

        assert is_right("solve", problem, f"y {right} {alone}"), problem
        assert not is_right("solve", problem, f"y {wrong} {alone}"), problem


@pytest.mark.parametrize(
    ("problem", "right", "wrong"),
    [
        ("2x + y <= 4", ("y <= 4 - 2x", "x <= (4 - y)/2"), ("y >= 4 - 2x", "x <= 2")),
        ("2x + y = 4", ("y = 4 - 2x", "x = (4 - y)/2"), ("y = 4 + 2x", "x = 2 + y/2")),
        ("d = r*t", ("t = d/r", "r = d/t"), ("t = r/d", "r = d*t")),
    ],
)
def test_where_no_letter_is_named_each_may_be_solved_for(
    problem: str, right: tuple[str, ...], wrong: tuple[str, ...]
) -> None:
    assert all(is_right("solve", problem, answer) for answer in right)
    assert not any(is_right("solve", problem, answer) for answer in wrong)


def test_domains() -> None:
    rng = random.Random("domains")
    for _ in range(HOW_MANY):
        p, q, r = nonzero(rng, 5), rng.randint(-9, 9), rng.randint(-9, 9)
        end = sympy.Rational(-q, p)
        sign = ">=" if p > 0 else "<="
        assert is_right("domain", f"sqrt(({p})x + ({q}))", f"x {sign} {end}")
        assert is_right("domain", f"1/(({p})x + ({q}))", f"x != {end}")
        assert is_right("domain", f"log(({p})x + ({q}))", f"x {sign[0]} {end}")
        both = f"x {sign} {end} and x != {r}"
        assert is_right("domain", f"sqrt(({p})x + ({q}))/(x - ({r}))", both)


@pytest.mark.thorough
def test_division_of_polynomials() -> None:
    rng = random.Random("division")
    for _ in range(HOW_MANY):
        above = sympy.Poly([nonzero(rng), *(rng.randint(-9, 9) for _ in range(3))], X)
        below = sympy.Poly([1, nonzero(rng)], X)
        quotient, remainder = sympy.div(above, below)
        whole = f"{quotient.as_expr()} + ({remainder.as_expr()})/({below.as_expr()})"
        problem = f"({above.as_expr()}) / ({below.as_expr()})".replace("**", "^")
        assert is_right("divide", problem, whole)
        assert not is_right("divide", problem, f"{quotient.as_expr()} + 1")


def test_conversions() -> None:
    rng = random.Random("conversions")
    for _ in range(HOW_MANY):
        hundredths = rng.randint(1, 999)
        value = sympy.Rational(hundredths, 100)
        text = f"{hundredths / 100:.2f}"
        assert is_right("convert", f"{text} to percent", f"{hundredths}%")
        assert is_right("convert", f"{hundredths}% to decimal", text)
        assert is_right("convert", f"{text} to fraction", value)
        power = rng.randint(-6, 6)
        assert is_right(
            "convert", f"{text}*10^{power} to decimal", value * sympy.Integer(10) ** power
        )


def test_logarithms() -> None:
    rng = random.Random("logarithms")
    for _ in range(HOW_MANY):
        base, power, below = rng.randint(2, 9), rng.randint(-3, 4), rng.randint(1, 3)
        argument = sympy.Integer(base) ** power
        problem = f"log_({base**below})({argument})"
        assert is_right("logarithm", problem, sympy.Rational(power, below))
        p, q = nonzero(rng, 4), rng.randint(-9, 9)
        solution = sympy.Rational(base ** abs(power) - q, p)
        equation = f"log_{base}(({p})x + ({q})) = {abs(power)}"
        assert is_right("logarithm", equation, solution)
        exponent = sympy.Rational(power - q, p)
        assert is_right("logarithm", f"{base}^(({p})x + ({q})) = {argument}", exponent)


@pytest.mark.parametrize("task", TASKS.values(), ids=lambda one: one.name)
def test_each_task_is_listed_with_a_problem_that_can_be_worked(task: Any) -> None:
    request = Request(task.name, task.example, task.answer)
    assert question_of(request).right is not None
    assert examine(request).verdict is Verdict.RIGHT


NOT_OF_THE_TASK = [
    ("slope", "the steep one"),
    ("slope", "(1, 2)"),
    ("line", "slope 3"),
    ("line", "through (1, 2)"),
    ("function", "f(4)"),
    ("function", "f(x) = 2x; g(3)"),
    ("convert", "3/8"),
    ("domain", "x + y"),
    ("divide", "x^2 + 1"),
    ("solve-for", "A = pi r^2 + r for r"),
    ("logarithm", "2x + 1"),
]


@pytest.mark.parametrize(("task", "problem"), NOT_OF_THE_TASK)
def test_a_problem_of_another_shape_has_no_key_and_a_reason(task: str, problem: str) -> None:
    found = examine(Request(task, problem, "4"))
    assert found.verdict is Verdict.NO_KEY
    assert found.reason


def test_a_key_serves_where_no_procedure_does() -> None:
    request = Request("solve-for", "y = x^3 + x for x", "x = cbrt(y)", key="x = cbrt(y)")
    assert examine(request).verdict is Verdict.RIGHT


def test_surds_are_divided_exactly() -> None:
    """A slope between points with radicals is exact."""
    right = question_of(Request("slope", "(0, 0), (sqrt(2), 2)", "")).right
    assert right is not None
    assert right.value.surd == Surd.root_of(2)  # type: ignore[union-attr]


def test_the_page_of_tasks_is_that_of_the_list() -> None:
    """Write it anew with `python -m tests.patterns.catalogue_page`."""
    assert PAGE_OF_TASKS.read_text(encoding="utf-8") == page_of_tasks()


def test_a_wrong_answer_that_is_judged_by_a_key_alone_is_wrong() -> None:
    found = examine(Request("judge", "2 + 3", "6", key="5"))
    assert found.verdict is Verdict.WRONG
    assert found.patterns == ()
