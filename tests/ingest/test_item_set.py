from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.check.item_set import (
    BlindSpots,
    blind_spots,
    never_judged,
    to_mend,
    why_not_tagged,
)
from pipeline.course import Course, Item, OwnPattern, Privacy


def course_of(*items: Item) -> Course:
    return Course(Path(), "Algebra", "UTC", items, Privacy(Path("pseudonym.key")))


def test_a_question_that_cannot_be_read_is_not_tagged():
    assert why_not_tagged(Item("q", "t", "solve", "x^2 = 4")) is None
    assert why_not_tagged(Item("q", "t", "judge", "anything", "4")) is None
    assert why_not_tagged(Item("q", "t", "solve", "Draw a graph!", "4"))
    assert why_not_tagged(Item("q", "t", "solve", "x^2 +"))


def test_a_question_is_tagged_only_if_an_error_leads_to_a_wrong_answer():
    plain = Item("q", "t", "solve", "x^5 + x + 1 = 0", "-1")
    own = OwnPattern("own", "Says one.", "solve", ("1",))

    assert "no error of the catalogue" in str(why_not_tagged(plain))
    assert why_not_tagged(plain, (own,)) is None
    assert why_not_tagged(Item("q", "t", "solve", "x(x + 4) = 96", keep="x > 0")) is None


@pytest.mark.parametrize(
    "item",
    [
        Item("q", "t", "solve", "x^^2 = 4"),
        Item("q", "t", "solve", "x^2 = 4", keep="x >"),
        Item("q", "t", "solve", "x^2 = 4", keep="x > 5"),
        Item("q", "t", "expand", "(x + 1)^2", asked="x + 1"),
        Item("q", "t", "judge", "How many roots?", "((("),
    ],
)
def test_a_question_without_any_right_answer_is_told(item: Item):
    assert never_judged(item)
    (told,) = to_mend([item])
    assert told.startswith("item q (line 0): ")
    assert "only answers with a `problem` of their own" in told or "cannot be read" in told


def test_a_problem_that_cannot_be_read_is_told_with_the_way_out_whatever_its_key():
    item = Item("q", "t", "solve", "x^^2 = 4", "2, -2")

    assert never_judged(item) is None
    (told,) = to_mend([item])
    assert "cannot be read" in told
    assert "give it the task `judge`" in told


@pytest.mark.parametrize(
    "item",
    [
        Item("q", "t", "solve", "x^2 = 4", keep="x > 0"),
        Item("q", "t", "judge", "How many roots?", "2"),
        Item("q", "t", "choice", "How many roots?", "2"),
        Item("q", "t", "skip", "Draw a graph!"),
    ],
)
def test_a_question_with_a_right_answer_or_none_needed_is_not_told(item: Item):
    assert never_judged(item) is None
    assert list(to_mend([item])) == []


def test_a_key_that_is_not_what_is_computed_is_told():
    items = [
        Item("good", "t", "solve", "x^2 = 4", "2, -2", line=2),
        Item("bad", "t", "solve", "x^2 = 4", "2", line=3),
        Item("torn", "t", "solve", "x^2 = 4", "2, (", line=4),
        Item("story", "t", "solve", "x^2 = 4", "6", asked="x + 4", keep="x > 0", line=5),
        Item("none", "t", "solve", "x^2 = 4", line=6),
    ]
    bad, torn = to_mend(items)

    assert bad == "item bad (line 3), key 2: key and computed answer differ; the key counts"
    assert torn.startswith("item torn (line 4), key 2, (: the key cannot be read")


def test_errors_that_one_equation_mixes_up_are_named_together():
    spots = blind_spots(course_of(Item("q", "t", "solve", "(x - 3)^2 = 25")))
    never = {name for ids in (spots.never or {}).values() for name in ids}
    named = {name for names in spots.alike for name in names}

    assert all(len(names) > 1 for names in spots.alike)
    assert "root-upside-down" in never
    assert not named & never


def test_a_story_shows_the_errors_of_its_last_step():
    spots = blind_spots(
        course_of(Item("q", "t", "solve", "x(x + 4) = 96", asked="x + 4", keep="x > 0"))
    )

    assert "other-quantity-given" not in (spots.never or {}).get("word problems", ())


def test_another_question_tells_errors_apart_that_one_did_not():
    one = blind_spots(course_of(Item("q", "t", "square-constant", "x^2 + 2x")))
    two = blind_spots(
        course_of(
            Item("q", "t", "square-constant", "x^2 + 2x"),
            Item("r", "t", "square-constant", "x^2 + 10x"),
        )
    )

    def together(spots: BlindSpots) -> int:
        return sum(len(names) - 1 for names in spots.alike)

    assert together(two) <= together(one)
    assert two != one or together(one) == 0


def test_without_algebra_tasks_there_is_nothing_to_say():
    assert blind_spots(course_of(Item("q", "t", "judge", "", "4"))).lines() == ()


def test_what_no_question_shows_is_counted_by_skill_and_named_when_asked_for():
    spots = BlindSpots(
        alike=(("a", "b"),),
        never={"signs": ("c",), "powers": ("d", "e")},
        known={"signs": 3, "powers": 2},
        own=("f",),
    )

    assert spots.lines() == (
        "cannot be told apart: a / b",
        "no question can show 3 of 5 errors of these tasks (all with `> said.txt`)",
        "all missing: powers",
        "some missing: signs 1 of 3",
        "no question can show your own: f",
    )
    assert spots.lines(whole=True) == (
        "cannot be told apart: a / b",
        "no question can show, of signs: c",
        "no question can show, of powers: d, e",
        "no question can show your own: f",
    )
