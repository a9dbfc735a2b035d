"""One look for all charts: our own palette, system fonts, nothing that needs color to be read."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

import altair as alt

# Contrast on white (WCAG 2.2 formula): ink 16.0, gray 5.7, blue 5.2, between 3.1; graphics need 3.
INK = "#1c2430"
GRAY = "#5f6670"
BETWEEN = "#8a939e"
"""Of intervals: lighter than the dots in them."""
RULE = "#d5d9de"
BLUE = "#0072B2"
# Light to dark, one hue; every cell carries its number, so that the hue is only a help.
BLUES: Sequence[str] = ("#f1f6fb", "#d3e4f3", "#a6cce6", "#69acd5", "#3787c0", "#1561a9", "#08447f")

FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Liberation Sans', Arial, sans-serif"
PLOT_WIDTH = 430
LABEL_LETTERS = 36
TITLE_LETTERS = 84


@alt.theme.register("lostroot", enable=True)
def house_theme() -> alt.theme.ThemeConfig:
    """Return the configuration that every chart is converted with."""
    return {
        "config": {
            "background": "white",
            "font": FONT,
            "lineBreak": "\n",
            "padding": {"left": 4, "right": 8, "top": 4, "bottom": 4},
            "view": {"stroke": None},
            "title": {
                "anchor": "start",
                "color": INK,
                "fontSize": 15,
                "fontWeight": 600,
                "frame": "bounds",
                "offset": 14,
                "subtitleColor": GRAY,
                "subtitleFontSize": 12.5,
                "subtitlePadding": 5,
            },
            "axis": {
                "domain": False,
                "gridColor": RULE,
                "labelColor": INK,
                "labelFlush": False,
                "labelFontSize": 12.5,
                "labelLimit": 330,
                "labelLineHeight": 15,
                "labelPadding": 8,
                "ticks": False,
                "titleColor": GRAY,
                "titleFontSize": 12.5,
                "titleFontWeight": "normal",
                "titlePadding": 10,
            },
            "text": {"color": INK, "fontSize": 12.5},
        }
    }


def wrapped(label: str, letters: int = LABEL_LETTERS) -> str:
    """Return a label broken into lines of at most `letters` letters, for an axis or a title."""
    return "\n".join(wrap(label, letters, break_long_words=False)) or label


def title_lines(title: str) -> alt.Title:
    """Return a chart's title, broken into lines."""
    return alt.Title(wrapped(title, TITLE_LETTERS).split("\n"))
