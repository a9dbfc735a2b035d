"""Values of JSON as what a standard expects them to be, else as nothing."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

__all__ = ["mapping", "number", "plain", "text"]

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
