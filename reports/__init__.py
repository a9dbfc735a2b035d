"""Pages and charts: they only draw what the statistics hand them."""

from __future__ import annotations

from reports.writing import write

__all__ = ["write"]
