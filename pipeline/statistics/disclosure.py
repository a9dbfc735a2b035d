"""Which cells of linked tables must be hidden so that none can be worked out from the rest.

A table is a vector of counts, totals included, with equations between them: each row of
`equations` times the counts is 0, as a row of a table less its total is. Tables over the same
students are linked by sharing cells. Source: Fischetti and Salazar-Gonzalez (2001), Management
Science 47:1008-1027, the idea; from memory. The audit is the attacker's own linear program.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

__all__ = ["audit", "complementary", "exposed", "primary", "two_way"]

Counts = NDArray[np.float64]
Mask = NDArray[np.bool_]


def primary(counts: Counts, limit: int) -> Mask:
    """Cells that are hidden for themselves: some students, but fewer than the limit.

    Args:
        counts: students in each cell.
        limit: fewest students that may be shown; the institution decides, and whether 0 is shown.
    """
    hidden: Mask = (counts > 0) & (counts < limit)
    return hidden


def two_way(table: Counts) -> tuple[Counts, Counts]:
    """Lay a table with its row, column and grand totals out as counts and equations.

    Args:
        table: rows x columns, without totals.

    Returns:
        Counts of the (rows + 1) x (columns + 1) cells, row by row with the totals last, and the
        equations between them.
    """
    rows, columns = table.shape
    whole = np.zeros((rows + 1, columns + 1))
    whole[:rows, :columns] = table
    whole[:rows, columns] = table.sum(axis=1)
    whole[rows] = whole[:rows].sum(axis=0)
    place = np.arange(whole.size).reshape(whole.shape)
    lines = [*place, *place.T]
    equations = np.zeros((len(lines), whole.size))
    for number, line in enumerate(lines):
        equations[number, line[:-1]] = 1
        equations[number, line[-1]] = -1
    return whole.ravel(), equations


def audit(counts: Counts, hidden: Mask, equations: Counts) -> tuple[Counts, Counts]:
    """Work out, as an attacker would, between which values each hidden cell must lie.

    Args:
        counts: true counts; only those that are not hidden are used.
        hidden: cells that are not published.
        equations: between the cells, see `two_way`.

    Returns:
        Smallest and largest possible count of every cell; shown cells are their own.
    """
    low, high = counts.astype(float).copy(), counts.astype(float).copy()
    places = np.flatnonzero(hidden)
    known = equations[:, ~hidden] @ counts[~hidden]
    unknown = equations[:, places]
    for at, place in enumerate(places):
        goal = np.zeros(len(places))
        goal[at] = 1
        least = linprog(goal, A_eq=unknown, b_eq=-known, bounds=(0, None), method="highs")
        most = linprog(-goal, A_eq=unknown, b_eq=-known, bounds=(0, None), method="highs")
        low[place] = least.fun
        high[place] = -most.fun if most.status == 0 else np.inf
    return low, high


def exposed(counts: Counts, hidden: Mask, equations: Counts, limit: int) -> Mask:
    """Cells under the limit that can be pinned down too closely in spite of being hidden.

    Args:
        counts: true counts.
        hidden: cells that are not published.
        equations: between the cells.
        limit: the range of what is possible must be at least `limit - 1` wide.
    """
    low, high = audit(counts, hidden, equations)
    narrow: Mask = primary(counts, limit) & (high - low < limit - 1 - 1e-6)
    return narrow


def complementary(
    counts: Counts, equations: Counts, limit: int, cost: Counts | None = None
) -> Mask:
    """Choose the further cells to hide so that no cell under the limit is exposed.

    For each cell under the limit two other tables must be possible, one with the cell at least
    `limit - 1` above the other, that differ from the true one in hidden cells alone; among all
    choices the cheapest is taken, as a small integer program.

    Args:
        counts: true counts, totals included.
        equations: between the cells.
        limit: fewest students that may be shown.
        cost: of hiding each cell, above 0; None takes 1 plus a little for large cells, which
            lose more. It must not depend on which cells are small.

    Returns:
        The cells to hide, those under the limit among them, all to be marked alike.

    Raises:
        ValueError: not even hiding everything protects some cell.
    """
    own = primary(counts, limit)
    if not own.any():
        return own
    size, targets = len(counts), np.flatnonzero(own)
    price = 1 + counts / max(float(counts.max()), 1.0) if cost is None else cost
    goal = np.concatenate([price, np.zeros(2 * size * len(targets))])
    constraints = list(_constraints(counts, equations, targets, limit))
    lower = np.concatenate([own.astype(float), np.full(2 * size * len(targets), -np.inf)])
    upper = np.concatenate([np.ones(size), np.full(2 * size * len(targets), np.inf)])
    kind = np.concatenate([np.ones(size), np.zeros(2 * size * len(targets))])
    found = milp(goal, constraints=constraints, integrality=kind, bounds=Bounds(lower, upper))
    if found.x is None:
        raise ValueError("no choice of hidden cells protects every small one: publish less")
    hidden: Mask = found.x[:size] > 0.5
    return hidden


def _constraints(
    counts: Counts, equations: Counts, targets: NDArray[np.int64], limit: int
) -> list[LinearConstraint]:
    """Two deviations from the true table per small cell: above by u, below by l."""
    size = len(counts)
    width = size * (1 + 2 * len(targets))
    room_below = counts.astype(float)
    room_above = np.full(size, float(limit) + counts.max())
    made = []
    for number, target in enumerate(targets):
        down = min(float(counts[target]), limit - 1.0)
        up = limit - 1.0 - down
        for side, need in ((0, up), (1, -down)):
            start = size * (1 + 2 * number + side)
            made.append(_within(equations, start, width, np.zeros(len(equations))))
            identity = sparse.eye_array(size)
            over = _pair(-sparse.diags_array(room_above), identity, size, start, width)
            under = _pair(sparse.diags_array(room_below), identity, size, start, width)
            made.append(LinearConstraint(over, -np.inf, 0))
            made.append(LinearConstraint(under, 0, np.inf))
            row = sparse.coo_array(([1.0], ([0], [start + target])), shape=(1, width))
            made.append(
                LinearConstraint(row, need, np.inf)
                if side == 0
                else LinearConstraint(row, -np.inf, need)
            )
    return made


def _within(block: Counts, start: int, width: int, value: Counts) -> LinearConstraint:
    matrix = sparse.lil_array((block.shape[0], width))
    matrix[:, start : start + block.shape[1]] = block
    return LinearConstraint(matrix.tocsr(), value, value)


def _pair(
    on_choice: sparse.sparray, on_deviation: sparse.sparray, size: int, start: int, width: int
) -> sparse.csr_array:
    """One row per cell: a factor on whether it is hidden, and one on its deviation."""
    matrix = sparse.lil_array((size, width))
    matrix[:, :size] = on_choice.tocsr()
    matrix[:, start : start + size] = on_deviation.tocsr()
    return matrix.tocsr()
