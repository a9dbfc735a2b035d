"""Ids that the catalogue once had: an old tag must never come to mean something else."""

from __future__ import annotations

from functools import cache
from importlib.resources import files


@cache
def retired_ids() -> frozenset[str]:
    """Return the ids listed in `retired_ids.txt`, which no pattern may take again."""
    text = files("pipeline.patterns").joinpath("retired_ids.txt").read_text("utf-8")
    lines = (line.partition("#")[0].strip() for line in text.splitlines())
    return frozenset(line for line in lines if line)
