"""Published sums as one system: every table that speaks of the same answers, whatever its shape.

A cell is the smallest count there is, never published by itself unless a row says so. A row is a
sum of cells that a table prints: a cell, a total, a total of an earlier edition. Tables are linked
when their rows sum the same cells, so weeks, topics, totals and editions are all just rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

__all__ = ["Flags", "Linked", "Numbers", "Target", "system", "two_way"]

Numbers: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]

NOISE = 0.05
"""How far weights differ by chance, so that what is hidden does not tell which value was small."""


@dataclass(frozen=True, slots=True)
class Target:
    """A row that must stay uncertain.

    Args:
        row: its place among the rows.
        reach: the largest value that outsiders must hold possible is at least this.
        width: the least distance between the largest and the smallest such value.
    """

    row: int
    reach: float
    width: float


@dataclass(frozen=True, slots=True)
class Linked:
    """Linked tables of whole numbers.

    Args:
        cells: the true counts.
        lowest: what outsiders know each cell not to fall below; 0 for counts.
        rows: rows x cells; the sums.
        known: rows that outsiders know whatever is hidden now, such as those of earlier editions.
        never: rows that no table prints, such as a change between two editions.
        ceiling: what outsiders know of a hidden row: its code says "no more than this"; else inf.
        targets: rows that must stay uncertain.
        cost: what hiding each row costs.
        follows: pairs (a, b): where a is hidden, b must be hidden too.
    """

    cells: Numbers
    lowest: Numbers
    rows: sparse.csr_array
    known: Flags
    never: Flags
    ceiling: Numbers
    targets: tuple[Target, ...]
    cost: Numbers
    follows: tuple[tuple[int, int], ...] = field(default=())

    @property
    def values(self) -> Numbers:
        """The true value of every row."""
        found: Numbers = self.rows @ self.cells
        return found

    @property
    def size(self) -> int:
        """Number of rows."""
        return int(self.rows.shape[0])

    def start(self) -> Flags:
        """Rows that are hidden before anything is worked out: targets and what is never printed."""
        hidden = self.never.copy()
        hidden[[target.row for target in self.targets]] = True
        for first, second in self.follows:
            hidden[second] |= hidden[first]
        return hidden & ~self.known

    def aiming(self, targets: Sequence[Target]) -> Linked:
        """The same tables with other targets."""
        return replace(self, targets=tuple(targets))


def system(
    cells: Numbers,
    sums: Sequence[Sequence[tuple[int, int]]],
    cost: Numbers | None = None,
) -> Linked:
    """Tables without targets, codes or earlier editions, to be completed by `replace`.

    Args:
        cells: the true counts.
        sums: for each row its cells as (place, factor).
        cost: what hiding each row costs; 1 each unless given.
    """
    places = [(at, cell, factor) for at, row in enumerate(sums) for cell, factor in row]
    size = len(sums)
    at, cell, factor = (np.array(part) for part in zip(*places, strict=True))
    noise = np.random.default_rng(size).uniform(1.0, 1.0 + NOISE, size)
    return Linked(
        cells=np.asarray(cells, dtype=float),
        lowest=np.zeros(len(cells)),
        rows=sparse.csr_array((factor.astype(float), (at, cell)), shape=(size, len(cells))),
        known=np.zeros(size, dtype=bool),
        never=np.zeros(size, dtype=bool),
        ceiling=np.full(size, np.inf),
        targets=(),
        cost=noise * (np.ones(size) if cost is None else cost),
    )


def two_way(table: NDArray[np.int64], limit: int, width: float | None = None) -> Linked:
    """A table with its totals, all totals known; cells from 1 to `limit` - 1 are targets.

    Args:
        table: counts; its totals are not part of it.
        limit: counts under it are hidden.
        width: least width of a target's range; `limit` unless given.

    Returns:
        Rows: the cells in reading order, then row totals, column totals and the grand total.
    """
    places = np.arange(table.size).reshape(table.shape)
    sums = [[(int(place), 1)] for place in places.ravel()]
    sums += [[(int(place), 1) for place in row] for row in places]
    sums += [[(int(place), 1) for place in column] for column in places.T]
    sums.append([(int(place), 1) for place in places.ravel()])
    made = system(table.ravel().astype(float), sums)
    known = np.zeros(len(sums), dtype=bool)
    known[table.size :] = True
    small = np.flatnonzero((table.ravel() > 0) & (table.ravel() < limit))
    wide = limit if width is None else width
    targets = tuple(Target(int(at), min(limit, wide), wide) for at in small)
    return replace(made, known=known, targets=targets)
