"""Which answers the page on trust takes for unfairly scored."""

from __future__ import annotations

from importlib.resources import files

import duckdb

ANSWERS = """
create schema staging; create schema store;
create table store.course (minimum_students integer);
insert into store.course values (2);
create table staging.answer as select * from (values
    ('a', 't', 'quiz', 'roots', 'q1', null, 'one', '5/2', '5/2', 'right', 1.0, 1.0, 'w', 2, 'v1'),
    ('b', 't', 'quiz', 'roots', 'q1', null, 'two', '2.5', '5/2', 'right', 0.0, 1.0, 'w', 3, 'v1'),
    ('c', 't', 'quiz', 'factor', 'q2', null, 'one', '3(x^2-4)', '3(x^2-4)', 'right-other-form',
     0.0, 1.0, 'w', 4, 'v2'),
    ('d', 't', 'quiz', 'factor', 'q2', null, 'two', '3x', '3x', 'wrong', 1.0, 1.0, 'w', 5, 'v3'),
    ('e', 't', 'quiz', 'factor', 'q2', null, 'six', '-6', '-6', 'wrong', 0.0, 1.0, 'w', 6, 'v4')
) as one(response, term, setting, topic, item, problem, student, answer, read_as, verdict, score,
         points, file, line, value_key)
"""


def test_a_score_may_refuse_another_form_than_asked() -> None:
    known = duckdb.connect()
    known.execute(ANSWERS)
    for name in ("main.disagreements", "staging.unfair"):
        schema, table = name.split(".")
        folder = "marts" if schema == "main" else schema
        text = files("sql").joinpath(f"{folder}/{table}.sql").read_text("utf-8")
        known.execute(f"create table {name} as {text}")
    found = known.execute("select response, cure from staging.unfair order by all").fetchall()

    assert found == [("b", "form"), ("d", "never refused")]
