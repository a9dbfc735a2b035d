"""Curves and transitions, and the three ways in which they fool."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray
from scipy import optimize

from pipeline.statistics.learning import (
    LEAVING,
    OTHER,
    RIGHT,
    answer_transitions,
    learning_curves,
)
from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import estimate
from pipeline.tagging.shares import attribute
from tests.calibration.simulated_class import Frames, draw
from tests.statistics.test_attribution import evidence_of

CHANCES = 8
SUCCESS = 0.25 + 0.5 * (1 - np.exp(-0.25 * np.arange(CHANCES)))
"""Chance to be right on each question in turn: everyone learns alike."""

Marks = NDArray[np.float64]


def counts(wrong: Marks) -> pd.DataFrame:
    """As the database counts: students x chances, nan after a student has left."""
    reached = np.isfinite(wrong).sum(axis=1)
    rows = [
        (min(int(length), 12), chance + 1, int((reached == length).sum()),
         int(np.nansum(wrong[reached == length, chance])), 0.5 * (reached == length).sum())
        for length in np.unique(reached[reached > 0])
        for chance in range(int(length))
    ]  # fmt: skip
    frame = pd.DataFrame(rows, columns=["reached", "chance", "students", "wrong", "usual"])
    return frame.assign(term="t", setting="practice", topic="x")


def marks(students: int, generator: np.random.Generator) -> Marks:
    return (generator.random((students, CHANCES)) >= SUCCESS).astype(float)


def test_one_group_is_followed_with_its_number_at_each_step() -> None:
    wrong = marks(100, np.random.default_rng(1))
    wrong[:20, 6:] = np.nan
    wrong[20:70, 7:] = np.nan
    table = learning_curves(counts(wrong))

    assert table["chance"].tolist() == [1, 2, 3, 4, 5, 6, 7]
    assert table["reached"].tolist() == [100] * 6 + [80]
    assert (table["students"] == 80).all()
    assert table["rate"].tolist() == pytest.approx(wrong[20:, :7].mean(axis=0).tolist())
    assert (table["rate_note"] == LEAVING).all()


def test_leaving_at_random_does_not_bend_the_curve() -> None:
    generator = np.random.default_rng(2)
    wrong = marks(4000, generator)
    length = generator.integers(5, CHANCES + 1, 4000)
    wrong[np.arange(CHANCES) >= length[:, None]] = np.nan
    table = learning_curves(counts(wrong))

    assert table["rate"].to_numpy() == pytest.approx(1 - SUCCESS[: len(table)], abs=0.03)


def test_students_who_stop_when_they_can_do_it_make_a_flat_curve() -> None:
    """Stop after two right in a row: the weaker ones are left and the curve hardly falls."""
    generator = np.random.default_rng(3)
    odds = SUCCESS / (1 - SUCCESS) * np.exp(generator.normal(0, 1.5, (4000, 1)))
    every = (generator.random((4000, CHANCES)) >= odds / (1 + odds)).astype(float)
    wrong = every.copy()
    for chance in range(2, CHANCES):
        done = (wrong[:, chance - 1] == 0) & (wrong[:, chance - 2] == 0)
        wrong[done | np.isnan(wrong[:, chance - 1]), chance] = np.nan
    left = np.nanmean(wrong, axis=0)
    table = learning_curves(counts(wrong))

    assert every[:, 0].mean() - every[:, -1].mean() > 0.2, "all learn"
    assert left[0] - left[-1] < 0.12, "whoever is left does not seem to"
    assert (table["rate_note"] == LEAVING).all()
    assert table["reached"].is_monotonic_decreasing
    assert table["reached"].iloc[-1] < table["reached"].iloc[0]


def test_no_one_left_no_warning() -> None:
    table = learning_curves(counts(marks(200, np.random.default_rng(4))))

    assert table["rate_note"].isna().all()
    assert len(table) == CHANCES


def test_few_students_are_said() -> None:
    table = learning_curves(counts(marks(4, np.random.default_rng(4))))

    assert table["rate_low"].isna().all()
    assert (table["rate_note"] == "too few students for an interval").all()


def test_a_mean_of_exponential_curves_looks_like_a_power_law() -> None:
    """300 learners, each exponential with a rate of their own: the class mean fits the power law
    better, which is why no law is fitted to class means and no such column exists."""
    generator = np.random.default_rng(5)
    trials = np.arange(1, 21, dtype=float)
    rate = generator.gamma(0.8, 0.6, 300)[:, None]
    mean = (0.1 + 0.8 * np.exp(-rate * (trials - 1))).mean(axis=0)

    def misfit(law: object) -> float:
        found, _ = optimize.curve_fit(law, trials, mean, p0=[0.1, 0.8, 0.5], maxfev=20_000)
        return float(((law(trials, *found) - mean) ** 2).sum())  # type: ignore[operator]

    power = misfit(lambda t, a, b, c: a + b * t**-c)
    exponential = misfit(lambda t, a, b, c: a + b * np.exp(-c * (t - 1)))
    assert power < exponential / 2
    columns = set(learning_curves(counts(marks(50, generator))).columns)
    assert columns == {"term", "setting", "topic", "chance", "reached", "students", "wrong",
                       "rate", "rate_low", "rate_high", "usual", "rate_note"}  # fmt: skip


def walked(students: int, generator: np.random.Generator) -> Frames:
    frames = draw(students, generator)
    answers = frames.opportunities.assign(
        term="t", setting="quiz", item=lambda f: f["question"], week=1,
        answered_at=lambda f: f["question"], response=range(len(frames.opportunities)),
    )  # fmt: skip
    return replace(frames, opportunities=answers)


@pytest.fixture(scope="module")
def steps() -> pd.DataFrame:
    frames = walked(200, np.random.default_rng(3))
    evidence = evidence_of(frames)
    cells = list(estimate(evidence, ["term", "setting", "topic"]))
    totals = pattern_totals(evidence, cells)
    wrong = frames.opportunities[frames.opportunities["wrong"] == 1]
    values = wrong[["term", "setting", "topic", "examined", "question"]].drop_duplicates()
    shares = attribute(
        evidence, cells, values.assign(unexplained=0.1, if_meant=False), frames.candidates,
        ["term", "setting", "topic"],
    )  # fmt: skip
    return answer_transitions(evidence, shares, totals, frozenset({"one-root"}))


def test_each_row_of_transitions_sums_to_one(steps: pd.DataFrame) -> None:
    sums = steps.groupby("state")[["rate", "steadied"]].sum()

    assert sums.to_numpy() == pytest.approx(1.0)
    inside = (steps["rate_low"] <= steps["rate"]) & (steps["rate"] <= steps["rate_high"])
    assert inside.all()


def test_slips_have_no_row_and_five_errors_do(steps: pd.DataFrame) -> None:
    states = set(steps["state"])

    assert {RIGHT, OTHER} < states
    assert len(states) == 7
    assert "one-root" not in states


def test_an_error_follows_itself_more_often_than_a_right_answer(steps: pd.DataFrame) -> None:
    """Students of the simulation differ in their rates, so errors recur in the same ones."""
    table = steps.pivot_table(index="state", columns="next_state", values="rate")
    errors = [state for state in table.index if state not in (RIGHT, OTHER)]
    again = np.mean([table.loc[e, e] for e in errors])
    fresh = np.mean([table.loc[RIGHT, e] for e in errors])

    assert again > 1.5 * fresh


def test_rows_of_few_answers_are_drawn_to_the_class(steps: pd.DataFrame) -> None:
    usual = steps[steps["state"] == RIGHT].set_index("next_state")["rate"]
    row = steps[~steps["state"].isin([RIGHT, OTHER])].sort_values("answers").iloc[0]

    assert abs(row["steadied"] - usual[row["next_state"]]) <= abs(
        row["rate"] - usual[row["next_state"]]
    )
