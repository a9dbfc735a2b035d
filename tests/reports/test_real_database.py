"""The pages over a real database: every column is there, and the numbers are its numbers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

import reports
from pipeline.run.load import Loads
from pipeline.run.summary import summarize
from pipeline.warehouse import Warehouse, building, reading
from reports.everyone import build_shared_pages
from reports.pages import build_pages
from reports.pages.grids import topic_grid
from reports.render import render
from reports.source import Book
from reports.words import percent, quoted
from tests.reports.sentences import at_odds, unfounded
from tests.warehouse.stored_course import fill


@pytest.fixture(scope="module")
def database(stored: Path) -> Iterator[Warehouse]:
    with reading(stored) as warehouse:
        yield warehouse


@pytest.mark.thorough
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
    page = build_pages(book)[1]
    table = next(figure.table for figure in page.figures if figure.name == "error-order")
    printed = {row.cells[0].value.split(" Does")[0]: row.cells[2].value for row in table.rows}
    now = view[(view["term"] == book.term) & (view["setting"] == book.setting)]

    assert printed == {p: str(r) for p, r in zip(now["pattern"], now["rate"], strict=True)}


def test_the_views_of_the_tests_have_the_columns_of_the_database(
    database: Warehouse, book: Book
) -> None:
    for view in book.source.frames:  # type: ignore[attr-defined]
        ours = set(book.source.frame(view).columns)
        assert ours <= set(database.columns(view)), view


def test_a_map_shows_each_rate_of_each_setting_and_no_hidden_one(database: Warehouse) -> None:
    grid = topic_grid(Book(database))
    view = database.frame("own_wrong_by_topic_week")
    told = view[view["term"] == Book(database).term].dropna(subset=["rate"])
    assert grid is not None
    cells = [cell for _, row in grid.rows for cell in row if cell]

    assert sorted((c.setting, c.week, c.text) for c in cells) == sorted(
        (row.setting, int(row.week), percent(row.rate)) for row in told.itertuples()
    )


@pytest.mark.parametrize("edition", ["own", "shared"])
def test_each_number_in_each_sentence_is_that_of_its_table(
    database: Warehouse, edition: str
) -> None:
    book = Book(database, edition)
    pages = build_pages(book) if edition == "own" else build_shared_pages(book)
    facts = (database._connection, book.term, book.setting, edition)

    assert [what for page in pages for what in unfounded(render(page, pages, book), *facts)] == []
    assert at_odds(pages) == []


def test_all_pages_and_the_summary_name_the_same_first_second_and_third(
    database: Warehouse,
) -> None:
    book = Book(database)
    figures = {figure.name: figure for page in build_pages(book) for figure in page.figures}
    weekly = list(dict.fromkeys(figures["errors-by-week"].table.frame["pattern"]))
    lesson = list(figures["error-order"].table.frame["pattern"].head(3))
    loads = cast("Loads", SimpleNamespace(warnings=()))
    summary = summarize(database, Path("course.duckdb"), loads, changed=True)
    said = database.frame("own_pattern_prevalence").set_index("says")["pattern"].to_dict()

    assert lesson == [said[sentence] for sentence, _, _ in summary.top[:3]]
    assert weekly[:3] == [name for name in lesson if name in weekly]
    assert {setting for _, _, setting in summary.top} == {book.setting}
    for title in (figures["error-order"].title, figures["errors-by-week"].title):
        assert quoted(lesson[0]) in title
    assert all(quoted(lesson[0]) in page.finding for page in build_pages(book)[:2])
