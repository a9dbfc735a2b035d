"""Answers typed carelessly: read where only one thing can be meant, refused where not."""

from __future__ import annotations

import json

import pytest

from pipeline.explain import stream
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT = [
    ("solve", "x^2 - x - 6 >= 0",
     "x=<-2 or x=>3", "x <= -2 or x => 3", "x≤-2 or x=>3", "≤-2 or ≥3", "=<-2 or =>3"),
    ("solve", "x^2 - x - 6 > 0", "<-2 or >3", "x < -2 or > 3"),
    ("solve", "2x > 6", ">3", "> 3", "(3,inf", "(3,infinity", "x > 3.",
     "x>3)", "(x>3"),
    ("solve", "2n >= 6", "=>3", "≥3", "[3,oo", "2n>=6 => n>=3", "n=>3"),
    ("solve", "2x = 6", "3=", "x=3=", "2x=6 -> 3", "2x=6 -> x=3", "6/2 -> 3", "(3", "3)", "x=(3",
     "x=3)", "x=3 because 6/2", "3, since 2*3=6", "x = 3 because 6/2 = 3"),
    ("solve", "x^2 = 9", "3 or -3 because (-3)^2=9", "x^2=9 -> x=±3", "x²=9 → ±3", "3 -3"),
    ("solve", "x^2 = 7", "±√(7", "x=sqrt(7), x=-sqrt(7"),
    ("solve", "x^2 - 7x + 10 = 0",
     "2 5", "x=2 5", "5  2", "(x-2)(x-5)=0 -> 2, 5", "x = 2 / x = 5", "2 and/or 5", "(2,5",
     "{2,5", "[2,5", "2,5)", "x=2,5)"),
    ("solve", "x + y = 7; x - y = -3", "(2,5", "2,5)", "x=2, y=5 because 2+5=7"),
    ("simplify", "2x + 3x", "(5x", "5x)", "5x because 2+3=5"),
    ("solve", "2x^2 - 7x + 3 = 0", "1/2 3", "0.5 3"),
    ("solve", "2x = 3", "1 1/2"),
    ("solve", "2x = 50", "2 5"),
    ("solve", "x = 10000", "10 000"),
    ("solve", "x + 1 = 8", "7 (seven)", "seven (7)", "x = 7 (seven)", "7 [seven]."),
    ("solve", "x + 8 = 1", "-7 (negative seven)"),
    ("solve", "2x = 1", "1/2 (one half)", "0.5 (half)"),
    ("expand", "x(x + 1)", "xˆ2+x", "x↑2+x", "x^2+x=", "= x^2 + x", "x*x + x -> x^2+x"),
    ("factor", "x^2 - x - 6", "(x+2)(x-3", "(x+2)*(x-3", "x+2)(x-3)", "(x+2) x (x-3)"),
    ("vertex", "y = (x - 2)^2 + 5", "(2,5", "2 5", "(2 , 5 )", "x=2 y=5"),
    ("evaluate", "3 - 5", "=-2=", "-2 (minus two)"),
]  # fmt: skip
REFUSED = [
    ("factor", "x^2 - x - 6", "(x+2(x-3)"),  # where was the first bracket to end?
    ("solve", "2x = 6", "x ="),
    ("solve", "2x = 6", "x = (3+"),  # the rest of it may be missing
    ("solve", "x^2 - 5x + 5 = 0", "(5±√5"),
    ("solve", "|2x - 1| < 5", "(-2,3"),  # round or square?
    ("solve", "|2x - 1| < 5", "-2,3)"),
    ("factor", "x^2 - x - 6", "(x+2"),
    ("solve", "x + 1 = 8", "7 (eight)"),
    ("solve", "x^2 - 7x + 10 = 0", "2 -> 5"),
    ("solve", "x + y > 6", ">3"),
    ("solve", "x^2 = 9", "x=3 because 3^2=9 and x=-3"),
    ("solve", "x^2 = 9", "x=3 because 3^2=9, x=-3"),
]


@pytest.mark.parametrize(
    ("task", "problem", "answer"),
    [(task, problem, one) for task, problem, *answers in RIGHT for one in answers],
)
def test_what_is_clear_is_read(task: str, problem: str, answer: str) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM), found
    assert found.patterns == ()


@pytest.mark.parametrize(("task", "problem", "answer"), REFUSED)
def test_what_may_mean_two_things_is_refused(task: str, problem: str, answer: str) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict is Verdict.UNREADABLE
    assert found.reason


def test_wrong_ends_of_a_carelessly_typed_region_are_still_wrong() -> None:
    found = examine(Request("solve", "x^2 - x - 6 > 0", "x=<-2 or x=>3"))

    assert (found.verdict, found.read_as) == (Verdict.WRONG, "(−∞, −2] ∪ [3, ∞)")


@pytest.mark.parametrize("length", [2_500, 200_000])
def test_an_answer_of_any_length_is_unreadable_with_its_reason(length: int) -> None:
    request = {"task": "solve", "problem": "2x = 6", "answer": "3+" * (length // 2)}

    (line,) = stream([json.dumps(request)])

    found = json.loads(line)
    assert (found["verdict"], found["readings"]) == ("unreadable", [])
    assert "too large" in found["reason"]
