"""Verdicts on pairs of key and answer (tests/cases/verdicts.txt), and what their reasons say."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.errors import UsageError
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Number, Roots, Statement, StatementCode
from pipeline.reading.answer import read_answer
from pipeline.reading.judge import RightAnswer, judge, read_key
from pipeline.reading.records import ReadingContext
from pipeline.records import Verdict

PAIRS = [
    tuple(part.strip() for part in line.split("|" if line.count(" | ") != 4 else " | "))
    for line in (Path(__file__).parents[1] / "cases" / "verdicts.txt")
    .read_text(encoding="utf-8")
    .splitlines()
    if line and not line.startswith("#")
]


def verdict(key: str, answer: str, form: str | None = None) -> tuple[Verdict, str | None]:
    right = read_key(key)
    assert not isinstance(right, str), right
    found = judge(read_answer(answer), right, form)
    return found.verdict, found.reason


@pytest.mark.parametrize(("key", "answer", "form", "numbers", "expected"), PAIRS)
def test_verdict(key: str, answer: str, form: str, numbers: str, expected: str) -> None:
    right = read_key(key)
    assert not isinstance(right, str), right
    domain = "complex" if numbers == "complex" else "real"
    context = ReadingContext(functions=True)
    assert judge(read_answer(answer, context), right, form or None, domain).verdict == expected


@pytest.mark.parametrize(
    ("key", "answer", "form", "reason"),
    [
        ("sqrt(2)", "1.41", "exact", "an exact value was expected, not a rounded decimal"),
        ("x^2-1", "(x-1)(x+1)", "expanded", "the expanded form was expected"),
        ("(x-1)(x+1)", "x^2-1", "factored", "the completely factored form was expected"),
        ("2/3", "4/6", "reduced", "a fraction in lowest terms was expected"),
        ("2*sqrt(3)", "√12", "simplified", "the simplified form was expected"),
        ("sqrt(5)", "√5", "decimal:2", "a decimal with 2 places was expected"),
    ],
)
def test_another_form_says_what_was_expected(key: str, answer: str, form: str, reason: str) -> None:
    assert verdict(key, answer, form) == (Verdict.RIGHT_OTHER_FORM, reason)


@pytest.mark.parametrize(
    ("key", "answer", "reason"),
    [
        ("5/4", "1-1/4", "read as meant: the hyphen"),
        ("sqrt(2)", "1.41", "a rounded decimal"),
        ("2/3", "0.66", "a decimal that was cut off"),
        ("x^2-1", "t^2-1", "another letter for the unknown"),
    ],
)
def test_a_right_answer_in_odd_shape_says_why(key: str, answer: str, reason: str) -> None:
    found, told = verdict(key, answer)
    assert found is Verdict.RIGHT
    assert told is not None
    assert told.startswith(reason)


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ("-5±√13/2", "right if (−5 + √13)/2 or (−5 − √13)/2 was meant: the fraction bar reaches"),
        ("-5+√13/2, -5-√13/2", "right if (−5 + √13)/2 or (−5 − √13)/2 was meant"),
    ],
)
def test_missing_brackets_are_counted_apart_unless_the_course_says_which(
    answer: str, told: str
) -> None:
    right = read_key("(-5+sqrt(13))/2, (-5-sqrt(13))/2")
    assert not isinstance(right, str)

    read = read_answer(answer)
    apart, meant, literal = (
        judge(read, right, missing_brackets=how) for how in ("apart", "meant", "literal")
    )

    assert (apart.verdict, meant.verdict, literal.verdict) == (
        Verdict.RIGHT_IF_MEANT,
        Verdict.RIGHT,
        Verdict.WRONG,
    )
    assert apart.reason
    assert apart.reason.startswith(told)
    assert apart.used == literal.used == read.readings[0]
    assert apart.brackets == literal.brackets == "numerator-span"


@pytest.mark.parametrize("answer", ["2, 3", "x=2 or x=3", "{3, 2}", "2 and 3", "(x-2)(x-3)=0"])
def test_a_plain_right_answer_has_no_reason_or_a_named_reading(answer: str) -> None:
    found, _ = verdict("[2, 3]", answer)
    assert found is Verdict.RIGHT


def test_complex_roots_are_right_in_another_form_over_the_reals() -> None:
    i = Surd.root_of(-1)
    assert i is not None
    roots = Roots((Number.exactly(i), Number.exactly(-i)))
    right = RightAnswer(Statement(StatementCode.NO_REAL), other_form=(roots,))
    found = judge(read_answer("±i"), right)
    assert found.verdict is Verdict.RIGHT_OTHER_FORM
    assert judge(read_answer("±1"), right).verdict is Verdict.WRONG
    assert judge(read_answer("no solution"), right).verdict is Verdict.RIGHT


def test_few_places_prove_nothing_where_the_course_says_so() -> None:
    right = read_key("sqrt(2)")
    assert not isinstance(right, str)
    assert judge(read_answer("1.41"), right, min_places=3).verdict is Verdict.TOO_COARSE
    assert judge(read_answer("1.4"), right, min_places=1).verdict is Verdict.RIGHT


def test_an_equality_found_only_by_digits_says_so() -> None:
    found, told = verdict("sqrt(x)*sqrt(y)", "√(xy)")
    assert (found, told) == (Verdict.RIGHT, "equal to 50 digits; not proved exactly")


def test_an_unknown_form_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UsageError, match="simplified"):
        verdict("2", "2", "pretty")


@pytest.mark.parametrize("key", ["", "C)", "3))", "idk"])
def test_a_key_without_value_is_a_reason(key: str) -> None:
    assert isinstance(read_key(key), str)
