"""The pages for everyone as a browser shows them, from a file and without a network."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.reports.browser.conftest import SHARED, opened, unfolded

pytestmark = [pytest.mark.browser, pytest.mark.thorough]


@pytest.fixture(scope="session")
def folder(shared_pages: Path) -> Path:
    return shared_pages


@pytest.mark.parametrize("name", SHARED)
def test_a_page_loads_in_silence_without_serious_barriers(
    name: str, folder: Path, page: Page, said: list[str]
) -> None:
    opened(page, folder, name)
    found = Axe().run(unfolded(page)).response["violations"]

    assert said == []
    assert [v["id"] for v in found] == []


@pytest.mark.parametrize("name", SHARED)
def test_a_page_fits_a_narrow_screen(name: str, folder: Path, page: Page) -> None:
    """WCAG 2.2, 1.4.10: 320 CSS pixels; charts and tables may scroll in their own box."""
    page.set_viewport_size({"width": 320, "height": 800})
    opened(page, folder, name)

    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_titles_differ_and_a_print_says_for_whom_it_is(folder: Path, page: Page) -> None:
    """WCAG 2.2, 2.4.2."""
    titles = {opened(page, folder, name).title() for name in SHARED}
    page.emulate_media(media="print")

    assert len(titles) == len(SHARED)
    assert "For everyone." in (page.locator(".private").text_content() or "")
    assert page.pdf().startswith(b"%PDF")
