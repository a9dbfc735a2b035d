"""One class's answers, written long and wide, as text and as workbook, are the same rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import datetime

import pandas as pd
import pytest
from openpyxl import Workbook

from pipeline.ingest.header import naming_depth

LONG = [
    ["student", "item", "answer", "answered_at", "attempt", "section", "score"],
    ["a1", "root-1", "x = 2", "2026-02-03 10:00", "1", "A", "0"],
    ["a1", "quad-1", "2; 4", "2026-02-03 10:00", "1", "A", "1"],
    ["a1", "root-1", "-2, 2", "2026-02-03 11:00", "2", "A", "1"],
    ["b2", "root-1", "±2", "2026-02-04 09:30", "1", "B", "1"],
    ["b2", "quad-1", " ", "2026-02-04 09:30", "1", "B", "0"],
]
WIDE = [
    ["student", "answered_at", "attempt", "section",
     "root-1", "root-1 score", "quad-1", "quad-1 score"],
    ["a1", "2026-02-03 10:00", "1", "A", "x = 2", "0", "2; 4", "1"],
    ["a1", "2026-02-03 11:00", "2", "A", "-2, 2", "1", "", ""],
    ["b2", "2026-02-04 09:30", "1", "B", "±2", "1", " ", "0"],
]  # fmt: skip


def as_csv(rows: list[list[str]]) -> bytes:
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows(rows)
    return stream.getvalue().encode()


def as_workbook(rows: list[list[str]]) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append([cell or None for cell in row])
    for cells in book.active.iter_rows():
        for cell in cells:
            cell.data_type = "s" if cell.value is not None else "n"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


EXPORTS = {
    "long.csv": as_csv(LONG),
    "long.xlsx": as_workbook(LONG),
    "wide.csv": as_csv(WIDE),
    "wide.xlsx": as_workbook(WIDE),
}


def content(frame: pd.DataFrame) -> pd.DataFrame:
    bare = frame.drop(columns=["file", "line"])
    return bare.sort_values("response", ignore_index=True)


@pytest.mark.parametrize("name", EXPORTS)
def test_every_form_gives_the_same_rows(course_of: Callable, load_course: Callable, name: str):
    course = course_of({"first.csv": EXPORTS["long.csv"]})
    first = load_course(course)
    (course.folder / "exports" / "first.csv").unlink()
    (course.folder / "exports" / name).write_bytes(EXPORTS[name])
    second = load_course(course)

    assert len(first.responses) == 5
    pd.testing.assert_frame_equal(content(first.responses), content(second.responses))
    assert second.rejected.empty


def test_all_forms_at_once_add_nothing_to_each_other(load_of: Callable):
    loaded = load_of(EXPORTS)

    assert len(loaded.responses) == 5
    assert len(loaded.duplicates) == 15
    assert loaded.rejected.empty


WIDE_BLANK = "student,root-1,quad-1\na1,2,\na2,,\n"


def test_an_empty_cell_of_a_wide_file_was_not_asked(load_of: Callable):
    loaded = load_of({"w.csv": WIDE_BLANK})

    assert loaded.responses["answer"].tolist() == ["2"]
    assert "rows without any answer: 1 (first in line 3)" in loaded.notes


def test_an_empty_cell_is_a_blank_answer_where_the_map_says_so(load_of: Callable):
    settings = """
        [[exports]]
        files = ["w.csv"]
        layout = "wide"
        blank = "unanswered"
        columns = { student = "student" }
        questions = { "root-1" = "root-1", "quad-1" = "quad-1" }
    """
    loaded = load_of({"w.csv": WIDE_BLANK}, settings=settings)

    assert loaded.responses["answer"].tolist() == ["2", ""]
    assert "rows without any answer: 1 (first in line 3)" in loaded.notes


def test_a_workbook_keeps_what_it_has_not_changed_and_rejects_the_rest(load_of: Callable):
    book = Workbook()
    for row in (
        ["student", "item", "answer", "attempt"],
        ["a1", "root-1", "3/4", 1],
        ["a2", "root-1", datetime(2026, 1, 2), 1],
        ["a3", "root-1", 2.5, 1],
        ["a4", "root-1", "=3+2", 1],
        ["a5", "root-1", "#NAME?", 1],
        [1001, "root-1", " 1e2 ", 1],
    ):
        book.active.append(row)
    stream = io.BytesIO()
    book.save(stream)
    loaded = load_of({"a.xlsx": stream.getvalue()})

    assert loaded.responses["answer"].tolist() == ["3/4", "2.5", " 1e2 "]
    assert "file holds as numbers, so that zeros at either end may be lost: 1" in loaded.notes
    reasons = dict(zip(loaded.rejected["line"], loaded.rejected["reason"], strict=True))
    assert "into a date" in reasons[3]
    assert "for a formula" in reasons[5]
    assert "into an error" in reasons[6]
    assert loaded.rejected["column"].unique().tolist() == ["answer"]


def test_two_boxes_are_joined_and_test_accounts_left_out(load_of: Callable):
    settings = """
        [privacy]
        test_accounts = ["demo*"]
        [[exports]]
        files = ["*.csv"]
        setting = "exam"
        section = "B"
        [exports.columns]
        student = "Login"
        item = "Exercise"
        answer = ["First box", "Second box"]
    """
    text = "Login,Exercise,First box,Second box\na1,root-1,2,-2\na2,root-1,,3\nDEMO7,root-1,1,1\n"
    loaded = load_of({"a.csv": text}, settings=settings)

    assert loaded.responses["answer"].tolist() == ["2; -2", "3"]
    assert set(loaded.responses["setting"]) == {"exam"}
    assert set(loaded.responses["section"]) == {"B"}
    assert loaded.rejected[["line", "needs_look"]].values.tolist() == [[4, False]]


def test_a_map_that_does_not_fit_says_what_is_missing(load_of: Callable):
    settings = '[[exports]]\nfiles = ["*"]\ncolumns = { student = "Login", item = "item" }\n'
    loaded = load_of({"a.csv": "login,item,answer\na1,root-1,2\n"}, settings=settings)

    message = loaded.errors["exports/a.csv"]
    assert (
        "line 1: missing column 'Login', which the map in line 1 of the settings names" in message
    )


def test_other_sheets_of_a_workbook_are_named(load_of: Callable):
    book = Workbook()
    book.active.append(["student", "item", "answer"])
    book.active.append(["a1", "root-1", "2"])
    book.create_sheet("About").append(["quiz", "roots"])
    points = book.create_sheet("Points")
    points.append(["student", "item", "answer"])
    points.append(["a1", "root-1", "0.5"])
    stream = io.BytesIO()
    book.save(stream)

    assert "sheets not read: About, Points" in load_of({"a.xlsx": stream.getvalue()}).notes


@pytest.mark.parametrize(
    ("header", "rows"),
    [
        (["student", "item", "answer"], [["a1", "root-1", "2"], ["b1", "root-1", "-2"]]),
        (["student", "root-1"], [["a1", "2"], ["b1", "-2"]]),
    ],
    ids=["long", "wide"],
)
def test_sheets_of_one_form_go_in_together(load_of: Callable, header: list, rows: list):
    book = Workbook()
    for row in ([header[0], *header[1:]], rows[0]):
        book.active.append(row)
    second = book.create_sheet("Section B")
    for row in (["Section B"], header, rows[1], [""], ["x"] * 9):
        second.append(row)
    stream = io.BytesIO()
    book.save(stream)
    loaded = load_of({"a.xlsx": stream.getvalue()})

    assert loaded.responses["answer"].tolist() == ["2", "-2"]
    assert loaded.responses["source_place"].tolist()[1] == "Section B, row 3"
    assert loaded.rejected["source_place"].tolist() == ["Section B, row 5"]
    assert "not read" not in loaded.notes


def test_a_file_of_column_names_alone_is_told(load_of: Callable):
    loaded = load_of({"a.csv": "student,item,answer\n"})

    assert "no answer stands below the column names" in loaded.notes
    assert loaded.sources["rows_read"].tolist() == [0]


def test_row_facts_of_a_wide_file_are_not_facts_of_each_answer(load_of: Callable):
    loaded = load_of({"a.csv": "student,score,root-1,root-1 score,quad-1\na1,9,2,1,3\n"})

    assert loaded.responses["score"].fillna(-1).tolist() == [1, -1]
    assert "columns not used: score" in loaded.notes


def test_cells_that_are_dates_and_numbers_by_right_are_the_same_as_text(load_of: Callable):
    book = Workbook()
    book.active.append(["student", "item", "answer", "answered_at", "score"])
    book.active.append([1001, "root-1", "2", datetime(2026, 2, 3, 10, 5, 7), 0.5])
    stream = io.BytesIO()
    book.save(stream)
    text = "student,item,answer,answered_at,score\n1001,root-1,2,2026-02-03 10:05:07,0.5\n"
    loaded = load_of({"a.xlsx": stream.getvalue(), "b.csv": text})

    assert len(loaded.responses) == 1
    assert loaded.duplicates["file"].tolist() == ["exports/b.csv"]


def test_a_map_tells_tries_boxes_and_what_stands_beside_an_answer_apart(load_of: Callable):
    settings = """
        [[exports]]
        files = ["w.csv"]
        layout = "wide"
        left_out = ["term"]
        columns = { student = "Login" }
        [exports.questions]
        "A" = "root-1"
        "A again" = "root-1"
        "B left" = "quad-1"
        "B right" = "quad-1"
        [exports.tries]
        "A" = 1
        "A again" = 2
        [exports.beside]
        "P" = "score of root-1 try 1"
        "P (2)" = "score of root-1 try 2"
    """
    text = 'Login,term,A,P,A again,P,B left,B right\na1,7,2,0,"2, -2",1,4,2\nb1,8,2,0,,,,2\n'
    loaded = load_of({"w.csv": text.replace("2,0", "2,.5")}, settings=settings)

    rows = loaded.responses[["item", "attempt", "answer", "score"]]
    assert rows.astype(object).where(rows.notna(), None).values.tolist() == [
        ["root-1", 1, "2", 0.5],
        ["root-1", 2, "2, -2", 1.0],
        ["quad-1", None, "4; 2", None],
        ["root-1", 1, "2", 0.5],
        ["quad-1", None, "2", None],
    ]


def test_standard_names_need_no_second_row_of_names() -> None:
    names = ["student", "item", "answer", "answered_at", "attempt", "score", "work"]
    below = [["ada", "ada"], [""] * 7, ["", "", "", "", "", "", "a"], ["b", "a"], ["b"], ["", "a"]]
    rows = list(enumerate([names, *below], start=1))

    assert naming_depth(rows, 0) == 1
