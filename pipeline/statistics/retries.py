"""Whether those who tried a question again did better the last time: pairs of the same students.

It says nothing of those who did not try again, and hints or an answer shown in between count, too.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from pipeline.statistics.intervals import mid_p, newcombe_paired
from pipeline.statistics.multiplicity import benjamini_hochberg
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few

ONLY_WRONG = (
    "only those who were wrong tried again, so the share wrong could but fall: read how many "
    "mended it, no test of a change"
)
PAIRS = ["both_wrong", "mended", "spoiled", "both_right"]


def retry_changes(counts: pd.DataFrame) -> pd.DataFrame:
    """Change of the share wrong from the first to the last try, each student with oneself.

    Args:
        counts: what `staging.retry_count` holds.

    Returns:
        The columns of `computed.retry_change`; p-values adjusted over the whole table.
    """
    if not len(counts):
        return pd.DataFrame()
    students = counts[PAIRS].sum(axis=1)
    # Wrong is the event: at first alone means mended, at last alone means spoiled.
    ends = [newcombe_paired(*(int(n) for n in row)) for row in counts[PAIRS].to_numpy()]
    low, high = (np.array([-float(pair[place]) for pair in ends]) for place in (1, 0))
    p = pd.Series(
        [mid_p(int(one), int(two)) for one, two in counts[["mended", "spoiled"]].to_numpy()],
        index=counts.index,
    )
    chosen = (counts["spoiled"] + counts["both_right"]) == 0
    p = p.where((students >= FEWEST_FOR_INTERVAL) & ~chosen)
    note = pd.Series(few(students), index=counts.index, dtype="object")
    return counts.assign(
        students=students,
        wrong_first=(counts["both_wrong"] + counts["mended"]) / students,
        wrong_last=(counts["both_wrong"] + counts["spoiled"]) / students,
        difference=(counts["spoiled"] - counts["mended"]) / students,
        difference_low=blank_when_few(low, students),
        difference_high=blank_when_few(high, students),
        difference_note=note.mask(chosen, ONLY_WRONG),
        p=p,
        p_adjusted=benjamini_hochberg(p),
    )
