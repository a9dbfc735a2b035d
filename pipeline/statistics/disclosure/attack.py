"""What an outsider can work out from published sums: the range of every hidden one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog

from pipeline.errors import InternalError
from pipeline.statistics.disclosure.linked import Flags, Linked, Numbers, Target
from pipeline.statistics.disclosure.solver import integer_program

__all__ = ["Audit", "audit", "failing", "ranges"]

SLACK = 1e-6
INFEASIBLE, UNBOUNDED = 2, 3
SECONDS = 20.0


@dataclass(frozen=True, slots=True)
class Audit:
    """Whether hidden rows stay uncertain.

    Args:
        passed: whether every target does.
        targets: rows looked at.
        narrowest: least width of a target's range; inf without targets.
        failed: the targets that do not.
    """

    passed: bool
    targets: int
    narrowest: float
    failed: tuple[Target, ...]


def ranges(
    linked: Linked, hidden: Flags, rows: Sequence[int], *, whole: bool = False
) -> tuple[Numbers, Numbers]:
    """Smallest and largest value of some rows that fit everything published.

    Args:
        linked: the tables; the rest of what outsiders know is in them.
        hidden: rows that are not published; rows known from elsewhere count as published.
        rows: rows to bound.
        whole: whether the outsider also uses that counts are whole numbers. In a two-way table
            that adds nothing; in linked tables it can.

    Returns:
        Lower and upper ends; inf where there is no end.

    Raises:
        InternalError: the published sums contradict each other.
    """
    secret = hidden & ~linked.known
    ends = [
        [sign * _least(linked, secret, sign * linked.rows[[row]].toarray()[0], whole)
         for sign in (1.0, -1.0)]
        for row in rows
    ]  # fmt: skip
    found = np.array(ends, dtype=float).reshape(-1, 2)
    return found[:, 0], found[:, 1]


def _least(linked: Linked, secret: Flags, direction: Numbers, whole: bool) -> float:
    open_rows, values = linked.rows[~secret], linked.values[~secret]
    coded = secret & np.isfinite(linked.ceiling)
    if whole:
        everything = np.ones(len(direction), dtype=bool)
        bounds = Bounds(linked.lowest, np.inf)
        wanted = _constraints(linked, secret, coded)
        found = integer_program(direction, wanted, bounds, everything, SECONDS)
    else:
        found = linprog(
            direction,
            A_eq=open_rows if open_rows.shape[0] else None,
            b_eq=values if open_rows.shape[0] else None,
            A_ub=linked.rows[coded] if coded.any() else None,
            b_ub=linked.ceiling[coded] if coded.any() else None,
            bounds=np.column_stack([linked.lowest, np.full(len(direction), np.inf)]),
            method="highs",
        )
    # The integer solver calls some unbounded programs undecided; the linear one has been here.
    if found.status == UNBOUNDED or (whole and found.fun is None and found.status != INFEASIBLE):
        return -np.inf
    if found.fun is None:
        raise InternalError(f"Published sums contradict each other: {found.message}")
    return float(found.fun)


def _constraints(linked: Linked, secret: Flags, coded: Flags) -> list[LinearConstraint]:
    wanted = []
    if not secret.all():
        values = linked.values[~secret]
        wanted.append(LinearConstraint(sparse.csr_array(linked.rows[~secret]), values, values))
    if coded.any():
        rows = sparse.csr_array(linked.rows[coded])
        wanted.append(LinearConstraint(rows, -np.inf, linked.ceiling[coded]))
    return wanted


def failing(
    linked: Linked, hidden: Flags, targets: Sequence[Target], *, whole: bool = False
) -> list[tuple[Target, float]]:
    """Targets that an outsider can narrow too far, with the width of their ranges."""
    low, high = ranges(linked, hidden, [target.row for target in targets], whole=whole)
    return [
        (target, up - down)
        for target, down, up in zip(targets, low, high, strict=True)
        if up < target.reach - SLACK or up - down < target.width - SLACK
    ]


def audit(linked: Linked, hidden: Flags, *, whole: bool = False) -> Audit:
    """Attack every target, as an outsider with every published table could.

    Args:
        linked: the tables.
        hidden: rows that are not published.
        whole: see `ranges`.
    """
    targets = linked.targets
    low, high = ranges(linked, hidden, [target.row for target in targets], whole=whole)
    width = high - low
    bad = tuple(
        target
        for target, up, wide in zip(targets, high, width, strict=True)
        if up < target.reach - SLACK or wide < target.width - SLACK
    )
    narrowest = float(width.min()) if len(width) else float("inf")
    return Audit(not bad, len(targets), narrowest, bad)
