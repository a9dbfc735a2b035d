"""How often intervals of a rate hold the truth when answers come in students.

python -m tests.calibration.cluster_intervals [--runs 2000]

Students are beta-binomial around one rate, with as many answers each as a skewed draw gives them,
eight on average. Printed is the share of the 95 % intervals that hold the rate: Wilson on answers,
the linearized variance with Student's t, and the interval that the reports use. Differences of two
classes follow. The command fails where the reports' interval covers less than the table in
`EXPECTED` promises: 92 % wherever that can be had. A rare error in 40 students and a rate of a
tenth in 15 are not such places: 90 % is what can be had there. The last column says how often the
reports put a word of warning beside the rate: fewer than 30 students, or answers that count as
fewer.
"""

from __future__ import annotations

import argparse

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from pipeline.statistics.intervals import (
    cluster_variance,
    clustered,
    clustered_from_variance,
    effective_size,
    square_and_add,
    wilson,
)
from pipeline.statistics.notes import few

MEAN_ANSWERS = 8
SKEW = 3.0
SIMULATION_ERROR = 3
"""Standard errors that a simulated coverage may lie under its promise."""

EXPECTED = {
    (0.3, 0.03, 15): 0.92,
    (0.3, 0.03, 40): 0.90,
    (0.3, 0.03, 150): 0.92,
    (0.3, 0.10, 15): 0.90,
    (0.3, 0.10, 40): 0.92,
    (0.3, 0.10, 150): 0.92,
    (0.3, 0.30, 40): 0.92,
    (0.3, 0.30, 150): 0.92,
    (0.05, 0.03, 40): 0.92,
    (0.05, 0.10, 40): 0.92,
    (0.05, 0.30, 150): 0.92,
}
"""Correlation within students, rate, students -> coverage that the interval must reach."""

DIFFERENCES = ((0.05, 0.05, 60), (0.10, 0.20, 40), (0.30, 0.30, 25))
LEAST_DIFFERENCE = 0.90

Sums = tuple[NDArray[np.float64], ...]


def classes(
    generator: np.random.Generator, runs: int, students: int, rate: float, correlation: float
) -> Sums:
    """The six sums over the students of each of many classes: m, y, n, yy, yn, nn."""
    strength = 1 / correlation - 1
    shape = (runs, students)
    own = generator.beta(rate * strength, (1 - rate) * strength, shape)
    answers = 1 + generator.poisson(generator.gamma(SKEW, (MEAN_ANSWERS - 1) / SKEW, shape))
    events = generator.binomial(answers, own)
    y, n = events.astype(float), answers.astype(float)
    sums = [(a * b).sum(axis=1) for a, b in ((y, y), (y, n), (n, n))]
    return (np.full(runs, float(students)), y.sum(axis=1), n.sum(axis=1), *sums)


def _share(low: NDArray[np.float64], high: NDArray[np.float64], truth: float) -> float:
    return float(((low <= truth) & (truth <= high)).mean())


def coverages(sums: Sums, rate: float) -> tuple[float, float, float]:
    """Coverage of Wilson on answers, of the linearized interval, and of the reports' one."""
    m, y, n = sums[:3]
    plain = _share(*wilson(y, n), rate)
    reach = stats.t.ppf(0.975, m - 1) * np.sqrt(cluster_variance(*sums))
    return plain, _share(y / n - reach, y / n + reach, rate), _share(*clustered(*sums), rate)


def difference_coverage(first: Sums, second: Sums, truth: float) -> float:
    """Coverage of the reports' interval of the difference of two classes."""
    sides = []
    for sums in (first, second):
        rate = sums[1] / sums[2]
        limits = clustered_from_variance(rate, cluster_variance(*sums), sums[2], sums[0])
        sides.append((rate, limits))
    (p, p_limits), (q, q_limits) = sides
    return _share(*square_and_add(p, p_limits, q, q_limits), truth)


def warned(sums: Sums) -> float:
    """Share of the classes beside whose rate the reports put a word of warning."""
    rate = sums[1] / sums[2]
    size = effective_size(rate, cluster_variance(*sums), sums[2], sums[0])
    return float((few(sums[0], size) != None).mean())  # noqa: E711 - by element


def least(promised: float, runs: int) -> float:
    """The promise less what the simulation itself is unsure of."""
    return promised - SIMULATION_ERROR * float(np.sqrt(promised * (1 - promised) / runs))


def _rates(generator: np.random.Generator, runs: int) -> bool:
    print("correlation  rate  students  answers as one  linearized t  reports  promised  warned")
    good = True
    for (correlation, rate, students), promised in EXPECTED.items():
        sums = classes(generator, runs, students, rate, correlation)
        plain, linear, ours = coverages(sums, rate)
        good &= ours >= least(promised, runs)
        print(
            f"{correlation:11.2f} {rate:5.2f} {students:9d} {plain:15.3f} {linear:13.3f} "
            f"{ours:8.3f} {promised:9.2f} {warned(sums):7.2f}"
        )
    return good


def _differences(generator: np.random.Generator, runs: int) -> bool:
    print("\ndifferences, correlation .3: rates, students a side, reports, promised")
    good = True
    for first, second, students in DIFFERENCES:
        sides = [classes(generator, runs, students, rate, 0.3) for rate in (first, second)]
        covered = difference_coverage(*sides, first - second)
        good &= covered >= least(LEAST_DIFFERENCE, runs)
        print(f"{first:.2f} {second:.2f} {students:9d} {covered:8.3f} {LEAST_DIFFERENCE:9.2f}")
    return good


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=2000, help="classes drawn for each row")
    runs = parser.parse_args().runs
    generator = np.random.default_rng(2024)
    good = [_rates(generator, runs), _differences(generator, runs)]
    if not all(good):
        raise SystemExit("An interval holds the truth less often than promised.")
    print("\nEvery interval of the reports keeps its promise.")


if __name__ == "__main__":
    main()
