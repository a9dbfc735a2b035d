"""Term against term: fixed weights, common questions only, clustered errors."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from statsmodels.stats.contingency_tables import StratifiedTable

from pipeline.statistics.term_changes import (
    question_differences,
    several_terms,
    tables_of,
    term_changes,
)
from pipeline.statistics.terms import compare_topics, declared_same, standardized, term_pairs


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


def test_a_change_is_split_and_pooled_over_questions() -> None:
    """The raw change is the part of the rates and the part of the mix; odds fell by a quarter."""
    frame = classes(-0.6, np.random.default_rng(22))
    table = term_changes(frame, [("old", "new")])
    every, topic = table.iloc[0], table.iloc[1]
    raw = frame.groupby("term")["wrong"].mean()

    assert every["topic"] is None or pd.isna(every["topic"])
    assert every["by_rates"] + every["by_mix"] == pytest.approx(raw["new"] - raw["old"])
    assert every["by_mix"] > 0 > every["by_rates"]
    assert every["odds_ratio_low"] < np.exp(-0.6) < every["odds_ratio_high"]
    assert every["odds_ratio"] < 1
    assert every["homogeneity_p"] > 0.01
    assert every["p_holm"] == pytest.approx(every["p"])
    assert np.isnan(topic["p_holm"])


def test_students_as_the_unit_widen_the_odds_ratio() -> None:
    """Beside the textbook interval, which takes the answers as independent."""
    frame = classes(-0.25, np.random.default_rng(6))
    row = term_changes(frame, [("old", "new")]).iloc[0]
    plain = StratifiedTable(list(tables_of(frame, "old", "new")))
    ours = np.log(row["odds_ratio_high"] / row["odds_ratio_low"]) / (2 * 1.98)

    assert row["odds_ratio"] == pytest.approx(plain.oddsratio_pooled)
    assert 1.05 < ours / plain.logodds_pooled_se < 1.8


def test_opposite_changes_of_questions_are_told() -> None:
    """Half the questions get easier, half harder: the pooled ratio is 1 and misleads."""
    rows = [
        (term, f"{term}{s}", f"q{q}", int(s % 10 < (7 if (q < 2) == (term == "old") else 3)))
        for term in ("old", "new")
        for s in range(60)
        for q in range(4)
    ]
    frame = pd.DataFrame(rows, columns=["term", "student", "item", "wrong"])
    frame = frame.assign(setting="quiz", topic="t", item_from=None)
    row = term_changes(frame, [("old", "new")]).iloc[0]
    questions = question_differences(frame, [("old", "new")])

    assert row["odds_ratio"] == pytest.approx(1)
    assert row["homogeneity_p"] < 0.001
    assert "one by one" in row["difference_note"]
    assert questions["difference"].tolist() == pytest.approx([-0.4, -0.4, 0.4, 0.4])
    assert (questions["p_adjusted"] < 0.001).all()


def test_a_question_all_got_right_twice_has_no_p() -> None:
    frame = classes(0.0, np.random.default_rng(2))
    frame.loc[frame["item"] == "q3", "wrong"] = 0
    row = question_differences(frame, [("old", "new")]).set_index("item").loc["q3"]

    assert np.isnan(row["p"])
    assert row["difference_low"] < 0 < row["difference_high"]


def test_three_terms_are_one_question() -> None:
    """One term of three moves: the test of all three sees it; it is silent where none does."""
    still = classes(0.0, np.random.default_rng(31))
    third = classes(0.0, np.random.default_rng(32))
    third = third[third["term"] == "old"].assign(term="last", student=lambda f: "x" + f["student"])
    third["wrong"] = np.random.default_rng(5).binomial(1, 0.85, len(third))
    moved = several_terms(pd.concat([still, third]), ["old", "new", "last"])
    calm = third.assign(wrong=still.loc[still["term"] == "old", "wrong"].sample(
        len(third), replace=True, random_state=1).to_numpy())  # fmt: skip
    quiet = several_terms(pd.concat([still, calm]), ["old", "new", "last"])

    assert moved["term"].tolist()[:3] == ["old", "new", "last"]
    assert (moved["p_adjusted"] < 0.001).all()
    assert (quiet["p"] > 0.01).all()
    assert several_terms(still, ["old", "new"]).empty


def test_not_settled_is_never_called_small() -> None:
    """Thirty students a side and no difference: the data could not have shown five points."""
    frame = classes(0.0, np.random.default_rng(2))
    few = frame[frame["student"].str.contains("[12]")]
    row = compare_topics(few, [("old", "new")]).iloc[0]

    assert not row["within_margin"]
    assert row["smallest_visible"] > row["margin"]


def test_questions_declared_the_same_are_compared_as_one():
    rows = [
        {"term": term, "setting": "quiz", "topic": "t", "item": item, "item_from": "",
         "student": f"{term}{n}", "wrong": int(n < wrong)}
        for term, item, wrong in (("s", "old", 6), ("f", "new", 2), ("f", "other", 2))
        for n in range(20)
    ]  # fmt: skip
    answers = pd.DataFrame(rows)
    items = pd.DataFrame(
        {"item": ["old", "new", "other"], "item_from": "", "same": [None, "old", None],
         "position": [1, 2, 3]}
    )  # fmt: skip

    assert compare_topics(answers, [("s", "f")]).empty
    assert declared_same(answers, items.assign(same=None)) is answers
    (row,) = compare_topics(declared_same(answers, items), [("s", "f")]).to_dict("records")
    assert row["difference"] == pytest.approx(-0.2)
    assert row["common_questions"] == 1
