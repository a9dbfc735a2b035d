"""What the question tells the reader: names of its value, orders typed as arrows, glued units.

All readings are common practice, judged as a teacher would judge them.
"""

from __future__ import annotations

import pytest

from pipeline.exact.values import value_source
from pipeline.reading.answer import read_answer
from pipeline.reading.judge import judge, read_key
from pipeline.reading.records import ReadingContext
from pipeline.records import Verdict
from pipeline.tasks.catalogue import read_problem

NUMBER = ReadingContext(letters=frozenset("x"), kind="number")
TIME = ReadingContext(letters=frozenset("t"), kind="roots")
REGION = ReadingContext(letters=frozenset("x"), kind="region")
FUNCTION = ReadingContext(letters=frozenset("x"), kind="expression", functions=True)
COMMAS = ReadingContext(decimal_comma=True, kind="point")


def sources(answer: str, context: ReadingContext) -> list[str]:
    return [value_source(one.value) for one in read_answer(answer, context).readings]


@pytest.mark.parametrize(
    ("answer", "context", "value"),
    [
        ("b^2-4ac = 88", NUMBER, "88"),
        ("b^2 - 4ac = 100 - 12 = 88", NUMBER, "88"),
        ("88 = b^2 - 4ac", NUMBER, "88"),
        ("(b/2)^2 = 25/4", NUMBER, "Rational(25, 4)"),
        ("-32 < 0", NUMBER, "-32"),
        ("D = 9 > 0", NUMBER, "9"),
        ("b²-4ac = 9 > 0", NUMBER, "9"),
        ("t=2s", TIME, "[2]"),
        ("2s", TIME, "2"),
        ("x => 3", REGION, "Interval(3, oo, False, True)"),
        ("x =>3", REGION, "Interval(3, oo, False, True)"),
        ("x = > 3", REGION, "Interval(3, oo, False, True)"),
        ("x = < 3", REGION, "Interval(-oo, 3, True, False)"),
        ("x > = 3", REGION, "Interval(3, oo, False, True)"),
        ("(f+g)(x) = x - 1", FUNCTION, "x - 1"),
        ("f(x)+g(x)=x - 1", FUNCTION, "x - 1"),
        ("f(g(x)) = x - 1", FUNCTION, "x - 1"),
        ("(f∘g)(x) = x - 1", FUNCTION, "x - 1"),
        ("(f o g)(2) = 7", FUNCTION, "7"),
        ("(3,4)", COMMAS, "(3, 4)"),
    ],
)
def test_what_the_question_asks_for_decides(
    answer: str, context: ReadingContext, value: str
) -> None:
    assert sources(answer, context)[0] == value


@pytest.mark.parametrize(
    ("answer", "context", "value"),
    [
        ("x^2 - 4x = 12", NUMBER, "Eq(x**2 - 4*x, 12)"),
        ("b^2-4ac = 88", ReadingContext(), "Eq(b**2 - 4*a*c, 88)"),
        ("-32 < 0", ReadingContext(), "ALL_REAL"),
        ("-32 > 0", NUMBER, "NO_SOLUTION"),
        ("t=2s", ReadingContext(), "Eq(t, 2*s)"),
        ("2s", ReadingContext(letters=frozenset("s"), kind="roots"), "2*s"),
        ("2m", ReadingContext(letters=frozenset("x"), kind="expression"), "2*m"),
        ("x => 3", ReadingContext(letters=frozenset("x"), kind="roots"), "3"),
        ("x - 3 > 0 => x > 3", REGION, "Interval(3, oo, True, True)"),
        ("(3,4)", ReadingContext(decimal_comma=True, kind="number"), "Rational(17, 5)"),
        ("(1,5; 2)", COMMAS, "(Rational(3, 2), 2)"),
    ],
)
def test_elsewhere_it_stays_as_written(answer: str, context: ReadingContext, value: str) -> None:
    assert sources(answer, context)[0] == value


def test_functions_that_a_question_defines_are_no_letters_of_its_answers() -> None:
    problem = read_problem("f(x) = 3x + 5; g(x) = -2x; (f + g)(x)", "function")
    assert problem.letters == {"x"}


@pytest.mark.parametrize(
    ("key", "answer", "form", "verdict"),
    [
        ("NO_SOLUTION", "no answer", None, Verdict.BLANK),
        ("3", "no answer", None, Verdict.BLANK),
        ("NO_SOLUTION", "idk", None, Verdict.BLANK),
        ("1/3", "0.3...", "exact", Verdict.RIGHT),
        ("1/3", ".3 repeating", "exact", Verdict.RIGHT),
        ("sqrt(2)", "1.4...", None, Verdict.TOO_COARSE),
        ("1/3", "0.3", None, Verdict.TOO_COARSE),
        ("17 + I", "15+i-2i^2", "simplified", Verdict.RIGHT_OTHER_FORM),
        ("17 + I", "17 + i", "simplified", Verdict.RIGHT),
        ("5/4", "1-1/4", None, Verdict.RIGHT),
        ("5/4", "1 - 1/4", None, Verdict.WRONG),
        ("(x + 7)/2", "(x+7)/2 = y", None, Verdict.RIGHT),
        ("(x + 7)/2", "(x+7)/3 = y", None, Verdict.WRONG),
    ],
)
def test_verdicts_of_odd_notation(
    key: str, answer: str, form: str | None, verdict: Verdict
) -> None:
    right = read_key(key)
    assert not isinstance(right, str), right
    assert judge(read_answer(answer), right, form).verdict is verdict
