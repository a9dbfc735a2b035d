"""How common each error is, by topic and week and over a term, from the weights of the classes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.intervals import Limits, clustered_from_variance, effective_size
from pipeline.statistics.notes import CANNOT_TELL, POOLED, blank_when_few, few
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence
from pipeline.tagging.mixture import Vector

Part = tuple[Cell, int]
"""One class of answers and the place of a group in it."""


@dataclass(frozen=True, slots=True)
class Combined:
    """A weighted mean of one group's rates over several classes.

    Args:
        rate: fraction of the opportunities, 0 to 1.
        variance: clustered by student, over all classes together, with what answers leave open.
        noise: the part of it that does not come from the group's own answers.
        opportunities: answers that could show it.
        students: distinct students with any opportunity.
        influence: what each student of the course adds to the rate.
        present: which of them have any answer in these classes.
    """

    rate: float
    variance: float
    opportunities: int
    students: int
    influence: Vector
    present: NDArray[np.bool_]
    noise: float = 0.0

    def limits(self, confidence: float = 0.95) -> Limits:
        """Interval of the rate."""
        return clustered_from_variance(
            self.rate,
            self.variance,
            self.opportunities,
            self.students,
            noise=self.noise,
            confidence=confidence,
        )


def combine(parts: Sequence[Part], weights: Sequence[float] | None = None) -> Combined:
    """Average one group over classes with the same students among them.

    Args:
        parts: classes whose questions determine the group's rate.
        weights: fixed weights, above 0; None takes the opportunities.
    """
    chances = np.array([cell.opportunities[at] for cell, at in parts], dtype=float)
    share = chances if weights is None else np.asarray(weights, dtype=float)
    share = share / share.sum()
    everyone = parts[0][0].everyone
    influence, present = np.zeros(everyone), np.zeros(everyone, dtype=bool)
    able = np.zeros(everyone, dtype=bool)
    for weight, (cell, at) in zip(share, parts, strict=True):
        influence[cell.student] += weight * cell.influence[:, at]
        present[cell.student] = True
        able[cell.student] |= cell.chance[:, at]
    each = np.array([(c.variances[at], c.left_open[at], c.noise[at]) for c, at in parts])
    spread, left, foreign = share**2 @ each
    whole = clustered_variance(influence, present) + float(left)
    return Combined(
        rate=float(sum(w * cell.rates[at] for w, (cell, at) in zip(share, parts, strict=True))),
        variance=whole,
        noise=float(whole * foreign / spread) if 0 < spread < np.inf else 0.0,
        opportunities=int(chances.sum()),
        students=int(able.sum()),
        influence=influence,
        present=present,
    )


def clustered_variance(influence: Vector, present: NDArray[np.bool_]) -> float:
    """Variance of an estimate from what each student adds to it; infinite with fewer than two."""
    size = int(present.sum())
    return size / (size - 1) * float(influence @ influence) if size > 1 else float("inf")


def members(evidence: Evidence, group: Iterable[int]) -> list[str]:
    """Ids of a group, in catalogue order."""
    return [evidence.patterns[pattern] for pattern in group]


def with_limits(table: pd.DataFrame) -> pd.DataFrame:
    """Add interval and note to rows that hold a rate, its variance, opportunities and students.

    Args:
        table: columns rate, variance, noise, opportunities, students, and maybe rate_note.

    Returns:
        The same with rate_low, rate_high and rate_note, without variance and noise.
    """
    rate = table["rate"].to_numpy(dtype=float)
    known = np.isfinite(rate)
    low, high = clustered_from_variance(
        np.where(known, rate, 0.0),
        table["variance"],
        table["opportunities"],
        table["students"],
        noise=table["noise"],
    )
    effective = effective_size(
        np.where(known, rate, 0.0), table["variance"], table["opportunities"], table["students"]
    )
    told = table.get("rate_note", pd.Series(None, index=table.index, dtype="object"))
    table = table.drop(columns=["variance", "noise"])
    table["rate_low"] = np.where(known, blank_when_few(low, table["students"]), np.nan)
    table["rate_high"] = np.where(known, blank_when_few(high, table["students"]), np.nan)
    table["rate_note"] = told.where(told.notna(), few(table["students"], effective))
    return table


def _cell_frame(evidence: Evidence, cell: Cell, keys: Sequence[str]) -> pd.DataFrame:
    names = [members(evidence, group) for group in cell.groups]
    frame = pd.DataFrame(
        {
            "pattern": [" / ".join(name) for name in names],
            "members": names,
            "students": cell.students,
            "opportunities": cell.opportunities,
            "rate": cell.rates,
            "variance": cell.variances,
            "noise": cell.noise,
            "known": cell.known,
        }
    )
    for place, (key, value) in enumerate(zip(keys, cell.key, strict=True)):
        frame.insert(place, key, value)
    return frame


def weekly_rates(
    evidence: Evidence, weeks: Sequence[Cell], pooled: Sequence[Cell], keys: Sequence[str]
) -> pd.DataFrame:
    """Rates by topic and week; where one week cannot tell, the weeks are pooled.

    Args:
        evidence: what the answers say.
        weeks: classes by `keys` and week, with the joint names of `pooled`.
        pooled: the same classes without the week; none where a week stands for itself alone.
        keys: term, setting, topic, in this order, and maybe section.

    Returns:
        The columns of `computed.pattern_rate`.
    """
    if not weeks:
        return pd.DataFrame()
    table = pd.concat([_cell_frame(evidence, cell, [*keys, "week"]) for cell in weeks])
    table = table[table["opportunities"] > 0]
    frames = [_cell_frame(evidence, cell, keys) for cell in pooled]
    whole = pd.concat(frames or [table.head(0).drop(columns="week")]).drop(columns="members")
    table = table.merge(whole, on=[*keys, "pattern"], how="left", suffixes=("", "_pooled"))
    fallback = ~table["known"] & table["known_pooled"].fillna(False).astype(bool)
    lost = ~table["known"] & ~fallback
    for column in ("rate", "variance", "noise", "students", "opportunities"):
        table[column] = table[column].where(~fallback, table[f"{column}_pooled"])
    table["rate"] = table["rate"].where(~lost)
    note = pd.Series(None, index=table.index, dtype="object")
    table["rate_note"] = note.mask(fallback, POOLED).mask(lost, CANNOT_TELL)
    return with_limits(table.drop(columns=[c for c in table if str(c).endswith("_pooled")])).drop(
        columns="known"
    )


def pattern_totals(
    evidence: Evidence, pooled: Sequence[Cell], keys: Sequence[str] = ("term", "setting")
) -> pd.DataFrame:
    """Rates over all topics of a term: weighted by opportunities, clustered by student.

    Args:
        evidence: what the answers say.
        pooled: classes whose key begins with the values of `keys`.
        keys: what the rates are given by.

    Returns:
        The columns `keys`, pattern, members, students, opportunities, rate, rate_low, rate_high,
        rate_note. A group that no topic's questions determine has no rate.
    """
    found: dict[tuple[Any, ...], list[Part]] = defaultdict(list)
    for cell in pooled:
        for at, group in enumerate(cell.groups):
            if cell.opportunities[at]:
                found[(*cell.key[: len(keys)], group)].append((cell, at))
    rows = [_total(key, parts) for key, parts in found.items()]
    if not rows:
        return pd.DataFrame()
    table = pd.DataFrame(rows, columns=[*keys, "group", *_TOTAL])
    table["members"] = pd.Series([members(evidence, group) for group in table["group"]])
    table["pattern"] = table["members"].map(" / ".join)
    return with_limits(table.drop(columns="group"))


_TOTAL = ("students", "opportunities", "rate", "variance", "noise", "rate_note")


def _total(key: tuple[Any, ...], parts: list[Part]) -> tuple[Any, ...]:
    known = [part for part in parts if part[0].known[part[1]]]
    whole = combine(known or parts)
    rate = whole.rate if known else np.nan
    note = None if known else CANNOT_TELL
    return (
        *key, whole.students, whole.opportunities, rate, whole.variance, whole.noise, note,
    )  # fmt: skip
