"""Conversions and divisions: the value right in another form than the one asked for is no error."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT, OTHER = Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM

# Common practice: a percent is the number before the sign; scientific notation has one digit other
# than zero before the point (BIPM, The International System of Units, 5.4.4 writes numbers so).
CONVERSIONS = [
    ("0.35 to percent", "35%", RIGHT, None),
    ("0.35 to percent", "35", RIGHT, None),
    ("0.35 to percent", "35 percent", RIGHT, None),
    ("0.35 to percent", "0.35", OTHER, "a percent"),
    ("0.35 to percent", "7/20", OTHER, "a percent"),
    ("0.0035 to percent", "0.35%", RIGHT, None),
    ("1/3 to percent", "33 1/3%", RIGHT, None),
    ("45% to decimal", ".45", RIGHT, None),
    ("300% to decimal", "3", RIGHT, None),
    ("45% to decimal", "9/20", OTHER, "a decimal"),
    ("45% to decimal", "45%", OTHER, "a decimal"),
    ("45% to fraction", "45/100", RIGHT, None),
    ("1.5 to fraction", "1 1/2", RIGHT, None),
    ("45% to fraction", "0.45", OTHER, "a fraction"),
    ("45% to fraction", "45%", OTHER, "a fraction"),
    ("0.00032 to scientific", "3.2*10^-4", RIGHT, None),
    ("0.00032 to scientific", "3.2E-4", RIGHT, None),
    ("write 1000 in scientific notation", "10^3", RIGHT, None),
    ("0.00032 to scientific", "32*10^-5", OTHER, "scientific"),
    ("0.00032 to scientific", "0.00032", OTHER, "scientific"),
    ("3.2*10^5 to standard form", "320,000", RIGHT, None),
    ("3.2*10^5 to decimal", "3.2e5", OTHER, "a decimal"),
]


@pytest.mark.parametrize(("problem", "answer", "verdict", "expected"), CONVERSIONS)
def test_a_conversion_is_judged_by_the_notation_that_it_asks_for(
    problem: str, answer: str, verdict: Verdict, expected: str | None
) -> None:
    found = examine(Request("convert", problem, answer))

    assert found.verdict is verdict
    assert found.patterns == ()
    assert expected is None or expected in str(found.reason)


def test_a_percent_sign_behind_the_unscaled_number_is_an_error() -> None:
    found = examine(Request("convert", "0.35 to percent", "0.35%"))

    assert found.verdict is Verdict.WRONG
    assert found.readings == ("Rational(7, 2000)", "Rational(7, 20)")
    assert found.patterns[0].id == "percent-not-scaled"


def test_the_form_of_the_item_goes_before_the_wording() -> None:
    any_form = examine(Request("convert", "45% to decimal", "9/20", form="any"))
    reduced = examine(Request("convert", "45% to fraction", "45/100", form="reduced"))
    both = examine(Request("convert", "45% to fraction", "0.45", form="reduced"))

    assert any_form.verdict is RIGHT
    assert (reduced.verdict, reduced.reason) == (OTHER, "a fraction in lowest terms was expected")
    assert (both.verdict, both.reason) == (OTHER, "a fraction was expected")


@given(st.fractions(Fraction(1, 50), 20, max_denominator=50), st.integers(0, 3))
@settings(max_examples=40)
def test_an_equal_number_in_any_notation_shows_no_pattern(number: Fraction, which: int) -> None:
    target = ("percent", "decimal", "fraction", "scientific")[which]
    for typed in (str(number), f"{number.numerator * 7}/{number.denominator * 7}"):
        found = examine(Request("convert", f"{number} to {target}", typed))

        assert found.verdict in (RIGHT, OTHER)
        assert found.patterns == ()


DIVISIONS = [
    # OpenStax Intermediate Algebra 2e, 5.4: quotient plus remainder over the divisor
    ("x + 3 + 1/(x + 2)", RIGHT),
    ("(x + 3) + 1/(x + 2)", RIGHT),
    (r"x+3+\frac{1}{x+2}", RIGHT),
    # common practice in schools: R before the remainder
    ("x + 3 R 1", RIGHT),
    ("x+3, remainder 1", RIGHT),
    ("quotient x+3, remainder 1", RIGHT),
    (r"x+3\text{ R }1", RIGHT),
    ("(x^2 + 5x + 7)/(x + 2)", OTHER),
    ("((x + 2)(x + 3) + 1)/(x + 2)", OTHER),
    ("x + 3 R 2", Verdict.WRONG),
    ("x + 3", Verdict.WRONG),
]


@pytest.mark.parametrize(("answer", "verdict"), DIVISIONS)
def test_a_division_is_to_be_carried_out(answer: str, verdict: Verdict) -> None:
    found = examine(Request("divide", "(x^2 + 5x + 7) / (x + 2)", answer))

    assert found.verdict is verdict
    assert (verdict is OTHER) == (found.reason == "the division was expected to be carried out")


def test_a_remainder_with_the_wrong_sign_is_named_behind_an_r_too() -> None:
    found = examine(Request("divide", "(x^2 + 5x + 7) / (x + 2)", "x + 3 R -1"))

    assert found.patterns[0].id == "remainder-subtracted"


def test_a_letter_r_of_the_question_is_no_sign_of_a_remainder() -> None:
    found = examine(Request("divide", "(r^2 + 5r + 7) / (r + 2)", "r + 3 + 1/(r + 2)"))

    assert found.verdict is RIGHT


# Common practice: to combine, condense or reduce is to leave one fraction, or one logarithm, and to
# expand a logarithm leaves no product, quotient or power inside of one. The problem copied is none.
NOT_DONE = [
    ("simplify", "3/x - 2/(x + 5)", None, "3/x - 2/(x + 5)", OTHER),
    ("simplify", "3/x - 2/(x + 5)", None, "(x + 15)/(x(x + 5))", RIGHT),
    ("simplify", "3/x + 2/x^2", "simplified+reduced", "3/x + 2/x^2", OTHER),
    ("simplify", "3/x + 2/x^2", "simplified+reduced", "(3x + 2)/x^2", RIGHT),
    ("simplify", "(x^2 + 1)/x", None, "x + 1/x", RIGHT),
    ("evaluate", "5/12 + 7/18", "reduced", "5/12 + 7/18", OTHER),
    ("evaluate", "5/12 + 7/18", "reduced", "58/72", OTHER),
    ("evaluate", "5/12 + 7/18", "reduced", "29/36", RIGHT),
    ("evaluate", "2 1/3 / 1 3/4", "reduced", "1 1/3", RIGHT),
    ("solve-for", "2x - 5y = 20 for y", "reduced", "2x/5 - 4", RIGHT),
    ("simplify", "2 log x + 3 log y - log z", None, "2 log x + 3 log y - log z", OTHER),
    ("simplify", "2 log x + 3 log y - log z", None, "log(x^2 y^3/z)", RIGHT),
    ("simplify", "cbrt(54)", None, "cbrt(54)", OTHER),
    ("simplify", "cbrt(54)", None, "3cbrt(2)", RIGHT),
    ("simplify", "sqrt(75x^3)", None, "sqrt(75x^3)", OTHER),
    ("simplify", "sqrt(75x^3)", None, "5x sqrt(3x)", RIGHT),
    ("simplify", "sqrt(x^2 + 9)", None, "sqrt(x^2 + 9)", RIGHT),
    ("expand", "log_2(8x^3/y)", None, "log_2(8x^3/y)", OTHER),
    ("expand", "log_2(8x^3/y)", None, "3 + 3log_2(x) - log_2(y)", RIGHT),
]


# Interval notation: ISO 80000-2:2019, 2-7.7 to 2-7.12; slope-intercept form and positive exponents:
# common practice of textbooks of college algebra.
NOTATIONS = [
    ("solve", "3x < 12", "interval", "x < 4", OTHER),
    ("solve", "3x < 12", "interval", "(-inf, 4)", RIGHT),
    ("solve", "|x| > 2", "interval", "(-oo, -2) U (2, oo)", RIGHT),
    ("solve", "|x| > 2", "interval", "x < -2 or x > 2", OTHER),
    ("solve", "x^2 + 1 < 0", "interval", "no solution", RIGHT),
    ("solve", "x^2 + 1 > 0", "interval", "all real numbers", RIGHT),
    ("line", "through (6, 1), slope -1/3", "slope-intercept", "y = -1/3 x + 3", RIGHT),
    ("line", "through (6, 1), slope -1/3", "slope-intercept", "3 - x/3 = y", RIGHT),
    ("line", "through (6, 1), slope -1/3", "slope-intercept", "y - 1 = -1/3 (x - 6)", OTHER),
    ("line", "through (6, 1), slope -1/3", "slope-intercept", "x + 3y = 9", OTHER),
    ("simplify", "x^5/x^9", "simplified+positive-exponents", "1/x^4", RIGHT),
    ("simplify", "x^5/x^9", "simplified+positive-exponents", "x^-4", OTHER),
    ("simplify", "x^5/x^9", None, "x^-4", RIGHT),
    ("solve", "x^2 - 3x - 5 = 0", "decimal:1", "-1.2, 4.2", RIGHT),
    ("solve", "x^2 - 3x - 5 = 0", "decimal:1", "-1.4, 4.2", Verdict.WRONG),
    ("solve", "x^2 - 3x - 5 = 0", "decimal:2", "-1.2, 4.2", Verdict.TOO_COARSE),
    ("solve", "x^2 - 3x - 5 = 0", None, "-1.2, 4.2", Verdict.TOO_COARSE),
]


@pytest.mark.parametrize(("task", "problem", "form", "answer", "verdict"), [*NOT_DONE, *NOTATIONS])
def test_the_form_asked_for_is_held_and_the_problem_copied_back_is_none(
    task: str, problem: str, form: str | None, answer: str, verdict: Verdict
) -> None:
    assert examine(Request(task, problem, answer, form=form)).verdict is verdict


@pytest.mark.parametrize(
    ("answer", "verdict"),
    [("45%", RIGHT), ("45", RIGHT), ("0.45", OTHER), ("0.45%", Verdict.WRONG)],
)
def test_a_key_stored_as_a_decimal_leaves_the_percent_asked_for(
    answer: str, verdict: Verdict
) -> None:
    asked = Request("convert", "27/60 to percent", answer, key="0.45")

    assert examine(asked).verdict is verdict
