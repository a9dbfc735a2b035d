"""Lines that could be printed, and what editions that are out already say of theirs."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np

__all__ = ["Earlier", "Line", "Need", "Sum", "sum_of"]

Sum: TypeAlias = list[tuple[int, int]]
"""Cells of a sum by place, each with its factor."""


@dataclass(frozen=True, slots=True)
class Need:
    """What must stay uncertain of a count.

    Args:
        reach: see `Target`.
        width: see `Target`.
    """

    reach: float
    width: float


@dataclass(frozen=True, slots=True)
class Line:
    """One count that could be printed.

    Args:
        cells: the cells that it sums.
        cost: what hiding it costs.
        need: what must stay uncertain; None where it may be printed.
        ceiling: what its code says of it; inf without a code.
        most: most that one student adds to it.
        follows: lines to be hidden with it.
    """

    cells: tuple[Hashable, ...]
    cost: float = 1.0
    need: Need | None = None
    ceiling: float = np.inf
    most: float = 1.0
    follows: tuple[Hashable, ...] = ()


@dataclass(frozen=True, slots=True)
class Earlier:
    """What an edition that is out already says.

    Args:
        cells: by line, the cells that it sums.
        values: by line, the count; None where it was hidden.
        ceilings: by line, what its code said.
    """

    cells: Mapping[Any, tuple[Hashable, ...]]
    values: Mapping[Any, float | None]
    ceilings: Mapping[Any, float] = field(default_factory=dict)


def sum_of(cells: Sequence[Hashable], names: Mapping[Any, int], shift: int) -> Sum:
    """The places of some cells, all later by `shift`; cells that are no more are left out."""
    return [(shift + names[cell], 1) for cell in cells if cell in names]
