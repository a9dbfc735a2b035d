"""The pages for everyone as a browser shows them, from a file and without a network."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

import reports
from pipeline.warehouse import building, reading
from tests.warehouse.stored_course import fill

pytestmark = [pytest.mark.browser, pytest.mark.thorough]

FILES = ("index", "errors", "outcomes", "terms", "quality")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    course = tmp_path_factory.mktemp("course")
    with building(course / "course.duckdb", afresh=True) as warehouse:
        fill(warehouse)
    with reading(course / "course.duckdb") as warehouse:
        reports.write(course, warehouse, edition="shared", day=date(2024, 5, 3))
    return course / "reports" / "shared"


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(offline=True, viewport={"width": 1200, "height": 900})
    yield context.new_page()
    context.close()


def opened(page: Page, folder: Path, name: str) -> Page:
    page.goto((folder / f"{name}.html").as_uri())
    charts = page.locator(".chart").count()
    page.wait_for_function(f"document.querySelectorAll('.chart[data-drawn]').length === {charts}")
    return page


@pytest.mark.parametrize("name", FILES)
def test_a_page_loads_in_silence_without_serious_barriers(
    name: str, folder: Path, page: Page
) -> None:
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("request", lambda r: None if r.url.startswith("file:") else heard.append(r.url))
    opened(page, folder, name)
    page.evaluate("document.querySelectorAll('details').forEach((it) => { it.open = true; })")
    found = Axe().run(page).response["violations"]

    assert heard == []
    assert [v["id"] for v in found] == []


@pytest.mark.parametrize("name", FILES)
def test_a_page_fits_a_narrow_screen(name: str, folder: Path, page: Page) -> None:
    """WCAG 2.2, 1.4.10: 320 CSS pixels; charts and tables may scroll in their own box."""
    page.set_viewport_size({"width": 320, "height": 800})
    opened(page, folder, name)

    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_titles_differ_and_a_print_says_for_whom_it_is(folder: Path, page: Page) -> None:
    """WCAG 2.2, 2.4.2."""
    titles = {opened(page, folder, name).title() for name in FILES}
    page.emulate_media(media="print")

    assert len(titles) == len(FILES)
    assert "For everyone." in (page.locator(".private").text_content() or "")
    assert page.pdf().startswith(b"%PDF")
