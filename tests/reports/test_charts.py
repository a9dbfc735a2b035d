from __future__ import annotations

import json
from collections.abc import Callable

import altair as alt
import pandas as pd
import pytest

from reports import charts
from reports.theme import house_theme

ROW = {
    "label": "half not squared",
    "week": 3,
    "rate": 0.21,
    "rate_low": 0.17,
    "rate_high": 0.25,
    "difference": -0.07,
    "difference_low": -0.11,
    "difference_high": -0.03,
    "settled": True,
    "share": 0.5,
    "share_low": 0.4,
    "share_high": 0.6,
    "target": 0.7,
    "count": 40,
    "students": 99,
    "opportunities": 300,
    "answers_ahead": 40.4,
    "secret": 7_654_321,
}
TITLE = "One error stands out"
Draw = Callable[[pd.DataFrame], alt.LayerChart | alt.HConcatChart]
CHARTS: dict[str, Draw] = {
    "heat_map": lambda frame: charts.heat_map(frame, TITLE),
    "ranked": lambda frame: charts.ranked(frame, TITLE),
    "differences": lambda frame: charts.differences(frame, TITLE, "change"),
    "outcomes": lambda frame: charts.outcomes(frame, TITLE),
    "bars": lambda frame: charts.bars(frame, TITLE),
    "order": lambda frame: charts.order(frame, TITLE),
}
VALUES = {
    "heat_map": "rate",
    "ranked": "rate",
    "differences": "difference",
    "outcomes": "share",
    "bars": "count",
    "order": "rate",
}


def some(rows: int) -> pd.DataFrame:
    return pd.DataFrame([ROW] * rows, columns=list(ROW))


def fields(chart: alt.LayerChart | alt.HConcatChart, channel: str) -> list[str]:
    drawn = chart.to_dict()
    layers = [layer for panel in drawn.get("hconcat", [drawn]) for layer in panel["layer"]]
    found = [layer.get("encoding", {}).get(channel, {}).get("field") for layer in layers]
    return [field for field in found if field]


@pytest.mark.parametrize("name", CHARTS)
@pytest.mark.parametrize("rows", [0, 1, 5])
def test_a_chart_survives_any_number_of_rows_and_a_round_trip(name: str, rows: int) -> None:
    chart = CHARTS[name](some(rows))

    assert type(chart).from_json(chart.to_json()).to_dict() == chart.to_dict()


@pytest.mark.parametrize("name", CHARTS)
def test_a_chart_states_its_finding(name: str) -> None:
    assert CHARTS[name](some(1)).to_dict()["title"]["text"] == [TITLE]


@pytest.mark.parametrize("name", CHARTS)
def test_hidden_rows_and_unused_columns_are_absent_from_the_data(name: str) -> None:
    hidden = {**ROW, "label": "hidden row", VALUES[name]: None}
    text = CHARTS[name](pd.DataFrame([ROW, hidden])).to_json()

    assert "half not squared" in text
    assert "hidden row" not in text
    assert "7654321" not in text


def test_the_map_puts_weeks_across_and_topics_down_with_a_number_in_each_cell() -> None:
    chart = CHARTS["heat_map"](some(1))

    assert fields(chart, "x") == ["week", "week"]
    assert fields(chart, "y") == ["label", "label"]
    assert fields(chart, "color")[0] == "rate"
    assert fields(chart, "text") == ["text"]


def test_a_rate_is_drawn_with_its_interval() -> None:
    chart = CHARTS["ranked"](some(1))

    assert "rate_low" in fields(chart, "x")
    assert fields(chart, "x2") == ["rate_high"]
    assert "21%  of 300" in chart.to_json()


def test_what_an_error_may_cost_stands_beside_how_common_it_is_each_on_its_scale() -> None:
    chart = CHARTS["order"](some(1))

    assert fields(chart, "x") == ["answers_ahead", "rate_low", "rate"]
    assert fields(chart, "text") == ["saved", "text"]
    assert '"saved": "40"' in chart.to_json()


def test_an_interval_that_is_missing_is_not_drawn_at_zero() -> None:
    frame = pd.DataFrame([{**ROW, "rate_low": None, "rate_high": None}])
    layers = CHARTS["ranked"](frame).to_dict()["layer"]
    rules = [layer for layer in layers if layer["mark"]["type"] == "rule"]

    assert [rule["transform"] for rule in rules] == [[{"filter": "isValid(datum.rate_low)"}]]


def test_an_outcome_is_drawn_with_its_target_on_the_whole_scale() -> None:
    chart = CHARTS["outcomes"](some(1))

    assert "target" in fields(chart, "x")
    assert '"domain": [\n' in chart.to_json() or '"domain": [0, 1]' in chart.to_json()


def test_a_difference_that_is_not_settled_gets_a_hollow_mark() -> None:
    layers = CHARTS["differences"](some(1)).to_dict()["layer"]
    fill = next(layer["encoding"]["fill"] for layer in layers if "fill" in layer["encoding"])

    assert fill["condition"]["test"] == "datum.settled > 0"
    assert fill["value"] == "white"


def test_the_order_of_the_rows_is_kept() -> None:
    frame = pd.DataFrame([{**ROW, "label": name} for name in ("b", "c", "a")])

    assert json.loads(CHARTS["bars"](frame).to_json())["layer"][0]["encoding"]["y"]["sort"] == [
        "b",
        "c",
        "a",
    ]


def test_one_theme_is_in_force() -> None:
    assert alt.theme.active == "lostroot"
    assert CHARTS["bars"](some(1)).to_dict()["config"] == house_theme()["config"]
