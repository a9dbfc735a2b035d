"""Rates of what is seen on every answer: wrong answers by topic and week, outcomes."""

from __future__ import annotations

import numpy as np
import pandas as pd

from pipeline.statistics.intervals import cluster_variance, clustered, effective_size, wilson
from pipeline.statistics.notes import blank_when_few, few

__all__ = ["outcome_shares", "outcomes_by_try", "wrong_rates"]

SLACK = 1e-9


def wrong_rates(sums: pd.DataFrame) -> pd.DataFrame:
    """Share of tries that are wrong, clustered by student.

    Args:
        sums: keys, and the six sums m, y, n, yy, yn, nn.

    Returns:
        The keys with the other columns of `computed.try_rate`.
    """
    six = [sums[name].to_numpy(dtype=float) for name in ("m", "y", "n", "yy", "yn", "nn")]
    low, high = clustered(*six) if len(sums) else (np.array([]), np.array([]))
    students = sums["m"].astype("int64")
    effective = effective_size(sums["y"] / sums["n"], cluster_variance(*six), sums["n"], sums["m"])
    return sums.drop(columns=["m", "y", "n", "yy", "yn", "nn"]).assign(
        students=students,
        answers=sums["n"].astype("int64"),
        wrong=sums["y"].astype("int64"),
        rate=sums["y"] / sums["n"],
        rate_low=blank_when_few(low, students),
        rate_high=blank_when_few(high, students),
        rate_note=few(students, effective),
    )


def outcome_shares(
    evidence: pd.DataFrame, enrolled: pd.DataFrame, outcomes: pd.DataFrame
) -> pd.DataFrame:
    """Share of students who meet each outcome's bar, by class section and pooled.

    Students with fewer answered questions than the outcome asks for stand apart and count in no
    share: too little evidence is not a failure.

    Args:
        evidence: term, section, outcome, student, answered, correct.
        enrolled: term, section, student; everyone with any answer.
        outcomes: outcome, bar, fewest.

    Returns:
        The columns of `computed.outcome_share`; section `all` pools the sections.
    """
    everyone = enrolled.merge(outcomes[["outcome", "bar", "fewest"]], how="cross")
    keys = ["term", "section", "outcome", "student"]
    table = everyone.merge(evidence, on=keys, how="left")
    table[["answered", "correct"]] = table[["answered", "correct"]].fillna(0)
    # A student who changed section counts once where the sections are pooled.
    pooled_keys = ["term", "outcome", "student", "bar", "fewest"]
    pooled = table.groupby(pooled_keys, as_index=False, dropna=False)[["answered", "correct"]].sum()
    pooled["section"] = "all"
    both = pd.concat([table[table["section"].notna()], pooled], ignore_index=True)
    return _shares(both)


def outcomes_by_try(
    evidence: pd.DataFrame, enrolled: pd.DataFrame, outcomes: pd.DataFrame
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Outcomes as the course counts them, and both with first and with last tries.

    Args:
        evidence: see `outcome_shares`, with grain (first or last) and declared (whether the
            course counts this one).
        enrolled: see `outcome_shares`.
        outcomes: see `outcome_shares`.

    Returns:
        The columns of `computed.outcome_share`, and those of `computed.outcome_try`.
    """
    declared = outcome_shares(evidence[evidence["declared"].astype(bool)], enrolled, outcomes)
    both = [
        outcome_shares(evidence[evidence["grain"] == grain], enrolled, outcomes).assign(grain=grain)
        for grain in ("first", "last")
    ]
    every = pd.concat(both, ignore_index=True)
    return declared, every.drop(columns=[c for c in every if str(c).startswith("share_bar_")])


def _shares(table: pd.DataFrame) -> pd.DataFrame:
    fewest = table["fewest"].fillna(1).clip(lower=1)
    enough = table["answered"] >= fewest
    share = (table["correct"] / table["answered"].where(table["answered"] > 0)).fillna(0.0)
    marked = table.assign(
        students=enough.astype(int),
        too_little=(~enough).astype(int),
        meeting=(enough & (share >= table["bar"] - SLACK)).astype(int),
        lower=(enough & (share >= table["bar"] - 0.1 - SLACK)).astype(int),
        higher=(enough & (share >= table["bar"] + 0.1 - SLACK)).astype(int),
    )
    counts = ["students", "too_little", "meeting", "lower", "higher"]
    sums = marked.groupby(["term", "section", "outcome"], as_index=False)[counts].sum()
    size = sums["students"].where(sums["students"] > 0)
    safe = size.fillna(1.0).to_numpy(dtype=float)
    limits = {
        name: wilson(sums[events], safe) if len(sums) else (safe, safe)
        for name, events in (
            ("share", "meeting"),
            ("share_bar_lower", "lower"),
            ("share_bar_higher", "higher"),
        )
    }
    ends = {
        f"{name}_{end}": blank_when_few(values[place], sums["students"])
        for name, values in limits.items()
        for place, end in enumerate(("low", "high"))
    }
    return sums[["term", "section", "outcome", "students", "meeting", "too_little"]].assign(
        share=sums["meeting"] / size,
        share_note=few(sums["students"]),
        share_bar_lower=sums["lower"] / size,
        share_bar_higher=sums["higher"] / size,
        **ends,
    )
