"""First and last tries side by side, by one thing at a time."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.learning import ONLY_WRONG, retry_changes
from pipeline.statistics.observed import outcomes_by_try, wrong_rates
from pipeline.warehouse import building

STUDENTS = 12
OUTCOMES = pd.DataFrame({"outcome": ["o"], "bar": [0.7], "fewest": [2], "attempt": ["last"]})


Staged = dict[str, pd.DataFrame]


@pytest.fixture(scope="module")
def staged(tmp_path_factory: pytest.TempPathFactory) -> Staged:
    """Twelve students; everyone errs at first on q1, half mend it; q2 is asked once."""
    rows = []
    for who in range(STUDENTS):
        section = "A" if who < 5 else "B"
        rows.append((who, section, "q1", 1, 1, "0"))
        rows.append((who, section, "q1", 1, 2, "1" if who % 2 else "0"))
        rows.append((who, section, "q2", 2, 1, "1"))
    names = ["student", "section", "item", "week", "attempt", "answer"]
    frame = pd.DataFrame(rows, columns=names)
    frame = frame.assign(
        student=[f"{who:032x}" for who in frame["student"]], response=range(len(frame)),
        term="t", place="judge", task="judge", setting="quiz", count=1, topic="x",
    )  # fmt: skip
    examined = pd.DataFrame(
        {"examined": [1, 2], "task": "judge", "answer": ["1", "0"], "verdict": ["right", "wrong"]}
    )
    items = pd.DataFrame({"item": ["q1", "q2"], "topic": "x", "place": "judge", "outcome": "o"})
    with building(tmp_path_factory.mktemp("tries") / "course.duckdb") as warehouse:
        warehouse.put("store.response", frame)
        warehouse.put("store.examined", examined)
        warehouse.put("store.item", items)
        warehouse.put("store.outcome", OUTCOMES)
        warehouse.build(computed=False)
        names = ("try_sums", "retry_count", "outcome_evidence", "enrolled")
        return {name: warehouse.frame(f"staging.{name}") for name in names}


@pytest.fixture(scope="module")
def table(staged: Staged) -> pd.DataFrame:
    return wrong_rates(staged["try_sums"])


def row(table: pd.DataFrame, grain: str, grouped_by: str, **keys: object) -> pd.Series:
    chosen = table[(table["grain"] == grain) & (table["grouped_by"] == grouped_by)]
    for name, value in keys.items():
        chosen = chosen[chosen[name] == value]
    assert len(chosen) == 1
    return chosen.iloc[0]


def test_mended_answers_count_at_the_last_try_alone(table: pd.DataFrame) -> None:
    first = row(table, "first", "item", item="q1")
    last = row(table, "last", "item", item="q1")

    assert (first["wrong"], first["answers"]) == (12, 12)
    assert (last["wrong"], last["answers"]) == (6, 12)


def test_a_question_tried_once_is_the_same_at_both(table: pd.DataFrame) -> None:
    assert row(table, "first", "week", week=2)["wrong"] == 0
    assert row(table, "last", "week", week=2)["answers"] == 12


@pytest.mark.parametrize(
    ("grouped_by", "keys", "answers"),
    [
        ("term", {}, 24),
        ("topic", {"topic": "x"}, 24),
        ("outcome", {"outcome": "o"}, 24),
        ("section", {"section": "A"}, 10),
        ("section", {"section": "B"}, 14),
        ("topic and week", {"topic": "x", "week": 1}, 12),
    ],
)
def test_every_grouping_counts_each_try_once(
    table: pd.DataFrame, grouped_by: str, keys: dict[str, object], answers: int
) -> None:
    found = row(table, "last", grouped_by, **keys)

    assert found["answers"] == answers
    assert found["rate_low"] <= found["rate"] <= found["rate_high"]


def test_students_are_the_unit(table: pd.DataFrame) -> None:
    """Two answers of twelve students are not twenty-four students."""
    assert row(table, "first", "term")["students"] == STUDENTS


def test_those_who_tried_again_are_compared_with_themselves(staged: Staged) -> None:
    """All twelve were wrong on q1 at first, six of them at last; q2 was tried once by everyone."""
    changes = retry_changes(staged["retry_count"])
    change = changes.iloc[0]

    assert changes["item"].tolist() == ["q1"]
    assert change[["both_wrong", "mended", "spoiled", "both_right"]].tolist() == [6, 6, 0, 0]
    assert (change["wrong_first"], change["wrong_last"]) == (1.0, 0.5)
    assert change["difference"] == -0.5
    assert np.isnan(change["p"])
    assert change["difference_note"] == ONLY_WRONG
    assert retry_changes(staged["retry_count"].iloc[:0]).empty


def test_changes_of_the_same_students_by_published_pairs() -> None:
    """Newcombe (1998), Statistics in Medicine 17:2635-2650: 36 12 2 0 give .0569 to .3404."""
    counts = pd.DataFrame(
        {"item": ["q", "few"], "both_wrong": [36, 1], "mended": [12, 2], "spoiled": [2, 0],
         "both_right": [0, 1]}
    )  # fmt: skip
    changes = retry_changes(counts).set_index("item")
    limits = changes.loc["q", ["difference_low", "difference_high"]].tolist()

    assert limits == pytest.approx([-0.3404, -0.0569], abs=5e-5)
    assert changes.loc["q", "p_adjusted"] == pytest.approx(0.0074, abs=5e-5)
    assert changes.loc["few", ["difference_low", "p"]].isna().all()


def test_an_outcome_is_given_at_first_and_at_last_tries(staged: Staged) -> None:
    """Bar .7: at first all have one of two right, at last six have both; the course says last."""
    declared, both = outcomes_by_try(staged["outcome_evidence"], staged["enrolled"], OUTCOMES)
    pooled = both[both["section"] == "all"].set_index("grain")

    assert pooled.loc["first", ["students", "meeting"]].tolist() == [12, 0]
    assert pooled.loc["last", ["students", "meeting"]].tolist() == [12, 6]
    assert declared.loc[declared["section"] == "all", "meeting"].tolist() == [6]
    assert "share_bar_lower" not in both
