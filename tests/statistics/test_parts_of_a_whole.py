"""What stands beside a hidden row tells neither it nor what few students did together.

Every sum that a reader can form is laid out from the answers themselves, not by the program; a
hidden row is told if the shown ones determine it, which its place in the null space says.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import null_space

from pipeline.statistics.parts_of_a_whole import (
    errors_shown,
    may_be_shown,
    section_weeks_shown,
    sections_shown,
    tries_shown,
)

LIMIT = 10
CLASS = {"grain": "first", "term": "fall", "setting": "quiz"}
GROUPINGS: dict[str, list[str]] = {
    "term": [], "topic": ["topic"], "week": ["week"], "outcome": ["outcome"],
    "topic and week": ["topic", "week"], "item": ["item"],
}  # fmt: skip


def answers(start: int) -> pd.DataFrame:
    """First tries of 30 students; a few questions were met by few of them."""
    draw = np.random.default_rng(start)
    rows = [
        {"student": student, "item": f"q{item:02}", "topic": f"t{item % 5}", "week": 1 + item // 4,
         "outcome": f"o{item % 2}"}
        for item in range(24)
        for student in draw.permutation(30)[: draw.choice([4, 9, 25, 30], p=[0.1, 0.1, 0.4, 0.4])]
    ]  # fmt: skip
    return pd.DataFrame(rows)


def laid_out(seen: pd.DataFrame) -> tuple[pd.DataFrame, list[set[int]]]:
    """The rows of `try_rate`, and the answers behind each."""
    rows, behind = [], []
    for grouped_by, keys in GROUPINGS.items():
        for _, group in seen.groupby(keys) if keys else [("", seen)]:
            named = {key: group[key].iloc[0] for key in keys}
            rows.append(
                CLASS | named
                | {"grouped_by": grouped_by, "students": group["student"].nunique()}
            )  # fmt: skip
            behind.append(set(group.index))
    names = ["grain", "term", "setting", "grouped_by", "topic", "week", "outcome", "item"]
    return pd.DataFrame(rows).reindex(columns=[*names, "students"]).assign(again=0), behind


def sums(behind: list[set[int]], rates: pd.DataFrame) -> np.ndarray:
    """Every grouping whose rows together are exactly those of a row of another."""
    found = []
    for whole, answered in enumerate(behind):
        for grouped_by in GROUPINGS:
            parts = [
                at for at in np.flatnonzero(rates["grouped_by"] == grouped_by)
                if behind[at] <= answered and at != whole
            ]  # fmt: skip
            if parts and set.union(*(behind[at] for at in parts)) == answered:
                line = np.zeros(len(behind))
                line[parts], line[whole] = 1, -1
                found.append(line)
    return np.array(found)


@pytest.mark.parametrize("start", range(12))
def test_no_row_of_few_students_follows_from_those_that_are_shown(start: int) -> None:
    seen = answers(start)
    rates, behind = laid_out(seen)
    items = seen[["item", "topic", "week", "outcome"]].drop_duplicates()
    shown = tries_shown(rates, items, LIMIT)
    lines = sums(behind, rates)
    free = null_space(lines[:, ~shown]) if (~shown).any() else np.ones((0, 1))
    small = (rates["students"] < LIMIT).to_numpy()

    assert not (shown & small).any()
    assert (np.abs(free[small[~shown]]).max(axis=1, initial=0) > 1e-9).all()
    for line in lines[lines[:, shown].min(axis=1) < 0]:  # the whole is shown
        hidden = np.flatnonzero((line != 0) & ~shown)
        told = set.union(set(), *(behind[at] for at in hidden))
        assert not len(hidden) or seen.loc[sorted(told), "student"].nunique() >= LIMIT


@pytest.mark.parametrize("start", range(12))
def test_last_tries_beside_first_ones_tell_of_no_few_who_tried_again(start: int) -> None:
    """Where nobody tried again, last tries are the first ones, and known whether shown or not."""
    seen = answers(start)
    draw = np.random.default_rng(start)
    often = seen["item"].map(
        {item: draw.choice([0, 0.1, 0.3, 1]) for item in seen["item"].unique()}
    )
    seen = seen.assign(again=draw.random(len(seen)) < often)
    rates, behind = laid_out(seen)
    again = [seen.loc[sorted(rows)].query("again")["student"].nunique() for rows in behind]
    items = seen[["item", "topic", "week", "outcome"]].drop_duplicates()
    last = rates.assign(grain="last", again=again)
    shown = tries_shown(last, items, LIMIT) | (last["again"] == 0)
    lines = sums(behind, rates)
    free = null_space(lines[:, ~shown]) if (~shown).any() else np.ones((0, 1))
    small = (last["again"].between(1, LIMIT - 1) & (last["students"] >= LIMIT)).to_numpy()

    assert small.any()
    assert not (shown & small).any()
    assert (np.abs(free[small[~shown]]).max(axis=1, initial=0) > 1e-9).all()


@pytest.mark.parametrize("start", range(12))
def test_last_tries_stand_only_beside_first_ones(start: int) -> None:
    """Where nobody tried again, they were what was hidden so that few could not be worked out."""
    seen = answers(start)
    rates, _ = laid_out(seen)
    items = seen[["item", "topic", "week", "outcome"]].drop_duplicates()
    both = pd.concat([rates.assign(grain=grain) for grain in ("last", "first")])
    last, first = np.split(tries_shown(both, items, LIMIT), 2)

    assert first.any()
    assert last.tolist() == first.tolist()


@pytest.mark.parametrize("start", range(38, 46))
def test_two_rows_of_few_students_do_not_follow_together(start: int) -> None:
    """All less every outcome were the few answers to two questions that serve none."""
    seen = answers(start)
    seen["outcome"] = seen["outcome"].mask(seen["item"].str[1:].astype(int) % 3 == 0)
    rates, behind = laid_out(seen)
    items = seen[["item", "topic", "week", "outcome"]].drop_duplicates()
    shown = tries_shown(rates, items, LIMIT)
    by_item = (rates["grouped_by"] == "item").to_numpy()
    parts = [behind[at] for at in np.flatnonzero(by_item)]
    lines = np.array([[float(part <= rows) for part in parts] for rows in behind])
    free = null_space(lines[shown])
    few = np.flatnonzero(rates.loc[by_item, "students"] < LIMIT)

    for one, other in combinations(few, 2):
        assert np.abs(free[one] + free[other]).max() > 1e-9


@pytest.mark.parametrize("start", range(12))
def test_most_of_what_is_large_stays(start: int) -> None:
    seen = answers(start)
    rates, _ = laid_out(seen)
    items = seen[["item", "topic", "week", "outcome"]].drop_duplicates()
    large = rates["students"] >= LIMIT
    shown = tries_shown(rates, items, LIMIT)

    assert shown[rates["grouped_by"] == "term"].all()
    assert shown[large & (rates["grouped_by"] == "topic and week")].mean() > 0.7
    assert shown[large & (rates["grouped_by"] == "item")].mean() > 0.6


def test_nothing_is_hidden_where_nothing_is_small() -> None:
    assert may_be_shown([40, 12, 28], [[1, 2, 0]], LIMIT, apart=False).all()


@pytest.mark.parametrize(
    ("sections", "shown"),
    [
        ({"a": 8, "b": 15, "c": 25}, {"all", "c"}),  # 48 - 15 - 25 told the 8
        ({"a": 95, "b": 7, "c": 6, "d": 6}, {"all", "a"}),  # 19 together tell of none of three
        ({"a": 95, "b": 3, "c": 2}, {"all"}),
        ({"a": 20, "b": 30}, {"all", "a", "b"}),
        ({"a": 4, "b": 5}, set()),
    ],
)
def test_class_sections_beside_all_together(sections: dict[str, int], shown: set[str]) -> None:
    every = sections | {"all": sum(sections.values())}
    rows = pd.DataFrame({"term": "t", "outcome": "o", "section": list(every),
                         "students": list(every.values())})  # fmt: skip

    assert set(rows["section"][sections_shown(rows, LIMIT)]) == shown


def test_a_week_of_few_hides_another_week_of_the_error_and_not_its_total() -> None:
    weekly = pd.DataFrame({"term": "t", "setting": "quiz", "pattern": list("aaab"),
                           "week": [1, 2, 3, 1], "students": [30, 6, 25, 20]})  # fmt: skip
    totals = pd.DataFrame({"term": "t", "setting": "quiz", "pattern": ["a", "b"],
                           "students": [30, 20]})  # fmt: skip

    assert [one.tolist() for one in errors_shown(weekly, totals, LIMIT)] == [
        [False, False, True, True], [True, True],
    ]  # fmt: skip


def test_what_is_hidden_beside_a_small_row_is_not_chosen_by_its_size() -> None:
    for large in ([12, 40, 50], [50, 40, 12]):
        shown = may_be_shown([3, *large, 105], [[0, 1, 2, 3, 4]], LIMIT, apart=True)
        assert shown.tolist() == [False, False, True, True, True]


def test_two_of_the_same_few_students_count_once() -> None:
    same, others = ([7, 8, 30, 40], [[0, 1, 2, 3]])

    assert may_be_shown(same, others, LIMIT, apart=True).tolist() == [False, False, True, True]
    assert may_be_shown(same, others, LIMIT, apart=False).tolist() == [False, False, False, True]


def test_no_sum_is_formed_over_different_classes() -> None:
    rates, _ = laid_out(answers(1))
    quiz, exam = rates.assign(students=30), rates.assign(setting="exam", students=5)
    both = pd.concat([quiz, exam], ignore_index=True)
    shown = tries_shown(both, pd.DataFrame(columns=["item", "topic", "week", "outcome"]), LIMIT)

    assert shown.tolist() == [True] * len(quiz) + [False] * len(exam)


def parts_of_an_error(
    students: Sequence[Sequence[int]], sections: Sequence[bool] = ()
) -> tuple[pd.DataFrame, tuple[pd.DataFrame, ...]]:
    """Students by class section and week, and what stands by week, by section, and for all."""
    error = {"term": "t", "setting": "quiz", "pattern": "p"}
    rows = [
        {**error, "topic": "a", "week": week, "section": f"s{place}", "students": size}
        for place, weeks in enumerate(students)
        for week, size in enumerate(weeks, 1)
    ]
    parts = pd.DataFrame(rows)
    weeks = parts.groupby([*error, "topic", "week"], as_index=False)["students"].sum()
    whole = parts.groupby([*error, "section"], as_index=False)["students"].max()
    total = weeks.groupby(list(error), as_index=False)["students"].max()
    of_weeks, of_all = errors_shown(weeks, total, LIMIT)
    both = pd.concat([whole, total.assign(section="all")], ignore_index=True)
    of_sections = sections or sections_shown(both, LIMIT, list(error))[: len(whole)] & of_all[0]
    wholes = (
        weeks.assign(shown=of_weeks),
        whole.assign(shown=of_sections),
        total.assign(shown=of_all),
    )
    return parts, wholes


@pytest.mark.parametrize(
    ("students", "shown"),
    [
        ([[40, 40], [40, 40]], [[True, True], [True, True]]),
        # What is small goes with another in its week, and with another of its section.
        (
            [[40, 40, 40], [40, 40, 40], [4, 40, 40]],
            [[False, False, True], [True, True, True], [False, False, True]],
        ),
        # A week of few is hidden in every section.
        ([[3, 40, 40], [4, 40, 40]], [[False, False, True], [False, False, True]]),
    ],
)  # fmt: skip
def test_what_is_small_of_a_section_in_a_week_follows_from_no_sum(
    students: Sequence[Sequence[int]], shown: Sequence[Sequence[bool]]
) -> None:
    found = section_weeks_shown(*parts_of_an_error(students), LIMIT)

    assert found.reshape(len(students), -1).tolist() == [list(row) for row in shown]


def test_nothing_of_a_section_stands_by_week_where_its_term_is_hidden() -> None:
    parts, wholes = parts_of_an_error([[40, 40], [40, 40], [40, 40]], [True, False, False])

    assert set(parts["section"][section_weeks_shown(parts, wholes, LIMIT)]) == {"s0"}


@given(
    st.lists(st.lists(st.integers(1, 30), min_size=3, max_size=3), min_size=2, max_size=4),
)
def test_no_small_part_is_what_shown_sums_leave(students: list[list[int]]) -> None:
    """What is shown gives equations in the parts; no small part has but one solution."""
    parts, wholes = parts_of_an_error(students)
    weeks, whole, _ = wholes
    shown = section_weeks_shown(parts, wholes, LIMIT)
    rows = [np.eye(len(parts))[at] for at in np.flatnonzero(shown)]
    rows += [(parts["week"] == week).to_numpy(float) for week in weeks["week"][weeks["shown"]]]
    rows += [(parts["section"] == one).to_numpy(float) for one in whole["section"][whole["shown"]]]
    free = null_space(np.vstack([*rows, np.zeros(len(parts))]))
    small = (parts["students"] < LIMIT).to_numpy()

    assert not (small & (np.abs(free).sum(axis=1) < 1e-9)).any()
    assert not (small & shown).any()
