"""Choice items: options matched by text, each tagged as if it had been typed."""

from __future__ import annotations

import pytest

from pipeline.records import OwnPattern, Request, Verdict
from pipeline.tagging.choices import (
    examine_choice,
    option_key,
    option_of,
    tasks_behind,
    wrong_options,
)

OPTIONS = (
    ("1, -11", None),
    ("-1, -9", None),
    ("-1, 11", "root-order-swapped-here"),
    ("No solution", None),
    ("The graph opens up", None),
)
ASKED = Request("choice", "x^2 + 10x = 11", "", key="1, -11")


def chosen(text: str) -> Request:
    return Request("choice", ASKED.problem, text, key=ASKED.key)


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("1, -11", Verdict.RIGHT),
        (" 1,  -11 ", Verdict.RIGHT),
        ("x = -11 or x = 1", Verdict.RIGHT),
        ("-1, -9", Verdict.WRONG),
        ("The graph  opens up", Verdict.WRONG),
        ("the graph OPENS up", Verdict.WRONG),
        ("no solution", Verdict.WRONG),
        ("B", Verdict.UNREADABLE),
        ("7", Verdict.UNREADABLE),
        ("", Verdict.BLANK),
    ],
)
def test_options_are_matched_by_text_then_by_value(text: str, verdict: Verdict) -> None:
    assert examine_choice(chosen(text), OPTIONS).verdict is verdict


@pytest.mark.parametrize("text", ["1, -11", "B", "", "The graph opens up"])
def test_nothing_is_tagged_that_shows_nothing(text: str) -> None:
    assert examine_choice(chosen(text), OPTIONS).patterns == ()


def test_an_option_shows_what_typing_it_would_show() -> None:
    ids = {one.id for one in examine_choice(chosen("-1, -9"), OPTIONS).patterns}

    assert "half-not-squared" in ids


def test_a_named_error_takes_the_place_of_all_others() -> None:
    found = examine_choice(chosen("-1, 11"), OPTIONS)

    assert [one.id for one in found.patterns] == ["root-order-swapped-here"]
    assert found.patterns[0].share + (found.unexplained or 0) == pytest.approx(1)


def test_case_is_overlooked_only_where_one_option_is_left() -> None:
    options = (("Ab cd", None), ("aB cd", None), ("Ef gh", None))
    asked = Request("choice", "Which?", "AB CD", key="Ef gh")

    assert examine_choice(asked, options).verdict is Verdict.UNREADABLE
    assert examine_choice(Request("choice", "Which?", "ef GH", key="Ef gh"), options).verdict is (
        Verdict.RIGHT
    )


def test_two_options_of_one_value_are_two_answers() -> None:
    options = (("x^2 + 6x + 9", None), ("(x + 3)^2", None), ("x^2 + 9", None))
    asked = Request("choice", "(x + 3)^2", "(x + 3)^2", key="x^2 + 6x + 9")

    assert examine_choice(asked, options).verdict is Verdict.WRONG


def test_own_patterns_see_options() -> None:
    own = OwnPattern("own-intercept", "Gives the other number.", "choice", ("q",))
    options = (("3", None), ("-4", None), ("4", None))
    asked = Request("choice", "Slope of y = 3x - 4", "-4", key="3")

    assert [one.id for one in examine_choice(asked, options, [own]).patterns][-1:] == [
        "own-intercept"
    ]
    other = Request("choice", "Slope of y = 3x - 4", "4", key="3")
    assert examine_choice(other, options, [own]).patterns == ()


@pytest.mark.parametrize(
    ("problem", "key", "task"),
    [
        ("x^2 + 10x = 11", "1, -11", "solve"),
        ("x^2 + 5x + 6", "(x + 2)(x + 3)", "factor"),
        ("(x + 3)^2", "x^2 + 6x + 9", "expand"),
        ("3/4 + 2/5", "23/20", "evaluate"),
        ("x^2 + 6x", "9", "square-constant"),
    ],
)
def test_the_task_behind_a_choice_is_what_its_key_answers(
    problem: str, key: str, task: str
) -> None:
    assert task in tasks_behind(problem, key, "real")


@pytest.mark.parametrize("key", ["2, -11", "the second", ""])
def test_a_key_that_answers_nothing_has_no_task(key: str) -> None:
    assert tasks_behind("x^2 + 10x = 11", key, "real") == ()
    assert tasks_behind("Which is true?", key, "real") == ()


def test_what_a_question_can_show_are_its_wrong_options() -> None:
    shown = set(wrong_options(ASKED, OPTIONS))

    assert (option_key("-1, 11"), "root-order-swapped-here") in shown
    assert (option_key("-1, -9"), "half-not-squared") in shown
    assert all(key != option_key("1, -11") for key, _ in shown)


@pytest.mark.parametrize(
    ("answer", "option"),
    [
        ("F", "false"), ("true", "true"), ("T.", "true"), ("No", "false"), ("yes", "true"),
        ("false, it's |x|", "false"), ("False; take x = -2", "false"),
        ("fifty", None), ("to be", None), ("x", None), ("notable", None), ("", None),
    ],
)  # fmt: skip
def test_true_and_false_are_told_by_a_letter_and_before_a_reason(
    answer: str, option: str | None
) -> None:
    assert option_of(answer, ("true", "false")) == option


def test_letters_tell_no_other_options() -> None:
    assert option_of("f", ("fast", "slow")) is None
