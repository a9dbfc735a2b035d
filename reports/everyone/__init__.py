"""The five pages of the edition for everyone: fewer tables, nothing under the limit."""

from __future__ import annotations

from reports.everyone.errors import errors_page
from reports.everyone.index import index_page
from reports.everyone.quality import quality_page
from reports.pages.outcomes import outcomes_page
from reports.pages.terms import terms_page
from reports.parts import Page
from reports.source import Book

__all__ = ["build_shared_pages"]


def build_shared_pages(book: Book) -> tuple[Page, ...]:
    """Return all pages; the first one sums up the others."""
    others = (errors_page(book), outcomes_page(book), terms_page(book), quality_page(book))
    return (index_page(book, others), *others)
