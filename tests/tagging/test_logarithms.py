"""Logarithms and unknown exponents: right answers in odd notation, and what e stands for.

The kinds of question are those of OpenStax College Algebra 2e, 6.3, 6.5 and 6.6, with numbers of
our own; every value was checked with a calculator.
"""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import read_problem

RIGHT = """
2log_3(x) = 4 | 9
log_2(x) + 3 = 7 | 2^4
5*2^x = 40 | 3
3 + 2*5^x = 53 | x = 2
log_3(2x - 1) = log_3(x + 4) | 5
ln(x) = 2 | e^2
ln(x) = 2 | 7.389
ln(x) = 1 | e
ln(3x - 1) = 2 | (e^2 + 1)/3
2^x = 7 | log_2(7)
2^x = 7 | ln 7/ln 2
2^x = 7 | log(7)/log(2)
2^x = 7 | 2.81
e^(2x) = 5 | (1/2)ln5
e^(2x) = 5 | ln(sqrt(5))
3^(x+1) = 9^x | 1
2^(x+1) = 3^x | ln(2)/(ln(3) - ln(2))
ln(e^5) | 5
log_2(5) | 2.32
log_6(4) + log_6(9) | 2
e^(ln(5)) | 5
2ln(x) = ln(16) | 4
ln(x + 2) - ln(x) = ln(3) | 1
log_x(64) = 3 | 4
4^x - 2^x - 12 = 0 | 2
e^(2x) - 3e^x + 2 = 0 | 0, ln(2)
10^x = 250 | 1 + log(25)
100 = 20e^(0.05t) | 20ln(5)
log_5(x + 1) = log_5(x) + 1 | 1/4
log(x) + log(x - 3) = 1 | 5
ln(x^2*y) | 2ln(x) + ln(y)
"""
E_IS = [
    ("logarithm", "e^x = 5", {"x"}),
    ("solve", "e^(2x) = 5", {"x"}),
    ("simplify", "ln(e^x)", {"x"}),
    ("solve", "ae = 5 for e", {"a", "e"}),
    ("simplify", "2e + 3e", {"e"}),
    ("solve", "e^2 = 16", {"e"}),
    ("simplify", "e^2x^3", {"e", "x"}),
]


@pytest.mark.parametrize("line", RIGHT.strip().splitlines())
def test_right_in_any_notation(line: str) -> None:
    problem, answer = line.split(" | ")
    found = examine(Request("logarithm", problem, answer))

    assert (found.verdict, found.patterns) == (Verdict.RIGHT, ()), found.reason


@pytest.mark.parametrize(("task", "problem", "names"), E_IS)
def test_e_is_a_letter_or_a_number(task: str, problem: str, names: set[str]) -> None:
    assert read_problem(problem, task).letters == names


@pytest.mark.parametrize(
    ("problem", "answer"),
    [("ln(x) = 2", "2"), ("5*2^x = 40", "log(40)"), ("log(x) + log(x - 3) = 1", "5, -2")],
)
def test_wrong_stays_wrong(problem: str, answer: str) -> None:
    assert examine(Request("logarithm", problem, answer)).verdict is Verdict.WRONG


@pytest.mark.parametrize(
    ("problem", "answer", "identifier"),
    [
        ("2^x = 7", "1.946", "logarithm-of-base-left-out"),
        ("2^x = 7", "1.25", "quotient-of-logarithms-as-logarithm-of-quotient"),
        ("ln(x + 1) = 2", "8.389", "constant-moved-same-sign"),
    ],
)
def test_a_rounded_wrong_value_is_known(problem: str, answer: str, identifier: str) -> None:
    found = examine(Request("logarithm", problem, answer))

    assert found.patterns[0].faults == (identifier,)


def test_one_decimal_proves_nothing() -> None:
    assert examine(Request("logarithm", "2^x = 7", "1.9")).patterns == ()


@pytest.mark.parametrize(
    ("task", "problem"),
    [
        ("logarithm", "3*2^x + e^x = 0"),
        ("logarithm", "x^x = 4"),
        ("expand", "log_x(8) + log_x(3)"),
        ("simplify", "log_x(0) + log_3(x)"),
        ("logarithm", "log_x(64) = 0"),
        ("logarithm", "log_x(0) = 1/2"),
        ("logarithm", "ln(0) = x"),
        ("logarithm", "1^x = 7"),
    ],
)
def test_what_is_not_worked_is_not_tagged(task: str, problem: str) -> None:
    assert examine(Request(task, problem, "e^2 + 11")).patterns == ()
