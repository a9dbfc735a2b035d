"""Identities typed into answers are found; mathematics that looks a little like one stays."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from io import BytesIO
from zipfile import ZipFile

import duckdb
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from pipeline.check import check_course
from pipeline.errors import InputError
from pipeline.ingest.withheld import WITHHELD, holds, identifying, names_its_student
from pipeline.reading.answer import read_answer
from pipeline.warehouse import Warehouse


@pytest.mark.parametrize(
    ("text", "student"),
    [
        ("jane.doe@college.example", ""),
        ("ask o'neil+x@mail.college.example", "other"),
        ("x = 5 (90417731)", "90417731"),
        ("JDOE7: x = 5", "jdoe7"),
        ("by jane doe, x = 5", "jane doe"),
        ("A-12 34: x = 5", "a1234"),
        ("x = 5 (904-177 31)", "90417731"),
        ("JaneDoe, x = 5", "jane doe"),
        ("my number is a_1.2/3\u20134", "a-1234"),
        ("Oakes, Jane00", "oakes, jane00"),
        ("dept:u45211 x = 5", "dept:u45211"),
        ("\uff19\uff10\uff14\uff11\uff17\uff17\uff13\uff11", "90417731"),  # full width
        ("\u0669\u0660\u0664\u0661\u0667\u0667\u0663\u0661", "90417731"),  # of another script
        ("9041\u200b7731", "90417731"),
        ("<b>9041</b>7731", "90417731"),
        ("90417731x", "90417731"),
        ("kq17 = x", "kq17"),
        ("90*417*731", "90417731"),
        ("9041(7731)", "90417731"),
        ("90,417,731", "90417731"),
        ("x = 904, 177, 31", "90417731"),
        ("jane.roe&#64;larkfield.example", ""),
        ("ask jane.roe&commat;larkfield.example", "other"),
        ("jane.roe&amp;#x40;larkfield&period;example", ""),  # escaped twice
        ("jane.roe%40larkfield.example", ""),
        (r"jane.roe\u0040larkfield.example", ""),
        ("9%3041%37731 = x", "90417731"),
        (r"9\u003041\u0037731", "90417731"),
        ("9&#48;417731", "90417731"),
        ("&#57;0417731 = x", "90417731"),
        ("9041&zwnj;7731", "90417731"),
        ("9041&lt;b&gt;7731", "90417731"),
        ("x &amp;amp;lt; 3, &#106;doe7", "jdoe7"),
        ("0090417731", "90417731"),  # a number with zeros before it
        ("9.0417731E+07", "90417731"),  # as a spreadsheet shows it
    ],
)
def test_an_address_or_the_own_id_is_found(text: str, student: str) -> None:
    assert names_its_student(text, student)
    assert identifying(pd.Series([text]), pd.Series([student])).all()


@pytest.mark.parametrize(
    ("text", "student"),
    [
        ("x = 24", "24"),  # a short number may well be an answer
        ("x = 904177315", "90417731"),  # part of a longer number
        ("jdoe77", "jdoe7"),
        ("3 + sqrt(21)", "90417731"),
        ("x = 2 @ y = 3", "90417731"),
        ("90417738", "90417731"),
        ("x = 904, 17, 7", "904177"),  # a list of values
        ("904(177)", "904177"),
        ("k17", "k17"),
        ("note", "note"),
        ("9041", "9041"),
        ("a1 = 234", "a1234"),
        ("oak = 3; es = 5, jane = 00", "oakes, jane00"),
        ("a < b and c > d", "ad"),
        ("no real solution", ""),
        ("x&lt;3", "90417731"),
        ("x&lt;3 &amp;&amp; x &ge; -2", "lt3"),  # entities are no letters of an id
        ("y = 5&commat;2, x &#8804; 7", "8804"),
        ("x&#178;+5x&amp;y", "178"),
        ("R&D = AT&T & 12", "90417731"),
        (r"50%, 100%25, \underline{x}, \u12", "100"),
        ("", "90417731"),
    ],
)
def test_other_texts_stay(text: str, student: str) -> None:
    assert not names_its_student(text, student)
    assert not identifying(pd.Series([text]), pd.Series([student])).any()


def test_a_missing_text_names_nobody() -> None:
    texts = pd.Series([None, "x = 1"], dtype=object)

    assert not identifying(texts, pd.Series(["90417731", ""])).any()


def test_what_stands_in_its_place_is_no_answer_and_no_identity() -> None:
    assert read_answer(WITHHELD).readings == ()
    assert not names_its_student(WITHHELD, "jane doe")


def test_a_load_withholds_it_and_says_so(load_of: Callable) -> None:
    text = "student,item,answer,work\njdoe7,root-1,jdoe7 2,ok\nbob77,root-1,2,see b@c.example\n"
    loaded = load_of({"a.csv": text})

    assert list(loaded.responses["answer"]) == [WITHHELD, "2"]
    assert list(loaded.responses["work"]) == ["ok", WITHHELD]
    assert "`answer` withheld" in loaded.notes
    assert "jdoe7" not in loaded.notes


@given(
    st.lists(st.sampled_from(["JDOE7: x = 5", "jdoe77", "by jane doe", "x (jdoe7)", "90417731"])),
    st.lists(st.sampled_from(["jdoe7", "jane doe", "90417731", "24", "(jdoe7)"]), min_size=1),
)
def test_texts_of_many_rows_are_withheld_like_those_of_one(texts: list[str], students: list[str]):
    pairs = [(text, student) for text in texts for student in students]
    typed, ids = (pd.Series([pair[place] for pair in pairs], dtype=object) for place in (0, 1))

    anyone = [any(names_its_student(text, one) for one in students) for text, _ in pairs]
    assert identifying(typed, ids).tolist() == anyone


@pytest.mark.parametrize(
    "text",
    [
        "x = 5, ask 90417731",
        "jdoe7",
        "(jdoe7)",
        "id-90417731.",
        "j doe-7 has 2",
        "90-417 731",
        "9041(7731)",
        "90*417731",
        "KQ17",
        "see Oakes, Jane00",
        "dept:u45211",
        "x = 5, ask 9&#48;417731",
        "dept&colon;u45211",
        "&amp;#107;q17",
        "0090417731",
        "9.0417731E+07",
    ],
)
def test_the_id_of_another_student_is_found(text: str) -> None:
    others = {"90417731", "jdoe7", "kq17", "oakes, jane00", "dept:u45211"}

    def is_student(typed: str) -> bool:
        return typed.casefold() in others

    assert identifying(pd.Series([text]), pd.Series(["someone"]), is_student).all()


@pytest.mark.parametrize(
    "text",
    ["x = 12345", "x^2 + 5x + 6", "no real solution", "904177315", "x&lt;3", "x&lt;904177315"],
)
def test_mathematics_stays_whoever_is_known(text: str) -> None:
    others = {"90417731", "12345", "jdoe7"}  # a number of five digits could well be an answer

    assert not identifying(pd.Series([text]), pd.Series(["someone"]), others.__contains__).any()


def test_mathematics_with_entities_is_stored_as_it_is_and_read(load_of: Callable) -> None:
    texts = ["x&lt;3", "x &amp;gt; 2 &amp;&amp; x&#60;5", "see jane.roe&#64;larkfield.example"]
    rows = [f"jdoe7{n},root-1,{text}" for n, text in enumerate(texts)]
    loaded = load_of({"a.csv": "\n".join(["student,item,answer", *rows]) + "\n"})

    assert list(loaded.responses["answer"]) == [*texts[:2], WITHHELD]


def test_another_students_id_is_withheld_in_both_orders_of_a_load(load_of: Callable) -> None:
    text = "student,item,answer\njdoe7,root-1,ask kim88\nkim88,root-1,jdoe7 knows\n"

    assert list(load_of({"a.csv": text}).responses["answer"]) == [WITHHELD, WITHHELD]


def test_no_column_of_texts_keeps_an_id(load_of: Callable) -> None:
    text = (
        "student,item,answer,problem,quiz,section\n"
        "jdoe7,root-1,2,by kim 88,kim88,KIM-88\nkim88,root-1,3,x = 9,Quiz 1,A\n"
    )
    kept = load_of({"a.csv": text}).responses

    assert not kept.astype(str).apply(lambda one: one.str.contains("(?i)kim.?88")).any(axis=None)
    assert sorted(kept["section"]) == ["A", WITHHELD]


def test_a_setting_in_an_exports_own_words_is_another_setting(load_of: Callable) -> None:
    text = "student,item,answer,setting\njdoe7,root-1,2,kim@c.example\nbob77,root-1,2,quiz\n"

    assert sorted(load_of({"a.csv": text}).responses["setting"]) == ["another setting", "quiz"]


def test_a_file_that_is_called_by_a_student_is_refused_without_its_name(load_of: Callable) -> None:
    text = "student,item,answer\njdoe7,root-1,2\nbob77,root-1,3\n"
    with pytest.raises(InputError, match=r"exports/jd… \(a name of 9 letters\)") as told:
        load_of({"jdoe7.csv": text})

    assert "jdoe7" not in str(told.value)


def test_a_file_that_is_called_by_nobody_who_is_in_it_is_read(load_of: Callable) -> None:
    text = "student,item,answer\njdoe7,root-1,2\nbob77,root-1,3\n"

    assert len(load_of({"jdoe.csv": text}).responses) == 2


@pytest.mark.parametrize(("answer", "found"), [("8041&#50;377 = x", True), ("x&lt;3", False)])
def test_the_search_of_the_database_reads_entities_as_the_door_does(
    answer: str, found: bool
) -> None:
    warehouse = Warehouse(duckdb.connect())
    warehouse.make_all()
    warehouse.put("store.response", pd.DataFrame({"response": [1], "answer": [answer]}))
    columns = warehouse.holding(["nobody"], partial(holds, student="80412377"), "80412377")

    assert columns == (["store.response.answer"] if found else [])


def sheets(**rows: list[tuple[str, ...]]) -> bytes:
    """A workbook with a sheet of each name."""
    book = Workbook()
    book.remove(book.active)
    for name, lines in rows.items():
        sheet = book.create_sheet(name)
        for line in lines:
            sheet.append(line)
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def test_a_column_or_sheet_that_is_called_by_a_student_is_noted_without_its_name(
    load_of: Callable,
) -> None:
    head, rows = ("student", "item", "answer", "for kim88"), [("kim88", "root-1", "2", "well done")]
    book = sheets(answers=[head, *rows], kim88=[("notes",)], notes=[("notes",)])
    said = load_of({"a.xlsx": book}).notes

    assert "kim88" not in said
    assert f"sheets not read: {WITHHELD}, notes" in said
    assert f"columns not used: {WITHHELD}" in said


def test_a_sheet_that_is_called_by_its_student_names_no_class_section(load_of: Callable) -> None:
    names = ("kim88", "jdoe7", "bob77")
    loaded = load_of({"a.xlsx": sheets(**{
        one: [("student", "root-1", "line-1"), (one, "2", "3")] for one in names
    })})  # fmt: skip

    assert set(loaded.responses["section"]) == {WITHHELD}
    assert not any(name in loaded.notes for name in names)


def test_a_folder_in_an_archive_that_is_called_by_a_student_is_refused_without_its_name(
    load_of: Callable,
) -> None:
    packed = BytesIO()
    with ZipFile(packed, "w") as archive:
        archive.writestr("jdoe7/a.csv", "student,item,answer\njdoe7,root-1,2\nbob77,root-1,3\n")
    with pytest.raises(InputError, match=r"exports/all.zip/jd… \(a name of 5 letters\)/a.csv"):
        load_of({"all.zip": packed.getvalue()})


def test_students_in_the_place_of_column_names_are_not_repeated(load_of: Callable) -> None:
    """Of a table that is turned over: a row a question, a column a student."""
    text = 'question,"Wu, Kimberly",jdoe7@c.example,90417731\nroot-1,2,2,3\n'
    (said,) = load_of({"a.csv": text}).errors.values()

    assert "seen: question, ..., ..., ..." in said
    assert not any(one in said for one in ("Wu", "Kimberly", "jdoe7", "90417731"))


ASKED = ("root-1", "quad-1", "fact-1", "judge-1")


@pytest.mark.parametrize("header", ["student,item,answer", "Task,Learner code,Typed"])
def test_students_in_the_place_of_questions_are_not_stored(
    course_of: Callable, load_course: Callable, header: str
) -> None:
    said = dict(zip(("student", "item", "answer"), header.split(","), strict=True))
    columns = ", ".join(f'{name} = "{told}"' for name, told in said.items())
    settings = "" if header.startswith("student") else f"[[exports]]\ncolumns = {{ {columns} }}\n"
    rows = [f"{item},ann{n}q,{n}" for n in range(10, 20) for item in (*ASKED, "other")]
    course = course_of({"a.csv": "\n".join([header, *rows]) + "\n"}, settings=settings)
    report = "\n".join(check_course(course.folder).lines())

    assert "the two columns are swapped" in report
    assert "ann1" not in report
    with pytest.raises(InputError, match="the two columns are swapped"):
        load_course(course)
