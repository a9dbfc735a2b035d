"""Each named convention: its usual reading, its second reading, and the page made of the table."""

from __future__ import annotations

from importlib.resources import files

import pytest

from pipeline.exact.values import value_key
from pipeline.reading.answer import read_answer
from pipeline.reading.conventions import CONVENTIONS
from pipeline.reading.records import ReadingContext
from tests.reading.conventions_page import as_markdown

READ_AS = {
    "juxtaposed-denominator": ("x/2", "1/(2*x)"),
    "division-of-fractions": ("Rational(15, 8)", "Rational(3, 40)"),
    "numerator-span": (
        "[-5 + sqrt(13)/2, -5 - sqrt(13)/2]",
        "[(-5 + sqrt(13))/2, (-5 - sqrt(13))/2]",
    ),
    "both-spans": ("x + 1/x - 2", "(x + 1)/(x - 2)"),
    "denominator-span": ("(1/x) - 2", "1/(x - 2)"),
    "root-over-product": ("2*x*sqrt(3)", "sqrt(12*x)"),
    "root-over-quotient": ("sqrt(13)*Rational(1, 2)", "sqrt(Rational(13, 2))"),
    "root-over-sum": ("sqrt(2) + 3*1", "sqrt(5)"),
    "root-over-numerator": ("[10, -2]", "[-3 + sqrt(14), -3 - sqrt(14)]"),
    "root-over-power": ("x", "sqrt(x**2)"),
    "exponent-span": ("1/(2*x)", "x**Rational(-1, 2)"),
    "exponent-over-product": ("8*x", None),
    "exponent-over-sum": ("2^x + 1", None),
    "base-of-logarithm": None,
    "argument-over-product": None,
    "argument-over-quotient": None,
    "argument-over-sum": None,
    "sum-beside-brackets": ("-2*x - 9", "(x - 3)*(x + 3)"),
    "exponent-lost": ("x**2 + 3", "2*x + 3*1"),
    "mixed-number": ("Rational(3, 2)", "Rational(1, 2)"),
    "minus-before-letter": ("-1*x**2", None),
    "minus-before-power": ("-9*1", "9"),
    "mixed-sign": ("Rational(-5, 2)", "Rational(-3, 2)"),
    "double-minus": ("3", "-3"),
    "plus-minus-typed": ("[7, -1]", "-1"),
    "x-as-times": ("12", "12*x"),
    "x-between-brackets": ("(x-2)*x*(x+3)", "(x-2)*(x+3)"),
    "percent": ("Rational(3, 25)", "12"),
    "factorial": ("3", "6"),
    "repeating-in-brackets": ("Rational(1, 6)", "Rational(3, 5)"),
    "repeating-in-words": ("Rational(83, 99)", "Rational(5, 6)"),
    "repeating-dots": ("Rational(3, 10)", "Rational(1, 3)"),
    "mixed-in-words": ("[2, Rational(1, 2)]", "Rational(5, 2)"),
    "mixed-hyphen": ("Rational(3, 4)", "Rational(5, 4)"),
    "unit-letter": ("12", "12*m"),
    "ratio": ("Rational(7, 4)", "(7, 4)"),
    "factors-in-brackets": ("6", None),
    "comma-list": ("[3, 5]", "Rational(7, 2)"),
    "comma-thousands": ("1000", "[1, 0]"),
    "and-for-or": (
        "no solution",
        "Union(Interval(-oo, -8, True, True), Interval(2, oo, True, True))",
    ),
    "ends-first": (
        "Interval(3, oo, False, True)",
        "Interval(3, oo, True, True)",
    ),
    "bracket-pair": ("(2, 5)", "Interval(2, 5, True, True)"),
    "interval-backwards": (
        "Interval(-3, oo, True, True)",
        "Interval(-oo, -3, True, True)",
    ),
    "letters-before-words": None,
    "euler": None,
    "imaginary-unit": ("1*I", None),
    "label": ("[2, 5]", None),
    "unequal-signs": ("(2, -3)", None),
}


def key(source: str, kind: str = "roots") -> str:
    context = ReadingContext(kind="point" if source.startswith("(") else "roots")
    return value_key(read_answer(source, context).readings[0].value)


