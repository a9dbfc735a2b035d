"""A form of export is learnt once: its map is found by the columns, not by the file's name."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pipeline.check import check_course
from pipeline.course import read_course
from pipeline.ingest.forms import section_of
from tests.ingest.test_messy_tables import CODES, as_csv

LONG = "Learner code,Task code,What was typed\n"
MAP = '[[exports]]\ncolumns = { student = "Learner code", item = "Task code", '
WEEK = MAP + 'answer = "What was typed" }\n'


def test_every_file_with_the_columns_of_a_map_is_read_by_it(load_of: Callable):
    text = LONG + "k1,root-1,2\n"
    moved = "Remark,What was typed,Task code,Learner code\nx,3,quad-1,k2\n"
    loaded = load_of({"a.csv": text, "b.csv": "title\n" + moved}, settings=WEEK)

    assert loaded.errors == {}
    assert loaded.responses[["item", "answer"]].values.tolist() == [
        ["root-1", "2"],
        ["quad-1", "3"],
    ]


def test_next_weeks_wide_file_has_other_questions(course_of: Callable, load_course: Callable):
    course = course_of({"week1.csv": "Login,root-1\nk1,2\nk2,3\n"})
    check_course(course.folder, write=True)
    exports = course.folder / "exports"
    (exports / "week2.csv").write_text("Login,quad-1,judge-1\nk1,2,24\nk2,4,23\n")
    (exports / "all.csv").write_text("Login,root-1,fact-1\nk1,2,x\nk2,3,y\n")
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    assert sorted(set(loaded.responses["item"])) == ["fact-1", "judge-1", "quad-1", "root-1"]
    assert len(loaded.responses) == 8


def test_a_map_that_renames_headers_is_for_one_set_of_questions(load_of: Callable):
    settings = '[[exports]]\nlayout = "wide"\ncolumns = { student = "Login" }\n'
    settings += 'questions = { Q1 = "root-1", Q2 = "quad-1" }\n'
    loaded = load_of(
        {"a.csv": "Login,Q1,Q2\nk1,2,4\n", "b.csv": "Login,Q1\nk1,7\n"}, settings=settings
    )

    assert loaded.responses["item"].tolist() == ["root-1", "quad-1"]
    assert "seen: Login, Q1" in loaded.errors["exports/b.csv"]


@pytest.mark.parametrize(
    ("settings", "quiz"),
    [
        (WEEK + 'quiz = "wide"\n' + MAP.replace("}", "") + 'answer = "What was typed", '
         'score = "Right" }\nquiz = "narrow"\n', "narrow"),
        (MAP + 'answer = "What was typed" }\nfiles = ["*.csv"]\nquiz = "named"\n'
         + MAP + 'answer = "What was typed", score = "Right" }\nquiz = "narrow"\n', "named"),
        ('[[exports]]\nquiz = "for all"\n' + WEEK, "for all"),
    ],
)  # fmt: skip
def test_the_more_specific_of_two_maps_is_taken(load_of: Callable, settings: str, quiz: str):
    text = LONG.strip() + ",Right\nk1,root-1,2,1\n"

    assert load_of({"a.csv": text}, settings=settings).responses["quiz"].tolist() == [quiz]


def test_two_maps_that_fit_alike_are_both_named(load_of: Callable):
    settings = WEEK + 'quiz = "one"\n' + WEEK + 'quiz = "two"\n'
    message = load_of({"a.csv": LONG + "k1,root-1,2\n"}, settings=settings).errors["exports/a.csv"]

    assert "the maps in lines 1 and 4 of the settings both fit these columns" in message


def test_a_form_without_a_map_names_its_headers_and_the_command(load_of: Callable):
    text = LONG.replace("Task code", "ann@college.test") + "k1,root-1,2\n"
    message = load_of({"a.csv": text})
    message = message.errors["exports/a.csv"]

    assert "seen: Learner code, ..., What was typed" in message
    assert "`lostroot check DIR --write`" in message


def test_a_map_whose_files_leave_a_file_out_is_pointed_at(load_of: Callable):
    settings = WEEK.replace("[[exports]]", '[[exports]]\nfiles = ["week1.csv"]')
    message = load_of({"week2.csv": LONG + "k1,root-1,2\n"}, settings=settings)

    assert (
        "The map in line 1 of the settings has these columns, but its `files` leave this file"
        in (message.errors["exports/week2.csv"])
    )


@pytest.mark.parametrize(
    ("called", "section"),
    [
        ("week1 section B.csv", "B"),
        ("old/WEEK12 Section 03 .csv", "03"),
        ("week1.csv", None),
        ("section B.csv", None),
    ],
)
def test_a_section_may_come_from_the_name(called: str, section: str | None):
    assert section_of("week* section {section}.csv", called) == section


def test_the_section_of_a_file_is_in_its_name_for_all_files_of_the_form(load_of: Callable):
    settings = WEEK + 'section_from = "* {section}.csv"\n'
    text = LONG + "k1,root-1,2\n"
    loaded = load_of({"w1 A.csv": text, "w1 B.csv": text.replace("k1", "k2")}, settings=settings)

    assert loaded.responses["section"].tolist() == ["A", "B"]
    assert not loaded.notes


def test_a_name_that_a_section_cannot_be_taken_from_is_said(load_of: Callable):
    settings = WEEK + 'section_from = "* {section}.csv"\n'
    loaded = load_of({"w1.csv": LONG + "k1,root-1,2\n"}, settings=settings)

    assert loaded.responses["section"].isna().all()
    assert "the name does not fit `section_from`: 1 (first in line 2)" in loaded.notes


@pytest.mark.parametrize(
    ("names", "students", "pattern"),
    [
        (("w1 sec01.csv", "w1 sec02.csv"), ("a", "b"), "w* sec{section}.csv"),
        (("Morning week 1.csv", "Evening week 1.csv"), ("a", "b"), "{section} week *.csv"),
        (("week1.csv", "week2.csv"), ("a", "a"), None),
        (("week1.csv", "other.csv"), ("a", "b"), None),
    ],
)
def test_check_proposes_sections_that_only_names_tell(
    course_of: Callable, names: tuple[str, ...], students: tuple[str, ...], pattern: str | None
):
    exports = {
        name: f"student,item,answer\n{student}1,root-1,2\n{student}2,root-1,3\n"
        for name, student in zip(names, students, strict=True)
    }
    said = "\n".join(check_course(course_of(exports).folder).sections)

    assert (f"write section_from = {pattern!r}" in said) == (pattern is not None)


def beside(items: tuple[str, str], words: list[str], rows: list[list[str]]) -> str:
    """Two questions over words for what stands below them."""
    upper = ["Code", *(cell for item in items for cell in (item, *[""] * (len(words) - 1)))]
    return as_csv([upper, ["", *words * 2], *rows])


RIGHT = {"root-1": ("2, -2", "3"), "quad-1": ("2, 4", "6"), "fact-1": ("(x-2)(x-4)", "(x-6)(x-2)"),
         "judge-1": ("24", "42")}  # fmt: skip


def marked(items: tuple[str, str]) -> list[list[str]]:
    return [[code, *(cell for item in items for cell in (RIGHT[item][at % 2], str(2 - at % 2 * 2)))]
            for at, code in enumerate(CODES)]  # fmt: skip


def tried(items: tuple[str, str]) -> list[list[str]]:
    return [[code, *(cell for item in items for cell in RIGHT[item][:: (-1) ** at])]
            for at, code in enumerate(CODES)]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "cells", "told"),
    [
        (["typed", "marks"], marked, "score"),
        (["odpověď", "body"], marked, "score"),
        (["first try", "second try"], tried, "attempt"),
    ],
)
def test_other_questions_have_beside_them_what_those_of_the_map_have(
    course_of: Callable,
    load_course: Callable,
    words: list[str],
    cells: Callable[[tuple[str, str]], list[list[str]]],
    told: str,
):
    first, then = ("root-1", "quad-1"), ("fact-1", "judge-1")
    course = course_of({"w1.csv": beside(first, words, cells(first))})
    check_course(course.folder, write=True)
    (course.folder / "exports" / "w2.csv").write_text(beside(then, words, cells(then)))
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    assert loaded.left_out == {}
    rows = loaded.responses.groupby("item")[["answer", told]]
    want = {"score": {(0, 2.0), (1, 0.0)}, "attempt": {(0, 1), (1, 2), (1, 1), (0, 2)}}[told]
    for item, found in rows:
        pairs = {(RIGHT[item].index(text), number) for text, number in found.to_numpy().tolist()}
        assert pairs == want


def test_other_questions_without_what_the_map_has_beside_are_asked_about(
    course_of: Callable, load_course: Callable
):
    first, then = ("root-1", "quad-1"), ("fact-1", "judge-1")
    course = course_of({"w1.csv": beside(first, ["typed", "marks"], marked(first))})
    check_course(course.folder, write=True)
    other = beside(then, ["typed", "credits"], marked(then))
    (course.folder / "exports" / "w2.csv").write_text(other)

    assert "works out a map" in str(load_course(read_course(course.folder)).errors)


def test_columns_of_one_name_speak_of_the_answer_left_of_them(
    course_of: Callable, load_course: Callable
):
    def table(items: tuple[str, str]) -> str:
        return as_csv([["Code", items[0], "Marks", items[1], "Marks"], *marked(items)])

    course = course_of({"w1.csv": table(("root-1", "quad-1"))})
    check_course(course.folder, write=True)
    for name, items in (("w2", ("fact-1", "judge-1")), ("w3", ("judge-1", "root-1"))):
        (course.folder / "exports" / f"{name}.csv").write_text(table(items).replace("k1", name))
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    for _, item, text, score in loaded.responses[["file", "item", "answer", "score"]].to_numpy():
        assert score == 2.0 * (text == RIGHT[item][0])
    assert len(loaded.responses) == 6 * len(CODES)


def test_next_weeks_file_is_read_in_the_encoding_of_the_first(
    course_of: Callable, load_course: Callable
):
    def table(who: str) -> bytes:
        rows = [[f"{who}{at}", "root-1", "±2" if at % 2 else "3"] for at in range(9)]
        return as_csv([["Schüler", "Aufgabe", "Lösung"], *rows]).encode("windows-1252")

    course = course_of({"w1.csv": table("k")})
    check_course(course.folder, write=True)
    (course.folder / "exports" / "w2.csv").write_bytes(table("m"))
    loaded = load_course(read_course(course.folder))

    assert loaded.errors == {}
    assert loaded.responses["answer"].tolist().count("±2") == 8
