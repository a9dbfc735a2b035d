from __future__ import annotations

import pytest

from reports import theme
from reports.charts import CELL_INK, DARK_CELL


def luminance(color: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_extremes() -> None:
    """WCAG 2.2: black on white is 21 to 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("color", [theme.BLUE, theme.GRAY, theme.INK])
def test_marks_stand_out_from_white(color: str) -> None:
    """WCAG 2.2, 1.4.11: 3 to 1 for parts of graphics."""
    assert contrast(color, "#ffffff") >= 3


def test_text_stands_out_from_white() -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1."""
    assert min(contrast(theme.INK, "#ffffff"), contrast(theme.GRAY, "#ffffff")) >= 4.5


def mixed(one: str, other: str, share: float) -> str:
    pairs = [(int(one[p : p + 2], 16), int(other[p : p + 2], 16)) for p in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def test_numbers_in_cells_stand_out_at_every_shade() -> None:
    """WCAG 2.2, 1.4.3, along the color scale, with the letters that the map uses there."""
    steps = len(theme.BLUES) - 1
    for place in range(101):
        position = place / 100 * steps
        lower = min(int(position), steps - 1)
        shade = mixed(theme.BLUES[lower], theme.BLUES[lower + 1], position - lower)
        letters = "#ffffff" if place / 100 > DARK_CELL else CELL_INK
        assert contrast(shade, letters) >= 4.5, (place, shade)


def test_a_long_label_is_broken_into_lines() -> None:
    lines = theme.wrapped("binomial keeps full coefficient, or only root divided").split("\n")

    assert len(lines) == 2
    assert max(map(len, lines)) <= theme.LABEL_LETTERS
