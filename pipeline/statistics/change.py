"""What a difference of two rates is made of, and what its data could and could not have shown."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from pipeline.statistics.intervals import Numbers, effective_size, square_and_add
from pipeline.statistics.patterns import Combined

MARGIN = 0.05
"""A difference under five percentage points either way counts as small, unless the course states
another margin; it is stated before looking."""

EQUIVALENCE = 0.90
"""Two one-sided tests at 5 % are the question whether the 90 % interval lies inside the margin."""

POWER = 0.80
"""Chance with which a difference would have been found; common practice."""


def rate_and_mix(
    rate_before: ArrayLike, size_before: ArrayLike, rate_after: ArrayLike, size_after: ArrayLike
) -> tuple[float, float]:
    """Split a crude difference into what the rates and what the mix of questions changed.

    Args:
        rate_before: rate of each question, first group.
        size_before: its answers.
        rate_after: rate of each question, second group.
        size_after: its answers.

    Returns:
        The part of the rates and the part of the mix; their sum is the crude difference, second
        less first.

    Source: Kitagawa (1955), Journal of the American Statistical Association 50:1168-1194.
    """
    first, second = np.asarray(rate_before, dtype=float), np.asarray(rate_after, dtype=float)
    old, new = np.asarray(size_before, dtype=float), np.asarray(size_after, dtype=float)
    old, new = old / old.sum(), new / new.sum()
    rates = ((old + new) / 2 * (second - first)).sum()
    return float(rates), float(((first + second) / 2 * (new - old)).sum())


def smallest_visible(before: ArrayLike, size_before: ArrayLike, size_after: ArrayLike) -> Numbers:
    """Smallest difference that these data would have shown with 80 % chance, at 5 % two-sided.

    Args:
        before: rate of the earlier group, 0 to 1.
        size_before: its answers as if each came from another student.
        size_after: the same of the later group.

    Returns:
        The difference toward one half, where it is hardest to see; nan where even the largest
        possible one would often be missed, and where the groups are so unlike in size that the
        approximation takes any difference for visible.
    """
    from scipy.optimize import elementwise  # slow to import, as is the next
    from statsmodels.stats.proportion import power_proportions_2indep

    rate, *sizes = (np.asarray(one, dtype=float) for one in (before, size_before, size_after))
    base = np.minimum(rate, 1 - rate)
    told = np.isfinite(np.sum(sizes, axis=0)) & (np.minimum(*sizes) > 1)
    sizes = [np.where(told, size, np.nan) for size in sizes]

    def lacking(difference: Numbers, base: Numbers, first: Numbers, second: Numbers) -> Numbers:
        power: Numbers = power_proportions_2indep(
            difference, base, second, ratio=first / second, return_results=False
        )
        return power - POWER

    found = elementwise.find_root(lacking, (1e-6, 1 - base - 1e-6), args=(base, *sizes))
    return np.where(found.success, found.x, np.nan)


def effective(side: Combined) -> float:
    """Answers of a clustered rate as if each came from another student."""
    return float(effective_size(side.rate, side.variance, side.opportunities, side.students))


def within_margin(first: Combined, second: Combined, margin: float = MARGIN) -> bool:
    """Whether the difference is shown to be smaller than a margin stated before.

    Args:
        first: earlier rate.
        second: later rate of other students.
        margin: fraction, above 0.

    Source: Schuirmann (1987), two one-sided tests, by the 90 % interval; from memory.
    """
    later, earlier = (side.limits(EQUIVALENCE) for side in (second, first))
    low, high = square_and_add(second.rate, later, first.rate, earlier)
    return bool(low > -margin and high < margin)
