"""Which further rows to hide so that hidden ones cannot be worked out, at the least cost.

Source: the idea of protecting each hidden cell by two other tables that agree with everything
published is that of Fischetti and Salazar-Gonzalez (2001), Management Science 47:1008-1027; from
memory.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint

from pipeline.statistics.disclosure.attack import failing
from pipeline.statistics.disclosure.linked import Flags, Linked, Numbers, Target
from pipeline.statistics.disclosure.solver import integer_program

__all__ = ["protect"]

MOST_UNKNOWNS = 12_000
"""Unknowns of one integer program; more targets are taken in turns."""

SECONDS = 30.0
NEAR_ENOUGH = 0.02


def protect(linked: Linked) -> Flags | None:
    """Hide further rows until every target is wide enough.

    Args:
        linked: the tables with their targets.

    Returns:
        The rows to hide, those of the targets included; None when no such choice was found.
    """
    hidden = linked.start()
    left: Sequence[Target] = linked.targets
    while left:
        left = [target for target, _ in failing(linked, hidden, left)]
        if not left:
            break
        at_once = max(1, MOST_UNKNOWNS // (2 * len(linked.cells)))
        more = _choose(linked, hidden, left[:at_once])
        if more is None or not (more & ~hidden).any():
            return None
        hidden |= more
    return hidden


def _choose(linked: Linked, hidden: Flags, targets: Sequence[Target]) -> Flags | None:
    """Solve one integer program: a table above and a table below for each target."""
    rows, cells = linked.size, len(linked.cells)
    tables = 2 * len(targets)
    cost = np.concatenate([np.where(hidden, 0.0, linked.cost), np.zeros(tables * cells)])
    bounds = Bounds(
        np.concatenate([hidden.astype(float), *[linked.lowest - linked.cells] * tables]),
        np.concatenate([(~linked.known).astype(float), np.full(tables * cells, np.inf)]),
    )
    constraints = [*_moves(linked, targets), *_distances(linked, targets)]
    constraints += _followers(linked, rows + tables * cells)
    choice = np.concatenate([np.ones(rows, dtype=bool), np.zeros(tables * cells, dtype=bool)])
    found = integer_program(cost, constraints, bounds, choice, SECONDS, NEAR_ENOUGH)
    return None if found.x is None else found.x[:rows] > 0.5


def _moves(linked: Linked, targets: Sequence[Target]) -> list[LinearConstraint]:
    """A row may differ from the truth in another table only where it is hidden."""
    wanted = []
    tables = 2 * len(targets)
    for place in range(tables):
        target = targets[place // 2]
        far = float(max(target.width, target.reach))
        room = np.minimum(far, linked.ceiling - linked.values)
        part = _beside(linked.rows, place, tables)
        up = sparse.hstack([_diagonal(-room), part], format="csr")
        down = sparse.hstack([_diagonal(np.full(linked.size, far)), part], format="csr")
        wanted.append(LinearConstraint(up, -np.inf, 0.0))
        wanted.append(LinearConstraint(down, 0.0, np.inf))
    return wanted


def _diagonal(values: Numbers) -> sparse.csr_array:
    places = np.arange(len(values))
    return sparse.csr_array((values, (places, places)))


def _beside(rows: sparse.csr_array, place: int, tables: int) -> sparse.csr_array:
    """The rows as coefficients of one table among several."""
    picked = sparse.csr_array(([1.0], ([0], [place])), shape=(1, tables))
    return sparse.csr_array(sparse.kron(picked, rows, format="csr"))


def _distances(linked: Linked, targets: Sequence[Target]) -> list[LinearConstraint]:
    """The table above reaches the target's reach, and is its width away from the one below."""
    tables, wanted = 2 * len(targets), []
    empty = sparse.csr_array((1, linked.size))
    for at, target in enumerate(targets):
        row = sparse.csr_array(linked.rows[[target.row]])
        above = _beside(row, 2 * at, tables)
        apart = above - _beside(row, 2 * at + 1, tables)
        short = target.reach - float(linked.values[target.row])
        for part, least in ((above, short), (apart, target.width)):
            whole = sparse.hstack([empty, part], format="csr")
            wanted.append(LinearConstraint(whole, least, np.inf))
    return wanted


def _followers(linked: Linked, unknowns: int) -> list[LinearConstraint]:
    if not linked.follows:
        return []
    pairs = np.array(linked.follows)
    at = np.repeat(np.arange(len(pairs)), 2)
    factor = np.tile([1.0, -1.0], len(pairs))
    rows = sparse.csr_array((factor, (at, pairs.ravel())), shape=(len(pairs), unknowns))
    return [LinearConstraint(rows, -np.inf, 0.0)]
