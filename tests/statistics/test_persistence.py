"""Whether errors come back: against simulated students with known persistence."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.showings import FOLLOWED, followed, persistence
from tests.statistics.wheezing import children


def transitions(showings: pd.DataFrame, keys: list[str]) -> pd.DataFrame:
    """What followed, of each error in a frame of chances, with the students' own names."""
    found = {}
    for key, part in showings.groupby(keys):
        student, students = pd.factorize(part["student"])
        question, shown = pd.factorize(part["question"])[0], part["shown"].to_numpy(float)
        sums = pd.DataFrame(followed(student, question, shown), columns=FOLLOWED)
        found[key] = sums.assign(student=students[sums["student"].to_numpy(dtype=int)])
    return pd.concat(found, names=keys).reset_index(keys)


RATES = np.array([0.02, 0.05, 0.10, 0.15, 0.22, 0.30])


def chain(students: int, rho: float, generator: np.random.Generator) -> pd.DataFrame:
    """Two-state chains with lag-one correlation rho around the rate of each question."""
    shown = np.empty((students, len(RATES)))
    for at, rate in enumerate(RATES):
        fresh = generator.random(students) < rate
        if at:
            before, past = shown[:, at - 1], RATES[at - 1]
            slope = rho * np.sqrt(rate * (1 - rate) / (past * (1 - past)))
            chance = np.clip(rate + slope * (before - past), 0, 1)
            fresh = generator.random(students) < chance
        shown[:, at] = fresh
    return pd.DataFrame(
        {
            "pattern": "p",
            "student": np.repeat(np.arange(students), len(RATES)),
            "question": np.tile(np.arange(len(RATES)), students),
            "shown": shown.ravel(),
        }
    )


def test_no_persistence_is_none_beyond_chance() -> None:
    """Independent showings: .0 beyond chance, whatever the rates of the questions."""
    frame = chain(6000, 0.0, np.random.default_rng(3))
    row = persistence(transitions(frame, ["pattern"]), ["pattern"]).iloc[0]

    assert row["persistence_beyond_chance"] == pytest.approx(0, abs=0.02)


def test_persistence_is_found() -> None:
    weak = chain(6000, 0.15, np.random.default_rng(4))
    strong = chain(6000, 0.4, np.random.default_rng(4))
    found = [
        persistence(transitions(frame, ["pattern"]), ["pattern"]).iloc[0]
        for frame in (weak, strong)
    ]

    assert 0.05 < found[0]["persistence_beyond_chance"] < found[1]["persistence_beyond_chance"]


def test_a_chance_that_is_the_last_counts_for_nothing() -> None:
    frame = pd.DataFrame({"pattern": "p", "student": [1, 1, 2], "question": [1, 2, 1],
                          "shown": [0.0, 1.0, 1.0]})  # fmt: skip

    assert transitions(frame, ["pattern"]).empty


def test_counts_by_hand() -> None:
    """Six students who show it at both of two chances, four at the first alone: 6 of 10."""
    rows = [(s, q, float(q == 1 or s < 6)) for s in range(10) for q in (1, 2)]
    frame = pd.DataFrame(rows, columns=["student", "question", "shown"]).assign(pattern="p")
    row = persistence(transitions(frame, ["pattern"]), ["pattern"]).iloc[0]

    assert (row["again"], row["showed"]) == (6, 10)
    assert row["persistence"] == pytest.approx(0.6)
    # Six of ten is the class rate of the second question: nothing beyond chance.
    assert row["persistence_beyond_chance"] == pytest.approx(0.0)
    assert row["persistence_low"] < 0.6 < row["persistence_high"]


def test_too_few_students_give_no_figure() -> None:
    rows = [(s, q, 1.0) for s in range(3) for q in (1, 2)]
    frame = pd.DataFrame(rows, columns=["student", "question", "shown"]).assign(pattern="p")
    row = persistence(transitions(frame, ["pattern"]), ["pattern"]).iloc[0]

    assert np.isnan(row["persistence"])
    assert row["persistence_note"] == "too few students for an interval"


def test_wheezing_children() -> None:
    """Agresti's children: 122 of 263 wheezed again a year later, .4639 (1231 117 / 141 122)."""
    row = persistence(transitions(children(), ["pattern"]), ["pattern"]).iloc[0]

    assert (row["again"], row["showed"]) == (122, 263)
    assert row["persistence"] == pytest.approx(0.4639, abs=5e-5)
    assert row["persistence_beyond_chance"] == pytest.approx(0.3705, abs=5e-4)


def test_students_who_differ_look_like_persistence() -> None:
    """No error causes the next; students differ (log-normal, .7): yet well above 0 remains.

    This is why pages say that an error tends to recur in the same students and no more.
    """
    generator = np.random.default_rng(11)
    students = 4000
    own = np.exp(generator.normal(-0.245, 0.7, students))[:, None] * RATES
    shown = (generator.random(own.shape) < np.minimum(own, 1)).astype(float)
    frame = pd.DataFrame(
        {
            "pattern": "p",
            "student": np.repeat(np.arange(students), len(RATES)),
            "question": np.tile(np.arange(len(RATES)), students),
            "shown": shown.ravel(),
        }
    )
    row = persistence(transitions(frame, ["pattern"]), ["pattern"]).iloc[0]

    assert 0.05 < row["persistence_beyond_chance"] < 0.25
