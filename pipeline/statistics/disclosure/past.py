"""Cells of earlier editions that fit what those editions printed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint

from pipeline.statistics.disclosure.lines import Earlier, sum_of
from pipeline.statistics.disclosure.linked import Numbers, system
from pipeline.statistics.disclosure.solver import integer_program

__all__ = ["past_cells"]

SECONDS = 20.0


def past_cells(
    now: Numbers, names: Mapping[Any, int], earlier: Sequence[Earlier]
) -> list[Numbers] | None:
    """Find cells of the earlier editions that fit what they printed, as near to today's as can be.

    What an outsider can work out depends on what was printed alone, so any fitting cells will do.
    """
    blocks = [now]
    for edition in reversed(earlier):
        found = _nearest(blocks[0], names, edition, grow=True)
        if found is None:
            found = _nearest(blocks[0], names, edition, grow=False)
        if found is None:
            return None
        blocks.insert(0, found)
    return blocks


def _nearest(
    after: Numbers, names: Mapping[Any, int], edition: Earlier, *, grow: bool
) -> Numbers | None:
    size = len(after)
    printed = [(key, v) for key, v in edition.values.items() if v is not None]
    rows = [(sum_of(edition.cells[key], names, 0), float(v), float(v)) for key, v in printed]
    rows += [
        (sum_of(edition.cells[key], names, 0), 0.0, top) for key, top in edition.ceilings.items()
    ]
    rows = [row for row in rows if row[0]]
    if not rows:
        return after
    whole = system(np.zeros(size), [row[0] for row in rows]).rows
    # Cells before = cells after - more + less.
    matrix = sparse.hstack([-whole, whole], format="csr")
    shift = whole @ after
    low, high = (np.array([row[place] for row in rows]) - shift for place in (1, 2))
    less = np.zeros(size) if grow else np.full(size, np.inf)
    found = integer_program(
        np.ones(2 * size),
        [LinearConstraint(sparse.csr_array(matrix), low, high)],
        Bounds(0.0, np.concatenate([after, less])),
        np.ones(2 * size, dtype=bool),
        SECONDS,
    )
    if found.x is None:
        return None
    before: Numbers = np.round(after - found.x[:size] + found.x[size:])
    return before
