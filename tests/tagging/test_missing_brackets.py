"""Answers that are right only with brackets that were not typed: the errors they show as typed."""

from __future__ import annotations

from math import isqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

IN_DOUBT = [
    ("solve", "2x^2 - 9x + 2 = 0", "9±√65/4", "only-root-divided"),
    ("solve", "2x^2 - 9x + 2 = 0", "9+√65/4 or 9-√65/4", "only-root-divided"),
    ("solve", "x^2 + 8x - 5 = 0", "-8 ± sqrt(84)/2", "only-root-divided"),
    ("solve", "(x+9)^2 = 7/4", "-9 ± √7/4", "root-of-fraction-top-only"),
    ("solve-for", "P = 2L + 2W for W", "P - 2L/2", "last-term-not-divided"),
    ("simplify", "(x+4)/3", "x + 4/3", "denominator-divides-one-term"),
    ("simplify", "1/(x + 2)", "1/x+2", "divided-by-first-term-only"),
    ("evaluate", "1/(3 + 2)", "1/3+2", "divided-by-first-term-only"),
    ("evaluate", "10/(2 + 3)", "10/2 + 3", "divided-by-first-term-only"),
    ("evaluate", "(3 + 5)/2", "3+5/2", "denominator-divides-one-term"),
    ("solve-for", "A = (1/2)h(b + B) for B", "2A - bh/h", "last-term-not-divided"),
]


@pytest.mark.parametrize(("task", "problem", "answer", "error"), IN_DOUBT)
def test_the_error_that_the_typed_text_shows_is_a_candidate(
    task: str, problem: str, answer: str, error: str
) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict is Verdict.RIGHT_IF_MEANT
    assert error in {one.id for one in found.patterns}
    assert found.unexplained is not None
    assert abs(sum(one.share for one in found.patterns) + found.unexplained - 1) < 1e-9


@pytest.mark.parametrize(
    ("problem", "answer", "verdict"),
    [
        ("2^x*2^x", "2^(2x)", Verdict.RIGHT),
        ("2^x*2^x", "2^2x", Verdict.RIGHT_IF_MEANT),
        ("2^x*2^x", r"2^{2x}", Verdict.RIGHT),
        ("2^x*2^x", "$2^2x$", Verdict.WRONG),
        ("x^n*x^n", "x^2n", Verdict.RIGHT_IF_MEANT),
        ("x^a*x^b", "x^a+b", Verdict.RIGHT_IF_MEANT),
        ("x^a*x^b", "x^(a+b)", Verdict.RIGHT),
        ("x^a*x^b", "x^a*b", Verdict.WRONG),
        ("x^a + b", "x^a+b", Verdict.RIGHT),
        ("x^2*y*x", "x^3y", Verdict.RIGHT),
        ("x^2*y*x", "x^2y", Verdict.WRONG),
        ("x^(1/2)*x^(1/4)", "x^3/4", Verdict.RIGHT_IF_MEANT),
    ],
)
def test_an_exponent_may_miss_its_brackets(problem: str, answer: str, verdict: Verdict) -> None:
    assert examine(Request("simplify", problem, answer, form="any")).verdict is verdict


@pytest.mark.parametrize(
    ("work", "verdict"),
    [
        ("x = (9 ± √(81-16))/4\nx = (9 ± √65)/4", Verdict.RIGHT),
        ("x = (9 ± √65)/4 | x = 9±√65/4", Verdict.RIGHT),
        ("a=2, b=-9, c=2", Verdict.RIGHT_IF_MEANT),
        ("x = 9±√65/4", Verdict.RIGHT_IF_MEANT),
    ],
)
def test_brackets_in_the_working_settle_what_was_meant(work: str, verdict: Verdict) -> None:
    found = examine(Request("solve", "2x^2 - 9x + 2 = 0", "9±√65/4", work=work))

    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [
        ("(9±√65)/4", Verdict.RIGHT),
        ("9/4±√65/4", Verdict.RIGHT),
        (r"\frac{9\pm\sqrt{65}}{4}", Verdict.RIGHT),
        ("9±√65\n------\n4", Verdict.RIGHT),
        (r"9\pm\frac{\sqrt{65}}{4}", Verdict.WRONG),
        (r"$9\pm\sqrt{65}/4$", Verdict.WRONG),
        ("9±√66/4", Verdict.WRONG),
        ("-9±√65/4", Verdict.WRONG),
    ],
)
def test_what_is_plainly_right_or_wrong_stays_so(answer: str, verdict: Verdict) -> None:
    found = examine(Request("solve", "2x^2 - 9x + 2 = 0", answer))

    assert found.verdict is verdict


def test_a_key_typed_without_brackets_is_understood_as_computed() -> None:
    found = examine(Request("solve", "2x^2 - 9x + 2 = 0", "(9±√65)/4", key="9±√65/4"))

    assert (found.verdict, found.reason) == (Verdict.RIGHT, None)


@given(
    st.integers(1, 6),
    st.integers(-12, 12).filter(bool),
    st.integers(-12, 12),
    st.sampled_from("xnt"),
)
@settings(max_examples=40)
def test_the_formula_is_in_doubt_only_where_its_bar_is_a_bare_slash(
    a: int, b: int, c: int, letter: str
) -> None:
    under = b * b - 4 * a * c
    assume(under > 0 and isqrt(under) ** 2 != under)
    problem = f"{a}{letter}^2 + {b}{letter} + {c} = 0".replace("+ -", "- ")

    def verdict(answer: str) -> Verdict:
        return examine(Request("solve", problem, answer)).verdict

    assert verdict(f"({-b} ± √{under})/{2 * a}") is Verdict.RIGHT
    assert verdict(f"{-b}/{2 * a} ± √{under}/{2 * a}") is Verdict.RIGHT
    assert verdict(rf"\frac{{{-b} \pm \sqrt{{{under}}}}}{{{2 * a}}}") is Verdict.RIGHT
    assert verdict(f"{-b} ± √{under}/{2 * a}") is Verdict.RIGHT_IF_MEANT
    assert verdict(f"{-b}+√{under}/{2 * a}, {-b}-√{under}/{2 * a}") is Verdict.RIGHT_IF_MEANT
    assert verdict(rf"{-b} \pm \frac{{\sqrt{{{under}}}}}{{{2 * a}}}") is Verdict.WRONG
    assert verdict(f"{b} ± √{under}/{2 * a}") is Verdict.WRONG
