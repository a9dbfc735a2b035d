"""Lists on trust: rows of few students are summed, and no sum tells what was hidden.

The tables are made by their own SELECTs over a few answers typed here; counts are by hand.
"""

from __future__ import annotations

import random
import re
from importlib.resources import files

import duckdb
import pandas as pd
import pytest

LIMIT = 10
MADE = (
    "staging/bracketed", "staging/rare_sort", "staging/told_answer",
    "staging/unfair", "staging/apart_answer", "staging/apart", "staging/apart_row",
    "marts/own_unlisted", "marts/own_unreadable", "marts/own_meant", "marts/own_disagreements",
    "marts/own_coverage", "marts/own_agreement",
)  # fmt: skip
ANSWER = {
    "term": "t", "setting": "practice", "place": "task", "item": "q1", "topic": "a",
    "verdict": "right", "brackets": "", "examined": 0, "reason": None, "covered": True, "count": 1,
    "score": None, "points": None, "section": "A", "first_try": True,
    "problem": "2x = 5", "value_key": "5/2", "answer": "5/2", "file": "a.csv", "line": 1,
}  # fmt: skip


def database(answers: list[dict[str, object]]) -> duckdb.DuckDBPyConnection:
    """The lists made from answers; a setting of few students is hidden, as on all pages."""
    given = pd.DataFrame([ANSWER | one for one in answers]).reset_index(names="response")
    differ = given[given["score"].notna()]
    differ = differ[(differ["verdict"] == "right") != (differ["score"].astype(float) > 0.5)]
    known = duckdb.connect()
    for schema in ("store", "staging", "computed"):
        known.execute(f"create schema {schema}")
    known.execute("create table store.examined as select '' as brackets, '' as verdict")
    known.execute(
        "create table computed.bracket_share as select 0 as examined, '' as setting, '' as term,"
        " '' as topic, '' as pattern, 0.0 as share"
    )
    known.execute(f"create table store.course as select {LIMIT} as minimum_students")
    for name, frame in (("staging.answer", given), ("main.disagreements", differ)):
        known.register("frame", frame)
        known.execute(f"create table {name} as select * from frame")  # noqa: S608
    known.execute("alter table staging.answer alter score type double")
    known.execute("alter table staging.answer alter points type double")
    for path in MADE:
        text = files("sql").joinpath(f"{path}.sql").read_text("utf-8")
        name = path.replace("marts/", "main.").replace("/", ".")
        known.execute(f"create table {name} as {text}")
    return known


def by(students: int, first: int = 0, **fields: object) -> list[dict[str, object]]:
    """One answer each of so many students, numbered from `first`."""
    return [{"student": f"s{number}", **fields} for number in range(first, first + students)]


def unread(**reasons: int) -> list[dict[str, object]]:
    return [
        row
        for name, students in reasons.items()
        for row in by(students, verdict="unreadable", reason=name)
    ]


def rows(known: duckdb.DuckDBPyConnection, view: str, name: str) -> dict[str | None, object]:
    found = known.execute(f"select {name}, answers from {view} where term = 't'").fetchall()  # noqa: S608
    return dict(found)


@pytest.mark.parametrize(
    ("reasons", "printed"),
    [
        ({"a": 12, "b": 40}, {"a": 12, "b": 40}),
        pytest.param({"a": 3, "b": 12, "c": 40}, {None: 15, "c": 40}, id="the next joins a few"),
        pytest.param({"a": 6, "b": 9, "c": 40}, {None: 15, "b": None}, id="the same students"),
        pytest.param({"a": 3, "b": 4}, {None: None}, id="nothing is there to join"),
    ],
)
def test_a_row_of_few_students_is_summed_with_enough_others(
    reasons: dict[str, int], printed: dict[str | None, int | None]
) -> None:
    """The trust page once printed 243 in all beside 197, 27 and 10 of its four reasons."""
    known = database([*by(300, verdict="right"), *unread(**reasons)])
    found = rows(known, "own_unreadable", "reason")

    if "b" in printed and printed["b"] is None:
        # Students of a are among those of b: together nine, so c joins, and one sum is left.
        assert found == {None: 55}
    else:
        assert found == printed


def test_every_answer_of_a_list_is_in_one_of_its_rows() -> None:
    draw = random.Random(5)
    for _ in range(20):
        reasons = {f"reason {n}": draw.choice([1, 3, 9, 10, 25]) for n in range(draw.randint(1, 5))}
        known = database([*by(300), *unread(**reasons)])
        found = rows(known, "own_unreadable", "reason")
        told = [answers for answers in found.values() if answers is not None]

        assert all(reasons[name] >= LIMIT for name in found if name is not None)
        assert sum(map(int, told)) == sum(reasons.values()) or found == {None: None}


def test_unlisted_questions_agree_with_the_row_that_covers_them() -> None:
    listed = [*by(300), *by(30, place="unlisted", item="extra", verdict=None, covered=False)]
    known = database([*listed, *by(4, place="unlisted", item="odd", verdict=None, covered=False)])
    whole = "select answers from own_coverage where place = 'unlisted'"

    assert rows(known, "own_unlisted", "item") == {None: 34}
    assert known.execute(whole).fetchall() == [(34,)]


