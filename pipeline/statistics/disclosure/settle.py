"""Decides line by line what an edition for everyone prints, and proves it."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pipeline.statistics.disclosure.attack import audit
from pipeline.statistics.disclosure.complement import protect
from pipeline.statistics.disclosure.lines import Earlier, Line
from pipeline.statistics.disclosure.tables import link

__all__ = ["Decision", "settle"]

MOST_WHOLE = 40_000
"""Targets times cells up to which the attack also uses that counts are whole numbers."""

CONTRADICTION = "the kept editions contradict each other"
NOT_SAFE = "no choice of hidden figures was safe"
POOLED = "weeks pooled: they could not be shown safely"


@dataclass(frozen=True, slots=True)
class Decision:
    """What to print.

    Args:
        shown: lines to print.
        coded: hidden lines whose code may be printed.
        attacked: hidden counts and changes that were attacked.
        passed: whether none could be narrowed down; if not, nothing is shown.
        reason: why nothing is shown, or what was pooled; empty otherwise.
    """

    shown: frozenset[Hashable]
    coded: frozenset[Hashable]
    attacked: int
    passed: bool
    reason: str = ""


def settle(
    counts: Mapping[Any, float],
    lines: Mapping[Any, Line],
    earlier: Sequence[Earlier],
    limit: int,
    *,
    fine: frozenset[Hashable] = frozenset(),
    equal: Sequence[tuple[Sequence[Hashable], Sequence[Hashable]]] = (),
) -> Decision:
    """Choose what to print and attack it.

    Args:
        counts: the true cells.
        lines: what could be printed.
        earlier: editions that are out already, oldest first.
        limit: fewest distinct students.
        fine: lines that are given up first where no choice with them is safe.
        equal: pairs of sums of cells that outsiders know to be equal.
    """
    coarse = {key: line for key, line in lines.items() if key not in fine}
    tried = Decision(frozenset(), frozenset(), 0, passed=False)
    for reason, chosen in (("", lines), (POOLED, coarse)):
        for some in (chosen, _without_codes(chosen)):
            tried = _attempt(counts, some, earlier, limit, equal)
            if tried.passed:
                return replace(tried, reason=reason)
    return tried


def _without_codes(lines: Mapping[Any, Line]) -> dict[Any, Line]:
    return {key: replace(line, ceiling=np.inf) for key, line in lines.items()}


def _attempt(
    counts: Mapping[Any, float],
    lines: Mapping[Any, Line],
    earlier: Sequence[Earlier],
    limit: int,
    equal: Sequence[tuple[Sequence[Hashable], Sequence[Hashable]]],
) -> Decision:
    nothing: frozenset[Hashable] = frozenset()
    linked = link(counts, lines, equal, earlier, limit)
    if linked is None:
        return Decision(nothing, nothing, 0, passed=False, reason=CONTRADICTION)
    hidden = protect(linked)
    if hidden is None:
        return Decision(nothing, nothing, len(linked.targets), passed=False, reason=NOT_SAFE)
    whole = len(linked.targets) * len(linked.cells) <= MOST_WHOLE
    found = audit(linked, hidden, whole=whole)
    if not found.passed:
        return Decision(nothing, nothing, found.targets, passed=False, reason=NOT_SAFE)
    keys, size = list(lines), len(lines)
    told = np.isfinite(linked.ceiling[:size])
    return Decision(
        frozenset(keys[at] for at in np.flatnonzero(~hidden[:size])),
        frozenset(keys[at] for at in np.flatnonzero(told)),
        found.targets,
        passed=True,
    )
