"""What may be given to everyone: counts of closed periods, perturbed by the keys of their cells."""

from __future__ import annotations

from pipeline.statistics.disclosure.everyone import (
    marks_students,
    shared_tables,
    without_students,
)

__all__ = ["marks_students", "shared_tables", "without_students"]
