"""Adjusted p-values against the published example."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.statistics.intervals import benjamini_hochberg, holm

P = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
    0.5719, 0.6528, 0.7590, 1.000,
]  # fmt: skip
"""Benjamini and Hochberg (1995), JRSS B 57:289-300, section 4.1."""


def test_four_of_fifteen_are_found() -> None:
    """The same paper: 4 rejections at .05; adjusted values by its formula."""
    adjusted = benjamini_hochberg(P)

    assert (adjusted <= 0.05).sum() == 4
    assert adjusted[:9] == pytest.approx(
        [0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765], abs=5e-6
    )


def test_holm_finds_as_many_as_bonferroni_here() -> None:
    """The same p-values: Bonferroni and Holm find 3; equal to R's p.adjust."""
    adjusted = holm(P)

    assert (adjusted <= 0.05).sum() == 3
    assert adjusted[:4] == pytest.approx([0.0015, 0.0056, 0.0247, 0.114], abs=5e-5)


def test_missing_values_stay_missing_and_do_not_count() -> None:
    adjusted = benjamini_hochberg([0.01, np.nan, 0.04])

    assert np.isnan(adjusted[1])
    assert adjusted[[0, 2]] == pytest.approx([0.02, 0.04])
    assert benjamini_hochberg([]).size == 0
