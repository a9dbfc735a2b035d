"""What an instructor and a chair come for, each found from the overview in at most two links."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

TASKS = {
    "what to record next": ((), ".finding", "Next, take up “half not squared"),
    "why": (("Next lesson",), ".error .facts", "About 311 answers, of 212 students"),
    "is it the evening class, too": ((), ".links", "Most in section evening; common in day (12%)"),
    "its figures": (("Next lesson",), ".error .facts", "common in day (12%) and evening (31%)"),
    "did the last video help": (
        ("Next lesson", "Did the last lesson help?"),
        "#title-lesson-effect",
        "After “",
    ),
    "which answers were scored unfairly": (
        ("How far to trust this",),
        "#table-unfair tbody",
        "Please accept “5/2” for “2.5”: they are the same.",
    ),
    "the paragraph for outcome 2": (
        ("Outcomes", "A paragraph to paste"),
        ".listing li:nth-child(2)",
        "Outcome “Rewrites expressions in equivalent forms”: in Fall 2025, 55% of 236",
    ),
}
"""What is wanted -> links to follow from the overview, where the answer stands, and its words."""
MOST_TABS = 24


@pytest.fixture(scope="session")
def overview(own_pages: Path) -> str:
    return (own_pages / "index.html").as_uri()


def by_click(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).last.click()


def by_key(page: Page, name: str) -> None:
    """Press the tab key until the link has the focus, then Enter."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == name:
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"{name} is further than {MOST_TABS} stops of the tab key")


@pytest.mark.parametrize("follow", [by_click, by_key])
@pytest.mark.parametrize("task", TASKS)
def test_the_answer_stands_on_the_screen_after_two_links_at_most(
    task: str, follow: Callable[[Page, str], None], overview: str, page: Page
) -> None:
    links, place, words = TASKS[task]
    page.goto(overview)
    for name in links:
        before = page.url
        follow(page, name)
        page.wait_for_url(lambda url, before=before: url != before)
    found = page.locator(place).first
    box = found.bounding_box()

    assert words in " ".join((found.text_content() or "").split())
    assert box is not None
    assert 0 <= box["y"] < 900


def test_each_part_of_a_page_is_linked_below_its_finding(overview: str, page: Page) -> None:
    page.goto(overview.replace("index", "quality"))
    links = page.get_by_role("list", name="On this page").get_by_role("link")

    assert links.all_text_contents() == page.locator("h2").all_text_contents()
    links.last.click()
    assert page.get_by_role("heading", name="Before you use this").is_visible()
