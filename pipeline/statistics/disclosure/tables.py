"""Tables for everyone as linked sums: this edition's, and those of editions that are out already.

A key names a printed line, such as all weeks of a topic; its parts are the counts printed in it. A
cell is the smallest count that lines sum. Of every edition there is one block of cells.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np

from pipeline.statistics.disclosure.attack import ranges
from pipeline.statistics.disclosure.lines import Earlier, Line, Sum, sum_of
from pipeline.statistics.disclosure.linked import Flags, Linked, Numbers, Target, system
from pipeline.statistics.disclosure.past import past_cells

__all__ = ["link"]


def link(
    counts: Mapping[Any, float],
    lines: Mapping[Any, Line],
    equal: Sequence[tuple[Sequence[Hashable], Sequence[Hashable]]],
    earlier: Sequence[Earlier],
    limit: int,
) -> Linked | None:
    """Put this edition's lines and those of earlier editions into one system.

    Args:
        counts: the true cells of today.
        lines: what this edition could print; they become the first rows, in their order.
        equal: pairs of sums of cells that outsiders know to be equal.
        earlier: editions that are out already, oldest first.
        limit: fewest distinct students.

    Returns:
        The system; None when earlier editions contradict each other.
    """
    names = {cell: place for place, cell in enumerate(counts)}
    now = np.array(list(counts.values()), dtype=float)
    blocks = past_cells(now, names, earlier)
    if blocks is None:
        return None
    size, today = len(now), len(earlier) * len(now)
    sums: list[Sum] = [sum_of(line.cells, names, today) for line in lines.values()]
    made = _Rows(sums, len(blocks))
    for left, right in equal:
        ones = sum_of(left, names, today) + [(at, -f) for at, f in sum_of(right, names, today)]
        made.add(ones, known=True)
    for number, edition in enumerate(earlier):
        for key, value in edition.values.items():
            row = sum_of(edition.cells[key], names, number * size)
            if row:
                top = edition.ceilings.get(key, np.inf)
                made.add(row, known=value is not None, ceiling=top, secret=value is None)
    grew = _growth(made, blocks, size) if earlier else False
    changes = _changes(made, lines, names, today - size, size) if earlier else []
    return _finished(made, np.concatenate(blocks), lines, changes, limit, grew=grew)


class _Rows:
    """Rows under construction, each with what outsiders know of it."""

    def __init__(self, sums: list[Sum], blocks: int) -> None:
        self.own = len(sums)
        self.blocks = blocks
        self.sums = sums
        self.known = [False] * self.own
        self.ceiling = [np.inf] * self.own
        self.secret: list[int] = []

    def add(
        self, row: Sum, *, known: bool = False, ceiling: float = np.inf, secret: bool = False
    ) -> int:
        self.sums.append(row)
        self.known.append(known)
        self.ceiling.append(ceiling)
        if secret:
            self.secret.append(len(self.sums) - 1)
        return len(self.sums) - 1


def _growth(made: _Rows, blocks: list[Numbers], size: int) -> bool:
    """Let the outsider know that answers were only added, where that is so."""
    grew = all((b <= a).all() for b, a in pairwise(blocks))
    for number in range(len(blocks) - 1) if grew else ():
        for cell in range(size):
            earlier, later = number * size + cell, (number + 1) * size + cell
            made.add([(earlier, 1), (later, -1)], ceiling=0.0)
    return grew


def _changes(
    made: _Rows,
    lines: Mapping[Any, Line],
    names: Mapping[Any, int],
    last: int,
    size: int,
) -> list[tuple[int, float]]:
    """The change of every line since the last edition, with what one student can add to it."""
    found = []
    for line in lines.values():
        before = [(at, -1) for at, _ in sum_of(line.cells, names, last)]
        row = before + sum_of(line.cells, names, last + size)
        found.append((made.add(row), line.most))
    return found


def _finished(
    made: _Rows,
    cells: Numbers,
    lines: Mapping[Any, Line],
    changes: list[tuple[int, float]],
    limit: int,
    *,
    grew: bool,
) -> Linked:
    places = {key: at for at, key in enumerate(lines)}
    cost = np.ones(len(made.sums))
    cost[: made.own] = [line.cost for line in lines.values()]
    base = system(cells, made.sums, cost)
    never = np.zeros(base.size, dtype=bool)
    never[made.own :] = True
    ceiling = np.array(made.ceiling)
    ceiling[: made.own] = [line.ceiling for line in lines.values()]
    linked = replace(
        base,
        known=np.array(made.known),
        never=never,
        ceiling=ceiling,
        follows=tuple(
            (places[key], places[other]) for key, line in lines.items() for other in line.follows
        ),
    )
    own = [
        Target(places[key], line.need.reach, line.need.width)
        for key, line in lines.items()
        if line.need is not None
    ]
    before = _as_before(linked, made.secret, limit)
    small = _small(linked, changes, limit)
    aimed = linked.aiming([*own, *before, *small])
    moved = {target.row for target in small}
    loose = [at for at, (row, _) in enumerate(changes) if row in moved]
    return _without_codes(aimed, loose)


def _without_codes(linked: Linked, lines: Sequence[int]) -> Linked:
    """Give up the codes of some lines: "5% or less" then and now bounds a small change too well."""
    ceiling = linked.ceiling.copy()
    ceiling[list(lines)] = np.inf
    return replace(linked, ceiling=ceiling)


def _as_before(linked: Linked, secret: Sequence[int], limit: int) -> list[Target]:
    """What an earlier edition hid stays as uncertain as it left it, up to the limit."""
    everything: Flags = np.ones(linked.size, dtype=bool)
    low, high = ranges(linked, everything, secret)
    return [
        Target(row, min(limit, up), min(limit, up - down))
        for row, down, up in zip(secret, low, high, strict=True)
    ]


def _small(linked: Linked, changes: list[tuple[int, float]], limit: int) -> list[Target]:
    """Changes that fewer students than the limit may have made."""
    values = linked.values
    return [
        Target(row, limit, limit)
        for row, most in changes
        if 0.5 < abs(values[row]) < limit * max(most, 1.0)
    ]