def test_every_convention_has_an_expectation() -> None:
    assert set(READ_AS) == {convention.name for convention in CONVENTIONS}


@pytest.mark.parametrize("convention", CONVENTIONS, ids=lambda convention: convention.name)
def test_the_form_is_read_as_the_page_says(convention: object) -> None:
    name, form = convention.name, convention.form  # type: ignore[attr-defined]
    expected = READ_AS[name]
    if expected is None:
        return
    keys = [value_key(reading.value) for reading in read_answer(form).readings]
    assert keys[0] == key(expected[0])
    if expected[1] is not None:
        assert key(expected[1]) in keys[1:]


def test_a_power_binds_closer_than_a_minus_sign() -> None:
    assert value_key(read_answer("-x^2").readings[0].value) == "-x**2"
    numbers = [value_key(reading.value) for reading in read_answer("-3^2").readings]
    assert numbers == ["-9", "9"]


def test_the_page_is_the_table() -> None:
    """It is written by `python -m tests.reading.conventions_page`."""
    page = files("pipeline.reading").joinpath("CONVENTIONS.md").read_text(encoding="utf-8")
    assert page == as_markdown()


@pytest.mark.parametrize(
    ("answer", "context", "expected"),
    [
        ("3,5", ReadingContext(decimal_comma=True), "7/2"),
        ("3,5; 2", ReadingContext(decimal_comma=True), "7/2, 2"),
        ("1.234,5", ReadingContext(decimal_comma=True), "2469/2"),
        ("i", ReadingContext(letters=frozenset({"i"}), i_is_letter=True), 'Symbol("i")'),
        ("X^2-1", ReadingContext(letters=frozenset({"x"})), "x^2-1"),
        ("X^2-x", ReadingContext(letters=frozenset({"x", "X"})), "X^2-x"),
        ("(2,5)", ReadingContext(kind="region"), "Interval(2, 5, True, True)"),
        ("[2,5]", ReadingContext(kind="roots"), "2, 5"),
        ("±6j", ReadingContext(letters=frozenset("x"), complex_numbers=True), "6i, -6i"),
        ("9 m", ReadingContext(letters=frozenset("m")), "9*m"),
        ("(-2+√5) (-2-√5)", ReadingContext(letters=frozenset("x"), kind="roots"), "-1"),
        ("(-5 ± sqrt(41))/2", ReadingContext(kind="roots"), "-5/2 ± √41/2"),
        ("I/(rt)", ReadingContext(letters=frozenset("IPrt")), 'Symbol("I")/(r*t)'),
    ],
)
def test_the_question_decides(answer: str, context: ReadingContext, expected: str) -> None:
    found = value_key(read_answer(answer, context).readings[0].value)
    assert found == value_key(read_answer(expected).readings[0].value)


@pytest.mark.parametrize(
    ("answer", "change"),
    [
        ("x² = 4", "typographic characters replaced"),
        ("<b>3</b>", "HTML tags set aside"),
        ("x&nbsp;=&nbsp;3", "HTML entities decoded"),
        (r"\frac12", "LaTeX rewritten as plain notation"),
        ("х = 3", "look-alike letter read as x"),
        ("âˆš5", "characters damaged by an export were mended"),
        ("x = 3, -2 is extraneous", "a value that the answer itself rejects was taken out"),
        ("I think 3", "words without value set aside"),
    ],
)
def test_changes_are_listed_and_the_raw_text_is_kept(answer: str, change: str) -> None:
    read = read_answer(answer)
    assert read.raw == answer
    assert change in read.changes


def test_functions_are_read_where_the_question_has_them() -> None:
    assert read_answer("log(7)").readings == ()
    assert read_answer("log(7)", ReadingContext(functions=True)).readings


@pytest.mark.parametrize(
    ("answer", "other"),
    [
        ("(-2+√5) (-2-√5)", "-2+√5, -2-√5"),
        ("x=9 -4", "9, -4"),
        ("x = 2, y = 9", "2, 9"),
    ],
)
def test_a_question_for_roots_keeps_the_list_as_second_reading(answer: str, other: str) -> None:
    context = ReadingContext(letters=frozenset("x"), kind="roots")
    keys = [value_key(reading.value) for reading in read_answer(answer, context).readings]
    assert value_key(read_answer(other, context).readings[0].value) in keys[1:]
