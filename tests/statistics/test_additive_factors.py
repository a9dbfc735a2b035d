"""The additive factors model: published data, planted slopes, and what it must not be fooled by."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from numpy.typing import NDArray
from scipy import special
from statsmodels.genmod.cov_struct import Independence

from pipeline.statistics.additive_factors import (
    ALIKE,
    FEW_SECONDS,
    SAME_ORDER,
    additive_factors,
    learning_slopes,
    with_model,
)
from tests.calibration.learning_slopes import CHANCES, SLOPES, steps


def slopes_of(frame: pd.DataFrame) -> NDArray[np.float64]:
    return learning_slopes(frame).sort_values("topic")["slope"].to_numpy(dtype=float)


@pytest.mark.thorough
def test_planted_slopes_come_back() -> None:
    """Twelve classes of 200: mean within .03 of the truth (published for ridge: within .012)."""
    found = [slopes_of(steps(200, np.random.default_rng(seed))) for seed in range(12)]

    assert np.mean(found, axis=0) == pytest.approx(SLOPES, abs=0.03)


def test_a_slope_may_be_negative() -> None:
    found = slopes_of(steps(300, np.random.default_rng(3), (-0.2, 0.2)))

    assert found == pytest.approx([-0.2, 0.2], abs=0.08)


@pytest.mark.thorough
def test_the_interval_holds_the_planted_slope_mostly() -> None:
    """By chance 1 of 20 misses; of 80 at most 10 should."""
    missed = 0
    for seed in range(20):
        table = learning_slopes(steps(120, np.random.default_rng(100 + seed))).sort_values("topic")
        low, high = (table[f"slope_{end}"].to_numpy() for end in ("low", "high"))
        missed += int(((low > SLOPES) | (high < SLOPES)).sum())

    assert missed <= 10


def test_students_who_stop_do_not_bend_the_slope() -> None:
    """Whoever is right twice in a row leaves; among whoever is left the share wrong falls less
    than it would for all, while the model finds what they learn."""
    frame = steps(1500, np.random.default_rng(8), (0.35, 0.35))
    frame = frame.sort_values(["student", "topic", "earlier"]).reset_index(drop=True)
    before = frame.groupby(["student", "topic"])["wrong"]
    done = (before.shift(1) == 0) & (before.shift(2) == 0)
    left = frame[~done.groupby([frame["student"], frame["topic"]]).cummax()]
    seen, meant = (f.groupby("earlier")["wrong"].mean() for f in (left, frame))
    found = learning_slopes(left)

    assert meant.iloc[0] - meant.iloc[-1] > 0.25
    assert seen.iloc[0] - seen.iloc[-1] < 0.8 * (meant.iloc[0] - meant.iloc[-1])
    assert (found["slope"] > 0.2).all()
    assert (found["slope_low"] > 0).all()


def test_without_differences_of_students_it_is_the_libraries_logit() -> None:
    """Independent answers: equal to statsmodels' logit and to its sandwich by student."""
    generator = np.random.default_rng(4)
    who, earlier = np.repeat(range(400), 4), np.tile(range(4), 400)
    right = generator.random(1600) < special.expit(0.3 + 0.2 * earlier)
    fitted = additive_factors(right, who, np.zeros(1600, int), np.zeros(1600, int), earlier)
    family, structure = sm.families.Binomial(), Independence()
    library = sm.GEE(
        right.astype(float), sm.add_constant(earlier), groups=who, family=family,
        cov_struct=structure,
    ).fit()  # fmt: skip

    assert fitted.spread < 0.4
    assert fitted.slope[0] == pytest.approx(library.params[1], abs=0.01)
    assert fitted.error[0] == pytest.approx(library.bse[1], rel=0.03)


def test_topics_that_tell_nothing_have_no_slope() -> None:
    frame = steps(60, np.random.default_rng(5), (0.1, 0.1, 0.1))
    frame.loc[frame["topic"] == "k1", "wrong"] = 0
    frame = frame[(frame["topic"] != "k2") | (frame["earlier"] == 0)]
    table = learning_slopes(frame).set_index("topic")

    assert table.loc[["k1", "k2"], "slope"].isna().all()
    assert table.loc["k1", "slope_note"] == ALIKE
    assert table.loc["k2", "slope_note"] == FEW_SECONDS
    assert np.isfinite(table.loc["k0", "slope"])


def test_one_order_for_all_has_no_slope_and_says_why() -> None:
    """Questions that get easier look like learning; with few exceptions they are all there is."""
    frame = steps(60, np.random.default_rng(5), (0.0, 0.0), one_order=True)
    other = steps(60, np.random.default_rng(5), (0.0, 0.0))
    few = pd.concat([frame[frame["student"] >= 6], other[other["student"] < 6]])
    table = learning_slopes(few)

    assert (table["slope_note"] == SAME_ORDER).all()
    assert "slope" not in table
    assert learning_slopes(other)["slope"].notna().all()


def test_many_topics_are_adjusted_together() -> None:
    table = learning_slopes(steps(80, np.random.default_rng(9), (0.6, *[0.0] * 7)))
    settled = table["p_adjusted"] < 0.05

    assert settled.tolist() == [True] + [False] * 7


def test_the_model_stands_beside_each_point_of_the_curve() -> None:
    frame = steps(500, np.random.default_rng(6), (0.3,))
    slopes = learning_slopes(frame)
    curves = pd.DataFrame(
        {"term": "t", "setting": "practice", "topic": "k0", "chance": range(1, CHANCES + 1)}
    )
    modeled = with_model(curves, slopes)["modeled"]
    share = frame.groupby("earlier")["wrong"].mean()

    assert modeled.to_numpy() == pytest.approx(share.to_numpy(), abs=0.06)
    assert modeled.is_monotonic_decreasing
    assert "modeled" not in with_model(curves, learning_slopes(frame.iloc[:0]))
