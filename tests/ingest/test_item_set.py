from __future__ import annotations

from pathlib import Path

from pipeline.check.item_set import blind_spots, doubtful_keys, why_not_tagged
from pipeline.course import Course, Item, Privacy


def course_of(*items: Item) -> Course:
    return Course(Path(), "Algebra", "UTC", items, Privacy(Path("pseudonym.key")))


def test_a_question_that_cannot_be_read_is_not_tagged():
    assert why_not_tagged(Item("q", "t", "solve", "x^2 = 4")) is None
    assert why_not_tagged(Item("q", "t", "judge", "anything", "4")) is None
    assert why_not_tagged(Item("q", "t", "solve", "Draw a graph!", "4"))
    assert why_not_tagged(Item("q", "t", "solve", "x^2 +"))


def test_a_key_that_is_not_what_is_computed_is_told():
    items = [
        Item("good", "t", "solve", "x^2 = 4", "2, -2", line=2),
        Item("bad", "t", "solve", "x^2 = 4", "2", line=3),
        Item("torn", "t", "solve", "x^2 = 4", "2, (", line=4),
        Item("story", "t", "solve", "x^2 = 4", "6", asked="x + 4", line=5),
        Item("none", "t", "solve", "x^2 = 4", line=6),
    ]
    bad, torn = doubtful_keys(items)

    assert bad == "item bad (line 3), key 2: key and computed answer differ; the key counts"
    assert torn.startswith("item torn (line 4), key 2, (: the key cannot be read")


def test_errors_that_one_equation_mixes_up_are_named_together():
    spots = blind_spots(course_of(Item("q", "t", "solve", "(x - 3)^2 = 25")))
    alike = [spot for spot in spots if spot.startswith("cannot be told apart")]
    never = set(spots[-1].removeprefix("no question can show: ").split(", "))

    assert all(" / " in spot for spot in alike)
    assert "root-upside-down" in never
    named = {name for spot in alike for name in spot.partition(": ")[2].split(" / ")}
    assert not named & never


def test_another_question_tells_errors_apart_that_one_did_not():
    one = blind_spots(course_of(Item("q", "t", "square-constant", "x^2 + 2x")))
    two = blind_spots(
        course_of(
            Item("q", "t", "square-constant", "x^2 + 2x"),
            Item("r", "t", "square-constant", "x^2 + 10x"),
        )
    )

    def together(spots: tuple[str, ...]) -> int:
        return sum(spot.count(" / ") for spot in spots if spot.startswith("cannot be told apart"))

    assert together(two) <= together(one)
    assert set(two) != set(one) or together(one) == 0


def test_without_algebra_tasks_there_is_nothing_to_say():
    assert blind_spots(course_of(Item("q", "t", "judge", "", "4"))) == ()
