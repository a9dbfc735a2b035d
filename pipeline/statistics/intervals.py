"""Intervals for rates and differences of rates whose answers come in students, and p-values.

Every function takes plain numbers or arrays of equal length and works on all at once.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Numbers: TypeAlias = NDArray[np.float64]
Limits: TypeAlias = tuple[Numbers, Numbers]
"""Lower and upper ends, fractions, 95 %."""

CONFIDENCE = 0.95


def wilson(events: ArrayLike, answers: ArrayLike, *, confidence: float = CONFIDENCE) -> Limits:
    """Interval of a rate when each answer comes from another student.

    Args:
        events: answers that count, not below 0; may be fractional.
        answers: all answers, above 0; may be fractional.
        confidence: of the interval.

    Source: Wilson (1927), as method 3 of Newcombe (1998), Statistics in Medicine 17:857-872.
    """
    n = np.asarray(answers, dtype=float)
    return _score(
        np.asarray(events, dtype=float) / n, n, float(special.ndtri(0.5 + confidence / 2)) ** 2
    )


def _score(
    rate: Numbers, size: Numbers, reach: Numbers | float, beyond: Numbers | float = 0.0
) -> Limits:
    """Every rate p0 with (rate - p0)^2 at most `beyond` + `reach` p0 (1 - p0) / `size`."""
    scale = reach / size
    middle = (rate + scale / 2) / (1 + scale)
    within = scale * rate * (1 - rate) + scale**2 / 4 + beyond * (1 + scale)
    half = np.sqrt(np.maximum(within, 0.0)) / (1 + scale)
    return np.clip(middle - half, 0.0, 1.0), np.clip(middle + half, 0.0, 1.0)


def cluster_variance(
    m: ArrayLike, y: ArrayLike, n: ArrayLike, yy: ArrayLike, yn: ArrayLike, nn: ArrayLike
) -> Numbers:
    """Variance of the rate y / n, clustered by student, from six sums over students.

    Args:
        m: students.
        y: sum of their events.
        n: sum of their answers.
        yy: sum of squared events.
        yn: sum of events times answers.
        nn: sum of squared answers.

    Returns:
        The linearized variance; infinite with fewer than two students. It equals the squared
        cluster-robust standard error of the mean in least squares.

    Source: Cochran (1977), Sampling Techniques, section 6.3, the ratio estimator; from memory.
    """
    students, total = np.asarray(m, dtype=float), np.asarray(n, dtype=float)
    rate = np.asarray(y, dtype=float) / np.maximum(total, 1e-300)
    squares = np.asarray(yy) - 2 * rate * np.asarray(yn) + rate**2 * np.asarray(nn)
    alone = students < 2
    factor = students / np.where(alone, 1.0, students - 1)
    spread: Numbers = np.where(alone, np.inf, factor * np.maximum(squares, 0.0) / total**2)
    return spread


def effective_size(
    rate: ArrayLike, variance: ArrayLike, answers: ArrayLike, students: ArrayLike
) -> Numbers:
    """Answers of as many different students that would leave the rate as unsure as it is.

    Args:
        rate: fraction, 0 to 1.
        variance: its variance, clustered by student.
        answers: all answers; the effective size is never larger.
        students: students behind them; they count where the answers show no spread at all.

    Source: Kish (1965), Survey Sampling; from memory.
    """
    p, v = np.asarray(rate, dtype=float), np.asarray(variance, dtype=float)
    spread = p * (1 - p)
    flat = (v <= 0) | (spread <= 0)
    effective = np.where(flat, students, spread / np.where(flat, 1.0, v))
    size: Numbers = np.minimum(np.asarray(answers, dtype=float), effective)
    return size


def clustered_from_variance(
    rate: ArrayLike,
    variance: ArrayLike,
    answers: ArrayLike,
    students: ArrayLike,
    *,
    noise: ArrayLike = 0.0,
    confidence: float = CONFIDENCE,
) -> Limits:
    """Interval of a rate with a given clustered variance: Wilson's at the effective size.

    It holds every rate p0 from which the one seen is not further than Student's t times the root
    of `noise` + p0 (1 - p0) / size, where size makes this the variance at the rate seen.

    Args:
        rate: fraction, 0 to 1.
        variance: its variance, clustered by student.
        answers: all answers, above 0; the effective size is never larger.
        students: students behind them.
        noise: the part of the variance that a rate of 0 would have too, since other answers than
            those counted enter it; 0 gives Wilson's interval.
        confidence: of the interval.

    Returns:
        Limits; (0, 1) with fewer than two students.

    Source: effective size after Kish (1965), t shrink after Korn and Graubard (1998), Survey
        Methodology 24:193-201; from memory. The noise is this project's own.
    """
    p, m = np.asarray(rate, dtype=float), np.asarray(students, dtype=float)
    spread = np.asarray(variance, dtype=float)
    floor = np.minimum(np.asarray(noise, dtype=float), spread)
    size = effective_size(p, spread - np.where(np.isfinite(floor), floor, 0.0), answers, m)
    usable = (m > 1) & np.isfinite(spread) & (size > 1e-9)
    reach = special.stdtrit(np.maximum(m - 1, 1.0), 0.5 + confidence / 2) ** 2
    beyond = np.where(usable, reach * floor, 0.0)
    low, high = _score(p, np.where(usable, size, 1.0), reach, beyond)
    return np.where(usable, np.minimum(low, p), 0.0), np.where(usable, np.maximum(high, p), 1.0)


def clustered(
    m: ArrayLike, y: ArrayLike, n: ArrayLike, yy: ArrayLike, yn: ArrayLike, nn: ArrayLike
) -> Limits:
    """Interval of the rate y / n from six sums over students; see `cluster_variance`."""
    rate = np.asarray(y, dtype=float) / np.asarray(n, dtype=float)
    return clustered_from_variance(rate, cluster_variance(m, y, n, yy, yn, nn), n, m)


def square_and_add(
    first: ArrayLike, first_limits: Limits, second: ArrayLike, second_limits: Limits
) -> Limits:
    """Interval of the difference first - second of two groups of different students.

    Args:
        first: rate of the one group.
        first_limits: its interval.
        second: rate of the other.
        second_limits: its interval.

    Source: method 10 of Newcombe (1998), Statistics in Medicine 17:873-890.
    """
    p, q = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    down = np.hypot(p - first_limits[0], second_limits[1] - q)
    up = np.hypot(first_limits[1] - p, q - second_limits[0])
    return p - q - down, p - q + up


def newcombe_paired(both: int, first_only: int, second_only: int, neither: int) -> Limits:
    """Interval of the difference of two rates of the same students, one pair each.

    Args:
        both: students with the event both times.
        first_only: students with the event the first time alone.
        second_only: students with it the second time alone.
        neither: students without it.

    Source: method 10 of Newcombe (1998), Statistics in Medicine 17:2635-2650.
    """
    size = both + first_only + second_only + neither
    p, q = (both + first_only) / size, (both + second_only) / size
    (p_low, q_low), (p_high, q_high) = wilson([p * size, q * size], [size, size])
    phi = _phi(both, first_only, second_only, neither)
    down = (p - p_low) ** 2 - 2 * phi * (p - p_low) * (q_high - q) + (q_high - q) ** 2
    up = (p_high - p) ** 2 - 2 * phi * (p_high - p) * (q - q_low) + (q - q_low) ** 2
    return np.asarray(p - q - np.sqrt(down)), np.asarray(p - q + np.sqrt(up))


def mid_p(first_only: int, second_only: int) -> float:
    """p-value of no change among the same students, one pair each: McNemar's, half the tie taken.

    Args:
        first_only: students with the event the first time alone.
        second_only: students with it the second time alone.

    Source: Lancaster (1961); Fagerland, Lydersen and Laake (2013), BMC Medical Research Methodology
        13:91, who advise it for pairs; from memory.
    """
    changed, less = first_only + second_only, min(first_only, second_only)
    if not changed:
        return 1.0
    exact = special.bdtr(less, changed, 0.5) + special.bdtr(less - 1, changed, 0.5)
    return float(min(exact, 1.0))


def _phi(both: int, first_only: int, second_only: int, neither: int) -> float:
    """Correlation of the pair, its numerator corrected for continuity when positive."""
    margins = (
        (both + first_only)
        * (second_only + neither)
        * (both + second_only)
        * (first_only + neither)
    )
    if not margins:
        return 0.0
    size = both + first_only + second_only + neither
    top: float = both * neither - first_only * second_only
    if top > 0:
        top = max(top - size / 2, 0.0)
    return float(top / np.sqrt(margins))


def benjamini_hochberg(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust all p-values of one page for the share of false findings among the findings.

    Source: Benjamini and Hochberg (1995), JRSS B 57:289-300.
    """
    return _adjusted(p, "fdr_bh")


def holm(p: ArrayLike) -> NDArray[np.float64]:
    """Adjust a few headline p-values for the chance of any false finding.

    Source: Holm (1979), Scandinavian Journal of Statistics 6:65-70.
    """
    return _adjusted(p, "holm")


def _adjusted(p: ArrayLike, method: str) -> NDArray[np.float64]:
    values = np.array(p, dtype=float)
    known = np.isfinite(values)
    if known.sum() > 1:  # one alone stays as it is
        from statsmodels.stats.multitest import multipletests  # slow to import

        values[known] = multipletests(values[known], method=method)[1]
    return values
