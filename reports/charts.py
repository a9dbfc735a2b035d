"""The charts: each a pure function from one frame to one chart.

A frame holds only what may be seen: a row whose number is missing was hidden before it came here,
and it is left out of the chart's data altogether. No chart needs color to be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt
import pandas as pd

from reports.theme import BETWEEN, BLUE, BLUES, INK, LABEL_LETTERS, PLOT_WIDTH, title_lines, wrapped
from reports.words import percent, points

# Share of the color scale from which white letters are the readable ones, and the letters below
# it: only full black leaves no shade on which neither reaches 4.5 to 1.
DARK_CELL = 0.725
CELL_INK = "#000000"
MAP_LETTERS = 48
ROW = 36
"""Height of a row in pixels: room for a label of two lines."""
MAP_WIDTH = 530
"""Most pixels that the weeks of a map take up."""
SIGNED_POINTS = "datum.value == 0 ? '0' : replace(format(100 * datum.value, '+.0f'), '-', '−')"
# The first of two lines is what an axis centers; half a line up centers both.
_LIFTED: Any = {"condition": {"test": r"indexof(datum.value, '\n') >= 0", "value": -7}, "value": 0}


def heat_map(frame: pd.DataFrame, title: str) -> alt.LayerChart:
    """Draw a rate for every row and week, each cell with its number.

    Args:
        frame: one row per cell; `label` (row of the map, in the order wanted), `week` (1 on),
            `rate` (fraction, missing where hidden), `students`, `opportunities` (counts).
        title: the finding, one sentence.
    """
    columns = ["label", "week", "rate", "students", "opportunities"]
    shown = _shown(frame, "rate", columns, MAP_LETTERS)
    shown["text"] = shown["rate"].map(percent)
    shown["dark"] = shown["rate"] > DARK_CELL * max(shown["rate"].max() or 0, 0.01)
    rows = _order(shown)
    shades = alt.Scale(range=list(BLUES), domainMin=0, interpolate="rgb")
    base = alt.Chart().encode(
        x=alt.X(
            "week:O",
            title="teaching week",
            axis=alt.Axis(orient="top", labelAngle=0),
            scale=alt.Scale(domain=_weeks(shown)),
        ),
        y=alt.Y("label:N", title=None, sort=rows, axis=alt.Axis(labelOffset=_LIFTED)),
        tooltip=_tooltip(label="row", week="week", text="how common", students="students"),
    )
    cells = base.mark_rect(stroke="white", strokeWidth=2).encode(
        color=alt.Color("rate:Q", scale=shades, legend=None)
    )
    numbers = base.mark_text(fontSize=11.5).encode(
        text=alt.Text("text:N"),
        color=alt.ColorValue(CELL_INK, condition={"test": "datum.dark", "value": "white"}),
    )
    step = alt.Step(_cell_width(len(_weeks(shown))))
    return _layered(shown, title, [cells, numbers], width=step)


def _cell_width(weeks: int) -> int:
    """Pixels of a cell: a whole term stands beside its labels without scrolling."""
    return min(42, max(30, MAP_WIDTH // max(weeks, 1)))


def order(frame: pd.DataFrame, title: str) -> alt.HConcatChart:
    """Draw what each error may still cost as bars, and beside it how common it is.

    Args:
        frame: `label`, `answers_ahead` (counts), `rate`, `rate_low`, `rate_high` (fractions).
        title: the finding, one sentence.
    """
    columns = ["label", "answers_ahead", "rate", "rate_low", "rate_high"]
    shown = _shown(frame, "rate", columns)
    shown["saved"] = shown["answers_ahead"].map("{:,.0f}".format)
    shown["text"] = shown["rate"].map(percent)
    cost = _rows(shown, "answers_ahead", "answers it may still cost", alt.Axis(tickCount=4))
    bar = cost.mark_bar(color=BLUE, height=14).encode(
        tooltip=_tooltip(label="error", saved="may still cost")
    )
    axis = alt.Axis(format=".0%", tickCount=4)
    rate = _rows(shown, "rate", "how common in the semester", axis)
    rate = rate.encode(y=alt.Y("label:N", title=None, sort=_order(shown), axis=None))
    dot = rate.mark_point(filled=True, size=75, color=BLUE, opacity=1).encode(
        tooltip=_tooltip(label="error", text="how common")
    )
    panels = (
        [bar, _beside(cost, "saved")],
        [_interval(rate, "rate_low", "rate_high"), dot, _beside(rate)],
    )
    half, row = PLOT_WIDTH // 2, alt.Step(ROW)
    return alt.HConcatChart(
        data=shown,
        hconcat=[alt.LayerChart(layer=layers, width=half, height=row) for layers in panels],
        spacing=70,
        title=title_lines(title),
    )


def ranked(frame: pd.DataFrame, title: str, axis: str = "how common") -> alt.LayerChart:
    """Draw rates with their intervals, one row each, in the order of the frame.

    Args:
        frame: `label`, `rate`, `rate_low`, `rate_high` (fractions; interval missing where too few),
            `opportunities` (counts; missing where they are not to be told), and where they may be
            told `students` (counts).
        title: the finding, one sentence.
        axis: what the rate is, in words.
    """
    beside = {"students": "students"} if "students" in frame else {}
    columns = ["label", "rate", "rate_low", "rate_high", "opportunities", *beside]
    shown = _shown(frame, "rate", columns)
    shown["text"] = [
        f"{percent(rate)}  of {chances:,.0f}" if chances == chances else percent(rate)  # noqa: PLR0124
        for rate, chances in zip(shown["rate"], shown["opportunities"], strict=True)
    ]
    base = _rows(shown, "rate", axis, alt.Axis(format=".0%", tickCount=6))
    tooltip = _tooltip(label="row", text="how common", **beside)
    layers = [
        _interval(base, "rate_low", "rate_high"),
        base.mark_point(filled=True, size=75, color=BLUE, opacity=1).encode(tooltip=tooltip),
        _beside(base),
    ]
    return _layered(shown, title, layers)


def differences(frame: pd.DataFrame, title: str, axis: str) -> alt.LayerChart:
    """Draw differences with their intervals around a line at zero.

    A hollow mark stands for a difference that is not settled: it could be a rise or a fall.

    Args:
        frame: `label`, `difference`, `difference_low`, `difference_high` (fractions, after minus
            before; interval missing where too few), `settled` (boolean).
        title: the finding, one sentence.
        axis: what a positive difference means, in words.
    """
    columns = ["label", "difference", "difference_low", "difference_high", "settled"]
    shown = _shown(frame, "difference", columns)
    shown["text"] = shown["difference"].map(points)
    base = _rows(
        shown, "difference", axis, alt.Axis(labelExpr=SIGNED_POINTS, tickCount=6, grid=True)
    )
    zero = alt.Chart().mark_rule(color=INK, strokeWidth=1.2).encode(x=alt.XDatum(0))
    marks = _dots(base, "settled").encode(tooltip=_tooltip(label="row", text="difference"))
    interval = _interval(base, "difference_low", "difference_high")
    return _layered(shown, title, [zero, interval, marks, _beside(base)])


def outcomes(frame: pd.DataFrame, title: str) -> alt.LayerChart:
    """Draw the share of students who meet each outcome's bar, with interval and target.

    Args:
        frame: `label`, `share`, `share_low`, `share_high`, `target` (fractions; target missing
            where the course set none), `students` (count), and `now` where some are not of now.
        title: the finding, one sentence.
    """
    columns = ["label", "share", "share_low", "share_high", "target", "students", "now"]
    shown = _shown(frame.assign(now=frame.get("now", True)), "share", columns)
    shown["text"] = [
        f"{percent(share)}  of {students:,.0f}"
        for share, students in zip(shown["share"], shown["students"], strict=True)
    ]
    scale = alt.Scale(domain=[0, 1])
    axis = alt.Axis(format=".0%", tickCount=5)
    base = _rows(shown, "share", "students who met the bar", axis, scale)
    target = base.mark_tick(color=INK, thickness=3, size=24).encode(x=alt.X("target:Q"))
    tooltip = _tooltip(label="outcome", text="met the bar", students="students")
    layers = [
        _interval(base, "share_low", "share_high"),
        target,
        _dots(base, "now").encode(tooltip=tooltip),
        _beside(base),
    ]
    return _layered(shown, title, layers)


def bars(frame: pd.DataFrame, title: str, axis: str = "answers") -> alt.LayerChart:
    """Draw whole numbers as bars, each with its number and share.

    Args:
        frame: `label`, `count` (whole number), `share` (fraction of all); order kept.
        title: the finding, one sentence.
        axis: what is counted.
    """
    shown = _shown(frame, "count", ["label", "count", "share"])
    shown["text"] = [
        f"{count:,.0f}  ({percent(share)})" if share == share else f"{count:,.0f}"  # noqa: PLR0124
        for count, share in zip(shown["count"], shown["share"], strict=True)
    ]
    base = _rows(shown, "count", axis, alt.Axis(format=",.0f", tickCount=4))
    tooltip = _tooltip(label="answers", text="how many")
    bar = base.mark_bar(color=BLUE, height=16).encode(tooltip=tooltip)
    text = base.mark_text(align="left", dx=6).encode(text=alt.Text("text:N"))
    return _layered(shown, title, [bar, text])


def _layered(
    shown: pd.DataFrame,
    title: str,
    layers: Sequence[alt.Chart],
    width: int | alt.Step = PLOT_WIDTH,
) -> alt.LayerChart:
    """Put layers that have neither data nor size of their own into one chart."""
    return alt.LayerChart(
        data=shown, layer=layers, title=title_lines(title), width=width, height=alt.Step(ROW)
    )


def _shown(
    frame: pd.DataFrame, value: str, columns: Sequence[str], letters: int = LABEL_LETTERS
) -> pd.DataFrame:
    """Keep the rows with a value and the columns that are drawn; labels get their line breaks."""
    shown = frame.loc[frame[value].notna(), list(columns)].copy()
    numeric = [name for name in columns if name != "label"]
    shown[numeric] = shown[numeric].astype(float)
    shown["label"] = [wrapped(str(label), letters) for label in shown["label"]]
    return shown.reset_index(drop=True)


def _order(shown: pd.DataFrame) -> list[str]:
    return list(dict.fromkeys(shown["label"]))


def _weeks(shown: pd.DataFrame) -> list[int]:
    """Return all weeks from the first to the last, those without a cell too."""
    weeks = shown["week"]
    return [] if weeks.empty else list(range(int(weeks.min()), int(weeks.max()) + 1))


def _rows(
    shown: pd.DataFrame,
    value: str,
    title: str,
    axis: alt.Axis,
    scale: alt.Scale | None = None,
) -> alt.Chart:
    x = alt.X(f"{value}:Q", title=title, axis=axis, scale=scale or alt.Undefined)
    rows = alt.Y("label:N", title=None, sort=_order(shown), axis=alt.Axis(labelOffset=_LIFTED))
    return alt.Chart().encode(x=x, y=rows)


def _interval(base: alt.Chart, low: str, high: str) -> alt.Chart:
    drawn: alt.Chart = (
        base.transform_filter(f"isValid(datum.{low})")
        .mark_rule(color=BETWEEN, strokeWidth=2)
        .encode(x=alt.X(f"{low}:Q"), x2=alt.X2(f"{high}:Q"))
    )
    return drawn


def _dots(base: alt.Chart, full: str) -> alt.Chart:
    """Draw dots, hollow where a column does not hold."""
    dots: alt.Chart = base.mark_point(size=75, strokeWidth=2, color=BLUE, opacity=1).encode(
        fill=alt.FillValue("white", condition={"test": f"datum.{full} > 0", "value": BLUE})
    )
    return dots


def _beside(base: alt.Chart, name: str = "text") -> alt.Chart:
    """Put each row's numbers in one column right of the plot, where no line crosses them."""
    text: alt.Chart = base.mark_text(align="left", dx=10)
    return text.encode(x=alt.value("width"), text=alt.Text(f"{name}:N"))


def _tooltip(**fields: str) -> list[alt.Tooltip]:
    return [alt.Tooltip(f"{name}:N", title=title) for name, title in fields.items()]
