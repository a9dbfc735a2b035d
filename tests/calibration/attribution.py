"""How well attribution recovers planted rates: `python -m tests.calibration.attribution`.

Prints, for classes that solve twelve quadratics by known wrong rules, the bias of each estimated
rate and how often its 95 % interval holds the planted one.
"""

from __future__ import annotations

import sys
from collections import defaultdict

import numpy as np

from pipeline.statistics.intervals import clustered_from_variance
from pipeline.tagging.attribute import estimate
from pipeline.tagging.evidence import gather
from tests.calibration.simulated_class import RATES, draw


def measure(classes: int, students: int, first: int = 5) -> dict[str, tuple[float, float]]:
    """Bias and coverage by reported name over some simulated classes."""
    errors: dict[str, list[float]] = defaultdict(list)
    held: dict[str, list[bool]] = defaultdict(list)
    for number in range(classes):
        frames = draw(students, np.random.default_rng([first, number]))
        evidence = gather(
            frames.opportunities,
            frames.candidates,
            frames.can_show,
            frames.predicted,
            frames.catalogue,
            chance=0.0,
        )
        for cell in estimate(evidence, ["topic"]):
            for place, group in enumerate(cell.groups):
                names = [evidence.patterns[pattern] for pattern in group]
                truth = sum(RATES[name] for name in names)
                low, high = clustered_from_variance(
                    cell.rates[place],
                    cell.variances[place],
                    int(cell.opportunities[place]),
                    int(cell.students[place]),
                )
                name = " / ".join(names)
                errors[name].append(cell.rates[place] - truth)
                held[name].append(low <= truth <= high)
    return {name: (float(np.mean(errors[name])), float(np.mean(held[name]))) for name in errors}


def main() -> None:
    classes = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    for students in (250, 60):
        print(f"{classes} classes of {students} students, 12 questions each")
        for name, (bias, coverage) in measure(classes, students).items():
            print(f"  {name:32} bias {bias:+.4f}   interval holds the truth {coverage:.3f}")


if __name__ == "__main__":
    main()
