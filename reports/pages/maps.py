"""The maps of a term: wrong first tries by topic and week, and each error by week."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from reports.charts import heat_map, ranked
from reports.pages.grids import error_grids, is_pooled, section_grids, topic_grid
from reports.parts import Figure
from reports.source import Book, of_term
from reports.tables import CHANCES, TRIES, Column, Table
from reports.words import quoted, rate_words, short_label

DRAWN = 12


def error_map(book: Book) -> Figure:
    """Return the map of wrong first tries by topic and week; in the files, of the main setting."""
    every = of_term(book.frame("wrong_by_topic_week"), book.term)
    every = every.assign(
        label=every["topic_title"],
        opportunities=every["answers"],
        when=[f"week {week:.0f}" for week in every["week"]],
    ).sort_values(["topic_position", "week", "setting"])
    table = book.table(
        "wrong_by_topic_week",
        "errors-by-topic-and-week",
        "Wrong first tries by topic and teaching week",
        (
            Column("topic", ("topic_title",)),
            Column("week", ("week",), "count"),
            Column("setting", ("setting",), "setting"),
            *TRIES,
        ),
        every,
        folded=True,
    )
    rows, grid = every[every["setting"] == book.setting], topic_grid(book)
    # Where all weeks are hidden the column holds missing values, which are no text by themselves.
    title = trouble(rows, rows["topic_title"].str.cat(rows["when"].astype("str"), sep=" in "))
    return Figure(
        name=table.name,
        title=title,
        chart=heat_map(rows, title),
        says=f"Share of wrong first tries by topic and teaching week. {title}",
        longer=(
            "One row for each topic, the one that was met first on top. The number in a cell is "
            "the share of first tries that were wrong, darker means more, on one scale for all "
            "maps; a pencil marks a week with a lesson on the topic. A cell opens its errors. An "
            "empty one had no question, or too few students to be shown."
        ),
        table=table,
        grid=grid,
        by_section=section_grids(book),
        chosen=grid is not None,
    )


def topic_rates(rows: pd.DataFrame, table: Table) -> Figure:
    """Return wrong first tries by topic, named as its table.

    Args:
        rows: `topic_title`, `rate`, `rate_low`, `rate_high` (fractions), `answers`, maybe
            `students`.
        table: the same numbers.
    """
    drawn = rows.assign(label=rows["topic_title"], opportunities=rows["answers"])
    title = trouble(drawn, drawn["topic_title"])
    return Figure(
        name=table.name,
        title=title,
        chart=ranked(drawn, title, "wrong first tries"),
        says=f"Share of wrong first tries by topic. {title}",
        longer=(
            "One row for each topic in the order of the course. The dot is the share of first "
            "tries that were wrong, the bar its likely range, the second number the first tries."
        ),
        table=table,
    )


def trouble(rows: pd.DataFrame, where: pd.Series) -> str:
    """Name the row that surely goes worst, with its rate.

    Args:
        rows: `rate`, `rate_low`, `rate_high` (fractions), `answers` (counts).
        where: each row's name.
    """
    seen = rows.assign(where=where).dropna(subset=["rate", "rate_low"])
    if seen.empty:
        return "Nothing here has enough students to be shown yet"
    # The largest lower limit, not the largest rate: a small cell should not make the headline.
    top = seen.sort_values("rate_low", ascending=False).iloc[0]
    if not top["rate"]:
        return "No first try was wrong"
    tries = int(top["answers"])
    rate = rate_words(top["rate"], top["rate_low"], top["rate_high"], tries, "first tries")
    return f"Most trouble: {top['where']}, wrong in {rate}"


def pattern_map(order: Sequence[str], book: Book) -> Figure:
    """Return the map of the first errors, by the topic they came up in and week.

    Args:
        order: the errors in the order of the next lesson.
        book: the course's numbers.
    """
    rows = _first(book.current("error_by_topic_week"), order)
    # A rate of all weeks is none of a week: it stands in the table, with its note.
    drawn = rows.assign(rate=rows["rate"].mask(rows["note"].map(is_pooled).astype(bool)))
    title = _pattern_title(drawn, order)
    grid, by_section = error_grids(rows, book)
    return Figure(
        name="errors-by-week",
        title=title,
        chart=heat_map(drawn, title),
        says=f"How common each error is by topic and teaching week. {title}",
        longer=(
            "One row for each error and the topic in which it came up. The number in a cell is the "
            "share of chances at which the error was made; darker means more. An empty cell had no "
            "question that can show it, too few students, or questions that cannot tell it from "
            "other errors."
        ),
        table=book.table(
            "error_by_topic_week",
            "errors-by-week",
            "The first errors by topic and teaching week",
            (
                Column("error and topic", ("label",)),
                Column("week", ("week",), "count"),
                *CHANCES,
            ),
            rows,
            left_out=(
                f"At most {DRAWN} pairs of error and topic stand here, in the order of the next "
                "lesson and then by answers counted for the error; all others are in the table "
                "files."
            ),
            folded=True,
        ),
        grid=grid,
        by_section=by_section,
    )


def _first(errors: pd.DataFrame, order: Sequence[str]) -> pd.DataFrame:
    told = errors[errors["pattern"].isin(order)]
    cost = told.groupby(["pattern", "topic"], as_index=False)["expected_errors"].sum()
    place = {pattern: at for at, pattern in enumerate(order)}
    cost = cost[cost["expected_errors"] > 0].assign(place=cost["pattern"].map(place))
    kept = cost.sort_values(["place", "expected_errors"], ascending=[True, False]).head(DRAWN)
    ordered = told.merge(kept[["pattern", "topic", "place"]], on=["pattern", "topic"])
    ordered = ordered.sort_values(["place", "topic_position", "week"]).reset_index(drop=True)
    pairs = zip(ordered["pattern"], ordered["topic_title"], strict=True)
    return ordered.assign(label=[f"{short_label(str(p))} ({topic})" for p, topic in pairs])


def _pattern_title(rows: pd.DataFrame, order: Sequence[str]) -> str:
    seen = rows.dropna(subset=["rate", "rate_low"])
    first = next((pattern for pattern in order if pattern in set(seen["pattern"])), None)
    if first is None:
        return "No error has enough answers in a week to be shown yet"
    top = seen[seen["pattern"] == first].sort_values("rate_low", ascending=False).iloc[0]
    chances = int(top["opportunities"])
    rate = rate_words(top["rate"], top["rate_low"], top["rate_high"], chances)
    where = f"in {top['topic_title']}, week {top['week']:.0f}"
    return f"{quoted(first)} was most common {where}: {rate}"
