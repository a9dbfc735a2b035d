"""Working of inequalities, systems, logarithms and fractions, line by line.

The wrong lines follow OpenStax Intermediate Algebra 2e: 2.5 (the sign is turned), 2.7 (cases of an
absolute value), 4.1 (substitution), 10.3 (logarithmic equations); right lines are worked likewise.
"""

from __future__ import annotations

import pytest

from pipeline.explain import record

RIGHT = (
    ("solve", "7 - 6x < 55", "-6x < 48 | x > -8", "x > -8"),
    ("solve", "x^2 - 9 > 0", "x^2 = 9 | x = ±3 | x < -3 or x > 3", "x < -3 or x > 3"),
    ("solve", "|x - 2| > 3", "x - 2 > 3 | x > 5 | x - 2 < -3 | x < -1", "x > 5 or x < -1"),
    ("solve", "-3 <= 2x + 1 < 7", "-4 <= 2x < 6 | -2 <= x < 3", "[-2, 3)"),
    ("solve", "2x + 1 > 3 and x - 4 < 2", "2x > 2 | x > 1 | x < 6", "1 < x < 6"),
    ("solve", "y = 3x - 7; x + 4y = -2", "x + 4(3x - 7) = -2 | 13x = 26 | y = -1", "(2, -1)"),
    ("logarithm", "log_4(x + 5) = 2", "x + 5 = 4^2 | x + 5 = 16 | x = 11", "11"),
    ("solve-for", "A = 1/2 h (a + b) for b", "2A = h(a + b) | 2A/h = a + b | b = 2A/h - a",
     "b = 2A/h - a"),
    ("solve-for", "A = p + prt for p", "A = p(1 + rt) | A/(1 + rt) = p", "A/(1 + rt)"),
    ("line", "through (2, 1), (6, 9)", "m = 8/4 = 2 | y - 1 = 2(x - 2) | y - 1 = 2x - 4",
     "y = 2x - 3"),
    ("line", "through (2, 1), (6, 9)", "m = 2 | 1 = 2(2) + b | b = -3", "y = 2x - 3"),
    ("line", "through (2, 1), perpendicular to y = 2x + 5", "m = 2 | m = -1/2 | 1 = -1 + b | b = 2",
     "y = -x/2 + 2"),
    ("line", "through (4, 1), parallel to y = 2x + 3", "y = 2x + 3 | y = 2x + b | b = -7",
     "y = 2x - 7"),
    ("vertex", "y = x^2 - 8x + 1", "x = 8/2 = 4 | y = 16 - 32 + 1 = -15", "(4, -15)"),
    ("line", "through (4, 1), perpendicular to x = 3", "m is undefined | y = 1", "y = 1"),
    ("line", "through (1, 2), parallel to 4x - 2y = 6",
     "-2y = -4x + 6 | y = 2x - 3 | m = 2 | y - 2 = 2(x - 1)", "y = 2x"),
    ("slope", "2x + 3y = 6", "3y = -2x + 6 | y = -2/3x + 2", "-2/3"),
    ("vertex", "y = 2(x + 2)^2 - 5", "x + 2 = 0 | h = -2, k = -5", "(-2, -5)"),
    ("domain", "sqrt(6 - 2x)", "6 - 2x >= 0 | -2x >= -6 | x <= 3", "x <= 3"),
    ("domain", "sqrt(x - 1)/(x - 3)", "x - 1 >= 0 | x >= 1 | x - 3 != 0 | x != 3",
     "[1, 3) U (3, oo)"),
    ("function", "f(x) = 2x - 3; f^-1(x)", "y = 2x - 3 | x = 2y - 3 | x + 3 = 2y", "(x + 3)/2"),
    ("function", "f(x) = 2x - 3; f^-1(x)", "y = 2x - 3 | y + 3 = 2x | x = (y + 3)/2", "(x + 3)/2"),
)  # fmt: skip

