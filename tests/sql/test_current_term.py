"""The term that the pages open with: the latest one that enough students have answered in."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pandas as pd
import pytest

import sql

SELECT = (Path(str(sql.__file__)).parent / "marts" / "own_course.sql").read_text("utf-8")


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
    ],
)
def test_a_few_answers_with_a_mistyped_year_do_not_open_a_term(
    groups: tuple[tuple[str, int, int], ...], expected: tuple[str, int]
) -> None:
    assert current_term(*groups) == expected
