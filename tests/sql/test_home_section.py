"""The class section of a student: that of most of the answers of a term."""

from __future__ import annotations

from importlib.resources import files

import duckdb

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


def test_who_changed_sections_counts_where_most_of_the_answers_are() -> None:
    known = duckdb.connect()
    known.execute(ANSWERS)
    text = files("sql").joinpath("staging/home_section.sql").read_text("utf-8")
    found = known.execute(f"select term, student, section from ({text}) order by all").fetchall()  # noqa: S608

    assert found == [
        ("t", "even", "b"), ("t", "one", "b"), ("t", "partly", "c"), ("u", "one", "a"),
    ]  # fmt: skip
