"""The latest week beside those in which its topics were asked before."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd
import pytest

from reports.pages.latest_week import latest_week
from reports.parts import Prose
from reports.source import Book
from tests.reports.conftest import Views

WEEKLY, TRIES = "own_error_by_topic_week", "own_wrong_by_topic_week"
PREVALENCE = "own_pattern_prevalence"


def said(views: Views, **changed: pd.DataFrame) -> list[str]:
    """The sentences of the section."""
    book = Book(Views({**views.frames, **changed}))
    parts = [part for one in latest_week(book) for part in one.parts]
    return [line for part in parts if isinstance(part, Prose) for line in part.paragraphs]


def weeks(frame: pd.DataFrame, *rows: Mapping[str, Any]) -> pd.DataFrame:
    """The first row of a view as often as asked, changed."""
    return pd.concat([frame.head(1).assign(**one) for one in rows], ignore_index=True)


def told(views: Views, now: float, low: float, high: float, **more: object) -> list[str]:
    """What is said where an error was at 20 % (15 to 25) in week 7 and asked again in week 9."""
    before: dict[str, Any] = {"week": 7, "pattern": "half-not-squared", "rate": 0.2}
    before |= {"rate_low": 0.15, "rate_high": 0.25}
    after = {**before, "week": 9, "rate": now, "rate_low": low, "rate_high": high, **more}
    rates = weeks(views.frames[WEEKLY], before, after)
    tries = weeks(views.frames[TRIES], {"week": 7}, {"week": 9, "rate": 0.3, "answers": 240})
    return said(views, **{WEEKLY: rates, TRIES: tries})


@pytest.mark.parametrize(
    ("now", "low", "high", "word"),
    [(0.4, 0.3, 0.5, "More"), (0.05, 0.02, 0.1, "Less"), (0.26, 0.2, 0.3, None)],
)
def test_an_error_moved_where_the_ranges_do_not_meet(
    views: Views, now: float, low: float, high: float, word: str | None
) -> None:
    first, second, *_ = told(views, now, low, high)

    assert first.startswith("Week 9 in practice questions: most wrong first tries in ")
    assert first.endswith(", 30% of 240.")
    if word is None:
        assert second.startswith("No error is clearly more or less common")
    else:
        assert second.startswith(f"{word} common than when the topic was last asked: “half not sq")
        assert "20% in week 7 and" in second


@pytest.mark.parametrize("more", [{"general": True}, {"topic": "t9"}, {"term": "s26"}])
def test_slips_other_topics_and_other_semesters_have_not_moved(
    views: Views, more: dict[str, object]
) -> None:
    assert not any("common" in line for line in told(views, 0.4, 0.3, 0.5, **more))


def test_the_first_week_is_not_compared(views: Views) -> None:
    assert said(views, **{TRIES: views.frames[TRIES].head(1)}) == []


def test_a_hidden_week_is_not_the_latest(views: Views) -> None:
    hidden = {"week": 12, "rate": None, "answers": None}
    tries = weeks(views.frames[TRIES], {"week": 7}, {"week": 9}, hidden)

    assert said(views, **{TRIES: tries})[0].startswith("Week 9 ")


def order_said(views: Views, places: Mapping[str, tuple[float | None, float | None]]) -> list[str]:
    """What is said of the order: error -> place now, place before."""
    row = views.frames[PREVALENCE].head(1)
    rows = [
        row.assign(pattern=name, rank=now, rank_before=then) for name, (now, then) in places.items()
    ]
    ranked = pd.concat(rows, ignore_index=True).astype({"rank": float, "rank_before": float})
    lines = said(views, **{PREVALENCE: ranked})
    return [line for line in lines if "first three errors" in line]


SAME = {"a-b": (1, 1), "c": (2, 2), "d": (3, 3), "e": (4, 4)}
FIRST = "the first three errors for the next lesson"


@pytest.mark.parametrize(
    ("places", "words"),
    [
        (SAME, f"The week left {FIRST} as they were."),
        # Places count those that are shown: 9 of all is the third of these.
        (SAME | {"d": (9, 12), "e": (20, 30)}, f"The week left {FIRST} as they were."),
        (
            SAME | {"a-b": (2, 1), "c": (1, 2)},
            f"The week changed the order of {FIRST}, now “c”, “a b” and “d”.",
        ),
        (
            SAME | {"d": (4, 3), "e": (3, 4)},
            f"New among {FIRST}: “e” (place 4 before); “d” (place 4 now) is no longer.",
        ),
        (
            {"a-b": (1, 1), "c": (2, 2), "d": (None, 3), "e": (3, None), "f": (4, 5)},
            f"New among {FIRST}: “e” (no place before); “d” (no place now) is no longer.",
        ),
    ],
)
def test_what_the_week_changed_among_the_first_errors(
    views: Views, places: Mapping[str, tuple[float | None, float | None]], words: str
) -> None:
    assert order_said(views, places) == [words]


@pytest.mark.parametrize(
    "places",
    [
        {name: (now, None) for name, (now, _) in SAME.items()},
        {name: SAME[name] for name in ("a-b", "c", "d")},
    ],
)
def test_nothing_is_said_of_the_order_where_there_was_none_or_no_choice(
    views: Views, places: Mapping[str, tuple[float | None, float | None]]
) -> None:
    assert order_said(views, places) == []
