"""The pages over a real database: every column is there, and the numbers are its numbers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import reports
from pipeline.warehouse import Warehouse, building, reading
from reports.pages import build_pages
from reports.source import Book
from tests.warehouse.stored_course import fill


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Warehouse]:
    path = tmp_path_factory.mktemp("course") / "course.duckdb"
    with building(path, afresh=True) as warehouse:
        fill(warehouse)
    with reading(path) as warehouse:
        yield warehouse


@pytest.mark.parametrize("limit", [10, 1000])
def test_pages_are_written_whatever_is_hidden(limit: int, tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    with building(path, afresh=True) as warehouse:
        fill(warehouse, limit=limit)
    with reading(path) as warehouse:
        written = reports.write(tmp_path, warehouse)

    pages = [file.read_text(encoding="utf-8") for file in written if file.suffix == ".html"]
    assert len(pages) == 5
    assert ("hidden: fewer than 1000 students" in pages[4]) == (limit == 1000)


def test_the_ranking_prints_the_rates_of_the_view(database: Warehouse) -> None:
    book = Book(database)
    view = database.frame("own_pattern_prevalence")
    page = build_pages(book)[0]
    table = next(figure.table for figure in page.figures if figure.name == "error-ranking")
    printed = {row.cells[0].value.split(" Does")[0]: row.cells[1].value for row in table.rows}
    now = view[(view["term"] == book.term) & (view["setting"] == book.setting)]

    assert printed == {p: str(r) for p, r in zip(now["pattern"], now["rate"], strict=True)}


def test_the_views_of_the_tests_have_the_columns_of_the_database(
    database: Warehouse, book: Book
) -> None:
    for view in book.source.frames:  # type: ignore[attr-defined]
        ours = set(book.source.frame(view).columns)
        assert ours <= set(database.columns(view)), view
