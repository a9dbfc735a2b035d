"""Pages and charts: they only draw what the statistics hand them."""

from __future__ import annotations

from reports.editions import withdraw_shared
from reports.writing import write

__all__ = ["withdraw_shared", "write"]
