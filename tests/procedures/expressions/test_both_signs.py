"""Expressions with a plus-minus sign stand for two numbers."""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

PROBLEM = "(6 ± 2sqrt(3))/2"


@pytest.mark.parametrize("answer", ["3 ± sqrt(3)", "3 + sqrt(3), 3 - sqrt(3)", r"3\pm\sqrt{3}"])
def test_both_numbers_are_right(answer: str) -> None:
    found = examine(Request("simplify", PROBLEM, answer))

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()


@pytest.mark.parametrize("answer", ["6 ± sqrt(3)", "3 ± 2sqrt(3)"])
def test_a_term_left_undivided_is_named_for_both_signs(answer: str) -> None:
    """OpenStax Elementary Algebra 2e, 8.1: every term of the numerator is divided."""
    found = examine(Request("simplify", PROBLEM, answer))

    assert found.patterns[0].faults == ("denominator-divides-one-term",)


def test_the_question_itself_is_another_form() -> None:
    assert examine(Request("simplify", PROBLEM, PROBLEM)).verdict is Verdict.RIGHT_OTHER_FORM


def test_with_letters_nothing_is_judged() -> None:
    assert examine(Request("simplify", "x ± 3", "x + 3")).verdict is Verdict.NO_KEY


@pytest.mark.parametrize(
    ("task", "problem", "answer", "expected"),
    [
        ("function", "f(x) = 2x + 3; f^-1(x)", "y = -2x - 3", "inverse-as-opposite"),
        ("simplify", "3x + 4", "y = 7x", "unlike-terms-joined"),
    ],
)
def test_an_answer_given_a_name_is_matched_by_its_right_side(
    task: str, problem: str, answer: str, expected: str
) -> None:
    assert examine(Request(task, problem, answer)).patterns[0].id == expected
