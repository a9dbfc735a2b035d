"""The five pages of an edition, in the order of their navigation."""

from __future__ import annotations

from reports.pages.index import index_page
from reports.pages.next_lesson import next_lesson_page
from reports.pages.outcomes import outcomes_page
from reports.pages.quality import quality_page
from reports.pages.terms import terms_page
from reports.parts import Page
from reports.source import Book

__all__ = ["build_pages"]


def build_pages(book: Book) -> tuple[Page, ...]:
    """Return all pages; the first one sums up the others."""
    others = (next_lesson_page(book), outcomes_page(book), terms_page(book), quality_page(book))
    return (index_page(book, others), *others)
