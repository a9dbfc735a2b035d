"""Short runs of the calibration commands: what they promise must hold in the small, too."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.statistics.patterns import pattern_totals, weekly_rates
from pipeline.tagging.attribute import estimate, groups_of
from tests.calibration import planted_class
from tests.calibration.attribution import held_rates
from tests.calibration.cluster_intervals import classes, coverages, difference_coverage, least
from tests.calibration.next_lesson import compare, gain


def test_the_interval_covers_where_answers_as_independent_do_not() -> None:
    """Rate .3, correlation .3, 40 students of eight answers: 95 % on answers holds about .65."""
    sums = classes(np.random.default_rng(7), 600, 40, 0.3, 0.3)
    plain, _, ours = coverages(sums, 0.3)

    assert plain < 0.75
    assert ours > least(0.92, 600)


def test_the_difference_of_two_classes_covers() -> None:
    generator = np.random.default_rng(8)
    sides = [classes(generator, 600, 40, rate, 0.3) for rate in (0.1, 0.2)]

    assert difference_coverage(sides[0], sides[1], -0.1) > least(0.92, 600)
    assert difference_coverage(sides[0], sides[1], 0.1) < 0.5


def test_the_ranking_beats_raw_counts() -> None:
    table = compare(np.random.default_rng(42), 30)
    mean, low, _ = gain(table)
    shares = table.groupby("rule")["share"].mean()

    assert mean > 0.1
    assert low > 0
    assert shares["the reports' ranking"] > shares["recent rate"]


def test_little_is_lost_where_raw_counts_are_right() -> None:
    table = compare(np.random.default_rng(43), 30, alike=True)

    assert gain(table)[0] > -0.05


@pytest.mark.thorough
def test_planted_rates_are_held_and_absent_errors_may_be_none() -> None:
    found = held_rates(3, 50)
    held, missed = (
        {kind: sum(n for (k, _, h), n in found.items() if (k, h) == (kind, yes))
         for kind in ("planted", "absent")}
        for yes in (True, False)
    )  # fmt: skip

    assert held["planted"] / (held["planted"] + missed["planted"]) >= 0.9
    assert held["absent"] / (held["absent"] + missed["absent"]) >= 0.95


@pytest.mark.thorough
def test_a_week_agrees_with_its_semester_within_its_interval() -> None:
    """Sixty students, four questions a topic, two in each week; errors of more than two answers."""
    agree = []
    for number in range(8):
        evidence = planted_class.draw(60, np.random.default_rng([number, 7])).evidence
        answers = evidence.opportunities
        weeks = answers.assign(week=1 + answers["question"] % 4 // 2)
        evidence = replace(evidence, opportunities=weeks)
        keys = ["term", "setting", "topic"]
        whole = list(estimate(evidence, keys))
        parts = list(estimate(evidence, [*keys, "week"], groups=groups_of(whole)))
        semester = pattern_totals(evidence, whole, keys)[[*keys, "pattern", "rate"]]
        both = weekly_rates(evidence, parts, whole, keys).merge(
            semester, on=[*keys, "pattern"], suffixes=("", "_whole")
        )
        alone = ~both["rate_note"].fillna("").str.startswith("weeks pooled")
        made = both[["rate", "rate_whole"]].max(axis=1) * both["opportunities"] > 2
        held = both["rate_whole"].between(both["rate_low"], both["rate_high"])
        agree += list(held[alone & made & both["rate"].notna()])

    assert len(agree) > 80
    assert np.mean(agree) >= 0.93
