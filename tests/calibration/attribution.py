"""How well attribution recovers planted rates: `python -m tests.calibration.attribution`.

Prints, for classes that solve twelve quadratics by known wrong rules, the bias of each estimated
rate and how often its 95 % interval holds the planted one. Then, for classes that answer twelve
real questions by errors of the catalogue drawn anew for each class, with the candidates that the
program finds, how often the intervals hold the planted rates, and how often those of errors that
were not planted, though answers fit them, reach 0. It fails where the planted rates are held less
often than 93 or more often than 97 times in 100.

`python -m tests.calibration.attribution [classes] [--first 1000]`
"""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict

import numpy as np

from pipeline.statistics.intervals import clustered_from_variance
from pipeline.tagging.attribute import estimate
from pipeline.tagging.evidence import gather, with_chance
from tests.calibration import planted_class
from tests.calibration.simulated_class import RATES, draw


def measure(classes: int, students: int, first: int = 5) -> dict[str, tuple[float, float]]:
    """Bias and coverage by reported name over some simulated classes."""
    errors: dict[str, list[float]] = defaultdict(list)
    held: dict[str, list[bool]] = defaultdict(list)
    for number in range(classes):
        frames = draw(students, np.random.default_rng([first, number]))
        gathered = gather(
            frames.opportunities,
            frames.candidates,
            frames.predicted,
            frames.catalogue,
        )
        evidence = with_chance(gathered, 0.0)
        for cell in estimate(evidence, ["topic"]):
            low, high = clustered_from_variance(
                cell.rates, cell.variances, cell.opportunities, cell.students, noise=cell.noise
            )
            for place, group in enumerate(cell.groups):
                names = [evidence.patterns[pattern] for pattern in group]
                truth = sum(RATES[name] for name in names)
                name = " / ".join(names)
                errors[name].append(cell.rates[place] - truth)
                held[name].append(low[place] <= truth <= high[place])
    return {name: (float(np.mean(errors[name])), float(np.mean(held[name]))) for name in errors}


SIZES = (40, 120, 250)
LEAST_HELD, MOST_HELD = 0.93, 0.97
SEEN = 1e-4
"""A rate under this is that of an error which no answer of the class fits."""


def held_rates(classes: int, first: int) -> Counter[tuple[str, int, bool]]:
    """Count intervals by kind (planted, absent), students and whether they hold the truth."""
    found: Counter[tuple[str, int, bool]] = Counter()
    for students in SIZES:
        for number in range(first, first + classes):
            planted = planted_class.draw(students, np.random.default_rng([number, students]))
            for cell in estimate(planted.evidence, ["topic"]):
                low, high = clustered_from_variance(
                    cell.rates, cell.variances, cell.opportunities, cell.students, noise=cell.noise
                )
                for at, group in enumerate(cell.groups):
                    truth = planted.truth(group, cell.key[0])
                    kind = "planted" if truth else "absent"
                    if truth or cell.rates[at] > SEEN:
                        found[kind, students, bool(low[at] <= truth <= high[at])] += 1
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("classes", type=int, nargs="?", default=60)
    parser.add_argument("--first", type=int, default=1000, help="number of the first class")
    given = parser.parse_args()
    _known_rules(given.classes)
    found = held_rates(given.classes, given.first)
    whole: Counter[tuple[str, bool]] = Counter()
    for kind, students, held in found:
        whole[kind, held] += found[kind, students, held]
    for kind in ("planted", "absent"):
        for students in SIZES:
            yes, no = (found[kind, students, held] for held in (True, False))
            print(f"{kind} errors, {students} students: {yes} of {yes + no} rates held")
        yes, no = whole[kind, True], whole[kind, False]
        print(f"{kind} errors in all: {yes} of {yes + no}, {yes / (yes + no):.3f}")
    share = whole["planted", True] / (whole["planted", True] + whole["planted", False])
    if not LEAST_HELD <= share <= MOST_HELD:
        raise SystemExit("Intervals do not hold what they promise.")


def _known_rules(classes: int) -> None:
    for students in (250, 60):
        print(f"{classes} classes of {students} students, 12 questions each")
        for name, (bias, coverage) in measure(classes, students).items():
            print(f"  {name:32} bias {bias:+.4f}   interval holds the truth {coverage:.3f}")


if __name__ == "__main__":
    main()
