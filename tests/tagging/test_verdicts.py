"""Verdicts: number domains, forms, statements, decimals, keys, kinds of problems."""

from __future__ import annotations

import pytest

from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine

RIGHT, OTHER, WRONG = Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM, Verdict.WRONG

VERDICTS = [
    # domain
    ("solve", "x^2 + 4 = 0", "no real solution", {}, RIGHT),
    ("solve", "x^2 + 4 = 0", "no solution", {}, RIGHT),
    ("solve", "x^2 + 4 = 0", "2i, -2i", {}, OTHER),
    ("solve", "x^2 + 4 = 0", "2i, -2i", {"numbers": "complex"}, RIGHT),
    ("solve", "x^2 + 4 = 0", "no real solution", {"numbers": "complex"}, WRONG),
    ("solve", "x^2 = 9", "no real solution", {}, WRONG),
    ("solve", "2x + 3 = 2x + 3", "all real numbers", {}, RIGHT),
    ("solve", "2x + 3 = 2x + 5", "no solution", {}, RIGHT),
    ("solve", "2x + 3 = 2x + 5", "0", {}, WRONG),
    ("solve", "2i + 3 = 9", "i = 3", {}, RIGHT),
    # form
    ("solve", "x^2 = 8", "sqrt(8), -sqrt(8)", {}, RIGHT),
    ("solve", "x^2 = 8", "sqrt(8), -sqrt(8)", {"form": "simplified"}, OTHER),
    ("solve", "x^2 = 9", "y = 3, y = -3", {}, RIGHT),
    ("expand", "(x + 2)^2", "x^2 + 4x + 4", {}, RIGHT),
    ("expand", "(x + 2)^2", "(x + 2)(x + 2)", {}, OTHER),
    ("factor", "x^2 - 9", "(x - 3)(x + 3)", {}, RIGHT),
    ("factor", "x^2 - 9", "x^2 - 9", {}, WRONG),
    ("factor", "2x^2 - 18", "2(x^2 - 9)", {}, OTHER),
    # decimals
    ("solve", "x = sqrt(7)", "2.65", {}, RIGHT),
    ("solve", "x = sqrt(7)", "2.64", {}, RIGHT),
    ("solve", "x = sqrt(7)", "2.6", {}, Verdict.TOO_COARSE),
    ("solve", "x = sqrt(7)", "3", {}, WRONG),
    ("solve", "x = sqrt(7)", "2.4", {}, WRONG),
    ("solve", "2x = 5", "2.5", {}, RIGHT),
    # statements
    ("solve", "x^2 = 9", "", {}, Verdict.BLANK),
    ("solve", "x^2 = 9", "idk", {}, Verdict.BLANK),
    ("solve", "x^2 = 9", "__import__('os')", {}, Verdict.UNREADABLE),
    # kinds of problems
    ("square-constant", "x^2 + 10x", "25", {}, RIGHT),
    ("discriminant", "2x^2 - 3x - 9 = 0", "81", {}, RIGHT),
    ("discriminant", "2x^2 = 3x + 9", "81", {}, RIGHT),
    ("vertex", "y = 2(x - 8)^2 + 2", "(8, 2)", {}, RIGHT),
    ("vertex", "x^2 - 4x + 7", "(2, 3)", {}, RIGHT),
    ("evaluate", "2x^2 at x=5", "50", {}, RIGHT),
    ("evaluate", "-6^2", "-36", {}, RIGHT),
    ("simplify", "-6^2", "-36", {}, RIGHT),
    ("solve", "2x + 1 < 5", "x < 2", {}, RIGHT),
    ("solve", "x + y = 5; x - y = 1", "(3, 2)", {}, RIGHT),
    ("solve", "|x - 3| = 5", "8, -2", {}, RIGHT),
    ("solve", "sqrt(x + 6) = x", "3", {}, RIGHT),
    ("solve", "1/x = 2/(x + 1)", "1", {}, RIGHT),
    ("solve", "x^3 - 9x = 0", "0, 3, -3", {}, RIGHT),
    ("solve", "t^2 - 5t + 6 = 0", "t = 2 or t = 3", {}, RIGHT),
    # keys
    ("compare", "", "1/2", {"key": "0.5"}, RIGHT),
    ("compare", "", "[1, 2]", {"key": "[2, 1]"}, RIGHT),
    ("judge", "Which number is it?", "7", {"key": "7"}, RIGHT),
    ("judge", "Which number is it?", "8", {"key": "7"}, WRONG),
    ("read", "", "3/4", {}, Verdict.NO_KEY),
    ("solve", "what is this?", "3", {}, Verdict.NO_KEY),
    ("solve", "what is this?", "3", {"key": "3"}, RIGHT),
    ("solve", "x^2 = 9", "3, -3", {"key": "[3, -3]"}, RIGHT),
]


