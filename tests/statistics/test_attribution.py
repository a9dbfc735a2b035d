"""Attribution over a simulated class: rates come back, ambiguity is named, shares add up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.patterns import combine, pattern_totals, weekly_rates
from pipeline.tagging.attribute import Cell, estimate, groups_of
from pipeline.tagging.evidence import Evidence, gather, with_chance
from pipeline.tagging.shares import attribute
from tests.calibration.attribution import measure
from tests.calibration.simulated_class import QUADRATICS, RATES, Frames, draw

TWINS = "roots-negated / sign-of-b-lost"


def evidence_of(frames: Frames, chance: float = 0.1) -> Evidence:
    gathered = gather(
        frames.opportunities,
        frames.candidates,
        frames.predicted,
        frames.catalogue,
    )
    return with_chance(gathered, chance)


@pytest.fixture(scope="module")
def frames() -> Frames:
    return draw(250, np.random.default_rng(77))


@pytest.fixture(scope="module")
def evidence(frames: Frames) -> Evidence:
    return evidence_of(frames)


@pytest.fixture(scope="module")
def cell(evidence: Evidence) -> Cell:
    return next(iter(estimate(evidence, ["topic"])))


def names(evidence: Evidence, cell: Cell) -> list[str]:
    return [" / ".join(evidence.patterns[i] for i in group) for group in cell.groups]


def test_planted_rates_come_back_without_bias() -> None:
    """Forty classes of 120: the mean error of each rate is within Monte Carlo error of 0."""
    found = measure(classes=40, students=120, first=9)

    assert set(found) == {TWINS, *RATES} - {"roots-negated", "sign-of-b-lost"}
    for name, (bias, coverage) in found.items():
        assert abs(bias) < 0.006, name
        assert coverage > 0.8, name


def test_patterns_that_negate_all_roots_are_one_group(evidence: Evidence, cell: Cell) -> None:
    """For a quadratic, a lost sign of b negates both roots: no question parts the two."""
    assert TWINS in names(evidence, cell)
    assert cell.known.all()


def test_pure_squares_hide_what_needs_b(frames: Frames) -> None:
    """From the questions with b = 0 alone the sign patterns have no opportunity at all."""
    pure = [q for q, (_, b, _) in enumerate(QUADRATICS) if b == 0]
    some = frames.opportunities[frames.opportunities["question"].isin(pure)]
    evidence = evidence_of(replace(frames, opportunities=some))
    cell = next(iter(estimate(evidence, ["topic"])))
    shown = {name for name in names(evidence, cell) if name}

    assert not any("sign-of-b-lost" in name or "radical-only" in name for name in shown)
    assert any("one-root" in name for name in shown)


def test_a_masked_pattern_is_not_understated(
    frames: Frames, evidence: Evidence, cell: Cell
) -> None:
    """Counting over all answers would understate what a third of the questions hide."""
    at = names(evidence, cell).index(TWINS)
    wrong = frames.candidates[frames.candidates["pattern"] == "sign-of-b-lost"]["examined"]
    naive = frames.opportunities["examined"].isin(wrong).mean()
    truth = RATES["roots-negated"] + RATES["sign-of-b-lost"]

    assert cell.opportunities[at] == 250 * 8
    assert abs(cell.rates[at] - truth) < abs(naive - truth)


def test_more_chance_landings_lower_each_rate(frames: Frames) -> None:
    rates = [
        next(iter(estimate(evidence_of(frames, chance), ["topic"]))).rates.sum()
        for chance in (0.0, 0.1, 0.25)
    ]

    assert rates[0] > rates[1] > rates[2]


def wrong_values(frames: Frames) -> pd.DataFrame:
    wrong = frames.opportunities[frames.opportunities["wrong"] == 1]
    distinct = wrong[["topic", "examined", "question"]].drop_duplicates()
    explained = distinct["examined"].isin(frames.candidates["examined"])
    return distinct.assign(unexplained=np.where(explained, 0.1, 1.0), if_meant=False)


def test_shares_of_each_answer_sum_to_one(frames: Frames, evidence: Evidence, cell: Cell) -> None:
    shares = attribute(evidence, [cell], wrong_values(frames), frames.candidates, ["topic"])
    sums = shares.groupby("examined")["share"].sum()

    assert sums.to_numpy() == pytest.approx(1.0)
    assert (shares["share"] >= 0).all()
    rest = shares[shares["pattern"] == "unexplained"]
    assert len(rest) == len(sums)


def test_twins_share_equally_and_noise_stays_unexplained(
    frames: Frames, evidence: Evidence, cell: Cell
) -> None:
    shares = attribute(evidence, [cell], wrong_values(frames), frames.candidates, ["topic"])
    wide = shares.pivot_table(index="examined", columns="pattern", values="share", fill_value=0)
    both = wide[wide["sign-of-b-lost"] > 0]

    assert both["sign-of-b-lost"].to_numpy() == pytest.approx(both["roots-negated"].to_numpy())
    noise = frames.opportunities.loc[frames.opportunities["answer"] == "other", "examined"]
    assert wide.loc[noise.unique(), "unexplained"].to_numpy() == pytest.approx(1.0)


def test_a_class_that_was_never_estimated_keeps_prior_shares(
    frames: Frames, evidence: Evidence, cell: Cell
) -> None:
    """Nine tenths in equal parts for the candidates, a tenth for no known error."""
    elsewhere = wrong_values(frames).assign(topic="elsewhere")
    shares = attribute(evidence, [cell], elsewhere, frames.candidates, ["topic"])
    explained = shares.groupby("examined")["pattern"].transform("size") > 1
    rest = shares[explained & (shares["pattern"] == "unexplained")]

    assert rest["share"].to_numpy() == pytest.approx(0.1)


def with_one_answer_for_two(frames: Frames) -> Frames:
    """The same class, had question 0 one and the same wrong answer for two patterns."""
    predicted = frames.predicted.set_index(["question", "pattern"])["value_key"]
    predicted[(0, "plus-four")] = predicted[(0, "over-a")]
    mine = frames.opportunities[frames.opportunities["question"] == 0]["examined"]
    both = frames.candidates["examined"].isin(mine)
    both &= frames.candidates["pattern"].isin(["over-a", "plus-four"])
    other = frames.candidates[both].assign(
        pattern=frames.candidates["pattern"].map({"over-a": "plus-four", "plus-four": "over-a"})
    )
    other["faults"] = [[name] for name in other["pattern"]]
    return replace(
        frames,
        predicted=predicted.reset_index().assign(weight=1.0),
        candidates=pd.concat([frames.candidates, other], ignore_index=True),
    )


def test_a_week_that_cannot_tell_takes_the_pooled_rate(frames: Frames) -> None:
    """Week 1 asks the one question that cannot part two patterns; the other weeks can."""
    changed = with_one_answer_for_two(frames)
    weeks = np.where(frames.opportunities["question"] == 0, 1, 2)
    keyed = frames.opportunities.assign(week=weeks, term="t", setting="quiz")
    evidence = evidence_of(replace(changed, opportunities=keyed))
    keys = ["term", "setting", "topic"]
    pooled = list(estimate(evidence, keys))
    cells = list(estimate(evidence, [*keys, "week"], groups=groups_of(pooled)))
    table = weekly_rates(evidence, cells, pooled, keys)
    first = table[(table["week"] == 1) & table["rate_note"].notna()]
    whole = pattern_totals(evidence, pooled).set_index("pattern")["rate"]

    assert set(first["pattern"]) == {"over-a", "plus-four"}
    assert first["rate_note"].str.startswith("weeks pooled").all()
    assert first["rate"].to_numpy() == pytest.approx(whole[first["pattern"]].to_numpy())


def test_a_class_whose_questions_never_part_two_patterns_names_both(frames: Frames) -> None:
    """Asked question 0 alone, the two are one group under both names."""
    changed = with_one_answer_for_two(frames)
    alone = frames.opportunities[frames.opportunities["question"] == 0]
    evidence = evidence_of(replace(changed, opportunities=alone))
    cell = next(iter(estimate(evidence, ["topic"])))

    assert "over-a / plus-four" in names(evidence, cell)


def test_a_mean_over_classes_of_the_same_students_knows_that_they_are(frames: Frames) -> None:
    """Splitting the questions of a class in two and averaging gives about the same error."""
    halves = frames.opportunities.assign(half=frames.opportunities["question"] % 2)
    evidence = evidence_of(replace(frames, opportunities=halves))
    whole = next(iter(estimate(evidence, ["topic"])))
    parts = list(estimate(evidence, ["topic", "half"], groups=groups_of([whole])))
    at = names(evidence, whole).index("one-root")
    group = whole.groups[at]
    mean = combine([(part, part.groups.index(group)) for part in parts])

    assert mean.rate == pytest.approx(whole.rates[at], abs=0.01)
    assert mean.variance == pytest.approx(whole.variances[at], rel=0.25)
    assert mean.opportunities == whole.opportunities[at]
    assert mean.students == 250


def test_what_was_estimated_before_changes_no_later_estimate(frames: Frames) -> None:
    """The same answers under other names or pooled weights are another class, and other answers."""
    evidence = evidence_of(frames)
    half = frames.opportunities["student"] % 2 == 0
    some = evidence.opportunities[half.to_numpy()]
    pooled = {("quadratics",): np.linspace(1.0, 2.0, evidence.design.shape[1])}
    asked = [
        lambda e: estimate(e, ["topic"]),
        lambda e: estimate(e, ["topic"], some),
        lambda e: estimate(e, ["topic"], groups={("quadratics",): ((0, 1), (2,))}),
        lambda e: estimate(e, ["topic"], pooled=pooled),
    ]
    for ask in [*asked, *asked]:
        (known,), (fresh,) = ask(evidence), ask(replace(evidence, known={}))

        assert known.groups == fresh.groups
        assert (known.rates == fresh.rates).all()
        assert (known.variances == fresh.variances).all()
        assert (known.weights == fresh.weights).all()


def test_without_slips_by_chance_every_wrong_answer_keeps_an_explanation(frames: Frames) -> None:
    """Else one that only errors too rare to be kept lead to, such as five alike, has none."""
    design = evidence_of(frames, 0.0).design
    wrong = design[design[:, 0] == 0]

    assert (wrong[:, 1] > 0).all()
    assert wrong[(wrong[:, 2:] > 0).any(axis=1), 1].max() < 1e-6
