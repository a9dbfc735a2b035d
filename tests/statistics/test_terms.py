"""Term against term: fixed weights, common questions only, clustered errors."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf

from pipeline.statistics.terms import compare_topics, standardized, term_pairs


def classes(shift: float, generator: np.random.Generator) -> pd.DataFrame:
    """Two terms of the same eight questions in opposite mix, their odds shifted alike."""
    rows = []
    for number, term in enumerate(("old", "new")):
        for student in range(60):
            ability = generator.normal(0, 0.8)
            for item in range(8):
                if generator.random() < (0.3 + 0.08 * item if number else 0.9 - 0.08 * item):
                    logit = -1 + 0.25 * item + ability + shift * number
                    wrong = int(generator.random() < 1 / (1 + np.exp(-logit)))
                    rows.append((term, f"{term}{student}", f"q{item}", wrong))
    frame = pd.DataFrame(rows, columns=["term", "student", "item", "wrong"])
    return frame.assign(setting="quiz", topic="t", item_from=None)


def test_the_contrast_equals_clustered_least_squares() -> None:
    """OLS of the saturated question x term cells of statsmodels with the same contrast."""
    frame = classes(-0.25, np.random.default_rng(8))
    weights = frame["item"].value_counts(normalize=True).sort_index()
    first, second = (standardized(frame, term, weights) for term in ("old", "new"))
    frame = frame.assign(cell=frame["term"] + frame["item"])
    model = smf.ols("wrong ~ 0 + cell", frame).fit(
        cov_type="cluster", cov_kwds={"groups": frame["student"], "use_correction": False}
    )
    names = model.params.index
    contrast = np.array(
        [weights[n[-3:-1]] * (1 if "[new" in n else -1) for n in names], dtype=float
    )
    expected = contrast @ model.params
    spread = contrast @ model.cov_params().to_numpy() @ contrast
    # Each term's small-sample factor is 60 / 59; the library's was switched off.
    ours = (first.variance + second.variance) * 59 / 60

    assert second.rate - first.rate == pytest.approx(expected, rel=1e-9)
    assert ours == pytest.approx(spread, rel=1e-9)


def test_a_question_of_one_term_alone_counts_for_nothing() -> None:
    frame = classes(0.0, np.random.default_rng(2))
    table = compare_topics(frame, [("old", "new")])
    extra = frame[(frame["term"] == "new") & (frame["item"] == "q0")].assign(item="only", wrong=1)
    with_extra = compare_topics(pd.concat([frame, extra]), [("old", "new")])

    pd.testing.assert_frame_equal(table, with_extra)


def test_another_version_is_another_question() -> None:
    frame = classes(0.0, np.random.default_rng(2))
    changed = frame["item"].eq("q0") & frame["term"].eq("new")
    frame.loc[changed, "item_from"] = "new"

    assert compare_topics(frame, [("old", "new")])["common_questions"].tolist() == [7]


def test_settings_are_never_mixed() -> None:
    frame = classes(0.0, np.random.default_rng(2))
    frame.loc[frame["term"] == "new", "setting"] = "exam"

    assert compare_topics(frame, [("old", "new")]).empty


def test_the_opposite_mix_alone_makes_no_difference() -> None:
    """The raw rates differ by mix; at fixed weights the interval holds nothing."""
    frame = classes(0.0, np.random.default_rng(14))
    row = compare_topics(frame, [("old", "new")]).iloc[0]
    raw = frame.groupby("term")["wrong"].mean()

    assert raw["new"] - raw["old"] > 0.05
    assert row["difference_low"] < 0 < row["difference_high"]


def test_pairs_of_terms() -> None:
    assert term_pairs(["a"]) == []
    assert term_pairs(["a", "b", "c"]) == [("a", "b"), ("b", "c"), ("a", "c")]
