"""Vertex form: right answers agree with sympy, the form is judged, any name is read."""

from __future__ import annotations

import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

X = sympy.Symbol("x")
NUMBERS = st.integers(-9, 9)


@given(NUMBERS.filter(bool), NUMBERS.filter(bool), NUMBERS, st.sampled_from(["y", "f(x)", "k(x)"]))
@settings(max_examples=20)
def test_the_vertex_form_is_right_and_its_expansion_is_another_form(
    a: int, b: int, c: int, name: str
) -> None:
    h = sympy.Rational(-b, 2 * a)
    k = sympy.expand(a * h**2 + b * h + c)
    problem = f"{name} = {a}x^2 + ({b})x + ({c})"
    right = examine(Request("rewrite", problem, f"{name} = {a}(x - ({h}))^2 + ({k})"))
    other = examine(Request("rewrite", problem, f"{a}x^2 + ({b})x + ({c})"))

    assert right.verdict is Verdict.RIGHT
    assert other.verdict is Verdict.RIGHT_OTHER_FORM
    assert right.patterns == other.patterns == ()


def test_an_equation_moved_to_the_other_side_is_another_form() -> None:
    found = examine(Request("rewrite", "y = 2x^2 + 8x + 3", "y + 5 = 2(x + 2)^2"))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM


def test_a_number_left_in_the_bracket_is_another_form() -> None:
    """OpenStax Intermediate Algebra 2e, 9.7: the leading number stands before the square."""
    found = examine(Request("rewrite", "y = 4x^2 + 8x + 5", "(2x + 2)^2 + 1"))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM
    assert found.reason == "the vertex form a(x - h)^2 + k was expected"


def test_working_by_another_rule_stays_unexplained() -> None:
    assert examine(Request("rewrite", "y = 2x^2 + 8x + 3", "7(x - 31)^2 + 2")).patterns == ()
