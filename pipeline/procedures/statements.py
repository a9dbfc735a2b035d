"""Endings of a procedure that are statements and no values."""

from __future__ import annotations

from typing import Final

NO_REAL: Final = "NO_REAL"
"""There is no real solution, and there may be complex ones."""
NO_SOLUTION: Final = "NO_SOLUTION"
"""There is no solution at all."""
ALL_REAL: Final = "ALL_REAL"
"""Every real number is a solution."""
