"""Exports seen for the first time: what is told by what stands in them, and what is asked."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pandas as pd
import pytest
from babel import Locale, localedata
from openpyxl import Workbook

from pipeline.check import check_course
from pipeline.course import Item
from pipeline.errors import InputError
from pipeline.ingest import KnownResponses, load_exports, settle_terms
from pipeline.ingest.columns import is_row_of_points
from pipeline.ingest.dates import NumericOrder
from pipeline.ingest.propose import propose_map
from pipeline.ingest.question_headers import worth_of
from pipeline.ingest.questions import Questions
from pipeline.tables import Source
from pipeline.tables.delimited import shown_encoding
from tests.ingest.test_messy_tables import CODES, FACT, QUAD, ROOT, as_csv, proposed

NO_TERMS = 'title = "Algebra"\n'
ITEMS = [
    Item("pow", "t", "simplify", "x^3 * x^4"),
    Item("log", "t", "solve", "log_3(x+7) = 2"),
    Item("abs", "t", "solve", "|2x + 1| = 7"),
    Item("neg", "t", "solve", "-2x < 8"),
    Item("root", "t", "simplify", "sqrt(50)"),
    Item("frac", "t", "simplify", "(x^2 - 9)/(x - 3)"),
    Item("claim", "t", "judge", "sqrt(a^2 + b^2) = a + b", "false"),
    Item("p1", "t", "solve", "x^2 = 49"),
    Item("p6", "t", "solve", "x^2 = 49"),
]


@pytest.mark.parametrize(
    ("header", "item"),
    [
        ("5) Simplifica: x³·x^4", "pow"),
        ("19. log₃(x+7)=2", "log"),
        ("Q3) |2x + 1| = 7: 1st try", "abs"),
        ("Q4) -2x < 8", "neg"),
        ("Q4 - Solve -2x < 8", "neg"),
        ("IV. True or false? sqrt(a^2 + b^2) = a + b", "claim"),
        ("Vereinfache √50", "root"),
        (r"4) Simplify \(\frac{x^2 - 9}{x - 3}\)", "frac"),
        (r"6) Solve for x \(x^2 = 49\)", "p6"),
    ],
)
def test_a_header_names_the_question_whose_mathematics_it_shows(header: str, item: str):
    assert Questions(ITEMS).find_in(header)[0] == item


@pytest.mark.parametrize("header", ["x^7", "x = 3", "Solve x^2 = 49", "Q4) 2x < 8", "5 points"])
def test_a_header_with_other_mathematics_names_none(header: str):
    assert Questions(ITEMS).find_in(header)[0] is None


def test_no_language_writes_the_month_first_and_dots():
    """Source: the formats of all languages in the Unicode CLDR, as Babel holds them."""
    month_first = []
    for name in localedata.locale_identifiers():
        locale = Locale.parse(name)
        day, clock = locale.date_formats["short"].pattern, locale.time_formats["medium"].pattern
        if re.match(r"M+\W*d", day) and ("." in day or re.search(r"[Hh]\.m", clock)):
            month_first.append(name)

    assert month_first == []


def test_dots_in_days_or_hours_tell_the_order_and_slashes_do_not():
    def order(*texts: str) -> str | None:
        seen = NumericOrder()
        seen.see(pd.Series(texts, dtype=object))
        return seen.order

    assert order("05.10.2026 09:25") == "DMY"
    assert order("11/10/2026 15.35.00") == "DMY"
    assert order("05/10/2026 09:25") is None
    assert order("10.13.2026", "05.10.2026") is None


def dated(*days: str) -> str:
    rows = [["student", "item", "answer", "answered_at"]]
    rows += [[f"k{n}", "root-1", "2", day] for n, day in enumerate(days, 10)]
    return as_csv(rows)


@pytest.mark.parametrize(
    "days",
    [("10/2/2026", "10/3/2026", "10/4/2026"), ("2/10/2026", "3/10/2026", "4/10/2026")],
)
def test_days_that_lie_together_tell_their_order(load_of: Callable, days: tuple[str, ...]):
    loaded = load_of({"a.csv": dated(*days)}, settings=NO_TERMS)

    assert set(loaded.responses["answered_on"].dt.month) == {10}
    assert "days in numbers are read with the" in loaded.notes


def test_two_days_do_not(load_of: Callable):
    loaded = load_of({"a.csv": dated("10/2/2026", "10/3/2026")}, settings=NO_TERMS)

    assert "do not tell day from month" in loaded.errors["exports/a.csv"]


def test_the_day_in_a_title_tells_the_order_of_those_below(load_of: Callable):
    text = "Exported on 16/11/2026 08:12\n\n" + dated("09/11/2026")
    loaded = load_of({"a.csv": text}, settings=NO_TERMS)

    assert loaded.responses["answered_on"].dt.month.tolist() == [11]


@pytest.mark.parametrize(
    ("header", "worth"),
    [("Q1 (/2)", "2"), ("Ex. 2 – pts (/1,5)", "1.5"), ("Marks 1 (of 2.00)", "2.00"),
     ("18a. points (max 3)", "3"), ("Vraag 1 (2 ptn)", "2"), ("Pkt. A1 (von 2)", "2"),
     ("Q1, 3 pts", "3"), ("Q1 (2)", ""), ("root-1 pts", ""), ("x^2 - 9 (3)", ""),
     ("Q1 (2 pts) (3 pts)", "")],
)  # fmt: skip
def test_a_header_says_the_points_possible(header: str, worth: str):
    assert worth_of(header) == worth


@pytest.mark.parametrize(
    ("word", "possible"),
    [("Points possible", True), ("Max points", True), ("Total points", False), ("Total", False),
     ("Average", False), ("Maxine", False)],
)  # fmt: skip
def test_a_row_of_points_is_no_row_of_sums(word: str, possible: bool):
    assert is_row_of_points(word) is possible


def test_points_possible_of_headers_and_of_a_row_are_stored(
    course_of: Callable, load_course: Callable
):
    names = ["Code", "root-1", "root-1 pts (/2)", "quad-1", "quad-1 pts"]
    rows = [[code, root, "2" if "2" in root else "0", quad, "1"]
            for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)]  # fmt: skip
    possible = ["Points possible", "", "", "", "4"]
    _, loaded = proposed(course_of, load_course, [names, possible, *rows])

    assert loaded.responses.groupby("item")["points"].unique().map(list).to_dict() == {
        "root-1": [2.0], "quad-1": [4.0],
    }  # fmt: skip


REMARKS = ("sign", "", "ask in class", "sign", "", "see me", "", "sign")


@pytest.mark.parametrize("word", ["notes", "observaciones", "zzz"])
def test_remarks_beside_an_answer_are_neither_tries_nor_stored(
    course_of: Callable, load_course: Callable, word: str
):
    names = ["Code", "root-1", f"{word} root-1", "quad-1", f"{word} quad-1"]
    each = zip(CODES, ROOT, QUAD, REMARKS, strict=True)
    rows = [[code, root, remark, quad, remark] for code, root, quad, remark in each]
    found, loaded = proposed(course_of, load_course, [names, *rows])

    assert found.questions == {"root-1": "root-1", "quad-1": "quad-1"}
    assert not loaded.responses["answer"].isin(REMARKS[:1]).any()


def test_the_right_answer_beside_what_each_answered_is_no_try(
    course_of: Callable, load_course: Callable
):
    names = ["Code", "root-1", "expected root-1", "quad-1", "expected quad-1"]
    rows = [
        [code, root, max(set(ROOT), key=ROOT.count), quad, max(set(QUAD), key=QUAD.count)]
        for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)
    ]
    found, loaded = proposed(course_of, load_course, [names, *rows])

    assert found.questions == {"root-1": "root-1", "quad-1": "quad-1"}
    assert len(loaded.responses) == 2 * len(CODES)


def test_a_row_with_the_name_of_the_column_in_place_of_a_student_is_none(
    course_of: Callable, load_course: Callable
):
    rows = [["Code", "answer", "answer"], *map(list, zip(CODES, ROOT, QUAD, strict=True))]
    _, loaded = proposed(course_of, load_course, [["Code", "root-1", "quad-1"], *rows])

    assert loaded.responses["student"].nunique() == len(CODES)
    assert not loaded.responses["answer"].eq("answer").any()


def test_where_no_row_names_the_columns_they_go_by_number(
    course_of: Callable, load_course: Callable
):
    """The row of a student is no row of names, nor lost; with names, the map is not for a file."""
    rows = [[code, one, text] for one, texts in (("root-1", ROOT), ("quad-1", QUAD))
            for code, text in zip(CODES, texts, strict=True)]  # fmt: skip
    course = course_of({"a.csv": as_csv(rows)})
    found = propose_map(course, "exports/a.csv").map
    course = replace(course, exports=(replace(found, files=()),))
    loaded = load_course(course)

    assert found.columns == {
        "student": ("column 1 of 3",), "item": ("column 2 of 3",), "answer": ("column 3 of 3",),
    }  # fmt: skip
    assert loaded.responses[["line", "item", "answer"]].values.tolist() == [
        [line, *row[1:]] for line, row in enumerate(rows, 1)
    ]
    (course.folder / "exports" / "a.csv").write_text(as_csv([["Who", "What", "Typed"], *rows]))
    assert "missing column" in load_course(course).errors["exports/a.csv"]


def test_questions_beside_answers_under_no_names_are_not_taken_apart(course_of: Callable):
    rows = [[code, "root-1", root, "quad-1", quad]
            for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)]  # fmt: skip

    with pytest.raises(InputError, match="no row among the first ones"):
        propose_map(course_of({"a.csv": as_csv(rows)}), "exports/a.csv")


def test_a_question_whose_number_can_be_the_word_problem_is_asked(
    course_of: Callable, load_course: Callable
):
    course = course_of({"a.csv": as_csv([
        ["Code", "Problem 1", "Problem 2"], *zip(CODES, ROOT, QUAD, strict=True),
    ])})  # fmt: skip
    one, two = course.items[0], course.items[1]
    course = replace(course, items=(replace(one, id="m1"), replace(two, id="m2")))

    assert propose_map(course, "exports/a.csv").map.questions == {
        "Problem 1": "m1", "Problem 2": "m2",
    }  # fmt: skip


def sheets(**of_section: tuple[str, ...]) -> bytes:
    book = Workbook()
    book.remove(book.active)
    for name, students in of_section.items():
        sheet = book.create_sheet(name)
        sheet.append(["student", "root-1", "quad-1"])
        for student in students:
            sheet.append([student, "x = 2", "4"])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def test_sheets_with_other_students_each_are_class_sections(load_of: Callable):
    loaded = load_of({"a.xlsx": sheets(Monday=("k1", "k2"), Online=("k3", "k4"))})

    assert sorted(loaded.responses["section"].unique()) == ["Monday", "Online"]
    assert "by the names of sheets" in loaded.notes


def test_sheets_with_the_same_students_are_none(load_of: Callable):
    rest = {"Quiz 1": ("k1", "k2", "k3"), "Quiz 2": ("k4", "k5", "k1")}
    loaded = load_of({"a.xlsx": sheets(**rest)})

    assert loaded.responses["section"].isna().all()


def test_a_text_that_the_list_lacks_is_said_beside_those_it_has(course_of: Callable):
    rows = [[code, text, answer] for code, answer in zip(CODES, FACT, strict=True)
            for text in ("Factor x^2 - 6x + 8", "Factor x^2 - 81")]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Code", "Question", "Reply"], *rows])})
    course = replace(course, exports=(propose_map(course, "exports/a.csv").map,))
    (loaded,) = load_exports(settle_terms(course, KnownResponses.empty()), KnownResponses.empty())
    stored = sum(len(batch.stored) for batch in loaded.batches())

    assert stored == len(rows)
    assert "Question" in loaded.left_out


@pytest.mark.parametrize("names", [("First name", "Last name"), ("Nachname", "Vorname")])
def test_first_and_last_name_together_are_one_student(
    course_of: Callable, load_course: Callable, names: tuple[str, str]
):
    given = [("Ann", "Lee"), ("Ann", "Doe"), ("Bo", "Lee"), ("Bo", "Poe"), ("Cy", "Lee"),
             ("Cy", "Doe"), ("Di", "Poe"), ("Di", "Lee")]  # fmt: skip
    rows = [[*who, root, quad] for who, root, quad in zip(given, ROOT, QUAD, strict=True)]
    found, loaded = proposed(course_of, load_course, [[*names, "root-1", "quad-1"], *rows])

    assert found.columns["student"] == names
    assert loaded.responses["student"].nunique() == len(given)


def test_an_id_is_taken_before_names(course_of: Callable, load_course: Callable):
    rows = [[code, "Ann", f"Lee{code}", root, quad]
            for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)]  # fmt: skip
    header = ["Student ID", "First name", "Last name", "root-1", "quad-1"]
    found, _ = proposed(course_of, load_course, [header, *rows])

    assert found.columns["student"] == ("Student ID",)


def test_answers_under_a_word_of_its_own_are_neither_a_section_nor_passed_over(course_of: Callable):
    bonus = ("x=3", "2x=1", "x^2", "x=3", "2x=1", "x^2", "x=3", "2x=1")
    rows = [list(row) for row in zip(CODES, ROOT, QUAD, bonus, strict=True)]
    course = course_of({"a.csv": as_csv([["Code", "root-1", "quad-1", "Bonus"], *rows])})
    found = propose_map(course, "exports/a.csv")
    (file,) = check_course(course.folder).files

    assert "section" not in found.map.columns
    assert any("'Bonus' is not used and may hold answers" in one for one in file.to_mend())


def test_next_weeks_remarks_are_no_boxes(load_of: Callable):
    names = "student,root-1,root-1 zzz,quad-1,quad-1 zzz"
    loaded = load_of({"a.csv": f"{names}\nk11,2,sign,4,see me\nk12,-2,,2,ok\n"})

    assert sorted(loaded.responses["answer"]) == ["-2", "2", "2", "4"]


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Maß,x²\nweiß,±7\n", "windows-1252"),
        ("student,answer\nb1,x²+5x+6\n", "windows-1252"),
        ("student,answer\nb1,2×3\nb2,–4\n", "windows-1252"),
        ("Sección,x\n", None),
        ("student,answer\nb1,x² 3\n", None),
        ("Größe;ж\n", None),
    ],
)
def test_letters_show_an_encoding_only_where_no_other_makes_sense(
    course_of: Callable, text: str, shown: str | None
):
    """In windows-1250 the bytes of `ó` are the same letter, those of `ñ` another one."""
    course = course_of({})
    path = course.folder / "exports" / "a.csv"
    path.write_bytes(text.encode("windows-1251" if "ж" in text else "windows-1252", "replace"))

    assert shown_encoding(Source(path, "a.csv")) == shown


def test_ids_that_wait_to_be_filled_down_are_said(course_of: Callable):
    items = ("root-1", "quad-1", "fact-1")
    rows = [[code if item == items[0] else "", item, answer]
            for code, *answers in zip(CODES, ROOT, QUAD, FACT, strict=True)
            for item, answer in zip(items, answers, strict=True)]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Who", "Which", "What"], *rows])})

    with pytest.raises(InputError, match="'Who' is empty in most rows"):
        propose_map(course, "exports/a.csv")


MANY = [f"st{number}" for number in range(101, 113)]


@pytest.mark.parametrize("word", ["Sol", "trial"])
def test_one_word_among_ids_is_asked_about(load_of: Callable, word: str):
    rows = [[student, "x = 2", "x = 4"] for student in (*MANY, word)]
    loaded = load_of({"a.csv": as_csv([["student", "root-1", "quad-1"], *rows])})

    assert loaded.responses["student"].nunique() == len(MANY)
    assert set(loaded.rejected["reason"].str.partition(",")[0]) == {"an id unlike all others"}


@pytest.mark.parametrize("others", [["ann", "bob"], ["k3x9"], []])
def test_ids_that_differ_among_themselves_are_students(load_of: Callable, others: list[str]):
    rows = [[student, "x = 2", "x = 4"] for student in (*MANY, *others)]
    loaded = load_of({"a.csv": as_csv([["student", "root-1", "quad-1"], *rows])})

    assert loaded.responses["student"].nunique() == len(MANY) + len(others)


def test_refusals_name_no_student(course_of: Callable):
    rows = [["root-1", *ROOT], ["quad-1", *QUAD], ["fact-1", *FACT]]
    course = course_of({"a.csv": as_csv([["Question", *(f"st{one}7" for one in CODES)], *rows])})

    with pytest.raises(InputError, match="tells the students apart") as error:
        propose_map(course, "exports/a.csv")
    assert "stk" not in str(error.value)


@pytest.mark.parametrize(
    ("numbers", "stored"), [(("0", "1"), [1, 2]), (("1", "2"), [1, 2]), (("7", "3"), [])]
)
def test_tries_are_counted_from_nought_or_one_and_are_no_other_numbers(
    course_of: Callable, load_course: Callable, numbers: tuple[str, str], stored: list[int]
):
    each = zip(CODES, ROOT, FACT, strict=True)
    rows = [[code, "root-1", answer, number] for code, *answers in each
            for answer, number in zip(answers, numbers, strict=True)]  # fmt: skip
    found, loaded = proposed(course_of, load_course, [["Who", "Which", "What", "Zzz"], *rows])

    assert ("attempt" in found.columns) is bool(stored)
    assert sorted(loaded.responses["attempt"].dropna().unique()) == stored
    assert ("counted from 0" in loaded.notes) is (numbers[0] == "0")
