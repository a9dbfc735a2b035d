"""Pages as a screen reader meets them: `python -m tests.reports.browser.trees` writes them anew.

What is agreed on stands in `trees/`, one file a page: landmarks, headings, links, controls, figures
and tables by role and name, in reading order. A change of it is read before it is kept.
"""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright

from tests.reports.browser.conftest import (
    BROWSER,
    OWN,
    SHARED,
    opened,
    unfolded,
    written_own,
    written_shared,
)
from tests.reports.conftest import FOLDER, Views, read_view

AGREED = Path(__file__).parent / "trees"
ROLES = (
    "article",
    "banner",
    "button",
    "combobox",
    "contentinfo",
    "form",
    "grid",
    "heading",
    "img",
    "link",
    "main",
    "navigation",
    "region",
    "status",
    "table",
)
"""WAI-ARIA 1.2 roles that a reader moves by."""
_LINE = re.compile(rf"( *)- '?({'|'.join(ROLES)})\b(?: (\"(?:[^\"\\]|\\.)*\"))?( \[level=\d\])?")


def tree(page: Page) -> str:
    """Return a page's accessibility tree: one line for each role that is moved by."""
    above: list[int] = []
    lines = []
    for found in map(_LINE.match, unfolded(page).locator("body").aria_snapshot().splitlines()):
        if found is None:
            continue
        deep = len(found[1])
        above = [*(one for one in above if one < deep), deep]
        name = f" {found[3]}" if found[3] else ""
        lines.append(f"{'  ' * (len(above) - 1)}{found[2]}{name}{found[4] or ''}\n")
    return "".join(lines)


def _agree() -> None:
    views = Views({path.stem: read_view(path) for path in FOLDER.glob("*.csv")})
    with TemporaryDirectory() as made, sync_playwright() as playwright:
        page = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"]).new_page()
        page.set_viewport_size({"width": 1200, "height": 900})
        for edition, folder, names in (
            ("own", written_own(Path(made) / "own", views), OWN),
            ("shared", written_shared(Path(made)), SHARED),
        ):
            for name in names:
                agreed = AGREED / f"{edition}-{name}.txt"
                agreed.write_text(tree(opened(page, folder, name)), encoding="utf-8")


if __name__ == "__main__":
    AGREED.mkdir(exist_ok=True)
    _agree()
