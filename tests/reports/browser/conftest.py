"""A browser where there is one, and a loud word where there is none."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from os import environ
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

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
