"""Shown working is checked line by line; its first wrong line decides between candidates."""

from __future__ import annotations

import pytest

from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine

FOLLOWS = [
    ("x^2 + 6x = 7", "1, -7", "(x + 3)^2 = 16\nx + 3 = 4 or x + 3 = -4"),
    ("x^2 + 6x = 7", "1, -7", "x^2 + 6x + 9 = 7 + 9 | (x + 3)^2 = 16 | x + 3 = ±4"),
    ("x^2 + 6x = 7", "1, -7", "(x + 3)^2 = 16\nx + 3 = 4\nx = 1\nx + 3 = -4\nx = -7"),
    ("x^2 - 6x + 5 = 0", "5, 1", "(x - 5)(x - 1) = 0\nx - 5 = 0 or x - 1 = 0"),
    ("x^2 - 6x + 5 = 0", "5, 1", "x = (6 ± sqrt(36 - 20))/2\nx = (6 ± 4)/2"),
    ("x^2 - 6x + 5 = 0", "5, 1", "x = 5"),
    ("2x + 3 = 11", "4", "2x = 11 - 3\n2x = 8\n8/2 = 4\nx = 4"),
    ("2x + 3 = 11", "4", "2x = 8 ⇒ x = 4"),
    ("x^2 + 5x + 4 = 0", "-1, -4", "D = 25 - 16 = 9\nx = (-5 ± 3)/2"),
    ("x^2 + 5x = -4", "-1, -4", "b^2 - 4ac = 25 - 16 = 9\nx = (-5 ± 3)/2"),
    ("2x + 3 = 11", "4", "2x = 8\n\nx = 8/2\n= 4"),
    ("2x + 3 = 11", "4", "2x + 3 = 11\n2x + 3 = 11"),
    ("x^2 = -4", "no real solution", "x = ±sqrt(-4)\nno real solution"),
    ("2x + 3 = 2x + 5", "no solution", "3 = 5"),
    (
        "sqrt(x + 6) = x",
        "3",
        "x + 6 = x^2\nx^2 - x - 6 = 0\n(x - 3)(x + 2) = 0\nx = 3 or -2\nx = 3",
    ),
]

WRONG = [
    ("x^2 + 6x = 7", "-3 ± sqrt(10)", "x^2 + 6x + 3 = 10\n(x + 3)^2 = 10", 2, "half-not-squared"),
    ("x^2 + 6x = 7", "-3 ± sqrt(10)", "(x + 3)^2 = 10 | x + 3 = ±sqrt(10)", 1, "half-not-squared"),
    ("x^2 + 6x = 7", "1", "(x + 3)^2 = 16\nx + 3 = 4\nx = 1", 2, "plus-minus-dropped"),
    ("x^2 + 6x = 7", "7, -1", "(x + 3)^2 = 16\nx + 3 = ±4\nx = 3 ± 4", 3, "shift-moved-same-sign"),
    ("x^2 + 6x = 7", "7, -1", "(x - 3)^2 = 16", 1, "binomial-sign-lost"),
    ("x^2 - 6x + 5 = 0", "-1, -5", "x = (-6 ± sqrt(16))/2", 1, "minus-b-not-negated"),
    ("x^2 - 6x + 5 = 0", "-1, -5", "(x - 5)(x - 1) = 0", 2, "root-takes-factor-sign"),
    ("x^2 - 7 = 0", "i*sqrt(7), -i*sqrt(7)", "x^2 = -7", 1, "constant-moved-same-sign"),
    ("2x + 3 = 11", "7", "2x = 14\nx = 7", 1, "constant-moved-same-sign"),
    ("2x + 3 = 11", "6", "2x = 8\nx = 6", 2, "coefficient-subtracted"),
    ("2x + 3 = 11", "6", "2x = 8", 2, "coefficient-subtracted"),
    ("3(x + 7) = -12", "-19/3", "3x + 7 = -12\n3x = -19", 1, "multiplied-first-term-only"),
    ("4x^2 = -11x", "-11/4", "4x = -11", 1, "divided-out-unknown"),
    ("x^2 + 6x = 7", "-3 ± sqrt(10)", "x^2 + 6x + 9 = 7 + 3", 1, "half-not-squared"),
    ("x^2 + 8x = 12", "-4 ± 2sqrt(3)", "x^2 + 8x + 16 = 12", 1, "square-added-to-one-side"),
    ("x^2 - 6x = 16", "2, -8", "x^2 - 6x + 9 = 25 | (x + 3)^2 = 25", 2, "binomial-sign-lost"),
    (
        "x^2 - 12x = 25",
        "25, -1",
        "x^2 - 12x + 144 = 169\n(x - 12)^2 = 169",
        2,
        "squared-without-halving",
    ),
    ("x^2 + 5x + 4 = 0", "(-5 ± sqrt(41))/2", "D = 25 + 16 = 41", 1, "four-ac-added"),
    ("x^2 + 5x + 4 = 0", "(-5 ± sqrt(41))/2", "b^2 - 4ac = 41", 1, "four-ac-added"),
]