def test_a_kind_of_question_that_few_met_hides_another_beside_it() -> None:
    known = database(
        [*by(300), *by(40, place="judge", covered=False), *by(4, place="choice", covered=True)]
    )

    assert rows(known, "own_coverage", "place") == {"task": 300, "judge": None, "choice": None}


def test_a_setting_of_few_students_is_in_no_list() -> None:
    known = database([*by(300), *by(30, place="judge"), *by(4, setting="exam", place="judge")])

    assert rows(known, "own_coverage", "place") == {"task": 300, "judge": 30}


def test_where_few_answers_differ_from_the_score_no_difference_is_printed() -> None:
    scored = by(300, verdict="right", score=1.0)
    few = database([*scored, *by(3, verdict="right", score=0.0)])
    many = database([*scored, *by(30, verdict="right", score=0.0)])
    query = "select our_right, source_right, agreeing from own_agreement"

    assert few.execute(query).fetchall() == [(303, None, None)]
    assert many.execute(query).fetchall() == [(330, 300, 300)]


@pytest.mark.parametrize(("without", "printed"), [(0, 300), (3, None), (30, 300)])
def test_where_few_have_no_score_what_is_right_with_one_is_not_printed(
    without: int, printed: int | None
) -> None:
    """All that is right less what is right with a score told what the few others did."""
    known = database([*by(300, score=1.0), *by(without, first=300)])

    assert known.execute("select our_right from own_agreement").fetchall() == [(printed,)]


@pytest.mark.parametrize(("others", "mean"), [(0, 3.5), (3, None), (12, 3.5)])
def test_where_few_answered_a_part_of_a_quiz_its_mean_is_not_printed(
    others: int, mean: float | None
) -> None:
    """Right answers to its questions less those of whole quizzes were those of the few."""
    known = database(by(20))
    score = {"term": "t", "setting": "quiz", "quiz": "q", "questions": 5, "students": 30,
             "others": others, "mean_score": 3.5, "deviation": 1.2, "alpha": 0.8,
             "alpha_low": 0.7, "alpha_high": 0.9, "score_error": 0.5, "note": ""}  # fmt: skip
    known.register("scores", pd.DataFrame([score]))
    known.execute("create table computed.quiz_score as select * from scores")
    text = files("sql").joinpath("marts/own_quiz_score.sql").read_text("utf-8")
    row = known.execute(text).df().iloc[0]

    assert row["students"] == 30
    assert (None if pd.isna(row["mean_score"]) else row["mean_score"]) == mean
    assert pd.isna(row["deviation"]) == (mean is None)


def cures(*answers: dict[str, object]) -> list[tuple[object, ...]]:
    found = database(by(300) + list(answers)).execute(
        "select cure, item, as_typed, accepted, first_line, answers"
        " from own_disagreements order by all"
    )
    return found.fetchall()


def test_what_would_cure_a_score_is_told_by_who_got_the_points_for_the_same() -> None:
    lost, got = {"score": 0.0}, {"score": 1.0}
    of_value = by(14, item="q1", line=7, **lost) + by(40, 20, item="q1", answer="2.5", **got)
    of_text = by(12, item="q2", **lost) + by(40, 20, item="q2", answer=" 5/2", **got)

    assert cures(*of_value) == [("form", "q1", "5/2", "2.5", 7, 14)]
    assert [row[0] for row in cures(*of_text)] == ["both ways"]
    assert [row[0] for row in cures(*by(12, item="q3", **lost))] == ["never accepted"]
    assert [row[0] for row in cures(*by(12, item="q3", verdict="wrong", **got))] == [
        "never refused"
    ]


def test_few_answers_to_each_of_several_questions_are_summed_by_their_cure() -> None:
    few = [row for n in range(4) for row in by(5, 5 * n, item=f"q{n}", score=0.0)]

    assert cures(*few) == [("never accepted", None, None, None, None, 20)]


def test_a_sum_of_differences_takes_the_smallest_question_with_it() -> None:
    differing = [
        *by(300), *by(4, item="q1", score=0.0), *by(20, item="q2", score=0.0),
        *by(40, item="q3", score=0.0),
    ]  # fmt: skip
    known = database(differing)

    assert rows(known, "own_disagreements", "item") == {None: 24, "q3": 40}


@pytest.mark.parametrize(
    ("lower", "shown"), [(0.80, True), (0.83, False), (0.89, False), (0.90, True), (0.95, True)]
)
def test_a_moved_bar_is_hidden_where_few_students_stand_between(lower: float, shown: bool) -> None:
    """Of 100 students 80 meet the bar: 83 at a lower one told of three."""
    text = files("sql").joinpath("marts/own_outcome_results.sql").read_text("utf-8")
    columns = dict.fromkeys(re.findall(r"\bo\.(\w+)", text), 0)
    row = {"term": "t", "outcome": "o", "students": 100, "shown": True, "share": 0.8,
           "share_bar_lower": lower, "share_bar_higher": 0.5, "share_note": ""}  # fmt: skip
    rows = pd.DataFrame([columns | row | {"section": name} for name in ("all", "a")])
    known = duckdb.connect()
    known.execute("create schema store")
    known.execute(f"create table store.course as select {LIMIT} as minimum_students")
    known.register("frame", rows)
    known.execute("create table main.outcome_results as select * from frame")
    found = known.execute(f"select section, share_bar_lower is not null from ({text})").fetchall()  # noqa: S608

    assert dict(found) == {"all": shown, "a": False}
