"""The term that the pages open with: the latest one that enough students have answered in."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pandas as pd
import pytest

import sql
from pipeline.warehouse import building
from tests.warehouse.stored_course import fill

FOLDER = Path(str(sql.__file__)).parent
SELECT, WHERE = (
    (FOLDER / name).read_text("utf-8")
    for name in ("marts/own_course.sql", "staging/current_week.sql")
)


def current_term(*groups: tuple[str, int, int]) -> tuple[str, int | None]:
    """Term and week of groups (term, students, week); `students` below 0 is a count of answers."""
    rows = [
        {"term": term, "student": f"{term}{one}", "week": week, "count": 1}
        for term, students, week in groups
        for one in range(max(students, 0))
    ]
    rows += [
        {"term": term, "student": None, "week": week, "count": -students}
        for term, students, week in groups
        if students < 0
    ]
    answer = pd.DataFrame(rows).assign(answered_on=pd.Timestamp("2026-02-01"))
    term = pd.DataFrame({"term": ["fall", "spring", "typo"], "position": [1, 2, 3]})
    term["title"] = term["term"]
    course = pd.DataFrame(
        {"title": ["A"], "minimum_students": [10], "rule_set": ["r"], "items": ["i"]}
    )
    item = pd.DataFrame({"item": ["q"], "same": pd.Series([None], dtype="str")})
    source_file = pd.DataFrame({"file": ["a"], "sha256": ["b"]})
    with duckdb.connect() as connection:
        connection.execute("create schema staging; create schema store")
        frames = {"staging.answer": answer, "store.term": term, "store.course": course,
                  "store.source_file": source_file, "store.item": item}  # fmt: skip
        for name, frame in frames.items():
            connection.from_df(frame).create(name)
        connection.execute(f"create table staging.current_week as {WHERE}")
        found = connection.execute(SELECT).df().iloc[0]
    week = found["current_week"]
    return str(found["current_term"]), None if pd.isna(week) else int(week)


@pytest.mark.parametrize(
    ("groups", "expected"),
    [
        ((("fall", 40, 15), ("spring", 40, 6)), ("spring", 6)),
        ((("spring", 40, 6), ("typo", 1, 1)), ("spring", 6)),
        ((("fall", 40, 15), ("spring", 10, 2), ("typo", 9, 1)), ("spring", 2)),
        ((("fall", 4, 3), ("spring", 3, 2)), ("spring", 2)),
        ((("fall", 40, 15), ("spring", -50, 2)), ("spring", 2)),
        ((("fall", 40, 15), ("spring", -5, 2)), ("fall", 15)),
        ((("spring", 40, 6), ("spring", 1, 14)), ("spring", 6)),
        ((("spring", 40, 6), ("spring", 9, 14)), ("spring", 6)),
        ((("spring", 40, 6), ("spring", 10, 14)), ("spring", 14)),
        ((("spring", -40, 6), ("spring", -9, 14)), ("spring", 6)),
    ],
)
def test_a_few_who_mistype_a_year_or_work_ahead_do_not_say_where_the_course_stands(
    groups: tuple[tuple[str, int, int], ...], expected: tuple[str, int]
) -> None:
    assert current_term(*groups) == expected


@pytest.mark.thorough
@pytest.mark.parametrize("ahead", [0, 1, 9])
def test_a_few_who_work_ahead_leave_questions_ahead_of_the_class(
    ahead: int, tmp_path: Path
) -> None:
    """One answer to the last question once took all that is still to come off the next lesson."""

    def first_half(rows: pd.DataFrame) -> pd.DataFrame:
        spring = rows["term"] == "spring"
        early = rows["student"].isin(sorted(set(rows.loc[spring, "student"]))[:ahead])
        return rows[~spring | (rows["week"] < 3) | early]

    with building(tmp_path / "course.duckdb", afresh=True) as warehouse:
        fill(warehouse, students=40, keep=first_half)
        ranked = warehouse.frame("own_pattern_prevalence").dropna(subset=["rank"])
        week = warehouse.frame("own_course")["current_week"].iloc[0]

    assert week == 2
    assert ranked["chances_ahead"].max() > 1
