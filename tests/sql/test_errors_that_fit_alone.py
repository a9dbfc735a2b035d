"""Answers that fit one known error alone, counted by hand on six answers."""

from __future__ import annotations

from importlib.resources import files

import duckdb

MART = files("sql") / "marts" / "own_pattern_prevalence.sql"

RATES = """
    create schema staging; create schema store; create schema computed;
    create table store.course as select 1 as minimum_students;
    create table store.pattern as
        select * from (values ('a', false), ('b', false), ('c', false), ('slip', true))
            as p(pattern, general);
    create table computed.pattern_total as
        select 't' as term, 'quiz' as setting, pattern, members
        from (values ('a / b', ['a', 'b']), ('c', ['c']), ('slip', ['slip']))
            as p(pattern, members);
    create table staging.joint_name as select pattern, pattern as says from computed.pattern_total;
    create table main.pattern_prevalence as
        select 't' as term, 'quiz' as setting, pattern, 9 as students, 9 as opportunities,
            errors as expected_errors, errors / 9 as rate, 0.0 as rate_low, 1.0 as rate_high,
            null as rate_note, 0.0 as rate_without_chance, 0.0 as rate_with_chance,
            0.0 as persistence, 0.0 as persistence_low, 0.0 as persistence_high,
            0.0 as persistence_beyond_chance, null as persistence_note, 's' as skill,
            pattern = 'slip' as general, true as shown
        from (values ('a / b', 3.0), ('c', null), ('slip', 0.5)) as p(pattern, errors);
    create table computed.next_lesson as
        select 't' as term, 'quiz' as setting, 'a / b' as pattern, 2 as rank, 9 as students,
            9 as opportunities, 0.3 as recent_rate, 1.5 as answers_ahead, true as lately,
            0.2 as recent_low, 0.4 as recent_high, 1 as recent_from, 2 as recent_to, 4 as showed,
            0.5 as persistence_counted, 9 as class_students, 1 as usual_chances,
            null as chances_ahead, 1 as weight, 1 as probability_top_three, 'clear' as certainty,
            true as stands_out,
            null as note, null as rank_before, ['q'] as topics_ahead;
    create table store.topic as select 'q' as topic, 'Q' as title, 1 as position;
    create table main.tags as
        select response, 't' as term, 'quiz' as setting, true as first_try, faults[1] as pattern,
            faults, share
        from (values
            (1, ['a'], 0.4), (1, ['b'], 0.4), (1, ['slip'], 0.1), -- one of the group, or a slip
            (2, ['a'], 1.0), (2, ['c'], 0.0), -- the class laid it to one of two that lead there
            (3, ['c'], 0.9), -- no rate is known of it
            (4, ['slip'], 0.6), -- no known error leads there
            (5, ['a', 'c'], 0.5), -- two at once
            (6, ['b'], 0.7)
        ) as t(response, faults, share);
"""


def test_errors_count_where_no_other_single_known_error_leads_there() -> None:
    with duckdb.connect() as database:
        database.execute(RATES)
        mart = database.sql(MART.read_text(encoding="utf-8"))
        counted = dict(mart.project("pattern, certain_errors").fetchall())

    assert {name: None if n is None else round(float(n), 9) for name, n in counted.items()} == {
        "a / b": 1.5,  # answers 1 and 6
        "c": None,
        "slip": 0.5,  # of 0.6, no more than is laid to it
    }
