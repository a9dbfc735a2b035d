"""What the latest teaching week brought, beside the weeks in which its topics were asked before."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.last_lesson import lesson_finding
from reports.parts import Prose, Section
from reports.source import Book
from reports.words import counted, joined, missing, percent, quoted, setting_words

SHOWN = 3
"""Errors that one line names."""
_CELL = ["topic", "pattern"]


def latest_week(book: Book) -> tuple[Section, ...]:
    """Return the section on the latest week with shown answers; none in the first such week.

    Nothing is counted for it: its figures stand in the maps below it and on the next lesson.
    """
    tries = book.current("wrong_by_topic_week").dropna(subset=["rate"])
    if tries["week"].nunique() < 2:
        return ()
    week = int(tries["week"].max())
    now = tries[tries["week"] == week].sort_values(["rate", "topic"], ascending=[False, True])
    worst = now.iloc[0]
    asked = (
        f"Week {week} in {setting_words(book.setting)}: most wrong first tries in "
        f"{worst['topic_title']}, {percent(worst['rate'])} of {worst['answers']:,.0f}."
    )
    lesson = (f"Did the last lesson help? {found}" for found in lesson_finding(book))
    lines = (asked, *_moves(book, week), *_order(book), *lesson, *_new(now, week, book))
    return (Section("What the latest week brought", (Prose(lines),)),)


def _moves(book: Book, week: int) -> Iterator[str]:
    """Say which errors are clearly more or less common than when their topic was last asked."""
    cells = book.current("error_by_topic_week").dropna(subset=["rate", "rate_low", "rate_high"])
    cells = cells[~cells["general"].astype(bool)]
    before = cells[cells["week"] < week].sort_values("week").drop_duplicates(_CELL, keep="last")
    both = cells[cells["week"] == week].merge(before, on=_CELL, suffixes=("", "_before"))
    rose = both[both["rate_low"] > both["rate_high_before"]]
    fell = both[both["rate_high"] < both["rate_low_before"]]
    for word, moved in (("More", rose), ("Less", fell)):
        if len(moved):
            yield f"{word} common than when the topic was last asked: {_named(moved)}."
    if len(both) and rose.empty and fell.empty:
        yield "No error is clearly more or less common than when its topic was last asked."


def _order(book: Book) -> Iterator[str]:
    """Say what the week changed among the first errors of the next lesson."""
    rows = book.current("pattern_prevalence")
    if not rows["rank_before"].notna().any() or rows["rank"].count() <= SHOWN:
        return
    rows = rows.assign(now=rows["rank"].rank(), then=rows["rank_before"].rank()).sort_values("now")
    now, then = rows["now"] <= SHOWN, rows["then"] <= SHOWN
    first = "the first three errors for the next lesson"
    came = [
        f"{quoted(row['pattern'])} ({_place(row['then'], 'before')})"
        for row in rows[now & ~then].to_dict("records")
    ]
    went = [
        f"{quoted(row['pattern'])} ({_place(row['now'], 'now')})"
        for row in rows[then & ~now].to_dict("records")
    ]
    if came:
        gone = f"; {joined(went)} {'is' if len(went) == 1 else 'are'} no longer" if went else ""
        yield f"New among {first}: {joined(came)}{gone}."
    elif (rows.loc[now, "now"] == rows.loc[now, "then"]).all():
        yield f"The week left {first} as they were."
    else:
        names = joined(quoted(name) for name in rows.loc[now, "pattern"])
        yield f"The week changed the order of {first}, now {names}."


def _new(now: pd.DataFrame, week: int, book: Book) -> Iterator[str]:
    """Say how many answers came, and how many questions deserve a look."""
    tries = counted(now["answers"].sum(), "first try", "first tries")
    items = book.current("item_statistics")
    flagged, asked = int(items["flag"].notna().sum()), counted(len(items), "question")
    look = f"; {flagged} of {asked} {'deserves' if flagged == 1 else 'deserve'} a look"
    said = f"New in week {week}: {tries} in {counted(len(now), 'topic')}"
    yield f"{said}{look if flagged else ''}."


def _place(place: float, when: str) -> str:
    return f"no place {when}" if missing(place) else f"place {place:.0f} {when}"


def _named(moved: pd.DataFrame) -> str:
    size = (moved["rate"] - moved["rate_before"]).abs()
    most = moved.assign(size=size).sort_values(["size", *_CELL], ascending=[False, True, True])
    said = [
        f"{quoted(row['pattern'])} in {row['topic_title']}, {percent(row['rate_before'])} in week "
        f"{row['week_before']} and {percent(row['rate'])} in week {row['week']}"
        for row in most.head(SHOWN).to_dict("records")
    ]
    more = len(moved) - len(said)
    return "; ".join(said) + (f"; and {more} more" if more else "")
