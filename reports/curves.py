"""The chart of how a topic goes from a student's first question on it to the later ones."""

from __future__ import annotations

import altair as alt
import pandas as pd

from reports.theme import BLUE, GRAY, INK, title_lines
from reports.words import percent

__all__ = ["learning_curves"]

PANEL_WIDTH = 250
PANEL_HEIGHT = 170
COLUMNS = ["label", "chance", "reached", "rate", "rate_low", "rate_high", "usual", "modeled"]


def learning_curves(frame: pd.DataFrame, title: str) -> alt.FacetChart:
    """Draw the share wrong at each question in turn, one panel for each topic.

    Three marks tell apart without color: a dot with its bar is the group that is followed, a short
    level stroke what the whole class has wrong on the same questions, a line the trend.

    Args:
        frame: one row per topic and question in turn; `label` (topic), `chance` (1 on), `reached`
            (students who got so far), `rate`, `rate_low`, `rate_high`, `usual`, `modeled`
            (fractions; the last one missing where there is no trend).
        title: the finding, one sentence.
    """
    shown = frame.loc[frame["rate"].notna(), COLUMNS].reset_index(drop=True)
    turns = zip(shown["chance"], shown["reached"], strict=True)
    shown = shown.assign(
        turn=[f"{chance:.0f}\n{reached:,.0f}" for chance, reached in turns],
        text=shown["rate"].map(percent),
        **shown[COLUMNS[1:]].astype(float),
    )
    x = alt.X(
        "turn:O",
        sort=alt.EncodingSortField("chance", op="min"),
        title=None,
        axis=alt.Axis(labelAngle=0),
    )
    base = alt.Chart(shown).encode(x=x)
    wrong = alt.Axis(format=".0%", tickCount=5)
    dots = base.mark_point(filled=True, size=60, color=BLUE, opacity=1).encode(
        y=alt.Y("rate:Q", title="wrong", axis=wrong, scale=alt.Scale(domainMin=0)),
        tooltip=[alt.Tooltip("chance:O", title="question"), alt.Tooltip("text:N", title="wrong")],
    )
    bars = base.mark_rule(color=GRAY, strokeWidth=2.5).encode(
        y=alt.Y("rate_low:Q"), y2=alt.Y2("rate_high:Q")
    )
    usual = base.mark_tick(color=INK, thickness=2.5, size=24, orient="horizontal").encode(
        y=alt.Y("usual:Q")
    )
    trend = base.transform_filter("isValid(datum.modeled)").mark_line(color=BLUE, strokeWidth=1.5)
    line = [trend.encode(y=alt.Y("modeled:Q"))] if shown["modeled"].notna().any() else []
    panel = alt.LayerChart(layer=[bars, *line, usual, dots], width=PANEL_WIDTH, height=PANEL_HEIGHT)
    order = list(dict.fromkeys(shown["label"]))
    header = alt.Header(labelAnchor="start", labelFontSize=13, labelFontWeight=600, labelColor=INK)
    drawn: alt.FacetChart = (
        panel.facet(alt.Facet("label:N", title=None, sort=order, header=header), columns=3)
        .resolve_scale(x="independent")
        .properties(title=title_lines(title))
    )
    return drawn
