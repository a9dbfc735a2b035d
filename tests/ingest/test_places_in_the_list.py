"""Numbers of questions are places in the list where the answers to each question say so."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pipeline.check import check_course
from pipeline.course import read_course
from tests.ingest.test_messy_tables import CODES, as_csv

ITEMS = """\
item,topic,task,problem
A1-1,a,solve,x + 4 = 9
A1-2,a,expand,(x + 1)^2
A2-1,a,solve,2x = 14
A2-2,a,factor,x^2 - 9
"""
IDS = ("A1-1", "A1-2", "A2-1", "A2-2")
TYPED = (("5", "13", "5"), ("x^2+2x+1", "x^2+1", "x^2 + 2x + 1"), ("7", "7", "12"),
         ("(x-3)(x+3)", "(x-3)^2", "(x+3)(x-3)"))  # fmt: skip
ROWS = [(code, [mine[at % 3] for mine in TYPED]) for at, code in enumerate(CODES)]


def long(order: tuple[int, ...], name: str = "Q{}") -> str:
    rows = [[code, name.format(place), texts[question]]
            for code, texts in ROWS for place, question in enumerate(order, 1)]  # fmt: skip
    return as_csv([["Learner", "Question", "Typed"], *rows])


def wide(order: tuple[int, ...], name: str = "Question {}") -> str:
    names = [name.format(place) for place in range(1, 5)]
    return as_csv([["Learner", *names], *([code, *(t[at] for at in order)] for code, t in ROWS)])


@pytest.mark.parametrize("name", ["Q{}", "{}", "Aufgabe {}"])
@pytest.mark.parametrize("shape", [long, wide])
def test_numbers_are_places_where_the_answers_fit(
    course_of: Callable, load_course: Callable, shape: Callable, name: str
):
    course = course_of({"a.csv": shape((0, 1, 2, 3), name)}, items=ITEMS)
    report = check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["item"]) == set(IDS), "\n".join(report.lines())
    typed = loaded.responses.groupby("item")["answer"].agg(list)
    assert all(typed[item] == [texts[at] for _, texts in ROWS] for at, item in enumerate(IDS))
    assert not loaded.left_out


@pytest.mark.parametrize("order", [(0, 2, 1, 3), (1, 2, 3, 0), (3, 2, 1, 0)])
@pytest.mark.parametrize("shape", [long, wide])
def test_questions_in_another_order_are_not_read(
    course_of: Callable, load_course: Callable, shape: Callable, order: tuple[int, ...]
):
    course = course_of({"a.csv": shape(order)}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert not len(loaded.responses)
    assert loaded.errors


def test_next_week_is_read_by_the_ids_that_the_map_keeps(
    course_of: Callable, load_course: Callable
):
    course = course_of({"a.csv": wide((0, 1, 2, 3))}, items=ITEMS)
    check_course(course.folder, write=True)
    later = as_csv([["Learner", *(f"Question {n}" for n in range(1, 5))], ["z9z", "", "", "", "9"]])
    (course.folder / "exports" / "a.csv").write_text(later)
    rows = load_course(read_course(course.folder)).responses

    assert rows[["item", "answer"]].to_numpy().tolist() == [["A2-2", "9"]]


@pytest.mark.parametrize("name", ["response_pk", "Answer ID", "Response number"])
def test_a_number_of_its_own_in_each_row_is_no_box(
    course_of: Callable, load_course: Callable, name: str
):
    rows = [[str(4100 + 13 * at + n), code, IDS[n], text]
            for at, (code, texts) in enumerate(ROWS) for n, text in enumerate(texts)]  # fmt: skip
    text = as_csv([[name, "Learner", "Task", "response_value"], *rows])
    course = course_of({"a.csv": text}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["answer"]) == {text for mine in TYPED for text in mine}
    assert not loaded.left_out


@pytest.mark.parametrize("name", ["Question #", "Item no."])
def test_a_number_of_a_question_is_no_number_of_points(
    course_of: Callable, load_course: Callable, name: str
):
    problems = [line.split(",")[3] for line in ITEMS.splitlines()[1:]]
    rows = [[code, str(n), problems[n - 1], text, f"{int(text == TYPED[n - 1][0])}/1"]
            for code, texts in ROWS for n, text in enumerate(texts, 1)]  # fmt: skip
    course = course_of(
        {"a.csv": as_csv([["Learner", name, "Prompt", "Typed", "Score"], *rows])}, items=ITEMS
    )
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["points"]) == {1.0}
    assert set(loaded.responses["score"]) == {0.0, 1.0}


@pytest.mark.parametrize("name", ["Points", "Total"])
def test_points_beside_a_set_of_questions_are_no_number_of_a_question(
    course_of: Callable, load_course: Callable, name: str
):
    rows = [[f"A{half}", code, *texts[2 * half - 2 : 2 * half], str(1 + at % 2)]
            for at, (code, texts) in enumerate(ROWS) for half in (1, 2)]  # fmt: skip
    course = course_of(
        {"a.csv": as_csv([["Homework", "Learner", "1", "2", name], *rows])}, items=ITEMS
    )
    check_course(course.folder, write=True)

    assert not len(load_course(read_course(course.folder)).responses)
