"""The pages as a browser shows them, from a file and without a network."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

import reports
from reports.pages import build_pages
from reports.parts import Figure
from reports.source import Book
from reports.tables import Table
from tests.reports.browser.conftest import OWN, opened, unfolded
from tests.reports.conftest import Views
from tests.reports.odd_names import oddly_named

pytestmark = pytest.mark.browser


@pytest.fixture(scope="session")
def folder(own_pages: Path) -> Path:
    return own_pages


@pytest.mark.parametrize("name", OWN)
def test_a_page_loads_in_silence_and_draws_its_charts(
    name: str, folder: Path, page: Page, said: list[str]
) -> None:
    opened(page, folder, name)
    marks = page.locator(".chart svg .mark-symbol path, .chart svg .mark-rect path, .grid td")

    assert said == []
    assert page.locator(".chart svg").count() == page.locator(".chart").count()
    assert page.locator(".chart").count() >= (name != "index")
    assert marks.count() >= 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", OWN)
def test_a_page_has_no_serious_barrier(name: str, scheme: Any, folder: Path, page: Page) -> None:
    page.emulate_media(color_scheme=scheme)
    opened(page, folder, name)
    found = Axe().run(unfolded(page)).response["violations"]

    assert [v["id"] for v in found] == []


@pytest.mark.parametrize("name", OWN)
def test_a_page_fits_a_narrow_screen(name: str, folder: Path, page: Page) -> None:
    """WCAG 2.2, 1.4.10: 320 CSS pixels; charts and tables may scroll in their own box."""
    page.set_viewport_size({"width": 320, "height": 800})
    opened(page, folder, name)

    assert page.evaluate("document.documentElement.scrollWidth") == 320


LABELS = """() => {
  const found = [];
  for (const svg of document.querySelectorAll(".chart svg")) {
    const frame = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll("text")].filter((text) => text.textContent.trim());
    const boxes = texts.map((text) => text.getBoundingClientRect());
    texts.forEach((text, i) => {
      const box = boxes[i];
      const out = box.left < frame.left - 1 || box.right > frame.right + 1;
      if (out) found.push("cut: " + text.textContent);
      for (let j = 0; j < i; j++) {
        const across = Math.min(box.right, boxes[j].right) - Math.max(box.left, boxes[j].left);
        const down = Math.min(box.bottom, boxes[j].bottom) - Math.max(box.top, boxes[j].top);
        if (across > 2 && down > 4) found.push(texts[j].textContent + " under " + text.textContent);
      }
    });
  }
  return found;
}"""
"""Words of charts that lie on one another or stand out of their chart."""


@pytest.mark.parametrize("width", [1280, 390, 320])
def test_no_label_of_a_chart_is_cut_or_under_another(width: int, folder: Path, page: Page) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    for name in OWN:
        opened(page, folder, name)

        assert page.evaluate(LABELS) == [], name


def test_on_a_phone_charts_of_rows_need_no_scrolling(folder: Path, page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 800})
    opened(page, folder, "next-lesson")
    widths = page.locator(".chart svg").evaluate_all("all => all.map(svg => svg.clientWidth)")
    found = Axe().run(page).response["violations"]

    assert max(widths) <= 390
    assert [v["id"] for v in found] == []


def test_the_tables_hold_what_the_database_holds(folder: Path, page: Page, book: Book) -> None:
    for built in build_pages(book):
        opened(page, folder, built.file.removesuffix(".html"))
        parts = [part for section in built.sections for part in section.parts]
        tables = [p.table if isinstance(p, Figure) else p for p in parts]
        for whole in (table for table in tables if isinstance(table, Table)):
            for table in whole.shown:
                assert shown(page, table) == stored(table), table.name


def shown(page: Page, table: Table) -> list[list[str]]:
    script = "rows => rows.map(row => [...row.children].map(cell => cell.dataset.value))"
    found: list[list[str]] = page.locator(f"#table-{table.name} tbody tr").evaluate_all(script)
    return found


def stored(table: Table) -> list[list[str]]:
    rows = []
    for record in table.frame.to_dict("records"):
        row = []
        for column in table.columns:
            values = [record[name] for name in column.names]
            empty = any(not hasattr(v, "__iter__") and pd.isna(v) for v in values)
            row.append("" if empty else " ".join(str(value) for value in values))
        rows.append(row)
    return rows


def test_the_first_tab_stop_skips_to_the_content(folder: Path, page: Page) -> None:
    """WCAG 2.2, 2.4.1 and 2.4.7."""
    opened(page, folder, "index")
    page.keyboard.press("Tab")
    focused = page.evaluate("document.activeElement.getAttribute('href')")
    page.keyboard.press("Enter")

    assert focused == "#content"
    assert page.evaluate("document.activeElement.id") == "content"


def test_a_map_is_one_tab_stop_and_a_cell_opens_by_click_and_by_key(
    folder: Path, page: Page
) -> None:
    """WAI-ARIA Authoring Practices, grid pattern: arrows move, one cell takes part in the tabs."""
    opened(page, folder, "index")
    grid = page.locator("#grid-errors-by-topic-and-week")
    assert grid.locator("td[tabindex='0']").count() == 1
    grid.locator("td[tabindex='0']").focus()
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.parentElement.rowIndex") == 2
    grid.locator("td[data-opens]").first.focus()
    page.keyboard.press("Enter")
    expanded = grid.locator("[aria-expanded=true]")
    panel = page.locator(f"#{expanded.get_attribute('data-opens')}")
    assert panel.is_visible()
    assert panel.locator("li").count() >= 1
    page.keyboard.press("Escape")
    assert not panel.is_visible()
    grid.locator("td[data-opens]").first.click()
    assert panel.is_visible()


def test_what_is_shown_stands_in_the_address_and_is_announced(folder: Path, page: Page) -> None:
    opened(page, folder, "index")
    page.select_option("[name=from]", index=1)
    first = page.locator("[name=from]").input_value()
    shown = page.locator(".filter [role=status]").text_content()
    page.goto("about:blank")
    page.goto(f"{(folder / 'index.html').as_uri()}#setting=practice&from={first}")
    hidden = page.locator("td.out").evaluate_all("all => all.map(cell => cell.dataset.week)")

    assert f"weeks {first} to" in (shown or "")
    assert page.locator("[name=from]").input_value() == first
    assert hidden
    assert all(int(week) < int(first) for week in hidden)
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Show all").press("Enter")
    page.wait_for_selector("td.out", state="detached")


def test_a_class_section_is_chosen_by_key_announced_and_passed_on(folder: Path, page: Page) -> None:
    opened(page, folder, "index")
    choices = page.locator("[name=section] option").all_text_contents()
    page.locator("[name=section]").focus()
    page.keyboard.press("End")
    page.wait_for_function("location.hash.includes('section=evening')")
    address = page.evaluate("location.href")
    page.goto("about:blank")
    page.goto(address)
    maps = page.locator("figure", has=page.locator("#grid-errors-by-topic-and-week")).locator(
        ".map"
    )
    shown = [one.get_attribute("data-section") for one in maps.all() if one.is_visible()]
    status = page.locator(".filter [role=status]").text_content() or ""

    assert choices == ["all", "day", "evening"]
    assert shown == ["evening"]
    assert page.locator("#title-errors-by-topic-and-week").is_hidden()
    assert page.locator("#grid-errors-by-week").is_visible()
    assert status.startswith("Shown: section evening, all, weeks ")
    assert status.endswith("errors are those of all sections")
    assert Axe().run(page).violations_count == 0
    page.get_by_role("button", name="Show all").press("Enter")
    page.wait_for_selector("#grid-errors-by-topic-and-week")
    assert page.locator(".map[data-section=evening]").is_hidden()


def test_the_map_of_errors_follows_the_section_that_is_chosen(folder: Path, page: Page) -> None:
    opened(page, folder, "index")
    page.get_by_label("Class section").select_option("day")
    told = page.locator("#grid-errors-by-week-1 td[data-week]").first.get_attribute("aria-label")
    status = page.locator(".filter [role=status]").text_content() or ""

    assert page.locator("#grid-errors-by-week").is_hidden()
    assert (told or "").startswith("section day, half not squared")
    assert status.endswith(" cells")


def test_titles_differ_and_the_language_is_named(folder: Path, page: Page) -> None:
    """WCAG 2.2, 2.4.2 and 3.1.1."""
    titles = set()
    for name in OWN:
        opened(page, folder, name)
        titles.add(page.title())
        assert page.evaluate("document.documentElement.lang") == "en-US"

    assert len(titles) == len(OWN)


def test_a_page_prints_with_its_warning_and_its_explanations(folder: Path, page: Page) -> None:
    opened(page, folder, "quality")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")

    assert page.locator(".private").is_visible()
    assert page.locator("details.behind p").first.is_visible()
    assert not page.locator("nav").is_visible()
    assert page.pdf().startswith(b"%PDF")


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_next_lesson_is_one_printed_sheet(paper: str, folder: Path, page: Page) -> None:
    opened(page, folder, "next-lesson")
    sheets = re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper))
    page.emulate_media(media="print")

    assert len(sheets) == 1
    assert page.locator(".error").first.is_visible()
    assert page.locator(".keep").is_visible()


@pytest.mark.parametrize("name", OWN)
def test_a_printed_page_cuts_nothing_off(name: str, folder: Path, page: Page) -> None:
    """ISO 216 A4 between the margins of the style sheet: 180 mm, 680 CSS pixels."""
    page.set_viewport_size({"width": 680, "height": 960})
    page.emulate_media(media="print")
    opened(page, folder, name)

    assert page.evaluate("document.documentElement.scrollWidth") == 680


def test_a_page_with_empty_views_draws_nothing_wrong(
    empty_book: Book, tmp_path: Path, page: Page, said: list[str]
) -> None:
    reports.write(tmp_path, empty_book.source)
    for name in OWN:
        opened(page, tmp_path / "reports" / "own", name)

    assert said == []


def test_odd_names_run_nothing_and_fit_a_narrow_screen(
    views: Views, tmp_path: Path, page: Page, said: list[str]
) -> None:
    reports.write(tmp_path, oddly_named(views))
    page.set_viewport_size({"width": 320, "height": 800})
    for name in OWN:
        opened(page, tmp_path / "reports" / "own", name)

        assert page.evaluate("document.documentElement.scrollWidth") == 320
        assert page.title() != "x"
    assert said == []
