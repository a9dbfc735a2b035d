"""What axe has no rule for: marks against their ground, focus, hover, and what is read aloud.

WCAG 2.2: 1.3.2 and 2.4.3 (order), 1.4.11 (3 to 1 for marks, controls and focus), 1.4.3 (4.5 to 1
for text), 1.4.13 (hover content), 2.4.7 and 2.4.11 (focus is seen).
"""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.reports.browser.conftest import EVERY, opened, unfolded
from tests.reports.browser.trees import AGREED, tree

pytestmark = pytest.mark.browser

LOOKS: dict[str, dict[str, Any]] = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "forced": {"forced_colors": "active"},
    "dark and forced": {"color_scheme": "dark", "forced_colors": "active"},
}
CONTRAST = """
  const brush = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  const rgba = (color) => {
    brush.clearRect(0, 0, 1, 1);
    brush.fillStyle = color;
    brush.fillRect(0, 0, 1, 1);
    return [...brush.getImageData(0, 0, 1, 1).data];
  };
  const luminance = (color) => {
    const linear = (c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    const [r, g, b] = color.map((part) => linear(part / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const color = rgba(getComputedStyle(at).backgroundColor);
      if (color[3] === 255) return color;
    }
    return rgba("Canvas");
  };
  const against = (color, below, opacity = 1) => {
    const [r, g, b, alpha] = rgba(color);
    const share = (alpha / 255) * opacity;
    const seen = [r, g, b].map((part, at) => part * share + below[at] * (1 - share));
    const [light, dark] = [luminance(seen), luminance(below)].sort((one, other) => other - one);
    return (light + 0.05) / (dark + 0.05);
  };
"""
"""Functions that give the contrast of computed colors (WCAG 2.2, relative luminance)."""
FAINT = (
    "() => {"
    + CONTRAST
    + """
  const found = [];
  const look = (selector, least, colors) => {
    for (const element of document.querySelectorAll(selector)) {
      if (!element.checkVisibility() || !element.getClientRects().length) continue;
      const style = getComputedStyle(element);
      const below = ground(element);
      // A mark is seen by its area or by its line.
      const ratios = colors.map((name) => style[name]).filter((color) => color !== "none")
        .map((color) => against(color, below, Number(style.opacity)));
      const most = Math.max(0, ...ratios);
      const words = element.textContent.slice(0, 30);
      if (most < least) found.push(`${selector} ${words}: ${most.toFixed(2)}`);
    }
  };
  look(".chart svg .role-mark :is(path, line, rect)", 3, ["fill", "stroke"]);
  look(".chart svg text:not([opacity='0'])", 4.5, ["fill"]);
  look(".weekly :is(polyline, circle)", 3, ["fill", "stroke"]);
  look(".broken", 3, ["borderLeftColor"]);
  look(".fault", 4.5, ["color"]);
  look(".filter :is(select, button)", 3, ["borderLeftColor"]);
  look(".scrolls", 3, ["borderRightColor"]);
  look("[aria-expanded=true]", 3, ["borderBottomColor"]);
  look(".top a[aria-current]", 3, ["borderBottomColor"]);
  return found;
}"""
)
"""Marks, lines, letters and edges that do not stand out from what they lie on."""
FOCUS = (
    "() => {"
    + CONTRAST
    + """
  const element = document.activeElement;
  if (element === document.body) return null;
  const style = getComputedStyle(element);
  const within = parseFloat(style.outlineOffset) < 0;
  const box = element.getClientRects()[0];
  const down = box.top + Math.min(box.height / 2, 20);
  const top = document.elementsFromPoint(box.left + box.width / 2, down);
  return {
    at: [...document.querySelectorAll("*")].indexOf(element),
    name: `${element.tagName} ${element.textContent.trim().slice(0, 40)}`,
    outlined: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    ratio: against(style.outlineColor, ground(within ? element : element.parentElement)),
    seen: top.some((one) => one === element || element.contains(one)),
  };
}"""
)
"""What has the focus: its place in the document, and whether it shows."""
STOPS = """() => {
  const all = [...document.querySelectorAll("*")];
  const stops = document.querySelectorAll("a[href], button, select, summary, [tabindex='0']");
  const shown = [...stops].filter((one) => one.checkVisibility({ visibilityProperty: true }));
  return shown.map((one) => all.indexOf(one));
}"""
"""Where the tab key has to stop: places in the document, in its order."""


@pytest.fixture
def shown(request: pytest.FixtureRequest, page: Page, edition: str, name: str) -> Page:
    return opened(page, request.getfixturevalue(f"{edition}_pages"), name)


@pytest.mark.parametrize(
    ("color", "faint"), [("#767676", False), ("#949494", False), ("#959595", True)]
)
def test_the_contrast_is_that_of_the_published_formula(color: str, faint: bool, page: Page) -> None:
    """On white, #767676 has 4.54 to 1, #949494 3.03 and #959595 less than 3 (WCAG 2.2 formula)."""
    page.set_content(
        "<div class='chart' style='background: #fff'><svg width='9' height='9'>"
        f"<g class='role-mark'><path d='M0,0h9v9h-9z' fill='{color}'/></g></svg></div>"
    )

    assert bool(page.evaluate(FAINT)) == faint


@pytest.mark.parametrize(("edition", "name"), EVERY)
def test_every_mark_stands_out_from_its_ground(shown: Page) -> None:
    cell = unfolded(shown).locator("td[data-opens]").first
    for look, media in LOOKS.items():
        shown.emulate_media(**{"color_scheme": "light", "forced_colors": "none", **media})
        for opens in cell.all():
            opens.click()

        assert shown.evaluate(FAINT) == [], look


@pytest.mark.parametrize(("edition", "name"), EVERY)
def test_the_tab_key_stops_at_everything_in_the_order_of_the_page_and_is_seen(shown: Page) -> None:
    for look in ("dark", "forced", "light"):
        shown.emulate_media(**{"color_scheme": "light", "forced_colors": "none", **LOOKS[look]})
        stops = shown.evaluate(STOPS)
        found = []
        for _ in stops:
            shown.keyboard.press("Tab")
            found.append(shown.evaluate(FOCUS) or {"name": "the page was left", "at": -1})
        shown.keyboard.press("Tab")  # leaves the page, so that the next look begins at its top

        assert [one["at"] for one in found] == stops, found
        assert [
            one for one in found if not (one["outlined"] and one["ratio"] >= 3 and one["seen"])
        ] == []


@pytest.mark.parametrize(("edition", "name"), EVERY)
def test_what_is_read_aloud_is_what_was_agreed_on(shown: Page, edition: str, name: str) -> None:
    """`python -m tests.reports.browser.trees` writes the agreed ones anew."""
    assert tree(shown) == (AGREED / f"{edition}-{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(("edition", "name"), [("own", "next-lesson"), ("own", "quality")])
def test_what_appears_on_hover_can_be_pointed_at_and_put_away(shown: Page) -> None:
    """WCAG 2.2, 1.4.13: hoverable, persistent, dismissed without moving the pointer."""
    tip = shown.locator(".tip")
    mark = shown.locator(".chart svg .role-mark path").first
    mark.hover()
    tip.wait_for()
    box = tip.bounding_box()
    assert box is not None
    shown.mouse.move(box["x"] + 8, box["y"] + 8)
    shown.wait_for_timeout(600)
    assert tip.is_visible()
    shown.keyboard.press("Escape")
    assert tip.is_hidden()
    mark.hover()
    tip.wait_for()
    shown.mouse.move(2, 2)
    tip.wait_for(state="hidden")