WRONG = (
    ("solve", "7 - 6x < 55", "-6x < 48 | x < -8", "x < -8", 2, "inequality-sign-not-turned"),
    ("solve", "6x - 1 <= -47", "6x - 1 <= -47 | 6x <= -48 | x <= -8", "x <= -8", 2,
     "constant-moved-same-sign"),
    ("solve", "-3 <= 2x + 1 < 7", "-2 <= 2x < 8 | -1 <= x < 4", "[-1, 4)", 1,
     "constant-moved-same-sign"),
    ("solve", "y = 3x - 7; x + 4y = -2",
     "x + 4(3x - 7) = -2 | x + 12x - 7 = -2 | 13x = 5 | x = 5/13 | y = -76/13",
     "(5/13, -76/13)", 2, "multiplied-first-term-only"),
    ("logarithm", "log_4(x + 5) = 2", "x + 5 = 8 | x = 3", "3", 1, "base-times-right-side"),
    ("solve", "(4x + 8)/4 = 6", "x + 8 = 6 | x = -2", "-2", 1, "denominator-divides-one-term"),
    ("solve-for", "A = 1/2 h (a + b) for b", "2A = h(a + b) | 2A - h = a + b | b = 2A - h - a",
     "b = 2A - h - a", 2, "coefficient-subtracted"),
    ("line", "through (2, 1), (6, 9)", "m = 8/4 | y - 1 = 2x - 2", "y = 2x - 1", 2,
     "multiplied-first-term-only"),
    ("line", "through (2, 1), (6, 9)", "m = 4/8 | y - 1 = 1/2(x - 2)", "y = x/2", 1,
     "slope-upside-down"),
    ("line", "through (1, 2), slope 3", "2 = 3 + b | b = 5", "y = 3x + 5", 2,
     "constant-moved-same-sign"),
    ("vertex", "y = 2x^2 - 8x + 1", "x = -8/4 = -2 | y = 8 + 16 + 1 = 25", "(-2, 25)", 1,
     "vertex-b-not-negated"),
    ("line", "through (4, 1), parallel to y = 2x + 3", "y - 1 = 2x - 4", "y = 2x - 3", 1,
     "multiplied-first-term-only"),
    ("line", "through (1, 2), parallel to 4x - 2y = 6", "-2y = -4x + 6 | y = -2x - 3 | m = -2",
     "y = -2x + 4", 2, "term-moved-same-sign"),
    ("slope", "2x + 3y = 6", "3y = 2x + 6 | y = 2/3x + 2", "2/3", 1, "term-moved-same-sign"),
    ("vertex", "y = 2(x + 2)^2 - 5", "h = 2, k = -5", "(2, -5)", 1, "vertex-sign-kept"),
    ("domain", "sqrt(6 - 2x)", "6 - 2x >= 0 | -2x >= -6 | x >= 3", "x >= 3", 3,
     "inequality-sign-not-turned"),
    ("function", "f(x) = 2x - 3; f^-1(x)", "y = 2x - 3 | x = 2y - 3 | x - 3 = 2y", "(x - 3)/2", 3,
     "constant-moved-same-sign"),
    ("evaluate", "3/8 + 1/2", "6/16 + 8/16 | 14/32", "14/32", 2, "fractions-added-across"),
)  # fmt: skip


@pytest.mark.parametrize(("task", "problem", "work", "answer"), RIGHT)
def test_all_lines_follow(task: str, problem: str, work: str, answer: str) -> None:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})

    assert (found["verdict"], found["first_wrong_line"], found["patterns"]) == ("right", 0, [])


@pytest.mark.parametrize(("task", "problem", "work", "answer", "line", "pattern"), WRONG)
def test_first_wrong_line_and_its_pattern(
    task: str, problem: str, work: str, answer: str, line: int, pattern: str
) -> None:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})

    assert found["first_wrong_line"] == line
    assert pattern in [one["id"] for one in found["patterns"] if len(one["faults"]) == 1]


def fault_sets(problem: str, work: str, answer: str, task: str = "solve") -> list[list[str]]:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})
    return [one["faults"] for one in found["patterns"]]


@pytest.mark.parametrize(
    ("problem", "work", "answer", "pattern"),
    [
        ("4x + 4y = 0; 2x - 4y = 48", "6x = -48 | x = -8 | y = 8", "(-8, 8)",
         "equations-subtracted-in-part"),
        ("x + y = 9; x - y = 3", "2x = 6 | x = 3 | y = 6", "(3, 6)",
         "equations-subtracted-in-part"),
        ("x + 2y = 8; 3x - y = 3", "6x - 2y = 3 | 7x = 11 | x = 11/7 | y = 45/14",
         "(11/7, 45/14)", "scaled-left-side-only"),
        ("4x + 2y = -28; 2x - 2y = -8", "6x = -36 | x = -6 | 2y = -52 | y = -26", "(-6, -26)",
         "constant-moved-same-sign"),
        ("y = 2x + 1; 3x + y = 11", "5x = 10 | x = 2 | y = 4", "(2, 4)",
         "constant-lost-when-going-back"),
    ],
)  # fmt: skip
def test_the_first_wrong_line_of_a_system_leaves_the_patterns_that_write_it(
    problem: str, work: str, answer: str, pattern: str
) -> None:
    assert [one for one in fault_sets(problem, work, answer) if len(one) == 1] == [[pattern]]


