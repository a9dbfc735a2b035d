"""Worksheet 4 in one column and problem 6 in another name one question together."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pipeline.check import check_course
from pipeline.course import Item, read_course
from pipeline.errors import InputError
from pipeline.ingest.long_layout import long_tables
from pipeline.ingest.marker import Marker
from pipeline.ingest.propose import propose_map
from pipeline.ingest.questions import Questions
from tests.ingest.test_messy_tables import CODES, QUAD, ROOT, as_csv

ITEMS = """\
item,topic,task,problem
hw4-1,a,solve,x^2 = 4
hw4-2,a,solve,x^2 - 6x + 8 = 0
hw5-1,a,solve,x^2 - 6x + 8 = 0
hw5-2,a,solve,x^2 = 4
"""


def export(sheet: str, first: tuple[str, ...] = ROOT, second: tuple[str, ...] = QUAD) -> str:
    rows = [
        [sheet, str(number), code, text]
        for number, texts in ((1, first), (2, second))
        for code, text in zip(CODES, texts, strict=True)
    ]
    return as_csv([["Sheet", "Task no", "Visitor", "Wrote down"], *rows])


@pytest.mark.parametrize("sheet", ["4", "WS 4", "Homework 4", "hw 04"])
def test_a_question_may_be_named_by_two_columns(
    course_of: Callable, load_course: Callable, sheet: str
):
    course = course_of({"a.csv": export(sheet)}, items=ITEMS)
    check_course(course.folder, write=True)
    following = course.folder / "exports" / "b.csv"
    following.write_text(export(sheet.replace("4", "5"), QUAD, ROOT))
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    asked = loaded.responses.groupby("item")["answer"].agg(list)
    assert asked.to_dict() == {"hw4-1": [*ROOT], "hw4-2": [*QUAD],
                               "hw5-1": [*QUAD], "hw5-2": [*ROOT]}  # fmt: skip


def test_numbers_that_are_no_ids_name_no_question(course_of: Callable):
    course = course_of({"a.csv": export("4", QUAD, ("1",) * len(QUAD))}, items=ITEMS)

    with pytest.raises(InputError, match="no question of the list is named"):
        propose_map(course, "exports/a.csv")


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Ex. 1 (a)", "ex1a"), ("EX 1a", "ex1a"), ("ex. 1 [a]", "ex1a"), ("Week 5 - 2", "wk5.2"),
        ("5#2", "wk5.2"), ("5.2", None), ("5 and 2", None), ("x = 5 or 2", None), ("(5, 2)", None),
        ("Week 5 - 3", None), ("ex (1)", None), ("exam5q2", None), ("Quiz 5 #2", None),
        ("Woche 5 Aufgabe 2", "wk5.2"), ("zwk5.2", None),
    ],
)  # fmt: skip
def test_an_id_is_told_by_its_letters_and_numbers(text: str, item: str | None):
    questions = Questions(
        [Item("ex1a", "t", "solve", "x = 1"), Item("wk5.2", "t", "solve", "y = 2")]
    )

    assert questions.find(text) == item


def wide(first: tuple[str, ...], second: tuple[str, ...], names: tuple[str, str]) -> str:
    return as_csv([["Visitor", *names], *zip(CODES, first, second, strict=True)])


@pytest.mark.parametrize("names", [("Q1", "Q2"), ("1", "2"), ("Question 1", "Question 2")])
@pytest.mark.parametrize("called", ["HW4.csv", "hw 04 export 2026-02-05.csv"])
def test_the_name_of_a_file_says_which_questions_its_numbers_mean(
    course_of: Callable, load_course: Callable, called: str, names: tuple[str, str]
):
    course = course_of({called: wide(ROOT, QUAD, names)}, items=ITEMS)
    check_course(course.folder, write=True)
    following = course.folder / "exports" / called.replace("4", "5")
    following.write_text(wide(QUAD, ROOT, names))
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    asked = loaded.responses.groupby("item")["answer"].agg(list)
    assert asked.to_dict() == {"hw4-1": [*ROOT], "hw4-2": [*QUAD],
                               "hw5-1": [*QUAD], "hw5-2": [*ROOT]}  # fmt: skip


def test_the_name_of_a_file_says_it_of_a_long_one_too(course_of: Callable, load_course: Callable):
    long = export("4").replace("Sheet,", "Room,").replace("\n4,", "\nB2,")
    course = course_of({"hw4.csv": long}, items=ITEMS)
    check_course(course.folder, write=True)
    (course.folder / "exports" / "hw5.csv").write_text(long)
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    assert sorted(set(loaded.responses["item"])) == ["hw4-1", "hw4-2", "hw5-1", "hw5-2"]


@pytest.mark.parametrize(
    ("called", "found"),
    [
        ("week 4 quiz.csv", "4.1"), ("4.csv", "4.1"), ("quiz 4 2026-02-05.csv", "4.1"),
        ("quiz 4 section 5.csv", None), ("2026-04-05.csv", None), ("all.csv", None),
        ("quiz 14.csv", None), ("Homework 4 answers.csv", "4.1"),
    ],
)  # fmt: skip
def test_numbers_alone_need_one_number_in_the_name(called: str, found: str | None):
    listed = Questions([Item(one, "t", "solve", f"x = {one}") for one in ("4.1", "4.2", "5.1")])

    assert listed.in_file(called).find("Q1") == found
    assert listed.find("Q1") is None


def test_hundreds_of_columns_of_numbers_are_not_paired(monkeypatch: pytest.MonkeyPatch):
    questions = Questions([Item(f"hw4-{n}", "t", "solve", f"x = {n}") for n in range(1, 9)])
    asked: list[str] = []
    monkeypatch.setattr(questions, "find", asked.append)
    names = [f"Total {n}" for n in range(300)]
    rows = [(line, names if line == 1 else [str(line % 5)] * 300) for line in range(1, 20)]

    assert list(long_tables(rows, questions, Marker(()))) == []
    assert not any("#" in text for text in asked)
