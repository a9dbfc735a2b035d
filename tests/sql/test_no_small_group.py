"""All own tables of a course in which few did this and that: no number of few, nor by a difference.

The rule is that of the course's limit: `[privacy] limit`, 10 unless the institution says otherwise.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations

import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.student.small_course import FALL, IDS, SPRING, export_text, small_course

pytestmark = pytest.mark.thorough

LIMIT = 10
OF_PEOPLE = (
    "students", "students_before", "students_after", "recent_students", "chosen", "rows",
    "rows_read", "stored", "duplicates", "rejected", "unreadable", "blank", "right_if_meant",
)  # fmt: skip
"""Columns that count students, or answers of some kind."""

SORTS = ("right", "wrong", "unreadable", "blank", "right_if_meant")
ODD = {(IDS[n], "sq-1"): "?? what" for n in range(3)} | {(IDS[4], "sq-2"): ""}


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> dict[str, pd.DataFrame]:
    """Own tables of 12 students, of whom a few left blanks, wrote riddles or met odd questions."""
    spring = export_text(SPRING, ODD) + "".join(
        f"{student},,unlisted-{n},7,{SPRING},Jane's own\n" for n, student in enumerate(IDS[:2])
    )
    spring += f"{IDS[0]},,sq-1,9,soon,A\n"  # a row to be mended
    folder = small_course(
        tmp_path_factory.mktemp("few") / "course",
        exports={"a.csv": spring, "b.csv": export_text(FALL)},
    )
    run_course(folder)
    with reading(folder / "course.duckdb") as warehouse:
        names = [model.table for model in warehouse.models.values() if model.schema == "main"]
        return {name: warehouse.frame(name) for name in names if name.startswith("own_")}


def test_no_table_counts_few(tables: dict[str, pd.DataFrame]) -> None:
    few = {
        f"{name}.{column}"
        for name, frame in tables.items()
        for column in set(OF_PEOPLE) & set(frame.columns)
        if pd.to_numeric(frame[column]).between(1, LIMIT - 1).any()
    }

    assert len(tables) > 30
    assert few == set()


def test_no_two_totals_of_a_semester_differ_by_few(tables: dict[str, pd.DataFrame]) -> None:
    """300 answers in one table and 297 in another told that three were blank."""
    totals = defaultdict(set)
    for name, frame in tables.items():
        if {"term", "answers"} <= set(frame.columns) and name != "own_pattern_prevalence":
            keys = [key for key in ("setting", "grain", "week", "try") if key in frame]
            for term, rows in frame.groupby("term"):
                if rows["answers"].notna().all():
                    totals[term] |= set(rows.groupby(keys)["answers"].sum() if keys else
                                        [rows["answers"].sum()])  # fmt: skip
    for term, rows in tables["own_headline"].groupby("term"):
        totals[term].add(rows[list(SORTS)].sum(axis=None))
        exact = tables["own_loads"].dropna(subset=["rows_read"])  # else it is rounded
        totals[term] |= set(exact["stored"])
    for name, numbers in totals.items():
        told = [(a, b) for a, b in combinations(sorted(numbers), 2) if 0 < b - a < LIMIT]
        assert told == [], name


def test_no_name_that_one_students_rows_bear_is_printed(tables: dict[str, pd.DataFrame]) -> None:
    named = {
        name
        for name, frame in tables.items()
        if any(text in frame.to_csv() for text in ("Jane's own", "unlisted-1"))
    }

    assert named == set()
