"""Values of JSON as what a standard expects them to be, else as nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

Paths = Mapping[str, tuple[Callable[[Any], Any], tuple[str, ...]]]
"""Field of a record -> how its value is read, and the paths where it may stand, best first."""

_LARGEST = 1_000_000
"""A larger number of points is none."""


def mapping(value: Any) -> Mapping[str, Any]:
    """An object; empty for anything else."""
    return value if isinstance(value, dict) else {}


def text(value: Any) -> str:
    """A string, outer blanks gone; "" for anything else."""
    return value.strip() if isinstance(value, str) else ""


def plain(value: Any) -> str:
    """A string, a number with its digits, true or false; "" for anything else."""
    if isinstance(value, bool):
        return str(value).lower()
    return str(value).strip() if isinstance(value, str | int | Decimal) else ""


def number(value: Any) -> float | None:
    """A number of points; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    return float(value) if abs(Decimal(value)) < _LARGEST else None


def at(value: Any, path: str) -> Any:
    """What stands at a path such as `result.score.raw`; of a list on the way, its first element."""
    for name in path.split("."):
        if isinstance(value, list):
            value = value[0] if value else None
        value = mapping(value).get(name)
    return value


def read_at(value: Any, paths: Paths) -> dict[str, Any]:
    """The fields of a record, each from the first of its paths that holds something."""
    return {
        name: next((found for path in places if (found := read(at(value, path)))), read(None))
        for name, (read, places) in paths.items()
    }
