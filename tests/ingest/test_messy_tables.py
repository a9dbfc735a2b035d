"""Tables as people keep them: what is stored of each, or the question that is asked instead."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from openpyxl import Workbook

from pipeline.check import check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import ExportMap, read_course
from pipeline.course.keep_map import keep_maps
from pipeline.errors import InputError
from pipeline.ingest.columns import is_totals
from pipeline.ingest.facts import attempt_of
from pipeline.ingest.propose import propose_map

ROOT = ("2, -2", "2", "4", "-2, 2", "x=2", "±2", "16", "2, -2")
QUAD = ("2, 4", "-2, -4", "4, 2", "6", "2, 4", "8", "2, 4", "4")
FACT = ("(x-2)(x-4)", "(x+2)(x+4)", "(x-4)(x-2)", "x(x-6)+8", "(x-2)(x-4)", "(x-6)", "x", "8x")
CODES = ("k11", "k12", "k13", "k14", "k15", "k16", "k17", "k18")
WIDE = tuple(zip(CODES, ROOT, QUAD, FACT, strict=True))


def as_csv(rows: Sequence[Sequence[str]]) -> str:
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows(rows)
    return stream.getvalue()


def proposed(course_of: Callable, load_course: Callable, rows: Sequence[Sequence[str]]):
    course = course_of({"a.csv": as_csv(rows)})
    found = propose_map(course, "exports/a.csv").map
    return found, load_course(replace(course, exports=(found,)))


def test_a_second_try_beside_the_first_one_is_stored_as_a_try(
    course_of: Callable, load_course: Callable
):
    header = ["Learner", "Task", "First reply", "Second reply", "First sent", "Second sent"]
    again = ("", "2, -2", "2, -2", "", "", "", "-2, 2", "")
    rows = [
        [code, item, first, more if item == "root-1" else "", "2026-02-03", more and "2026-02-04"]
        for code, root, quad, more in zip(CODES, ROOT, QUAD, again, strict=True)
        for item, first in (("root-1", root), ("quad-1", quad))
    ]
    found, loaded = proposed(course_of, load_course, [header, *rows])

    stored = loaded.responses
    assert found.tries == {"First reply": 1, "Second reply": 2}
    assert found.beside == {"Second sent": "answered_at of try 2"}
    assert stored["attempt"].tolist().count(2) == 3
    assert len(stored) == 19
    later = stored.loc[stored["attempt"] == 2, "answered_on"]
    assert {day.day for day in later} == {4}


def test_rows_of_names_below_the_standard_names_are_no_student(
    course_of: Callable, load_course: Callable
):
    """What is exported of a sheet whose `Student` is merged over two columns."""
    head = [["student", "", "root-1", "", "quad-1", ""],
            ["ID", "Group", "Reply", "Mark", "Reply", "Mark"]]  # fmt: skip
    rows = [
        [code, "A" if at % 2 else "B", root, str(2 * (at == 0)), quad, str(2 * (at == 2))]
        for at, (code, root, quad, _) in enumerate(WIDE)
    ]
    found, loaded = proposed(course_of, load_course, [*head, *rows])

    assert found.columns == {"student": ("student: ID",), "section": ("student: Group",)}
    assert loaded.responses["student"].nunique() == 8
    assert loaded.rejected.empty
    assert set(loaded.responses["section"]) == {"A", "B"}


@pytest.mark.parametrize("word", ["Klassenschnitt", "On the whole"])
def test_sums_under_an_unknown_word_are_no_student(load_of: Callable, word: str):
    head = ["student", "root-1", "quad-1", "fact-1"]
    loaded = load_of({"a.csv": as_csv([head, *WIDE, [word, "0.5", "0.5", "0.25"]])})

    assert loaded.responses["student"].nunique() == 8
    assert "put the word in place of the id under `totals`" in loaded.rejected["reason"].item()
    assert word not in loaded.rejected.to_csv()


def test_a_student_who_gives_numbers_alone_stays_a_student(load_of: Callable):
    head = ["student", "root-1", "quad-1", "fact-1"]
    loaded = load_of({"a.csv": as_csv([head, *WIDE, ["k19", "0", "0", "0"]])})

    assert loaded.responses["student"].nunique() == 9


@pytest.mark.parametrize(("name", "taken_out"), [("Total de aciertos", True), ("Max Muster", True),
                                                 ("Mona Muster", False)])  # fmt: skip
def test_a_row_of_totals_may_have_its_word_in_another_column(
    load_of: Callable, name: str, taken_out: bool
):
    """Under an empty id, and with numbers where nobody else has one; other rows are rejected."""
    head = ["name", "student", "root-1", "quad-1", "fact-1"]
    rows = [["Nn", code, root, "2, 4", "(x-3)(x-2)"] for code, root, *_ in WIDE]
    loaded = load_of({"a.csv": as_csv([head, *rows, [name, "", "7", "8", "6"]])})

    assert loaded.responses["student"].nunique() == len(WIDE)
    assert len(loaded.rejected) == (not taken_out)


@pytest.mark.parametrize(("footer", "known"), [("Totale righe: 8", True), ("(8 rows)", True),
                                               ("Totale righe: 7", False), ("8", 0)])  # fmt: skip
def test_a_line_that_counts_the_rows_of_a_long_file_is_none(
    load_of: Callable, footer: str, known: bool
):
    rows = [[code, "root-1", "2"] for code in CODES[:8]]
    loaded = load_of({"a.csv": as_csv([["student", "item", "answer"], *rows, [footer]])})

    assert len(loaded.responses) == 8
    assert len(loaded.rejected) == (not known)


@pytest.mark.parametrize(("word", "sums"), [("N correct", True), ("Summe Punkte", True),
                                            ("Correy", False), ("points", False)])  # fmt: skip
def test_words_of_totals_in_any_order(word: str, sums: bool):
    assert is_totals(word) == sums


@pytest.mark.parametrize(
    ("header", "cells", "what"),
    [
        ("Zug", ["Nord", "Ost"] * 4, "class sections"),
        ("time", ["2026-02-03 10:00"] * 8, "dates"),
        ("note to self", ["fine", "late"] * 4, None),
    ],
)
def test_no_section_and_no_date_is_left_out_in_silence(
    course_of: Callable, header: str, cells: list[str], what: str | None
):
    rows = [[*row, cell] for row, cell in zip(WIDE, cells, strict=True)]
    table = as_csv([["student", "root-1", "quad-1", "fact-1", header], *rows])
    (file,) = check_course(course_of({"a.csv": table}).folder, unseen=lambda _: BlindSpots()).files

    assert file.left_out == ({header: what} if what else {})


def test_answers_below_the_first_hundred_rows_are_answers(course_of: Callable):
    rows = [[f"k{at}", "2", "2, 4" if at > 150 else ""] for at in range(200)]
    table = as_csv([["student", "root-1", "Q2: x^2 - 6x + 8 = 0"], *rows])
    (file,) = check_course(course_of({"a.csv": table}).folder, unseen=lambda _: BlindSpots()).files

    assert list(file.left_out.values()) == ["answers"]


def test_numbers_of_questions_that_may_be_others_are_asked_about(course_of: Callable):
    items = "item,topic,task,problem\nQ1,a,solve,x^2 = 4\nQ2,a,solve,x^2 - 6x + 8 = 0\n"
    rows = [[code, "17", "y = 2x"] for code in CODES]
    course = course_of({"a.csv": as_csv([["Pupil", "Frage 1", "Frage 2"], *rows])}, items=items)

    with pytest.raises(InputError, match="so they may be others"):
        propose_map(course, "exports/a.csv")


@pytest.mark.parametrize("book", [False, True], ids=["toml", "xlsx"])
def test_a_map_comes_back_as_it_was_kept(course_of: Callable, book: bool):
    folder = course_of({}).folder
    one = ExportMap(
        files=("a.csv",),
        columns={"student": ("Pupil",), "item": ("Sheet", "No."), "answer": ("1st", "2nd")},
        tries={"1st": 1, "2nd": 2},
        beside={"sent 2": "answered_at of try 2"},
        left_out=("Zug", "a = b"),
        join=" and ",
    )
    if book:
        (folder / "course.toml").rename(folder / "kept.toml")
        workbook = Workbook()
        workbook.active.title = "course"
        workbook.active.append(["title", "Algebra"])
        workbook.save(folder / "course.xlsx")
    keep_maps(folder, (one,))
    (back,) = read_course(folder).exports

    assert replace(back, line=0) == one


LONG = [["Pupil", "Task", "Typed", "on", "marked", "Xq"],
        *([code, item, text, f"2026-02-0{1 + at % 7} 10:00", f"2026-02-1{at % 7} 10:00", group]
          for at, (code, root, quad, _) in enumerate(WIDE)
          for item, text in (("root-1", root), ("quad-1", quad))
          for group in ["012" if at % 2 else "015"])]  # fmt: skip


def test_the_earlier_time_and_the_only_groups_are_taken(course_of: Callable, load_course: Callable):
    found, loaded = proposed(course_of, load_course, LONG)

    assert found.columns["answered_at"] == ("on",)
    assert found.columns["section"] == ("Xq",)
    assert set(loaded.responses["section"]) == {"012", "015"}


def test_times_that_cross_are_asked_about(course_of: Callable):
    rows = [[*row[:4], row[3].replace("10:00", "09:00" if at % 2 else "11:00")]
            for at, row in enumerate(LONG[1:])]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Pupil", "Task", "Typed", "alpha", "beta"], *rows])})

    with pytest.raises(InputError, match="neither is always the earlier one"):
        propose_map(course, "exports/a.csv")


def test_questions_that_a_file_counts_in_words_of_its_own(
    course_of: Callable, load_course: Callable
):
    items = "item,topic,task,problem\nq01,a,solve,x^2 = 4\nq02,a,solve,x^2 - 6x + 8 = 0\n"
    words = {"root-1": "Vraag 1", "quad-1": "Vraag 2"}
    rows = [[row[0], words[row[1]], row[2]] for row in LONG[1:]]
    course = course_of({"a.csv": as_csv([["Leerling", "Vraag", "Antwoord"], *rows])}, items=items)
    found = propose_map(course, "exports/a.csv").map

    assert found.questions == {"Vraag 1": "q01", "Vraag 2": "q02"}
    stored = load_course(replace(course, exports=(found,))).responses
    assert stored["item"].value_counts().to_dict() == {"q01": 8, "q02": 8}


def test_a_file_of_unlisted_questions_is_not_passed_over(course_of: Callable):
    rows = [[row[0], "other " + row[1], row[2]] for row in LONG[1:]]
    table = as_csv([["student", "item", "answer"], *rows])
    (file,) = check_course(course_of({"a.csv": table}).folder, unseen=lambda _: BlindSpots()).files

    assert "questions that the list does not have" in file.left_out["item"]


@pytest.mark.parametrize(("text", "number"), [("1 of 2", 1), ("2 van 2", 2), ("1ª", 1), ("2/3", 2),
                                              ("2026-01-01", None), ("12x", None)])  # fmt: skip
def test_tries_are_read_in_other_words(text: str, number: int | None):
    assert attempt_of(text) == number


def test_a_question_text_that_the_list_lacks_is_named_beside_those_it_has(course_of: Callable):
    rows = [[code, root, quad] for code, root, quad, _ in WIDE]
    table = as_csv([["Pupil", "1) Solve x^2 = 4", "2) Solve x^2 - 7x + 8 = 0"], *rows])
    report = check_course(course_of({"a.csv": table}).folder, unseen=lambda _: BlindSpots())

    assert list(report.files[0].left_out) == ["2) Solve x^2 - 7x + 8 = 0"]
