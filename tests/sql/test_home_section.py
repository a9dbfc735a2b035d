"""The class section of a student: that of most of the answers of a term."""

from __future__ import annotations

from importlib.resources import files

import duckdb
import pytest

ANSWERS = """
create schema staging;
create table staging.answer (term varchar, student varchar, section varchar);
insert into staging.answer values
    ('t', 'one', 'a'), ('t', 'one', 'b'), ('t', 'one', 'b'),
    ('t', 'even', 'a'), ('t', 'even', 'b'),
    ('u', 'one', 'a'),
    ('t', 'partly', null), ('t', 'partly', null), ('t', 'partly', 'c'),
    ('t', 'nowhere', null), ('t', null, 'd')
"""


def homes(limit: int) -> list[tuple[str, str, str | None]]:
    known = duckdb.connect()
    known.execute(ANSWERS)
    known.execute("create schema store; create table store.course (minimum_students integer)")
    known.execute("insert into store.course values (?)", [limit])
    text = files("sql").joinpath("staging/home_section.sql").read_text("utf-8")
    return known.execute(f"select term, student, section from ({text}) order by all").fetchall()  # noqa: S608


def test_who_changed_sections_counts_where_most_of_the_answers_are() -> None:
    assert homes(limit=1) == [
        ("t", "even", "b"), ("t", "one", "b"), ("t", "partly", "c"), ("u", "one", "a"),
    ]  # fmt: skip


@pytest.mark.parametrize(("limit", "named"), [(2, ["b", "b", None, None]), (3, [None] * 4)])
def test_a_section_of_few_has_no_name(limit: int, named: list[str | None]) -> None:
    """Its own row said whose it was, though without a figure."""
    assert [section for _, _, section in homes(limit)] == named
