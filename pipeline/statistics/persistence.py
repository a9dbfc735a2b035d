"""Whether an error comes back in the same students.

Source: lag-one persistence of a two-state chain, corrected for what the class rate of the next
question would give anyway; from memory. Stable differences between students look like persistence:
read it as "tends to recur in the same students", never as an error that causes itself.
"""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from pipeline.statistics.intervals import clustered
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few

_FIGURES = ["persistence", "persistence_low", "persistence_high", "persistence_beyond_chance",
            "persistence_note"]  # fmt: skip
NO_CHANCE = "no student who showed it had another chance"


def transitions(showings: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Sum, for each student, how often an error was followed by itself at the next chance.

    Args:
        showings: one row per chance, in order of time within each student: the columns `keys`,
            student, question (or item), shown (share of the answer laid to the error, 0 to 1).
        keys: what persistence is given by.

    Returns:
        The columns `keys`, student, showed (chances that showed it and had a next one), again
        (of these, followed by it), expected (what the class rate of the next question gives).
    """
    who = [*keys, "student"]
    rate = showings.groupby([*keys, "question"])["shown"].transform("mean")
    following = showings.assign(rate=rate).groupby(who)[["shown", "rate"]].shift(-1)
    has_next = following["shown"].notna()
    now = showings.loc[has_next, "shown"]
    sums = showings.loc[has_next, who].assign(
        showed=now,
        again=now * following.loc[has_next, "shown"],
        expected=now * following.loc[has_next, "rate"],
    )
    return sums[sums["showed"] > 0].groupby(who, as_index=False).sum()


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
