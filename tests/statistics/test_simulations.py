"""Short runs of the calibration commands: what they promise must hold in the small, too."""

from __future__ import annotations

import numpy as np

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
