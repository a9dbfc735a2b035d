"""Integer programs, solved in silence."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from scipy.optimize import Bounds, LinearConstraint, milp

from pipeline.statistics.disclosure.linked import Flags, Numbers

__all__ = ["integer_program"]


def integer_program(
    goal: Numbers,
    constraints: Sequence[LinearConstraint],
    bounds: Bounds,
    integral: Flags,
    seconds: float,
    gap: float = 0.0,
) -> Any:
    """Minimize a sum over a polyhedron, some unknowns whole numbers.

    Args:
        goal: factor of each unknown.
        constraints: what must hold.
        bounds: least and largest value of each unknown.
        integral: which unknowns are whole numbers.
        seconds: when to stop with the best found so far.
        gap: how far from the best, as a fraction, is near enough.

    Returns:
        The result of `scipy.optimize.milp`; its `x` is None when nothing was found.
    """
    with _silence():
        return milp(
            goal,
            constraints=list(constraints),
            bounds=bounds,
            integrality=integral.astype(int),
            options={"time_limit": seconds, "mip_rel_gap": gap},
        )


@contextmanager
def _silence() -> Iterator[None]:
    """Keep the solver's own remarks off the terminal: it writes them past Python's streams."""
    kept = os.dup(1)
    try:
        with open(os.devnull, "wb") as nowhere:
            os.dup2(nowhere.fileno(), 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
