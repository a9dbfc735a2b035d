"""A browser where there is one, and a loud word where there is none."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from os import environ
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

import reports
from pipeline.warehouse import building, reading
from reports.source import Source
from tests.warehouse.stored_course import fill

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
)


def installed_browser() -> str | None:
    """Return the path of any Chromium or Chrome on this machine."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    return found or next((place for place in PLACES if Path(place).is_file()), None)


BROWSER = installed_browser()
IN_CI = environ.get("CI") == "true"
left_out: list[str] = []
OWN = ("index", "next-lesson", "outcomes", "terms", "quality")
SHARED = ("index", "errors", "outcomes", "terms", "quality")
EVERY = (
    *(("own", name) for name in OWN),
    *(pytest.param("shared", name, marks=pytest.mark.thorough) for name in SHARED),
)
"""All pages: edition and name."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the browser tests out where there is no browser; in CI let them fail instead."""
    if BROWSER or IN_CI:
        return
    without = [item for item in items if item.get_closest_marker("browser")]
    left_out.extend(item.nodeid for item in without)
    config.hook.pytest_deselected(items=without)
    items[:] = [item for item in items if item not in without]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly which tests did not run, and why."""
    if left_out:
        terminalreporter.section("BROWSER TESTS DID NOT RUN", sep="!", red=True, bold=True)
        terminalreporter.line(f"No Chromium or Chrome found; {len(left_out)} tests left out:")
        for name in left_out:
            terminalreporter.line(f"  {name}")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless browser without a network."""
    assert BROWSER, "no Chromium or Chrome found: run `sh tests/find_browser.sh`"
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=BROWSER, args=["--no-sandbox", "--disable-gpu"]
        )
        yield running
        running.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """An empty page without a network."""
    context = browser.new_context(offline=True, viewport={"width": 1200, "height": 900})
    yield context.new_page()
    context.close()


@pytest.fixture
def said(page: Page) -> list[str]:
    """What the console and the network had to say; a good page says nothing."""
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("request", lambda r: None if r.url.startswith("file:") else heard.append(r.url))
    return heard


@pytest.fixture(scope="session")
def own_pages(views: Source, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the pages for those who teach."""
    return written_own(tmp_path_factory.mktemp("own"), views)


@pytest.fixture(scope="session")
def shared_pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the pages for everyone."""
    return written_shared(tmp_path_factory.mktemp("shared"))


def written_own(course: Path, views: Source) -> Path:
    reports.write(course, views)
    return course / "reports" / "own"


def written_shared(course: Path) -> Path:
    with building(course / "course.duckdb", afresh=True) as warehouse:
        fill(warehouse)
    with reading(course / "course.duckdb") as warehouse:
        reports.write(course, warehouse, edition="shared", day=date(2024, 5, 3))
    return course / "reports" / "shared"


def opened(page: Page, folder: Path, name: str) -> Page:
    """Open a page and wait until its charts are drawn."""
    page.goto((folder / f"{name}.html").as_uri())
    charts = page.locator(".chart").count()
    page.wait_for_function(f"document.querySelectorAll('.chart[data-drawn]').length === {charts}")
    return page


def unfolded(page: Page) -> Page:
    """Open all that waits behind a line."""
    page.evaluate("document.querySelectorAll('details').forEach((it) => { it.open = true; })")
    return page
