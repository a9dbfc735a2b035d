"""The spells before and after a lesson, and how an error's rate moved from one to the next."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pipeline.statistics.patterns import Combined, Part, combine
from pipeline.tagging.mixture import Vector

SIDES = ["earlier", "before", "after"]
"""Six to three weeks before a lesson, the three weeks before it, and those from its day on."""

Moved: TypeAlias = tuple[float, Vector, NDArray[np.bool_]]
Sides: TypeAlias = dict[Any, dict[str, Part]]
"""By topic, then `before` or `after`."""


def both_sides(sides: Sides, at: int = 1) -> tuple[Combined, Combined] | None:
    """Two neighboring sides, over the topics asked on both, at the same weights."""
    first, second = SIDES[at], SIDES[at + 1]
    pairs = [pair for pair in sides.values() if first in pair and second in pair]
    if not pairs:
        return None
    weights = [
        float(sum(cell.opportunities[place] for cell, place in (p[first], p[second])))
        for p in pairs
    ]
    before = combine([pair[first] for pair in pairs], weights)
    return before, combine([pair[second] for pair in pairs], weights)


def control_change(
    others: dict[tuple[int, ...], Sides], topics: set[str], named: bool, at: int
) -> Moved | None:
    """Mean change of the other errors in other topics, and each student's part in it.

    Where no other topic was asked on both sides, a lesson that names its errors is compared with
    the other errors of the same topics.
    """
    found = _mean_change(others, topics, at)
    return _mean_change(others, set(), at) if found is None and named else found


def _mean_change(others: dict[tuple[int, ...], Sides], topics: set[str], at: int) -> Moved | None:
    changes = []
    for sides in others.values():
        pair = both_sides({topic: side for topic, side in sides.items() if topic not in topics}, at)
        if pair:
            weight = pair[0].opportunities + pair[1].opportunities
            changes.append((weight, *moved(*pair)))
    if not changes:
        return None
    weights = np.array([weight for weight, *_ in changes], dtype=float)
    weights /= weights.sum()
    change = float(weights @ np.array([change for _, change, *_ in changes]))
    influence = weights @ np.stack([parts for *_, parts, _ in changes])
    present = np.any([seen for *_, seen in changes], axis=0)
    return change, influence, present


def moved(before: Combined, after: Combined) -> Moved:
    """Change of a rate, each student's part in it, and which students have any."""
    change = after.rate - before.rate
    return change, after.influence - before.influence, after.present | before.present