def explained(problem: str, answer: str, work: str, task: str = "solve") -> Explanation:
    return examine(Request(task, problem, answer, work=work))


@pytest.mark.parametrize(("problem", "answer", "work"), FOLLOWS)
def test_all_lines_follow(problem: str, answer: str, work: str) -> None:
    found = explained(problem, answer, work)

    assert found.verdict is Verdict.RIGHT
    assert found.first_wrong_line == 0, found.reason
    assert found.reason is None or "line" not in found.reason


@pytest.mark.parametrize(("problem", "answer", "work", "number", "name"), WRONG)
def test_first_wrong_line_and_its_pattern(
    problem: str, answer: str, work: str, number: int, name: str
) -> None:
    found = explained(problem, answer, work)

    assert found.verdict is Verdict.WRONG
    assert found.first_wrong_line == number
    assert found.patterns[0].faults == (name,)
    assert all(name in one.faults for one in found.patterns)
    assert found.unexplained is not None
    assert sum(one.share for one in found.patterns) + found.unexplained == pytest.approx(1)


def test_without_working_there_is_no_line() -> None:
    assert examine(Request("solve", "x^2 = 9", "3")).first_wrong_line is None
    assert explained("x^2 = 9", "3", "  ").first_wrong_line is None


def test_a_wrong_answer_after_lines_that_follow_is_one_line_further() -> None:
    found = explained("2x + 3 = 11", "x = 5", "2x = 8\n\nx = 4")

    assert found.first_wrong_line == 4


def test_a_lost_root_is_found_in_its_line() -> None:
    """x = 1 is a branch while the other root comes later, and the lost root otherwise."""
    found = explained("x^2 - 6x + 5 = 0", "1", "(x - 5)(x - 1) = 0\nx = 1")

    assert found.first_wrong_line == 2
    assert "second-root-left-out" in {one.id for one in found.patterns}


def test_a_right_answer_from_wrong_working_keeps_no_pattern_but_a_reason() -> None:
    found = explained("2x + 3 = 11", "4", "2x = 14\nx = 4")

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()
    assert found.first_wrong_line == 1
    assert found.reason is not None
    assert "constant-moved-same-sign" in found.reason


def test_a_false_side_calculation_is_a_wrong_line() -> None:
    found = explained("2x + 3 = 11", "3", "2x = 8\n8/2 = 3\nx = 3")

    assert found.first_wrong_line == 2


def test_unreadable_lines_are_skipped_and_listed() -> None:
    found = explained("2x + 3 = 11", "4", "first I take three away\n2x = 8\nx = 4")

    assert found.first_wrong_line == 0
    assert found.reason == "line 1 could not be read"


def test_working_that_cannot_be_read_says_nothing_of_lines() -> None:
    assert explained("2x + 3 = 11", "4", "I did it in my head").first_wrong_line is None


def test_a_bar_splits_only_where_every_piece_reads_alone() -> None:
    split = explained("2x + 3 = 11", "6", "2x = 8 | x = 6")
    whole = explained("|x - 3| = 5", "8, -2", "|x - 3| = 5")

    assert split.first_wrong_line == 2
    assert whole.first_wrong_line == 0


def test_two_faults_are_put_together_from_the_wrong_line() -> None:
    """The line shows the first fault, the answer a second one after it."""
    found = explained("2x + 3 = 11", "12", "2x = 14")

    assert found.first_wrong_line == 1
    assert ("constant-moved-same-sign", "coefficient-subtracted") in {
        one.faults for one in found.patterns
    }


def test_expressions_are_checked_by_value() -> None:
    found = explained("3(x + 1)^2", "3x^2 + 3", "3(x^2 + 1)\n3x^2 + 3", task="expand")

    assert found.first_wrong_line == 1
    assert found.patterns[0].id == "square-spread-over-sum"


def test_expression_lines_may_go_on_with_an_equals_sign() -> None:
    found = explained("(x + 2)^2", "x^2 + 4x + 4", "(x + 2)(x + 2)\n= x^2 + 2x + 2x + 4", "expand")

    assert found.first_wrong_line == 0


def test_a_side_calculation_beside_an_expression_is_checked_by_itself() -> None:
    true = explained("(x + 5)^2", "x^2 + 10x + 25", "5*5 = 25\nx^2 + 10x + 25", "expand")
    false = explained("(x + 5)^2", "x^2 + 10x + 20", "5*5 = 20\nx^2 + 10x + 20", "expand")

    assert (true.first_wrong_line, false.first_wrong_line) == (0, 1)


@pytest.mark.parametrize("line", ["0/0", "9^(9^9)", "1/(2 - 2) = 3", "))((", "x" * 3000])
@pytest.mark.parametrize("task", ["expand", "solve"])
def test_a_line_without_a_value_is_not_read(task: str, line: str) -> None:
    problem, answer = ("3(x + 2)", "3x + 6") if task == "expand" else ("3x = 6", "x = 2")
    found = explained(problem, answer, f"{line}\n{answer}", task)

    assert found.first_wrong_line == 0
    assert found.reason == "line 1 could not be read"
