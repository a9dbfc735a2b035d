"""Shares without a class, and the order of the entries."""

from __future__ import annotations

import pytest

from pipeline.patterns.catalogue import pattern_of
from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predicted
from pipeline.tagging.priors import (
    GENERAL,
    PAIR,
    SINGLE,
    UNEXPLAINED,
    UNEXPLAINED_SMALL_INTEGERS,
)

JOINT = [
    ("x^2 + 6x = 7", "-3 + sqrt(2), -3 - sqrt(2)", {"constant-moved-same-sign", "four-ac-added"}),
    ("x^2 + 6x = 7", "-3 + sqrt(2), -3 - sqrt(2)", {"right-side-used-as-c"}),
    (
        "x^2 - 6x + 5 = 0",
        "-1, -5",
        {
            "binomial-sign-lost",
            "shift-moved-same-sign",
            "minus-b-not-negated",
            "root-takes-factor-sign",
        },
    ),
    ("x^2 + 10x = 11", "-1, -9", {"half-not-squared", "square-means-double"}),
    (
        "x^2 + 4x = 26",
        "-4 + sqrt(30), -4 - sqrt(30)",
        {"binomial-keeps-full-coefficient", "only-root-divided"},
    ),
]


def explained(problem: str, answer: str, **more: str) -> Explanation:
    return examine(Request("solve", problem, answer, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize(("problem", "answer", "names"), JOINT)
def test_patterns_that_cannot_be_told_apart_have_equal_shares(
    problem: str, answer: str, names: set[str]
) -> None:
    found = explained(problem, answer).patterns
    first = {one.id for one in found if one.share > found[0].share - 1e-6}

    assert names <= first


def test_a_pattern_a_pair_a_slip_and_the_rest_weigh_as_printed() -> None:
    found = explained("4x^2 - 8x + 1 = 0", "-1 + sqrt(3)/2, -1 - sqrt(3)/2")
    weights = {one.faults: one.weight for one in found.patterns}
    total = sum(weights.values()) + UNEXPLAINED

    assert weights["minus-b-not-negated",] == 1
    assert {weight for faults, weight in weights.items() if len(faults) == 2} <= {PAIR}
    assert all(one.weight == GENERAL for one in found.patterns if pattern_of(one.id).general)
    assert SINGLE == 1 > 10 * PAIR >= 10 * GENERAL > 10 * UNEXPLAINED
    assert found.patterns[0].share == pytest.approx(1 / total)
    assert found.unexplained == pytest.approx(UNEXPLAINED / total)


@pytest.mark.parametrize(
    ("answer", "rest"),
    [
        ("-1, -9", UNEXPLAINED_SMALL_INTEGERS),
        ("-1/2, -9", UNEXPLAINED),
        ("-100, 3", UNEXPLAINED),
        ("-1.5, 3", UNEXPLAINED),
    ],
)
def test_small_whole_numbers_leave_more_unexplained(answer: str, rest: float) -> None:
    found = explained("x^2 + 10x = 11", answer)
    total = sum(one.weight for one in found.patterns) + rest

    assert found.unexplained == pytest.approx(rest / total)


@pytest.mark.parametrize("answer", ["-1, -9", "7, 3", "12", "no solution", "0.3, 2", "1 + sqrt(3)"])
def test_shares_and_the_rest_make_one(answer: str) -> None:
    found = explained("x^2 + 10x = 11", answer)

    assert found.unexplained is not None
    assert sum(one.share for one in found.patterns) + found.unexplained == pytest.approx(1)


def test_entries_stand_by_share_and_one_entry_stands_for_a_set_of_faults() -> None:
    found = explained("2x^2 - 12x = 9", "3 + 3sqrt(2)/2, 3 - 3sqrt(2)/2").patterns

    assert [one.share for one in found] == sorted((one.share for one in found), reverse=True)
    assert len({frozenset(one.faults) for one in found}) == len(found)
    assert len(found) > 2


def test_the_first_fault_of_the_working_names_an_entry_of_two() -> None:
    """b for -b, then division by a: two faults in the order of the formula."""
    found = explained("3x^2 + 7x + 1 = 0", "(7 + sqrt(37))/3, (7 - sqrt(37))/3")
    pair = ("minus-b-not-negated", "divided-by-a")

    entry = next(one for one in found.patterns if one.faults == pair)
    assert entry.id == "minus-b-not-negated"
    assert "Then:" in entry.says


def test_an_entry_of_two_stays_beside_one_fault_with_the_same_answer() -> None:
    """Over 2 instead of 2a is one fault; over a and a = 2 with half a root left are others."""
    rows = predicted("solve", "x^2 + 6x = 7")
    by_key: dict[str, set[int]] = {}
    for key, faults, *_ in rows:
        by_key.setdefault(key, set()).add(len(faults))
    key, _ = next((key, sizes) for key, sizes in by_key.items() if sizes == {1, 2})
    sizes = {len(faults) for one, faults, *_ in rows if one == key}

    assert sizes == {1, 2}


def test_nothing_is_said_of_the_rest_unless_the_answer_is_wrong() -> None:
    assert explained("x^2 = 9", "3, -3").unexplained is None
    assert explained("x^2 = 9", "").unexplained is None
    assert explained("x^2 = 9", "<b>").unexplained is None
    assert explained("x^2 = 9", "1234/77").unexplained == 1


def test_the_taught_method_weighs_ten_to_one() -> None:
    told = explained("x^2 - 6x + 5 = 0", "-1, -5", method="formula").patterns
    weights = {one.id: one.weight for one in told if len(one.faults) == 1}

    assert told[0].id == "minus-b-not-negated"
    assert weights["minus-b-not-negated"] == pytest.approx(10 * weights["root-takes-factor-sign"])


def test_a_method_that_does_not_serve_changes_nothing() -> None:
    plain = explained("3x + 7 = 13", "20/3").patterns
    told = explained("3x + 7 = 13", "20/3", method="formula").patterns

    assert [(one.faults, one.share) for one in plain] == [(one.faults, one.share) for one in told]


def test_general_slips_explain_alone() -> None:
    for _, faults, _, _, general in predicted("solve", "2x^2 + 7x + 3 = 0"):
        assert not general or len(faults) == 1
        assert general or not any(pattern_of(one).general for one in faults)


def test_no_prediction_is_right() -> None:
    found = explained("2x^2 + 7x + 3 = 0", "-3, -1/2")

    assert found.verdict is Verdict.RIGHT
    assert found.value_key not in {key for key, *_ in predicted("solve", "2x^2 + 7x + 3 = 0")}


def alone(task: str, problem: str, answer: str) -> float:
    """The largest share of one fault alone."""
    found = examine(Request(task, problem, answer)).patterns
    return max(one.share for one in found if len(one.faults) == 1)


@pytest.mark.parametrize("answer", ["1", "5"])
def test_a_small_number_among_several_predicted_ones_is_as_likely_chance(answer: str) -> None:
    """Three of some eighteen small whole numbers are predicted: one guess in six meets one."""
    assert alone("slope", "5x + 5y = -3", answer) <= 1 / 2


def test_a_small_number_that_one_fault_alone_leads_to_says_more() -> None:
    chance = UNEXPLAINED_SMALL_INTEGERS
    assert alone("slope", "y = 3x + 2", "2") == pytest.approx(1 / (1 + chance))


def test_reducing_one_part_says_little_where_it_can_come_out_in_many_ways() -> None:
    assert alone("simplify", "12/18", "4/18") < 1 / 2
    assert alone("simplify", "6/8", "3/8") > 1 / 2


def test_the_tasks_of_the_first_catalogue_keep_their_weights() -> None:
    """One for the pattern, and the usual weight of small whole numbers by chance."""
    chance = UNEXPLAINED_SMALL_INTEGERS
    found = alone("discriminant", "x^2 - 6x + 5 = 0", "56")
    assert found == pytest.approx(1 / (1 + chance), abs=0.05)


@pytest.mark.parametrize(
    ("problem", "answer", "words"),
    [
        ("3(x + 4) = 21", "17/3", "bracket by the number in front"),
        ("(x - 4)/3 = x/5", "2", "first term of a numerator"),
        ("4/(x - 2) = 8/(x + 3)", "5/4", "first term of a denominator"),
        ("3x + 7 = 22", "15", "Gives what a multiple of the unknown equals"),
        ("x/4 = 6/8", "24", "Multiplies crosswise"),
    ],
)
def test_the_sentence_is_that_of_the_step_that_went_wrong(
    problem: str, answer: str, words: str
) -> None:
    """One rule has several versions within a task: denominators, brackets, proportions."""
    assert any(words in one.says for one in examine(Request("solve", problem, answer)).patterns)
