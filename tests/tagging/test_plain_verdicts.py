"""Verdicts that any instructor would give at a glance, and the form that a task asks for."""

from __future__ import annotations

import pytest

from pipeline.cli import options_of
from pipeline.records import Numbers, Request, Verdict
from pipeline.tagging.examine import examine

RIGHT, OTHER, WRONG = Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM, Verdict.WRONG
INVERSE = ("function", "f(x) = 2x + 3; f^-1(x)")
LINE = ("line", "(0, 3), (1, 5)")
FACTOR = ("factor", "x^2 + 5x - 24")
PERCENT = ("evaluate", "15% of 80")
CASES: list[tuple[tuple[str, str], Verdict, tuple[str, ...]]] = [
    (INVERSE, RIGHT, (
        "f-1(x) = (x-3)/2", "f^-1 = (x-3)/2", "f^{-1}(x) = (x-3)/2", "f⁻¹(x)=(x-3)/2",
        "f^(-1)(x) = (x-3)/2", "inverse: (x-3)/2", "the inverse is (x-3)/2", "y = (x-3)/2",
    )),
    (INVERSE, WRONG, ("f-1(x) = (x+3)/2", "f^-1 = 1/(2x+3)")),
    (LINE, RIGHT, ("y = 2x + 3", "2x - y + 3 = 0")),
    (LINE, OTHER, ("m=2, b=3", "m = 2 and b = 3", "b=3; m=2", "slope 2, y-intercept 3")),
    (LINE, WRONG, ("m=3, b=2", "m=-2, b=3")),
    (("solve", "x^2 + x - 6 = 0"), OTHER, ("(x-2)(x+3)=0", "0=(x+3)(x-2)", "0 = (x-2)(x+3)")),
    (("solve", "x^2 + x - 6 = 0"), WRONG, ("0=(x-3)(x+2)",)),
    (("factor", "x^2 + x - 6"), RIGHT, (
        "x^2+x-6=(x-2)(x+3)", "(x-2)(x+3)=x^2+x-6", "(x+3)(x-2) = x^2 + x - 6", "y=(x-2)(x+3)",
    )),
    (("expand", "(x-2)(x+3)"), RIGHT, ("x^2+x-6=(x-2)(x+3)", "(x-2)(x+3)=x^2+x-6")),
    (FACTOR, RIGHT, ("(x+8)(x-3)", "(x-3)(8+x)")),
    (FACTOR, WRONG, ("x^2+5x-24", "x(x+5)-24", "x^2 + 5x - 24 = x(x+5) - 24", "-24+5x+x^2")),
    (("factor", "2x^2 - 18"), OTHER, ("2(x^2-9)", "(2x-6)(x+3)")),
    (("factor", "2x^2 - 18"), WRONG, ("2x^2-18", "2*x^2-2*9")),
    (("factor", "x^2 + 1"), RIGHT, ("x^2+1", "prime")),
    (("evaluate", "sqrt(-9)"), RIGHT, ("3i", "not a real number", "no real solution")),
    (("simplify", "sqrt(-18)"), RIGHT, ("3i√2", "3√2 i")),
    (("evaluate", "sqrt(-9)"), WRONG, ("-3", "3", "-3i")),
    (PERCENT, RIGHT, ("12", "12.0", "1200%")),
    (PERCENT, WRONG, ("12%", "0.12", "1200")),
    (("solve", "4x^2 + 4x - 1 = 0"), RIGHT, ("(-1±1.414)/2", "(-1+1.41)/2, (-1-1.41)/2")),
    (("solve", "3x = 12"), RIGHT, ("3*4=12", "3(4) = 12", "12/3=4", "12÷3 = 4")),
    (("solve", "3x = 12"), WRONG, ("3*5=12", "3=12", "12*3=36")),
    (("solve", "2x + 1 = x + 5"), RIGHT, ("2*4+1=4+5",)),
    (("solve", "2x + 1 = x + 5"), WRONG, ("9=9", "0=0")),
    (("solve", "x + 1 = x + 1"), RIGHT, ("0=0", "1=1")),
    (("solve", "x = x + 1"), RIGHT, ("0=1",)),
    (("solve", "||x - 1| - 2| = 5"), RIGHT, ("8, -6", "x = 8 or x = -6")),
]  # fmt: skip


@pytest.mark.parametrize(
    ("task", "problem", "answer", "verdict"),
    [(*asked, answer, verdict) for asked, verdict, answers in CASES for answer in answers],
)
def test_the_verdict_is_the_plain_one(
    task: str, problem: str, answer: str, verdict: Verdict
) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict is verdict, found
    assert verdict is WRONG or found.patterns == ()


def test_over_the_complex_numbers_a_root_of_a_negative_number_is_a_number() -> None:
    numbers: Numbers = "complex"

    assert examine(Request("evaluate", "sqrt(-9)", "3i", numbers=numbers)).verdict is RIGHT
    assert examine(Request("evaluate", "sqrt(-9)", "no solution", numbers=numbers)).verdict is WRONG


@pytest.mark.parametrize("problem", ["|x-1|+|x-2|+|x-3|+|x-4| = 10", "|x-1|-|x-2|+|x-3|-|x-4| < 1"])
def test_many_absolute_values_are_a_named_budget_with_a_way_out(problem: str) -> None:
    found = examine(Request("solve", problem, "0, 5"))

    assert found.verdict is Verdict.NO_KEY
    assert found.reason
    assert "more than 3 absolute values" in found.reason
    assert "with the right answer beside the question" in found.reason
    assert examine(Request("solve", problem, "0, 5", key="0, 5")).verdict is RIGHT


@pytest.mark.parametrize(
    ("words", "answer", "json"),
    [
        (["--answer", "-2,-4", "--json"], "-2,-4", True),
        (["--answer", "-sqrt(2)"], "-sqrt(2)", False),
        (["--answer=-2"], "-2", False),
        (["--json", "--answer", "--3"], "--3", True),
        (["--answer=--"], "--", False),
        (["--answer", "--", "--json"], "--", True),
    ],
)
def test_an_answer_may_begin_with_a_minus_sign(words: list[str], answer: str, json: bool) -> None:
    options = options_of(["explain", *words])

    assert (options.answer, options.json) == (answer, json)
