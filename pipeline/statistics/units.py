"""Intervals of a difference by student, or by class where whole classes were treated."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

from pipeline.statistics.notes import FEWEST_FOR_INTERVAL
from pipeline.statistics.patterns import clustered_variance
from pipeline.tagging.mixture import Vector

Units = NDArray[np.int64]
"""Number of the unit of each student of the course, from 0; -1 for students without one."""

FEWEST_CLASSES = 2


def student_units(everyone: int) -> Units:
    """Each student alone.

    Args:
        everyone: students of the course.
    """
    return np.arange(everyone, dtype=np.int64)


def class_units(answers: pd.DataFrame, sections: Sequence[str], everyone: int) -> Units:
    """Students by the class section that had the lesson.

    A lesson that went to some classes only is one event in each of them: what the students of one
    class share, say the instructor or the hour, does not average out over them. Four classes are
    four units, however many students they have.

    Args:
        answers: student (number), section.
        sections: ids of the classes that had the lesson.
        everyone: students of the course.
    """
    units = np.full(everyone, -1, dtype=np.int64)
    place = pd.Index(sorted(set(sections))).get_indexer(pd.Index(answers["section"]))
    units[answers["student"].to_numpy()] = place
    return units


def limits_of(
    difference: float, influence: Vector, present: NDArray[np.bool_], units: Units
) -> tuple[float, float]:
    """Interval of a difference, 95 %.

    Args:
        difference: of rates, or of two such differences.
        influence: what each student adds to it.
        present: which students have any answer.
        units: see `Units`.

    Returns:
        Ends within -2 and 2; nan where units are too few: under five students or two classes.
    """
    inside = present & (units >= 0)
    length = int(units.max(initial=0)) + 1
    sums = np.bincount(units[inside], influence[inside], length).astype(np.float64)
    seen = np.bincount(units[inside], minlength=len(sums)) > 0
    m = int(seen.sum())
    alone = m == int(inside.sum())
    if m < (FEWEST_FOR_INTERVAL if alone else FEWEST_CLASSES):
        return float("nan"), float("nan")
    reach = float(special.stdtrit(m - 1, 0.975)) * clustered_variance(sums[seen], seen[seen]) ** 0.5
    return max(difference - reach, -2.0), min(difference + reach, 2.0)
