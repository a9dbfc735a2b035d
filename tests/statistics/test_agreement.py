"""Agreement of guesses and tags, against published figures."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.run.tag import agreement, kappa_of


def test_cohen_1960() -> None:
    """Cohen 1960, two judges, 200 cases: kappa .492 (the table as the help of R's psych has it)."""
    shares = [[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]]
    kappa, low, high = kappa_of(200 * np.array(shares))

    assert kappa == pytest.approx(0.492, abs=5e-4)
    assert low is not None
    assert high is not None
    assert low < 0.492 < high


def test_fleiss_cohen_and_everitt_1969() -> None:
    """Fleiss, Cohen and Everitt 1969, 200 cases: kappa .4286, SE .0537, interval .323 to .534."""
    shares = [[0.53, 0.05, 0.02], [0.11, 0.14, 0.05], [0.01, 0.06, 0.03]]
    kappa, low, high = kappa_of(200 * np.array(shares))

    assert kappa == pytest.approx(0.4286, abs=5e-5)
    assert (low, high) == (pytest.approx(0.323, abs=5e-4), pytest.approx(0.534, abs=5e-4))


def test_watson_and_petrie_2010() -> None:
    """Watson and Petrie 2010, p. 1170, 596 61 / 29 987: kappa .89 (.86 to .91)."""
    figures = kappa_of(np.array([[596, 61], [29, 987]]))

    assert [round(one or 0, 2) for one in figures] == [0.89, 0.86, 0.91]


@pytest.mark.parametrize(
    ("counts", "expected"), [([[80, 10], [10, 0]], -0.11), ([[40, 10], [10, 40]], 0.60)]
)
def test_the_same_share_alike_can_mean_no_agreement(
    counts: list[list[int]], expected: float
) -> None:
    """80 % alike both times; by hand: (.80-.82)/.18 and (.80-.50)/.50."""
    assert kappa_of(np.array(counts))[0] == pytest.approx(expected, abs=5e-3)


def test_precision_and_recall_by_error() -> None:
    """scikit-learn's example: guesses 0 2 1 0 0 1 of 0 1 2 0 1 2 average .2222 and .3333."""
    guesses, tags = "021001", "012012"
    table = agreement(((a,), (b,)) for a, b in zip(guesses, tags, strict=True)).by_pattern

    assert table["precision"].mean() == pytest.approx(0.2222, abs=5e-5)
    assert table["recall"].mean() == pytest.approx(0.3333, abs=5e-5)


def test_intervals_are_wilsons() -> None:
    """Newcombe 1998, Statistics in Medicine 17: 81 of 263 gives .2553 to .3662."""
    pairs = [(("a",), ("a",))] * 81 + [(("a",), ("b",))] * 182
    row = agreement(pairs).by_pattern.set_index("pattern").loc["a"]

    assert row["precision_low"] == pytest.approx(0.2553, abs=5e-5)
    assert row["precision_high"] == pytest.approx(0.3662, abs=5e-5)


def test_a_tag_of_either_counts_as_a_set() -> None:
    found = agreement([(("a", "b"), ("b",)), (("c",), ("a", "c")), (("a",), ("b",))])

    assert (found.answers, found.alike) == (3, 2)


def test_nothing_can_be_told_from_one_error_or_no_answer() -> None:
    assert agreement([(("a",), ("a",))] * 5).kappa is None
    assert agreement([]).answers == 0
    assert agreement([]).kappa is None
