"""Rates by week as a table of shaded cells: one row a topic or error, its weeks side by side."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import Any

import pandas as pd

from reports.parts import Grid, Square
from reports.source import Book, of_term
from reports.words import percent, quoted, rate_words, setting_words

SHADES = (0.05, 0.1, 0.2, 0.3, 0.45, 0.6)
"""Where a darker shade begins, on every map."""
SETTINGS = ("practice", "quiz", "exam")
ORDINALS = ("first week", "second week", "third week")
MOST_ERRORS = 5
_Place = tuple[str, str, int]
"""Setting, topic and week."""
_Told = Mapping[_Place, Sequence[str]]
"""Sentences on the errors of a cell."""


def topic_grid(book: Book) -> Grid | None:
    """Return wrong first tries by topic, all settings; nothing where no answer has a week."""
    return _topics(of_term(book.frame("wrong_by_topic_week"), book.term), _errors(book), book)


def section_grids(book: Book) -> tuple[tuple[str, Grid], ...]:
    """Return the same for each class section of which anything may be shown."""
    rows = of_term(book.frame("wrong_by_section"), book.term)
    return _by_section(rows, lambda part: _topics(part, {}, book))


def _by_section(
    rows: pd.DataFrame, drawn: Callable[[pd.DataFrame], Grid | None]
) -> tuple[tuple[str, Grid], ...]:
    grids = ((str(name), drawn(part)) for name, part in rows.groupby("section"))
    return tuple((name, grid) for name, grid in grids if grid)


def _topics(rows: pd.DataFrame, errors: _Told, book: Book) -> Grid | None:
    rows = rows.dropna(subset=["rate", "answers"])
    rows = rows.assign(label=rows["topic_title"], chances=rows["answers"])
    first = rows.groupby("topic")["week"].transform("min")
    ordered = rows.assign(first=first).sort_values(["first", "topic_position", "week"])
    return _grid("topic", ordered, "first tries", errors, book)


def error_grids(
    pairs: pd.DataFrame, book: Book
) -> tuple[Grid | None, tuple[tuple[str, Grid], ...]]:
    """Return how common some errors are, all settings: in all, and in each class section.

    Args:
        pairs: `pattern`, `topic`, `label`, in order.
        book: the course's numbers.
    """
    names = pairs[["pattern", "topic", "label"]].drop_duplicates()
    names = names.assign(order=range(len(names)))
    rows = of_term(book.frame("error_by_topic_week"), book.term)
    # A rate of all weeks is none of a week.
    whole = _pairs(rows[~rows["note"].map(is_pooled).astype(bool)], names, book)
    return whole, _by_section(
        of_term(book.frame("error_by_section_week"), book.term),
        lambda part: _pairs(part, names, book),
    )


def _pairs(rows: pd.DataFrame, names: pd.DataFrame, book: Book) -> Grid | None:
    rows = rows.dropna(subset=["rate", "opportunities"]).merge(names, on=["pattern", "topic"])
    rows = rows.assign(chances=rows["opportunities"]).sort_values(["order", "week"])
    return _grid("error", rows, "chances to show it", {}, book)


def errors_by_section(rows: pd.DataFrame) -> Grid:
    """Return how common errors are in each class section over the semester.

    Args:
        rows: rows of `error_by_section` of one term and setting, with `label`, in order.
    """
    shown = rows.dropna(subset=["rate"])
    sections = sorted(set(shown["section"]))
    lines = []
    for label, part in shown.groupby("label", sort=False):
        at = {row["section"]: _of_section(row) for row in part.to_dict("records")}
        lines.append((str(label), tuple(at.get(section) for section in sections)))
    return Grid("error", tuple(("", section) for section in sections), tuple(lines))


def _of_section(row: dict[Hashable, Any]) -> Square:
    chances = int(row["opportunities"])
    told = rate_words(row["rate"], row["rate_low"], row["rate_high"], chances)
    says = f"{row['label']}, section {row['section']}: {told}."
    shade = bisect_right(SHADES, row["rate"])
    return Square(percent(row["rate"]), shade, "", f"of {chances:,}", None, "", says, ())


def _grid(kind: str, rows: pd.DataFrame, of: str, errors: _Told, book: Book) -> Grid | None:
    if rows.empty:
        return None
    turns = rows.groupby(["label", "setting"]).cumcount()
    where = "section " + rows["section"] + ", " if "section" in rows else ""
    rows = rows.assign(turn=turns, told=where + rows["label"])
    most = (rows.groupby("setting")["turn"].max() + 1).to_dict()
    columns = [(name, turn) for name in SETTINGS for turn in range(int(most.get(name, 0)))]
    lessons = _lessons(book)
    lines = []
    for label, part in rows.groupby("label", sort=False):
        at = {(row["setting"], row["turn"]): row for row in part.to_dict("records")}
        cells = [_square(at.get(column), of, lessons, errors) for column in columns]
        lines.append((str(label), tuple(cells)))
    heads = tuple((setting, _head(setting, turn, most[setting])) for setting, turn in columns)
    return Grid(kind, heads, tuple(lines))


def _head(setting: str, turn: int, most: int) -> str:
    name = setting_words(setting).removesuffix(" questions")
    if most == 1:
        return name
    when = "review" if turn and most == 2 else ORDINALS[turn] if turn < 3 else f"week {turn + 1}"
    return f"{name}, {when}"


def _square(
    row: dict[Hashable, Any] | None,
    of: str,
    lessons: Mapping[tuple[str, int], str],
    errors: _Told,
) -> Square | None:
    if row is None:
        return None
    topic, setting, week = str(row["topic"]), str(row["setting"]), int(row["week"])
    told = rate_words(row["rate"], row["rate_low"], row["rate_high"], int(row["chances"]), of)
    return Square(
        text=percent(row["rate"]),
        shade=bisect_right(SHADES, row["rate"]),
        setting=setting,
        beside=f"wk {week}",
        week=week,
        lesson=lessons.get((topic, week), ""),
        says=f"{row['told']}, week {week}, {setting_words(setting)}: {told}.",
        errors=tuple(errors.get((setting, topic, week), ())),
    )


def _lessons(book: Book) -> dict[tuple[str, int], str]:
    """The lesson on a topic that was given in a week."""
    rows = of_term(book.frame("lesson"), book.term).dropna(subset=["week"])
    keys = zip(rows["topic"].astype(str), rows["week"].astype(int), strict=True)
    return dict(zip(keys, rows["title"].astype(str), strict=True))


def _errors(book: Book) -> dict[_Place, list[str]]:
    """What was made most in a topic, week and setting, sentences."""
    rows = of_term(book.frame("error_by_topic_week"), book.term)
    rows = rows.dropna(subset=["rate", "opportunities"]).query("expected_errors >= 0.5")
    found: dict[_Place, list[str]] = defaultdict(list)
    for row in rows.sort_values("expected_errors", ascending=False).to_dict("records"):
        mine = found[str(row["setting"]), str(row["topic"]), int(row["week"])]
        if len(mine) < MOST_ERRORS:
            chances = int(row["opportunities"])
            pooled = ", all weeks together" if is_pooled(row["note"]) else ""
            rate = rate_words(row["rate"], row["rate_low"], row["rate_high"], chances)
            mine.append(f"{quoted(row['pattern'])}: {rate}{pooled}")
    return found


def is_pooled(note: object) -> bool:
    """Whether a rate is of all weeks together."""
    return str(note).startswith("weeks pooled")
