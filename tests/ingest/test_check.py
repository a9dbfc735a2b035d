"""`check`: what each column was taken for, and maps that go in with `--write`."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from pipeline.check import check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import ExportMap, read_course
from pipeline.course.keep_map import keep_maps
from pipeline.errors import ExitCode, InputError
from pipeline.ingest.propose import propose_map

WIDE = [
    ["Alder Valley College"],
    ["College Algebra, week 5 quiz", None, "downloaded on February 9"],
    [],
    ["Last name", "First name", "Student number", "Submitted",
     "1. Solve x² − 6x + 8 = 0", "2) Solve: x^2 = 4", "2) Solve: x^2 = 4",
     "Factor completely: x^2-6x+8", "Question 4", "Total score"],
    ["Doe", "Ann", "A100", "2026-02-03 10:00", "2, 4", "2", "-2", "(x-2)(x-4)", "5", 4],
    ["Roe", "Bo", "A101", "2026-02-03 10:05", "3", None, "2", "(x-2)(x-3)", None, 1],
    ["Class average", None, None, None, 0.5, 0.5, None, 0.5, 1, 2.5],
]  # fmt: skip


def as_workbook(rows: list[list[object]]) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def test_a_wide_spreadsheet_goes_in_without_any_edit(course_of: Callable, load_course: Callable):
    """Title rows on top, question texts as headers, two boxes, a totals row at the bottom."""
    folder = course_of({"week5.xlsx": as_workbook(WIDE)}).folder
    report = check_course(folder, write=True)

    assert report.exit_code == ExitCode.DONE
    assert report.written == "course.toml"
    loaded = load_course(read_course(folder))
    rows = loaded.responses.sort_values(["line", "item"])
    assert not loaded.errors
    assert loaded.rejected.empty
    assert rows[["line", "item", "answer"]].values.tolist() == [
        [5, "Question 4", "5"],
        [5, "fact-1", "(x-2)(x-4)"],
        [5, "quad-1", "2, 4"],
        [5, "root-1", "2; -2"],
        [6, "fact-1", "(x-2)(x-3)"],
        [6, "quad-1", "3"],
        [6, "root-1", "2"],
    ]
    assert rows["student"].nunique() == 2
    assert "rows of totals or of column names, left out: 1 (first in line 7)" in loaded.notes
    text = loaded.responses.to_csv() + loaded.notes
    assert not any(name in text for name in ("Doe", "Ann", "A100", "A101"))


def test_the_report_says_what_each_column_was_taken_for(course_of: Callable):
    folder = course_of({"week5.xlsx": as_workbook(WIDE)}).folder
    report = check_course(folder, unseen=lambda course: BlindSpots((("a", "b"),)))
    text = "\n".join(report.lines(whole=True))

    for line in (
        "'Student number': student (another value in each row; its name)",
        "'Submitted': answered_at (its values are dates; its name)",
        "'1. Solve x² − 6x + 8 = 0': answers to quad-1 (its text)",
        "'2) Solve: x^2 = 4 (2)': answers to root-1 (one of the boxes of this question: right when",
        "'Question 4': answers to Question 4 (not among the items: stored unjudged)",
        "'Last name': not used",
        "questions: 3 tagged, 1 judged only, 1 choice, 1 skipped",
        "Question 4: 1 answer",
        "cannot be told apart: a / b",
        "column names in line 4",
        '"2) Solve: x^2 = 4" = "root-1"',
    ):
        assert line in text
    assert "A100" not in text
    assert str(folder) not in text
    assert report.written is None
    assert "exports" not in (folder / "course.toml").read_text()


def test_writing_keeps_comments_and_a_second_check_proposes_nothing(course_of: Callable):
    folder = course_of({"week5.xlsx": as_workbook(WIDE)}).folder
    before = "# my own remark\n" + (folder / "course.toml").read_text() + "# the end\n"
    (folder / "course.toml").write_text(before)
    check_course(folder, write=True)
    after = (folder / "course.toml").read_text()
    report = check_course(folder, write=True)

    assert after.startswith(before)
    assert report.proposals == ()
    assert report.written is None
    assert after == (folder / "course.toml").read_text()


def test_a_long_file_with_the_trades_words_goes_in(course_of: Callable, load_course: Callable):
    text = (
        "Username,Question,First response,Second response,Submission time,Attempt number,Marks?\n"
        "ann,x^2 = 4,2,-2,2/13/2026 9:00 AM,1,1\nbob,quad-1,2,4,2/3/2026 9:00 AM,1,1\n"
    )
    folder = course_of({"week 5 [a].csv": text, "week 6.csv": text.replace("ann", "cy")}).folder
    report = check_course(folder, write=True)

    assert len(report.proposals) == 1
    assert report.proposals[0].files == ()
    loaded = load_course(read_course(folder))
    assert not loaded.errors
    found = loaded.responses[["item", "answer"]].values.tolist()
    assert found == [["root-1", "2; -2"], ["quad-1", "2; 4"], ["root-1", "2; -2"]]
    assert set(loaded.responses["score"]) == {1.0}


def test_a_student_column_without_a_name_is_told_by_what_it_holds(course_of: Callable):
    rows = "Code no 7,root-1,quad-1\nk81,2,3\nk82,2,3\nk83,2,3\n"
    course = course_of({"a.csv": rows})
    proposal = propose_map(course, "exports/a.csv")

    assert proposal.map.columns == {"student": ("Code no 7",)}
    assert proposal.remarks[0].why == "another value in each row"


@pytest.mark.parametrize(
    "text",
    [
        "k81,2,3\nk82,2,3\n",
        "Name,Phone,Birthday\nAnn,1,2\n",
        "When,Where\n2026-02-03,here\n",
    ],
)
def test_a_file_without_questions_gets_no_map(course_of: Callable, text: str):
    course = course_of({"a.csv": text})

    with pytest.raises(InputError, match="no question of the list is named in it") as caught:
        propose_map(course, "exports/a.csv")
    assert "Ann" not in str(caught.value)
    assert "k81" not in str(caught.value)


def test_bad_files_and_rejected_rows_decide_the_exit_code(course_of: Callable):
    folder = course_of({"a.csv": "student,item,answer\nann,root-1,2-Jan\nann,root-1,2\n"}).folder
    report = check_course(folder)
    assert report.exit_code == ExitCode.NEEDS_A_LOOK
    assert report.files[0].counts == (2, 1, 0, 1)
    assert "first in line 2, column 'answer', value '2-Jan'" in str(report.files[0].rejected[0])

    (folder / "exports" / "b.csv").write_bytes(b"student,item,answer\nann,root-1,\xff\n")
    (folder / "exports" / "week.csv").mkdir()
    report = check_course(folder)
    assert report.exit_code == ExitCode.BAD_INPUT
    assert [bool(one.error) for one in report.files] == [False, True, True]
    text = "\n".join(report.lines())
    assert "exports/b.csv, line 2: byte 0xFF is not UTF-8" in text
    assert "exports/week.csv: this is a directory" in text


def test_questions_that_cannot_be_worked_on_are_judged_only(course_of: Callable):
    folder = course_of({}).folder
    report = check_course(
        folder, untaggable=lambda item, own: "no equation" if item.id == "quad-1" else None
    )

    assert report.questions == {"tagged": 2, "judged only": 2, "choice": 1, "skipped": 1}
    assert report.not_tagged == ("quad-1: no equation",)
    assert "exports/ is empty: put answer exports there." in report.lines()


def test_maps_go_into_the_workbook_where_the_settings_are_one(tmp_path: Path):
    (tmp_path / "items.csv").write_text("item,topic,task,problem\nq,t,solve,x = 1\n")
    book = Workbook()
    book.active.title = "course"
    book.active.append(["title", "Algebra"])
    book.save(tmp_path / "course.xlsx")
    one = ExportMap(
        ("a.csv",), "wide", {"student": ("Login",)}, {"Solve x = 1": "q", "x = 1 (2)": "q"},
        date_order="MDY",
    )  # fmt: skip
    two = ExportMap(("b.csv",), "long", {"student": ("L",), "item": ("Q",), "answer": ("A", "B")})

    assert keep_maps(tmp_path, (one,)) == "course.xlsx"
    keep_maps(tmp_path, (two,))
    assert load_workbook(tmp_path / "course.xlsx")["course"]["B1"].value == "Algebra"
    first, second = read_course(tmp_path).exports
    assert (first.columns, first.questions) == (one.columns, one.questions)
    assert first.date_order == "MDY"
    assert second.columns == two.columns


def test_a_long_report_fits_a_screen_unless_all_is_asked_for(course_of: Callable):
    names = "".join(f"{number}," for number in range(40))
    rows = f"student,{names}root-1\nann,{names}2\n"
    folder = course_of({"a.csv": rows, "b.csv": "student,item,answer\nann,fact-1,3\n"}).folder
    report = check_course(folder)
    short, whole = list(report.lines()), list(report.lines(whole=True))

    assert len(short) < 40
    assert max(map(len, short)) <= 110
    assert "  columns: student, 1 column of answers" in short
    assert "  columns: student, item, answer" in short
    assert "  'item': item (its standard name)" in whole
    assert any("no question can show, of " in line for line in whole)
    assert not any("no question can show, of " in line for line in short)


def test_a_map_that_was_worked_out_is_shown_whole_until_it_is_kept(course_of: Callable):
    folder = course_of({"week5.xlsx": as_workbook(WIDE)}).folder
    first = "\n".join(check_course(folder, write=True).lines())
    second = "\n".join(check_course(folder).lines())

    assert "  'Student number': student (another value in each row; its name)" in first
    assert "  columns: 'Student number' = student, 'Submitted' = answered_at" in second


TOLD_BESIDE = (
    "Last Name,Login,Question 1,Response 1,Score 1,Question 2,Response 2,Score 2\n"
    "Doe,doe7,x^2 = 4,2,0,Factor x^2-6x+8,(x-2)(x-4),1\n"
    "Roe,roe8,x^2 = 4,\"2, -2\",1,Factor x^2-6x+8,(x-2)(x-3),0\n"
    "Poe,poe9,x^2 = 4,\"2, -2\",1,Factor x^2-6x+8,(x-2)(x-4),1\n"
)  # fmt: skip


def test_the_first_students_row_is_never_taken_for_the_column_names(
    course_of: Callable, load_course: Callable
):
    """Questions that stand beside every answer make each row look like names of columns."""
    folder = course_of({"a.csv": TOLD_BESIDE}).folder
    text = "\n".join(check_course(folder, write=True).lines(whole=True))
    loaded = load_course(read_course(folder))

    assert "column names in line 1" in text
    assert "'Response 1': answers to root-1 (the question named beside it)" in text
    assert "'Score 2': score of fact-1 (told by its values and its place beside the answer)" in text
    assert not any(name in text for name in ("Doe", "doe7"))
    assert not any(name in (folder / "course.toml").read_text() for name in ("Doe", "doe7"))
    rows = loaded.responses.sort_values(["line", "item"])
    assert rows[["line", "item", "answer", "score"]].values.tolist()[:2] == [
        [2, "fact-1", "(x-2)(x-4)", 1.0],
        [2, "root-1", "2", 0.0],
    ]
    assert len(rows) == 6


def test_rows_under_no_header_are_not_taken_for_one(course_of: Callable):
    course = course_of({"a.csv": TOLD_BESIDE.partition("\n")[2]})

    with pytest.raises(InputError, match="no row among the first ones") as caught:
        propose_map(course, "exports/a.csv")
    assert "doe7" not in str(caught.value)


def test_a_header_that_comes_again_further_down_is_still_one(course_of: Callable):
    row = "Login,x^2 = 4\n"
    course = course_of({"a.csv": row + "a1,2\na2,-2\na3,4\n" + row + "a4,1\na5,0\n"})

    assert propose_map(course, "exports/a.csv").header_line == 1


def test_names_of_people_in_place_of_ids_are_told(course_of: Callable):
    folder = course_of({"a.csv": "Name,Question,Response\nAnn,root-1,2\nBo,root-1,3\n"}).folder
    report = check_course(folder)

    assert any("'Name' tells students apart by their names" in one for one in report.problems)
    assert report.exit_code == ExitCode.NEEDS_A_LOOK


def test_an_id_and_a_score_by_their_names_call_for_no_caution(course_of: Callable):
    header = "Student-Nr.,Name,Question,Response,Score,Points possible"
    folder = course_of({"a.csv": f"{header}\na1,Ann,root-1,2,1,1\n"}).folder
    report = check_course(folder)

    assert report.problems == ()
    assert report.proposals[0].columns["student"] == ("Student-Nr.",)


def test_where_no_map_can_be_worked_out_check_does_not_send_to_itself(course_of: Callable):
    folder = course_of({"a.csv": "Code,Box one,Box two\na1,2,3\na2,4,5\n"}).folder
    (report,) = check_course(folder).files

    assert "Write the map by hand in [[exports]]" in str(report.error)
    assert "--write" not in str(report.error)


@pytest.mark.parametrize(
    ("header", "scores"),
    [
        ("Login,quad-1,Score,root-1,Score", [1.0, 0.0]),
        ("Login,quad-1,Remark,root-1,Score", [None, None]),
        ("Login,Score,quad-1,Rank,root-1", [None, None]),
    ],
)
def test_a_score_right_of_every_question_is_its_own(
    course_of: Callable, load_course: Callable, header: str, scores: list[float | None]
):
    cells = {"Login": "a1", "quad-1": '"2, 4"', "root-1": "3"}
    row = ",".join(cells.get(name, str(i % 3 // 2)) for i, name in enumerate(header.split(",")))
    folder = course_of({"a.csv": f"{header}\n{row}\n{row.replace('a1', 'b1')}\n"}).folder
    check_course(folder, write=True)
    rows = load_course(read_course(folder)).responses.sort_values(["line", "item"])

    found = rows["score"].astype(object).where(rows["score"].notna(), None).tolist()
    assert found[:2] == scores


def test_what_rows_were_rejected_for_is_said_once_for_all_files(course_of: Callable):
    bad = "student,item,answer\nann,root-1,2-Jan\n,root-1,2\n"
    folder = course_of({"a.csv": bad, "b.csv": bad + "bob,root-1,3-Feb\n"}).folder
    report = check_course(folder)
    short, whole = ("\n".join(report.lines(one)) for one in (False, True))

    assert short.count("turned this answer into a date") == 1
    assert "  3 × a spreadsheet program turned this answer into a date" in short
    assert "exports/a.csv, line 2, column" in short.replace("\n    ", " ")
    assert whole.count("turned this answer into a date") == 2


@pytest.mark.parametrize(
    ("names", "is_asked"),
    [("First name,Last name", True), ("Student first name,Student last name", True),
     ("Last name,Student number", False), ("Nom d'utilisateur,Apellidos", False)],
)  # fmt: skip
def test_one_part_of_a_name_is_no_student_unasked(course_of: Callable, names: str, is_asked: bool):
    rows = [f"Ann{at},Doe{at},2,{at},(x-2)(x-4)" for at in range(7)]
    text = "\n".join([f"{names},Solve x^2 = 4,quad-1,fact-1", *rows, ""])
    report = check_course(course_of({"week5.csv": text}).folder, write=True)

    assert (report.exit_code != ExitCode.DONE) == is_asked


def test_files_that_need_no_map_show_their_rows_where_all_is_asked_for(course_of: Callable):
    rows = "".join(f"k{n},root-1,{n}\n" for n in range(5))
    course = course_of({"a.csv": f"student,item,answer\n{rows}"})
    file = check_course(course.folder, write=False).files[0]

    assert "\n".join(file.lines(whole=True)).count("as stored: student (hidden), item root-1") == 3
    assert "as stored" not in "\n".join(file.lines())
