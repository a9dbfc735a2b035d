"""Typed texts and names of questions on pages: only what enough students gave, and no identity."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.warehouse import building
from tests.student.small_course import IDS, SPRING, export_text, small_course
from tests.warehouse.stored_course import fill

pytestmark = pytest.mark.thorough

LIMIT = 10


def answers(rows: list[tuple[str, str, int]]) -> pd.DataFrame:
    """Rows of `staging.answer`: item, value typed, number of students."""
    return pd.DataFrame(
        [
            {"term": "t", "item": item, "read_as": value, "student": f"{item}{value}{n}"}
            for item, value, students in rows
            for n in range(students)
        ]
    )


@pytest.fixture
def listed(tmp_path: Path) -> object:
    def make(rows: list[tuple[str, int]]) -> pd.DataFrame:
        path = tmp_path / "course.duckdb"
        with building(path, afresh=True) as warehouse:
            fill(warehouse)
            template = warehouse.frame("store.response").iloc[:1]
            given = answers([(item, "", n) for item, n in rows])
            stored = pd.concat([template] * len(given), ignore_index=True)
            stored["item"], stored["student"] = given["item"], given["student"]
            stored["place"], stored["response"] = "unlisted", range(10_000, 10_000 + len(given))
            warehouse.put("store.response", stored, replace=False)
            lists = ("rare_sort", "apart_answer", "apart", "apart_row")
            for name in ("staging.answer", *map("staging.{}".format, lists), "main.own_unlisted"):
                warehouse.make(name)
            return warehouse.frame("own_unlisted")

    return make


@pytest.mark.parametrize(
    "item",
    ["jane.doe@college.example", "90417731", "555-123-4567", "Q 555 1234"],
)
def test_a_question_that_looks_like_a_person_is_never_named(listed: object, item: str) -> None:
    assert callable(listed)
    table = listed([(item, 40)])

    assert table["item"].isna().all()


def test_words_alone_are_named_where_most_students_met_them(listed: object) -> None:
    """`fill` has 60 students a semester; a name of somebody stands at few questions."""
    assert callable(listed)
    table = listed([("Zorro Quimby special", 40), ("Draw the line", 400), ("x = 3y", 12)])

    assert set(table["item"].dropna()) == {"Draw the line", "x = 3y"}


def test_questions_of_few_students_stand_in_one_row(listed: object) -> None:
    assert callable(listed)
    table = listed([("Question 7", 12), ("Jane Doe", 3), ("Bob", 9)])

    assert list(table["item"].dropna()) == ["Question 7"]
    rest = table[table["item"].isna()].iloc[0]
    assert (rest["answers"], rest["students"]) == (12, 12)
    assert "together" in rest["note"]


def test_a_sum_of_few_students_shows_no_figure(listed: object) -> None:
    assert callable(listed)
    table = listed([("Jane Doe", 3), ("Bob", 4)])

    assert table[["item", "answers", "students"]].isna().all(axis=None)
    assert "hidden" in table["note"].iloc[0]


@pytest.fixture(scope="module")
def unexplained(tmp_path_factory: pytest.TempPathFactory) -> object:
    """The page's table after a value that many gave is printed as some other text."""
    odd = export_text(SPRING, {(student, "sq-2"): "1117/31" for student in IDS})
    folder = small_course(tmp_path_factory.mktemp("named") / "course", exports={"a.csv": odd})
    run_course(folder)
    path = folder / "course.duckdb"

    def make(text: str) -> set[str]:
        with building(path) as warehouse:
            examined = warehouse.frame("store.examined")
            examined.loc[examined["answer"] == "1117/31", "read_as"] = text
            warehouse.put("store.examined", examined)
            for name in ("staging.answer", "main.unexplained_answers", "main.own_unexplained"):
                warehouse.make(name)
            return set(warehouse.frame("own_unexplained")["read_as"].dropna())

    return make


@pytest.mark.parametrize("text", ["20214533", "555 − 123 − 4567", "x = maria", "a@b.example"])
def test_a_value_that_looks_like_a_person_is_withheld(unexplained: object, text: str) -> None:
    assert callable(unexplained)

    assert unexplained(text) == set()


@pytest.mark.parametrize(
    "text", ["3 + √21 or 3 − √21", "x = −1/2", "no real solution", "all real numbers", "2xyz"]
)
def test_a_plain_value_is_shown(unexplained: object, text: str) -> None:
    assert callable(unexplained)

    assert unexplained(text) == {text}


def test_a_section_of_few_students_is_not_named(tmp_path: Path) -> None:
    with building(tmp_path / "course.duckdb", afresh=True) as warehouse:
        fill(warehouse, students=40, keep=_with_a_section_of_one)
        sections = set(warehouse.frame("own_outcome_results")["section"])
        names = [one.table for one in warehouse.models.values() if one.table.startswith("own_")]
        naming = {name for name in names if "Jane Doe" in warehouse.frame(name).to_csv()}

    assert sections == {"A", "B", "all"}
    assert len(names) > 30
    assert naming == set()


def _with_a_section_of_one(rows: pd.DataFrame) -> pd.DataFrame:
    alone = rows["student"].isin(rows["student"].iloc[[0, -1]])  # one in each semester
    return rows.assign(section=rows["section"].mask(alone, "Jane Doe's own"))
