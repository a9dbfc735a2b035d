"""Whole percents for everyone: what an outsider can work out from them, and which to hide.

A percent of a known number of chances bounds a count: 12 % of 400 chances is 46 to 50 errors. So
percents are attacked like counts, with two more things granted to the outsider: every number of
chances, and every number of wrong answers that is printed elsewhere.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from pipeline.errors import InternalError

__all__ = ["Aim", "Band", "Figures", "choose", "failing", "spans_of"]

Numbers: TypeAlias = NDArray[np.float64]
SLACK = 1e-6
NEAR = 1e-3
"""How far the solver may be off, in errors."""

INFEASIBLE = 2


@dataclass(frozen=True, slots=True)
class Band:
    """What one printed line says: a weighted sum of cells lies between two values.

    Args:
        factors: by place of the cell, its factor in the sum.
        low: least value.
        high: largest value.
        cost: what hiding the line costs; inf for what outsiders have already.
    """

    factors: Mapping[int, float]
    low: float
    high: float
    cost: float = 1.0


@dataclass(frozen=True, slots=True)
class Aim:
    """A sum of cells that must stay uncertain.

    Args:
        factors: by place of the cell, its factor.
        need: the largest possible value, and the distance to the smallest, are at least this.
        most: largest value if nothing were printed; the complement counts down from it.
        complement: whether it is the rest, up to `most`, that fewer students than the limit made.
    """

    factors: Mapping[int, float]
    need: float
    most: float
    complement: bool = False


@dataclass(frozen=True, slots=True)
class Figures:
    """Cells that some printed lines sum, and what must not be told of them.

    Args:
        most: largest value of each cell that outsiders hold possible, 0 being the smallest.
        lines: by name, what could be printed.
        aims: what must stay uncertain.
        given: what outsiders know besides.
    """

    most: Numbers
    lines: Mapping[Any, Band]
    aims: Sequence[Aim]
    given: Sequence[Band] = ()


def spans_of(
    figures: Figures, printed: frozenset[Hashable], sums: Sequence[Mapping[int, float]]
) -> list[tuple[float, float]] | None:
    """Smallest and largest value of some sums that fit everything printed.

    Args:
        figures: the system.
        printed: names of its lines that are printed.
        sums: by place of the cell, its factor.

    Returns:
        A pair for each sum; None when what is printed contradicts itself.
    """
    told = _Told(figures, printed)
    found = []
    for factors in sums:
        row = _row(factors, len(figures.most))
        ends = [told.furthest(sign * row) for sign in (1.0, -1.0)]
        if ends[0] is None or ends[1] is None:
            return None
        found.append((float(row @ ends[0]), float(row @ ends[1])))
    return found


def _row(factors: Mapping[int, float], size: int) -> Numbers:
    row = np.zeros(size)
    row[list(factors)] = list(factors.values())
    return row


class _Told:
    """Everything printed as one polyhedron of possible cells."""

    def __init__(self, figures: Figures, printed: frozenset[Hashable]) -> None:
        chosen = [band for name, band in figures.lines.items() if name in printed]
        bands = [*chosen, *figures.given]
        size = len(figures.most)
        matrix = np.array([_row(band.factors, size) for band in bands]).reshape(-1, size)
        self.empty = not bands
        self.sides = np.vstack([matrix, -matrix])
        self.limits = SLACK + np.array([b.high for b in bands] + [-b.low for b in bands])
        self.bounds = np.column_stack([np.zeros(size), figures.most])

    def easy(self) -> Iterator[Numbers]:
        """Tables without errors, and with as many as the lines allow, where these are possible."""
        most = self.bounds[:, 1]
        count = len(self.sides) // 2
        factors = np.maximum(self.sides[:count], 0.0)
        full = factors @ most
        room = np.where(full > 0, np.maximum(self.limits[:count], 0) / np.maximum(full, 1e-9), 1.0)
        by_cell = np.where(factors > 0, np.minimum(room, 1.0)[:, None], 1.0).min(axis=0)
        for cells in (np.zeros_like(most), most * by_cell):
            if (self.sides @ cells <= self.limits).all():
                yield cells

    def furthest(self, direction: Numbers) -> Numbers | None:
        """Possible cells with the least sum in a direction; None when nothing is possible."""
        if self.empty:
            return np.where(direction < 0, self.bounds[:, 1], 0.0)
        found = linprog(
            direction, A_ub=self.sides, b_ub=self.limits, bounds=self.bounds, method="highs"
        )
        if found.status == INFEASIBLE:
            return None
        if found.x is None:
            raise InternalError(f"The attack on percents did not end: {found.message}")
        cells: Numbers = found.x
        return cells


def failing(
    figures: Figures, printed: frozenset[Hashable], aims: Sequence[Aim] | None = None
) -> list[Aim]:
    """Aims that an outsider can narrow too far; all of them where the lines contradict themselves.

    Args:
        figures: the system.
        printed: names of its lines that are printed.
        aims: some of its aims; None takes all.
    """
    wanted = list(figures.aims if aims is None else aims)
    told = _Told(figures, printed)
    if told.empty or not wanted:
        return []
    seen = _Seen(wanted, np.array([_row(aim.factors, len(figures.most)) for aim in wanted]))
    for cells in told.easy():
        seen.add(cells)
    left = np.flatnonzero(~seen.uncertain())
    # Every table that fits speaks for all aims, so all are asked together before each alone.
    while len(left):
        directions = seen.rows[left].sum(axis=0)
        if not all(seen.add(told.furthest(sign * directions)) for sign in (1.0, -1.0)):
            return wanted
        left, before = np.flatnonzero(~seen.uncertain()), left
        if len(left) == len(before):
            break
    for at in left:
        if not seen.uncertain()[at]:
            for sign in (1.0, -1.0):
                seen.add(told.furthest(sign * seen.rows[at]))
    return [wanted[at] for at in np.flatnonzero(~seen.uncertain())]


class _Seen:
    """The ranges of some aims over the possible tables that were found so far."""

    def __init__(self, aims: Sequence[Aim], rows: Numbers) -> None:
        self.rows = rows
        self.low = np.full(len(aims), np.inf)
        self.high = np.full(len(aims), -np.inf)
        self.need = np.array([aim.need for aim in aims])
        self.most = np.array([aim.most for aim in aims])
        self.complement = np.array([aim.complement for aim in aims])

    def add(self, cells: Numbers | None) -> bool:
        if cells is None:
            return False
        values = self.rows @ cells
        self.low, self.high = np.minimum(self.low, values), np.maximum(self.high, values)
        return True

    def uncertain(self) -> NDArray[np.bool_]:
        reach = np.where(self.complement, self.most - self.low, self.high)
        enough: NDArray[np.bool_] = np.minimum(reach, self.high - self.low) >= self.need - NEAR
        return enough


def choose(figures: Figures, generator: np.random.Generator) -> frozenset[Hashable]:
    """Choose what to print: lines are hidden, the cheapest that helps first, until no aim fails.

    Args:
        figures: the system.
        generator: shakes costs a little, so that what is hidden does not tell which was small.
    """
    printed = frozenset(figures.lines)
    costs = {name: band.cost * generator.uniform(1, 1.1) for name, band in figures.lines.items()}
    left: Sequence[Aim] = figures.aims
    while left := failing(figures, printed, left):
        if not printed:
            return printed
        printed -= {_victim(figures, printed, left[0], costs)}
    return printed


def _victim(
    figures: Figures, printed: frozenset[Hashable], aim: Aim, costs: Mapping[Hashable, float]
) -> Hashable:
    """The cheapest line whose hiding alone saves an aim; else the cheapest that touches it."""
    order = sorted(printed, key=lambda name: costs[name])
    for name in order:
        if not failing(figures, printed - {name}, [aim]):
            return name
    near = [n for n in order if set(figures.lines[n].factors) & set(aim.factors)]
    return (near or order)[0]