def test_a_last_step_gone_wrong_takes_no_line_for_its_own() -> None:
    found = fault_sets("x + y = 9; x - y = 3", "2x = 12 | x = 6 | y = 3", "(3, 6)")

    assert ["coordinates-swapped"] in found


def test_a_slip_is_no_part_of_a_pair() -> None:
    found = fault_sets("x+1-3+1-1+2-1=6", "x+4-5=6 | x=6-5-4 | x=6+9=15", "15")

    assert found == []


def test_a_case_is_no_lost_solution_where_a_second_one_was_written_wrongly() -> None:
    work = "x + 4 = 6 | x = 2 | x = ±2"

    found = record({"task": "solve", "problem": "|x + 4| = 6", "answer": "±2", "work": work})

    assert found["first_wrong_line"] == 3
    assert "second-case-negates-the-answer" in [one["id"] for one in found["patterns"]]


@pytest.mark.parametrize(
    ("task", "problem", "work", "answer", "line"),
    [
        ("discriminant", "x^2 - 6x + 5 = 0", "b^2 - 4ac = 36 + 20 | 56", "56", 1),
        ("slope", "(1, 2) and (3, 8)", "(3 - 1)/(8 - 2) | 2/6 | 1/3", "1/3", 1),
        ("discriminant", "x^2 - 6x + 5 = 0", "36 + 20 | 56", "55", 3),
        ("discriminant", "x^2 - 6x + 5 = 0", "36 - 20 | 16", "16", 0),
        ("domain", "sqrt(x - 3)", "x - 3 > 0 | x > 3", "x > 4", 1),
        ("solve", "3x + 7 = 22", "3x + 7 = 22 | subtract 7 | 3x = 29", "29/3", 3),
    ],
)
def test_a_line_that_comes_to_a_wrong_answer_is_the_wrong_one(
    task: str, problem: str, work: str, answer: str, line: int
) -> None:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})

    assert found["first_wrong_line"] == line


@pytest.mark.parametrize(("task", "problem", "work", "answer"), [
    ("number-of-solutions", "x^2 - 5x + 6 = 0", "(x - 2)(x - 3) = 0", "1"),
    ("vertex", "y = (x - 3)^2 + 4", "x - 3 = 0", "(4, 4)"),
])  # fmt: skip
def test_lines_that_nobody_follows_are_not_said_to_be_right(
    task: str, problem: str, work: str, answer: str
) -> None:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})

    assert found["verdict"] == "wrong"
    assert found["first_wrong_line"] is None


@pytest.mark.parametrize(("task", "problem", "work", "answer", "line", "kept"), [
    ("solve", "x^2 - 6x + 7 = 0", "x = (6 ± 2sqrt(2))/2", "6 ± sqrt(2)", 2,
     {"only-root-divided", "cancelled-across-sum"}),
    ("evaluate", "x^2 - 3x at x = -2", "-2^2 - 3(-2)", "2", 1, {"substituted-without-brackets"}),
    ("discriminant", "x^2 + 3x - 3 = 0", "9 + 4(-3)", "-3", 1, {"four-ac-added"}),
    ("discriminant", "2x^2 - 3x - 5 = 0", "(-3)^2 - 4(2)(5)", "-31", 1, {"slip-sign"}),
    ("expand", "(2x - 5)^2", "(2x - 5)(2x - 5)", "4x^2 - 25", 2,
     {"square-of-difference-as-difference"}),
])  # fmt: skip
def test_what_a_written_line_contradicts_loses_its_share(
    task: str, problem: str, work: str, answer: str, line: int, kept: set[str]
) -> None:
    found = record({"task": task, "problem": problem, "answer": answer, "work": work})

    assert found["first_wrong_line"] == line
    assert {one["id"] for one in found["patterns"]} == kept
