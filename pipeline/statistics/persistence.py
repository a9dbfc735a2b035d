"""Whether an error comes back in the same students.

Source: lag-one persistence of a two-state chain, corrected for what the class rate of the next
question would give anyway; from memory. Stable differences between students look like persistence:
read it as "tends to recur in the same students", never as an error that causes itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.intervals import clustered
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few

_FIGURES = ["persistence", "persistence_low", "persistence_high", "persistence_beyond_chance",
            "persistence_note"]  # fmt: skip
Whole: TypeAlias = NDArray[np.int64]
FOLLOWED = ["student", "showed", "again", "expected"]
NO_CHANCE = "no student who showed it had another chance"


def followed(student: Whole, question: Whole, shown: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sum, for each student, how often one error was followed by itself at the next chance.

    Args:
        student: number of the student of each chance, from 0, in order of time within each.
        question: number of its question, from 0.
        shown: share of the answer laid to the error, 0 to 1.

    Returns:
        Students with any such chance x `FOLLOWED`: the student, chances that showed it and had a
        next one, of these those followed by it, and what the class rate of the next question gives.
    """
    order = np.argsort(student, kind="stable")
    student, question, shown = student[order], question[order], shown[order]
    rate = np.bincount(question, shown) / np.maximum(np.bincount(question), 1)
    now = np.flatnonzero((student[:-1] == student[1:]) & (shown[:-1] > 0))
    who, place = np.unique(student[now], return_inverse=True)
    again, expected = shown[now] * shown[now + 1], shown[now] * rate[question[now + 1]]
    sums = [np.bincount(place, one) for one in (shown[now], again, expected)]
    return np.column_stack([who, *sums])


def persistence(sums: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Share of showings after which the error comes back, clustered by student.

    Args:
        sums: what `transitions` returns.
        keys: what persistence is given by.

    Returns:
        The columns `keys`, persistence with _low, _high and _note, persistence_beyond_chance (1
        when it always comes back, 0 when as often as the class rate says, below when rarer), and
        showed and again, the sums behind it.
    """
    squares = sums.assign(
        m=1.0,
        yy=sums["again"] ** 2,
        yn=sums["again"] * sums["showed"],
        nn=sums["showed"] ** 2,
    )
    columns = ["m", "again", "showed", "expected", "yy", "yn", "nn"]
    table = squares.groupby(list(keys), as_index=False)[columns].sum()
    if not len(table):
        return pd.DataFrame(columns=[*keys, "again", "showed", *_FIGURES])
    m, y, n, yy, yn, nn = (table[c] for c in ("m", "again", "showed", "yy", "yn", "nn"))
    low, high = clustered(m, y, n, yy, yn, nn)
    chance = table["expected"] / n
    table["persistence"] = (y / n).where(m >= FEWEST_FOR_INTERVAL)
    table["persistence_low"] = blank_when_few(low, m)
    table["persistence_high"] = blank_when_few(high, m)
    beyond = (y / n - chance) / (1 - chance).clip(lower=1e-12)
    table["persistence_beyond_chance"] = beyond.where(m >= FEWEST_FOR_INTERVAL)
    table["persistence_note"] = few(m)
    return table.drop(columns=["m", "expected", "yy", "yn", "nn"])