def explained(task: str, problem: str, answer: str, **more: str) -> Explanation:
    return examine(Request(task, problem, answer, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize(("task", "problem", "answer", "more", "verdict"), VERDICTS)
def test_verdict(
    task: str, problem: str, answer: str, more: dict[str, str], verdict: Verdict
) -> None:
    found = explained(task, problem, answer, **more)

    assert found.verdict is verdict, found
    assert found.patterns == () or verdict is WRONG
    assert (found.unexplained is None) == (verdict is not WRONG)


def test_a_key_that_differs_from_the_computed_answer_is_obeyed_and_told() -> None:
    by_key = explained("solve", "x^2 = 9", "3, -4", key="[3, -4]")
    computed = explained("solve", "x^2 = 9", "3, -3", key="[3, -4]")
    neither = explained("solve", "x^2 = 9", "3", key="[3, -4]")

    assert by_key.verdict is RIGHT
    assert computed.verdict is WRONG
    assert computed.patterns == ()
    assert computed.unexplained == 1
    assert neither.patterns[0].id == "second-root-left-out" or len(neither.patterns) > 1
    assert {by_key.reason, computed.reason, neither.reason} == {"key and computed answer differ"}


def test_called_no_solution_is_one_candidate_among_others() -> None:
    """Over the reals a fault that ends at a negative radicand says so too."""
    alone = explained("solve", "(x + 3)(x - 5) = 0", "no real solution")
    beside = explained("solve", "x^2 - 7 = 0", "no real solution")

    assert "called-no-solution" in {one.id for one in alone.patterns}
    assert {"called-no-solution", "constant-moved-same-sign"} <= {
        one.id for one in beside.patterns if len(one.faults) == 1
    }


def test_over_the_complex_numbers_no_solution_is_a_pattern() -> None:
    found = explained("solve", "x^2 + 4 = 0", "no real solution", numbers="complex")

    assert [one.id for one in found.patterns if len(one.faults) == 1] == ["called-no-solution"]


@pytest.mark.parametrize("answer", ["sqrt(7)*i, -sqrt(7)*i", "no real solution"])
def test_a_fault_to_a_negative_radicand_ends_both_ways(answer: str) -> None:
    found = explained("solve", "x^2 - 7 = 0", answer)

    assert "constant-moved-same-sign" in {one.id for one in found.patterns}


def test_predictions_are_matched_by_decimals_at_two_places_or_more() -> None:
    fine = explained("solve", "5x^2 = 7", "0.53, -0.53")
    cut = explained("solve", "5x^2 = 7", "0.529, -0.529")
    coarse = explained("solve", "5x^2 = 7", "0.5, -0.5")

    for found in (fine, cut):
        assert found.patterns[0].id == "rooted-before-dividing"
    assert "rooted-before-dividing" not in {one.id for one in coarse.patterns}


def test_the_readings_start_with_the_one_used() -> None:
    found = explained("solve", "x^2 - 5x + 6 = 0", "2,3")

    assert found.readings[0] == found.value == "[2, 3]"


def test_a_hostile_answer_has_no_reading() -> None:
    found = explained("solve", "x^2 = 9", "<script>alert(1)</script>")

    assert (found.verdict, found.readings, found.value) == (Verdict.UNREADABLE, (), None)
    assert found.reason
