"""Right answers in odd notation are right, and wrong ones in the same notation stay wrong.

The kinds of question are those of OpenStax Elementary Algebra 2e (2.7, 7.1 to 7.6, 10.2 to 10.5)
and Intermediate Algebra 2e (5.1, 5.4), with numbers of our own, worked by hand.
"""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT = """
solve | w(w + 2) = 120; keep w > 0; asked w, w + 2 | 10 × 12
solve | w(w + 2) = 120; keep w > 0; asked w, w + 2 | 10 \\times 12
solve | x(x + 2) = 120; keep x > 0; asked x, x + 2 | 10 x 12
solve | x(x + 2) = 120; keep x > 0; asked x, x + 2 | 10 ft × 12 ft
solve | -16t^2 + 32t = 0; keep t > 0 | t=2s
solve | x + 2 >= 5 | x => 3
solve | x + 2 <= 5 | x = < 3
domain | sqrt(5x + 2) | x => -2/5
translate | a number is at least 12: x >= 12 | x => 12
discriminant | 3x^2 - 10x + 1 = 0 | b^2-4ac = 88
discriminant | 2x^2 + 3x = -4 | -23 < 0
discriminant | x^2 + 5x + 4 = 0 | D = 9 > 0
square-constant | x^2 - 5x | (b/2)^2 = 25/4
function | f(x) = 3x + 5; g(x) = -2x - 6; (f + g)(x) | (f+g)(x) = x - 1
function | f(x) = 3x + 5; g(x) = -2x - 6; (f + g)(x) | f(x)+g(x) = x - 1
function | f(x) = 2x + 7; g(x) = -3x + 6; f(g(x)) | f(g(x)) = -6x + 19
function | f(x) = 2x - 4; f^-1(x) | (x+4)/2 = y
function | f(x) = 3x + 5; g(x) = -2x - 6; (f - g)(x) | (f - g)(x) = f(x) - g(x) = 5x + 11
function | f(x) = 3x + 5; g(x) = -2x - 6; f(g(x)) | f(-2x - 6) = -6x - 13
discriminant | x^2 + 5x + 4 = 0 | 9 > 0, two real solutions
evaluate | 2x^2 + 3 at x=5 | 2x^2 + 3 = 53
factor | x^2 - 9 | (x + 3), (x - 3)
simplify | 3/4 + 1/2 | 1-1/4
"""
OTHER = """
square-constant | t^2 - 14t | t^2 - 14t + 49
square-constant | x^2 + 7x | x^2 + 7x + 49/4 = (x + 7/2)^2
divide | (2x^2 + x - 36) / (x + 4) | (x + 4)(2x - 7) - 8
factor | 2x^2 - 18 | 2x - 6, x + 3
"""
WRONG = """
solve | w(w + 2) = 120; keep w > 0; asked w, w + 2 | 8 × 15
solve | -16t^2 + 32t = 0; keep t > 0 | t=3s
solve | x + 2 >= 5 | x => 7
discriminant | 3x^2 - 10x + 1 = 0 | b^2-4ac = 112
discriminant | 2x^2 + 3x = -4 | -23 > 0
square-constant | x^2 - 5x | (b/2)^2 = 25
square-constant | t^2 - 14t | t^2 - 14t + 196
function | f(x) = 3x + 5; g(x) = -2x - 6; (f + g)(x) | (f+g)(x) = x + 11
divide | (2x^2 + x - 36) / (x + 4) | (x + 4)(2x - 7) + 8
divide | (2x^2 + x - 36) / (x + 4) | 2x^2 + x - 36
evaluate | 2x^2 + 3 at x=5 | 2x^2 + 3 = 103
evaluate | 2x^2 + 3 at x=5 | 2x^2 + 3 = 1/0
evaluate | 2x^2 + 3 at x=5 | 2x^2 = 50
factor | x^2 - 9 | 3, -3
"""


def rows(text: str, verdict: Verdict) -> list[tuple[str, str, str, Verdict]]:
    found = [line.split(" | ") for line in text.strip().splitlines()]
    return [(task, problem, answer, verdict) for task, problem, answer in found]


CASES = [
    *rows(RIGHT, Verdict.RIGHT),
    *rows(OTHER, Verdict.RIGHT_OTHER_FORM),
    *rows(WRONG, Verdict.WRONG),
]


@pytest.mark.parametrize(("task", "problem", "answer", "verdict"), CASES)
def test_notation_is_no_error(task: str, problem: str, answer: str, verdict: Verdict) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict is verdict
    assert verdict is Verdict.WRONG or found.patterns == ()


@pytest.mark.parametrize(
    ("task", "problem", "answer", "work", "number"),
    [
        ("expand", "(3x + 2)^2", "9x^2 + 12x + 4", "= (3x + 2)(3x + 2)\n= 9x^2 + 12x + 4", 0),
        ("simplify", "3(x + 2) - 4(x + 1)", "-x + 2", "= 3x + 6 - 4x - 4 = -x + 2", 0),
        ("solve", "2x + 1 = 5", "2", "= 2x = 4\nx = 2", 0),
        ("expand", "(3x + 2)^2", "9x^2 + 4", "= (3x + 2)(3x + 2)\n= 9x^2 + 4", 2),
        ("simplify", "3(x + 2) - 4(x + 1)", "-x + 10", "= 3x + 6 - 4x + 4 = -x + 10", 1),
        ("solve", "2x + 1 = 5", "3", "= 2x = 6\nx = 3", 1),
    ],
)
def test_a_first_line_with_an_equals_sign_goes_on_from_the_problem(
    task: str, problem: str, answer: str, work: str, number: int
) -> None:
    found = examine(Request(task, problem, answer, work=work))

    assert found.first_wrong_line == number
    assert "could not be read" not in (found.reason or "")
