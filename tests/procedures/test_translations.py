"""Words put into algebra: right answers in the notations that people type, and silence on them."""

from __future__ import annotations

import random

import pandas as pd
import pytest
import sympy

from pipeline.course import Item
from pipeline.exact.values import value_source
from pipeline.records import Request, Verdict, words_with_algebra
from pipeline.run.keys import with_derived_keys
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predictions
from pipeline.tagging.questions import question_of

RIGHT = (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
N = sympy.Symbol("n")

# The sentences are of our own; what each kind asks for stands in OpenStax Prealgebra 2e 2.2 and
# Elementary Algebra 2e 1.2, 2.7, 3.1 to 3.4.
ODD_NOTATION = [
    ("three less than a number: x - 3", "x−3", "n - 3", "N-3", "-3 + n", "(x) - 3", "x - 3.",
     "n = x - 3", "x - 3 = n", "y = n - 3", "let n = the number, n-3", "i - 3", "e - 3",
     "Let x be the number. x - 3", "x-3 where x is the number", "x - 3, x = the number",
     "x - 3 =", "x - 3 = ?",
     "x minus 3"),
    ("twice the sum of a number and 3: 2(x + 3)", "(n+3)2", "2n+6", "2*(3+n)", "2[n+3]",
     "n+3+n+3", "2 · (x+3)", "y=2(x+3)", "2 (x + 3)"),
    ("half of a number: x/2", "½x", "0.5x", "1/2x", "1/2 n", "n ÷ 2", "(1/2)x", "50% of x"),
    ("the ratio of x to y: x/y", "x:y", "x ÷ y"),
    ("the product of 4 and 7: 4*7", "28", "4(7)", "7 × 4"),
    ("five times as many apples A as pears P: A = 5P", "5P = A", "P = A/5", "A/P = 5", "P/A = 1/5",
     "A - 5P = 0", "a=5p", "A:P = 5", "A=5xP", "A = 5 × P", "P = .2A", "A is 5P",
     "A equals 5 times P"),
    ("two numbers, 7 apart, have product 60: x(x + 7) = 60", "n(n+7)=60", "x^2+7x-60=0",
     "60/x = x+7", "60/(x+7)=x", "60 = x² + 7x"),
    ("20% of a number is 16: 0.2x = 16", "20%x=16", "20% of x = 16", "20/100 x = 16", "x/5=16",
     "16/n = 20/100",
     "n*.2=16", "16=20n/100", "1/5 x = 16"),
    ("dimes and quarters worth $3.75: 0.10d + 0.25q = 3.75", "10d+25q=375", ".1D + .25Q = 3.75"),
    ("a number is at least 9: n >= 9", "x ≥ 9", "9 <= n", "[9, oo)", "x is at least 9"),
]  # fmt: skip

OTHER_FORM = [
    ("the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75",
     "n-1+n+n+1=75", "(n-2)+(n-1)+n=75", "3n = 75", "24", "n = 24"),
    ("two numbers, 7 apart, have product 60: x(x + 7) = 60", "x(x-7)=60", "5", "x = 5, -12"),
    ("one number is five times another, they add up to 60: x + 5x = 60", "x + x/5 = 60"),
    # OpenStax Elementary Algebra 2e, Try It 7.159, 10.75 and 10.77, with their printed answers.
    ("two consecutive integers have product 240: n(n + 1) = 240", "15", "-16", "-16, 15"),
    ("two consecutive odd integers have product 99: n(n + 2) = 99", "9", "-11"),
    ("a triangle, 4 more than 6 times as wide as high: h(6h + 4)/2 = 208", "8"),
    ("20 tickets at $5 and $10 bring $170: 5x + 10(20 - x) = 170", "10x+5(20-x)=170"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("problem", "answer"), [(problem, one) for problem, *answers in ODD_NOTATION for one in answers]
)
def test_odd_notation_is_right(problem: str, answer: str) -> None:
    found = examine(Request("translate", problem, answer))

    assert found.verdict is Verdict.RIGHT, found
    assert found.patterns == ()


@pytest.mark.parametrize(
    ("problem", "answer"), [(problem, one) for problem, *answers in OTHER_FORM for one in answers]
)
def test_another_unknown_and_the_solution_are_right_in_another_form(
    problem: str, answer: str
) -> None:
    found = examine(Request("translate", problem, answer))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM, found
    assert found.patterns == ()


@pytest.mark.parametrize("answer", ["three less than x", "a number - 3", "x less than 3"])
def test_words_in_the_place_of_algebra_are_not_read(answer: str) -> None:
    found = examine(Request("translate", "three less than a number: x - 3", answer))

    assert found.verdict is Verdict.UNREADABLE
    assert found.reason


def test_an_answer_in_another_letter_shows_the_same_error() -> None:
    for answer in ("3 - x", "3 - n", "y = 3 - n", "3 - i"):
        found = examine(Request("translate", "three less than a number: x - 3", answer))
        assert found.patterns[0].id == "subtraction-turned-round"


def test_with_two_letters_they_must_be_those_of_the_question() -> None:
    found = examine(Request("translate", "A = 5P", "5x = y"))

    assert found.verdict is Verdict.WRONG
    assert found.patterns == ()


def test_a_reversed_equation_is_found_however_it_is_written() -> None:
    for answer in ("5A = P", "5a=p", "P/A = 5", "A = P/5", "5 x A = P", "P - 5A = 0"):
        found = examine(Request("translate", "A = 5P", answer))
        assert [one.faults for one in found.patterns] == [("comparison-reversed",)]


def test_the_words_may_stand_alone_where_the_key_gives_the_algebra() -> None:
    words = "Three less than a number."

    assert words_with_algebra(words, "x - 3") == "Three less than a number: x - 3"
    assert words_with_algebra("Three less than a number: x - 3", "x - 3").count(":") == 1
    assert words_with_algebra("sqrt(x) + 4", "sqrt(x) + 4") == "sqrt(x) + 4"
    assert examine(Request("translate", words, "3 - n", key="x - 3")).patterns
    assert examine(Request("translate", words, "n - 3", key="x - 3")).verdict is Verdict.RIGHT


def test_words_without_algebra_say_what_is_missing() -> None:
    found = examine(Request("translate", "Three less than a number", "x - 3"))

    assert found.verdict is Verdict.NO_KEY
    assert "no algebra behind its words" in str(found.reason)


def test_a_run_keeps_the_algebra_behind_the_words() -> None:
    item = Item("w1", "words", "translate", "Three less than a number", "x - 3")
    rows = pd.DataFrame(
        {"item": ["w1"], "item_from": [""], "problem": [item.problem], "key": [item.answer]}
    )

    class Course:
        items = (item,)

    found = with_derived_keys(Course(), rows)  # type: ignore[arg-type]  # items are all it reads

    assert found["problem"].tolist() == ["Three less than a number: x - 3"]


def _sentence(rng: random.Random) -> tuple[str, sympy.Expr]:
    """A random expression as typed, and as sympy has it."""
    a, b, c = (rng.randint(2, 12) for _ in range(3))
    shapes = (
        (f"{a}(n + {b})", a * (N + b)),
        (f"{a}n - {b}", a * N - b),
        (f"(n - {a})/{b}", (N - a) / sympy.Integer(b)),
        (f"(n + {a})^2 - {b}n", (N + a) ** 2 - b * N),
        (f"n + (n + {a}) + {c}", 2 * N + a + c),
    )
    return rng.choice(shapes)


def test_no_rearrangement_of_the_right_answer_is_tagged() -> None:
    rng = random.Random("translations")
    for _ in range(25):
        text, value = _sentence(rng)
        total, factor = rng.randint(20, 90), rng.choice([2, 3, -1])
        for form in (sympy.expand(value), sympy.factor(value), value.subs(N, sympy.Symbol("t"))):
            answer = str(form).replace("**", "^")
            assert examine(Request("translate", text, answer)).verdict in RIGHT
        scaled = str(sympy.expand(factor * (value - total))).replace("**", "^")
        for answer in (f"{scaled} = 0", f"0 = {scaled}", f"{total} = {text}"):
            found = examine(Request("translate", f"{text} = {total}", answer))
            assert found.verdict in RIGHT
            assert found.patterns == ()


def test_no_prediction_equals_the_right_answer() -> None:
    rng = random.Random("predictions of translations")
    for _ in range(10):
        text, _ = _sentence(rng)
        problem = f"{text} = {rng.randint(20, 90)}"
        known = predictions("translate", problem)
        right = question_of(Request("translate", problem, "")).right
        assert right is not None
        assert not set(known.by_value) & known.right.endings
        assert examine(Request("translate", problem, value_source(right.value))).verdict in RIGHT
