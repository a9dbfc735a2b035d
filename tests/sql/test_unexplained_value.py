"""What unnamed rules are looked for in, counted by hand on five answers."""

from __future__ import annotations

from importlib.resources import files

import duckdb

LOOKED_AT = files("sql") / "staging" / "unexplained_value.sql"

TAGS = """
    create schema staging; create schema store;
    create table store.pattern as
        select * from (values ('a', false), ('b', false), ('slip', true)) as p(pattern, general);
    create table store.examined as
        select response as examined, 'v' || response as value from range(1, 7) as r(response);
    create table staging.answer as
        select response, response as examined, 'solve' as task, 'x = 1' as problem,
            'real' as numbers, null as key, 'v' || response as value_key,
            's' || response as student, 2 as count
        from range(1, 7) as r(response);
    create table main.tags as
        select response, coalesce(faults[1], 'unexplained') as pattern, faults, share
        from (values
            (1, ['a'], 0.6), (1, [], 0.4), -- a known error
            (2, ['a'], 0.3), (2, ['b'], 0.3), (2, [], 0.4), -- one of two known errors
            (3, [], 1.0), -- nothing that is known
            (4, ['slip'], 0.9), (4, [], 0.1), -- a slip
            (5, ['a', 'b'], 0.9), (5, [], 0.1), -- two at once
            (6, ['b'], 1.0)
        ) as t(response, faults, share);
"""


def test_answers_are_looked_at_that_no_one_error_explains() -> None:
    with duckdb.connect() as database:
        database.execute(TAGS)
        rows = database.sql(LOOKED_AT.read_text(encoding="utf-8"))
        found = {
            value: (answers, known)
            for value, answers, known in rows.project("value, answers, known").fetchall()
        }

    assert found == {
        "v3": (2, {}),
        "v4": (2, {"slip": 1}),  # of 12 answers to the task one in twenty
        "v5": (2, {"a b": 2}),  # of a 2 * (.6 + .3) alone, of b 2 * 1.3
    }
