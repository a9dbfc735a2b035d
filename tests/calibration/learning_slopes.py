"""Whether planted slopes of learning come back from classes of students who differ.

python -m tests.calibration.learning_slopes [--runs 40]

Four topics of six questions, slopes .30 .15 .05 0 in log-odds a question, 200 students who differ
by one logit and meet the questions of a topic, which differ by half a logit, each in an order of
their own. Printed are the mean error of each slope, its spread over the classes, how often the
95 % interval holds the truth, and what a curve over all answers without students would say: it is
flatter, since students who differ blur it. The command fails where the mean error is over .02 or
the intervals hold less than 92 %.

Then courses of 60 and 120 students and ten topics without any learning: in how many the page would
say of some topic that it goes better or worse. With one order for all it must say so of none, with
orders that differ in at most 5 % (and what such a share varies by in so many courses).
"""

from __future__ import annotations

import argparse

import numpy as np
import pandas as pd
import statsmodels.formula.api as smf
from numpy.typing import NDArray
from scipy import special, stats

from pipeline.statistics.additive_factors import learning_slopes
from tests.calibration.cluster_intervals import least

SLOPES = (0.30, 0.15, 0.05, 0.0)
CHANCES, STUDENTS = 6, 200
LARGEST_ERROR, LEAST_COVERED = 0.02, 0.92
LEVEL = 0.05


def steps(
    students: int,
    generator: np.random.Generator,
    slopes: tuple[float, ...] = SLOPES,
    *,
    one_order: bool = False,
) -> pd.DataFrame:
    """Everyone answers every topic six times; students differ by one logit, questions by half."""
    own = generator.normal(0, 1, students)
    hard = generator.normal(0, 0.5, (len(slopes), CHANCES))
    hard -= hard.mean(axis=1, keepdims=True)
    who, topic, earlier = (
        part.ravel()
        for part in np.meshgrid(range(students), range(len(slopes)), range(CHANCES), indexing="ij")
    )
    item = earlier
    if not one_order:
        item = generator.random((students, len(slopes), CHANCES)).argsort(axis=2).ravel()
    level = own[who] - 0.2 + 0.2 * topic / len(slopes) * len(SLOPES) - hard[topic, item]
    chance = special.expit(level + np.array(slopes)[topic] * earlier)
    return pd.DataFrame(
        {"term": "t", "setting": "practice", "topic": [f"k{one}" for one in topic],
         "student": who, "earlier": earlier, "item": [f"q{one}" for one in item],
         "wrong": (generator.random(len(who)) >= chance).astype(int)}
    )  # fmt: skip


def without_students(frame: pd.DataFrame) -> NDArray[np.float64]:
    """Slopes of a logit over all answers, as if each came from another student."""
    fitted = smf.logit("I(1 - wrong) ~ 0 + topic + topic:earlier", frame).fit(disp=False)
    return fitted.params.to_numpy()[len(SLOPES) :]


def settled(runs: int, students: int, *, one_order: bool) -> int:
    """Courses without learning in which some topic is said to go better or worse."""
    found = 0
    for run in range(runs):
        generator = np.random.default_rng([17, run, students])
        table = learning_slopes(steps(students, generator, (0.0,) * 10, one_order=one_order))
        found += "p_adjusted" in table and bool((table["p_adjusted"] < LEVEL).any())
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=40, help="classes drawn")
    runs = parser.parse_args().runs
    generator = np.random.default_rng(7)
    found, naive, held = [], [], []
    for _ in range(runs):
        frame = steps(STUDENTS, generator)
        table = learning_slopes(frame).sort_values("topic")
        low, high = (table[f"slope_{end}"].to_numpy(dtype=float) for end in ("low", "high"))
        found.append(table["slope"].to_numpy(dtype=float))
        held.append((low <= SLOPES) & (high >= SLOPES))
        naive.append(without_students(frame))
    error, spread = np.mean(found, axis=0) - SLOPES, np.std(found, axis=0)
    covered = float(np.mean(held))
    print("planted slope  mean error  spread  error without students")
    for slope, off, wide, flat in zip(
        SLOPES, error, spread, np.mean(naive, axis=0) - SLOPES, strict=True
    ):
        print(f"{slope:13.2f} {off:11.3f} {wide:7.3f} {flat:23.3f}")
    print(f"intervals that hold the truth: {covered:.3f}")
    if np.abs(error).max() > LARGEST_ERROR or covered < least(LEAST_COVERED, 4 * runs):
        raise SystemExit("A planted slope does not come back.")
    for students in (60, 120):
        fixed, mixed = (settled(runs, students, one_order=one) for one in (True, False))
        print(f"no learning, {students} students: settled in {fixed} of {runs} courses with one "
              f"order, in {mixed} of {runs} with orders that differ")  # fmt: skip
        if fixed or mixed > stats.binom.ppf(0.999, runs, LEVEL):
            raise SystemExit("Learning is said where none was.")


if __name__ == "__main__":
    main()
