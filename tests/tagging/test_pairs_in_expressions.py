"""Two errors in one place of an expression, worked by hand from their sentences."""

from __future__ import annotations

import pytest

from pipeline.records import Request
from pipeline.tagging.examine import examine

PAIRS = (
    ("evaluate", "9/5 + 1/6 + 8^0", "10/11", "fractions-added-across", "zero-exponent-as-zero"),
    ("evaluate", "(9/7) / (2/8) + 3/4", "7/20", "divided-without-inverting",
     "fractions-added-across"),
    ("expand", "2(4n + 4)(4n - 6)", "32n^2 - 24", "first-and-last-only",
     "multiplied-first-term-only"),
    ("expand", "(5x - 2)^2", "25x^2 - 10x - 4", "middle-term-not-doubled", "square-keeps-minus"),
    ("expand", "(5y - 6)^2", "5y^2 - 30y + 36", "middle-term-not-doubled",
     "coefficient-not-squared"),
)  # fmt: skip


@pytest.mark.parametrize(("task", "problem", "answer", "first", "second"), PAIRS)
def test_both_errors_are_named(
    task: str, problem: str, answer: str, first: str, second: str
) -> None:
    found = examine(Request(task, problem, answer))

    assert {first, second} in [set(one.faults) for one in found.patterns]


@pytest.mark.parametrize(("problem", "answer"), [("(5x - 2)^2", "25x^2 - 10x - 4")])
def test_a_minus_is_not_detached_from_a_term_that_nothing_is_added_to(
    problem: str, answer: str
) -> None:
    found = examine(Request("expand", problem, answer))

    assert "minus-detached-from-term" not in {id_ for one in found.patterns for id_ in one.faults}


@pytest.mark.parametrize(
    ("task", "problem", "answer"),
    [("expand", "2(4n + 4)(4n - 6)", "32n^2 - 16n - 48"), ("evaluate", "1/3 + 1/4 - 1/5", "23/60")],
)
def test_a_right_answer_has_no_pattern(task: str, problem: str, answer: str) -> None:
    assert examine(Request(task, problem, answer)).patterns == ()
