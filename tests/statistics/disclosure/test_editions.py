"""No hidden count, and no change between editions, can be narrowed down to under the limit."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.disclosure.counts import shared_counts
from tests.statistics.disclosure.outsider import (
    LIMIT,
    NOTHING_KEPT,
    Outsider,
    as_kept,
    groups,
    simulated_class,
    small_students,
)

pytestmark = pytest.mark.thorough


def published(answers: pd.DataFrame, earlier: pd.DataFrame) -> tuple[pd.DataFrame, bool]:
    counts, audits = shared_counts(groups(answers), small_students(answers), earlier, LIMIT)
    optional = ["total", "part", "rest", "code", "ceiling", "as_of"]
    counts = counts.reindex(columns=list(dict.fromkeys([*counts.columns, *optional])))
    return counts, bool(audits["passed"].all())


def places(answers: pd.DataFrame) -> list[tuple[str, int]]:
    pairs = answers[["topic", "week"]].drop_duplicates().itertuples(index=False)
    return [(str(topic), int(week)) for topic, week in pairs]


def truth(answers: pd.DataFrame, row: dict, part: str) -> tuple[int, int]:  # type: ignore[type-arg]
    """Answers and distinct students of a line."""
    mine = answers if row["topic"] == "" else answers[answers["topic"] == row["topic"]]
    if row["week_from"]:
        mine = mine[mine["week"].between(row["week_from"], row["week_to"])]
    count = {"answers": mine["n"], "wrong": mine["y"], "right": mine["n"] - mine["y"]}[part]
    return int(count.sum()), int(mine.loc[count > 0, "student"].nunique())


@pytest.mark.parametrize("start", range(6))
def test_no_hidden_group_is_narrowed_down_to_under_the_limit(start: int) -> None:
    answers = simulated_class(np.random.default_rng(start))
    counts, passed = published(answers, NOTHING_KEPT)
    outsider = Outsider(places(answers), [counts])

    assert passed
    looked_at = 0
    for row in counts.to_dict("records"):
        for part, column in (("answers", "total"), ("wrong", "part"), ("right", "rest")):
            total, students = truth(answers, row, part)
            if pd.notna(row[column]):
                assert row[column] == total
                assert students >= LIMIT
            else:
                line = outsider.line(0, row, part)
                high, low = outsider.largest(line), outsider.smallest(line)
                looked_at += students < LIMIT
                assert low - 1e-6 <= total <= high + 1e-6
                assert high >= LIMIT - 1e-6 or students >= LIMIT
                assert high - low >= LIMIT - 1e-6 or students >= LIMIT
    assert looked_at > 0


def with_late_answers(answers: pd.DataFrame, generator: np.random.Generator) -> pd.DataFrame:
    """A week later: another week for everyone, and a few late answers to earlier weeks."""
    week = int(answers["week"].max()) + 1
    fresh = pd.DataFrame({
        "topic": "t3", "week": week, "student": range(40), "n": 2,
        "y": generator.binomial(2, 0.35, 40),
    })  # fmt: skip
    late = answers.groupby(["topic", "week"]).sample(1, random_state=7).iloc[:3].copy()
    late = late.assign(student=[100, 101, 100], n=1, y=[1, 0, 1])
    return pd.concat([answers, fresh, late], ignore_index=True)


@pytest.mark.parametrize("start", range(4))
def test_two_editions_do_not_tell_who_came_late(start: int) -> None:
    generator = np.random.default_rng(start)
    before = simulated_class(generator)
    after = with_late_answers(before, generator)
    first, _ = published(before, NOTHING_KEPT)
    second, passed = published(after, as_kept(first, "2026-05-03-shared"))
    outsider = Outsider(places(after), [first, second])

    assert passed
    changes = 0
    for row in second.to_dict("records"):
        for part in ("answers", "wrong", "right"):
            change = truth(after, row, part)[0] - truth(before, row, part)[0]
            line = outsider.line(1, row, part) - outsider.line(0, row, part)
            if 0 < change < LIMIT:
                changes += 1
                assert outsider.largest(line) >= LIMIT - 1e-6
                assert outsider.largest(line) - outsider.smallest(line) >= LIMIT - 1e-6
    assert changes > 0


def test_naive_editions_would_tell() -> None:
    """The same attack succeeds when each edition is made as if it were the only one."""
    generator = np.random.default_rng(0)
    before = simulated_class(generator)
    after = with_late_answers(before, generator)
    first, _ = published(before, NOTHING_KEPT)
    second, _ = published(after, NOTHING_KEPT)
    outsider = Outsider(places(after), [first, second])
    narrow = 0
    for row in second.to_dict("records"):
        change = truth(after, row, "answers")[0] - truth(before, row, "answers")[0]
        line = outsider.line(1, row, "answers") - outsider.line(0, row, "answers")
        narrow += 0 < change < LIMIT and outsider.largest(line) < LIMIT

    assert narrow > 0


def test_new_weeks_and_large_changes_are_shown_in_the_next_edition() -> None:
    generator = np.random.default_rng(1)
    before = simulated_class(generator)
    after = with_late_answers(before, generator)
    first, _ = published(before, NOTHING_KEPT)
    second, _ = published(after, as_kept(first, "2026-05-03-shared"))
    week = int(after["week"].max())
    new = second[(second["week_from"] == week) & second["total"].notna()]

    assert len(new) >= 1
    assert new["as_of"].isna().all()


def test_nothing_changes_when_nothing_is_new() -> None:
    answers = simulated_class(np.random.default_rng(3))
    first, _ = published(answers, NOTHING_KEPT)
    second, passed = published(answers, as_kept(first, "2026-05-03-shared"))

    assert passed
    columns = ["topic", "week_from", "week_to", "total", "part", "rest", "code"]
    pd.testing.assert_frame_equal(first[columns], second[columns])


def test_editions_that_contradict_each_other_stop_the_next_one() -> None:
    answers = simulated_class(np.random.default_rng(3))
    first, _ = published(answers, NOTHING_KEPT)
    kept = as_kept(first, "2026-05-03-shared")
    whole = (kept["topic"] == "") & (kept["week_from"] == 0) & (kept["part"] == "answers")
    kept.loc[whole, "value"] += 1
    second, passed = published(answers, kept)

    assert not passed
    assert second[["total", "part", "rest"]].isna().all(axis=None)
