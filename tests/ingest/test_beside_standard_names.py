"""Columns beside the standard names that may say something of the answers are told by values."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from pipeline.check import check_course
from pipeline.course import read_course
from tests.ingest.test_messy_tables import CODES, as_csv

ITEMS = "item,topic,task,problem\nr1,a,solve,x^2 = 49\nr2,a,solve,x^2 - 5x + 6 = 0\n"
BOXES = {
    "r1": (("7", "-7"), ("-7", "7"), ("7", ""), ("49", "")),
    "r2": (("2", "3"), ("3", "2"), ("-2", "-3"), ("6", "")),
}
EACH = [(code, item, BOXES[item][at % 4]) for at, code in enumerate(CODES) for item in BOXES]


@pytest.mark.parametrize("second", ["answer", "second answer", "answer 2"])
def test_a_second_column_of_answers_is_not_left_out_in_silence(
    course_of: Callable, load_course: Callable, second: str
):
    rows = [["student", "item", "answer", second], *([who, item, *two] for who, item, two in EACH)]
    loaded = load_course(course_of({"a.csv": as_csv(rows)}, items=ITEMS))

    name = "answer (2)" if second == "answer" else second
    assert loaded.left_out == {name: "answers"}


def test_points_without_a_score_may_be_earned(course_of: Callable, load_course: Callable):
    rows = [[who, item, " or ".join(filter(None, two)), str(int(bool(two[1])))]
            for who, item, two in EACH]  # fmt: skip
    text = as_csv([["student", "item", "answer", "points"], *rows])
    course = course_of({"a.csv": text}, items=ITEMS)
    check_course(course.folder, write=True)
    stored = load_course(read_course(course.folder)).responses

    assert set(stored["score"]) == {0.0, 1.0}
    assert stored["points"].isna().all()


def test_what_stands_beside_a_nested_answer_is_called_by_its_own_name(
    course_of: Callable, load_course: Callable
):
    lines = [
        json.dumps({
            "student": who,
            "answers": [
                {"q": item, "response": " or ".join(filter(None, two)), "correct": bool(two[1])}
                for _, item, two in EACH
                if _ == who
            ],
        })
        for who in CODES
    ]  # fmt: skip
    course = course_of({"a.jsonl": "\n".join(lines)}, items=ITEMS)
    check_course(course.folder, write=True)
    stored = load_course(read_course(course.folder)).responses

    assert len(stored) == len(EACH)
    assert not any("true" in text.casefold() for text in stored["answer"])


@pytest.mark.parametrize(
    ("right", "wrong", "read"),
    [("TRUE", "FALSE", True), ("correct", "Incorrect", True), ("seen", "checked", False)],
)
def test_a_column_of_verdicts_in_words_is_the_score(
    course_of: Callable, load_course: Callable, right: str, wrong: str, read: bool
):
    rows = [[who, item, " or ".join(filter(None, two)), right if two[1] else wrong]
            for who, item, two in EACH]  # fmt: skip
    text = as_csv([["Learner", "Task", "Typed", "Outcome"], *rows])
    course = course_of({"a.csv": text}, items=ITEMS)
    check_course(course.folder, write=True)
    stored = load_course(read_course(course.folder)).responses

    given = [float(bool(two[1])) for *_, two in EACH if two[0]]
    assert stored["score"].tolist() == given if read else stored["score"].isna().all()


@pytest.mark.parametrize(("beside", "read"), [("Device id", True), ("Put down", False)])
def test_a_class_that_typed_the_same_has_answers_where_no_other_column_may_hold_them(
    course_of: Callable, load_course: Callable, beside: str, read: bool
):
    """A column `Answer` beside another that is not understood may be the key."""
    rows = [[who, item, "7, -7" if item == "r1" else "2, 3", f"z{at}z"]
            for at, (who, item, _) in enumerate(EACH)]  # fmt: skip
    text = as_csv([["Learner", "Task", "Answer", beside], *rows])
    course = course_of({"a.csv": text}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert len(loaded.responses) == (len(EACH) if read else 0)
    assert bool(loaded.errors) != read
