"""One card an error for the next lesson: what is done, how many do it, and what to ask."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.class_sections import section_words
from reports.pages.grids import is_pooled
from reports.pages.patterns import how_common, task_words, worked_example
from reports.parts import Card, ErrorCard, Line
from reports.source import Book
from reports.words import counted, joined, missing, percent, quoted

STANDING = {
    "new": "your question {item}, not asked yet",
    "varied": "like your question {item}, with other numbers",
    "asked": "your question {item}, asked already",
}
SURE = {
    "clear": "clearly among the first three",
    "likely": "likely among the first three",
    "open": "place in the list: open, others come out about equally",
}
MEANINGS = 4
"""Answers of a check question that a card tells the meaning of, the right one among them."""
TYPED = 3


def lesson_cards(top: pd.DataFrame, book: Book) -> tuple[ErrorCard, ...]:
    """Return a card for each of the errors to take up.

    Args:
        top: first rows of `pattern_prevalence`, in order.
        book: the course's numbers.
    """
    catalogue = book.frame("pattern")
    return tuple(
        ErrorCard(
            place=place,
            worked=worked_example(row, catalogue),
            sure=SURE.get(str(row["certainty"]), ""),
            facts=tuple(_facts(row, book)),
            line=_weekly(str(row["pattern"]), book),
            typed=_typed(str(row["pattern"]), book),
            check=_check(str(row["pattern"]), book),
        )
        for place, (_, row) in enumerate(top.iterrows(), 1)
    )


def _facts(row: pd.Series, book: Book) -> Iterator[tuple[str, str]]:
    counts = counted(row["expected_errors"], "answer")
    common = how_common(row)
    chance = counted(row["students"], "student")
    yield "How often", f"About {counts}, of {chance} with a chance: {common}."
    if not missing(row["persistence"]) and not missing(row["showed"]):
        yield (
            "Comes back",
            f"Students who made it made it again at {percent(row['persistence'])} of the next "
            "chances after "
            f"{counted(row['showed'], 'answer')} counted for it.",
        )
    coming = " if this semester’s questions came once more" if missing(row["chances_ahead"]) else ""
    yield (
        "Wrong answers to expect",
        f"{counted(row['answers_ahead'], 'answer')} of "
        f"{counted(row['class_students'], 'student')}{coming}.",
    )
    if said := section_words(str(row["pattern"]), book):
        yield "Class sections", said
    if needed := _needed(row, book):
        yield "Topics ahead that need it", f"{joined(needed)}."
    if done := list(_lessons(str(row["pattern"]), book)):
        yield "Earlier lessons", " ".join(done)


def _needed(row: pd.Series, book: Book) -> list[str]:
    """Titles of the topics ahead: those that can show an error, and those that build on these."""
    ahead = [] if row["topics_ahead"] is None else [str(name) for name in row["topics_ahead"]]
    shown = book.current("error_by_topic_week")
    own = set(shown.loc[shown["pattern"] == row["pattern"], "topic"])
    topics = book.frame("topic").sort_values("topic_position")
    building = [
        str(one["topic_title"])
        for one in topics.to_dict("records")
        if one["topic"] not in own and own & set(one["needs"])
    ]
    return list(dict.fromkeys([*ahead, *building]))


def _lessons(pattern: str, book: Book) -> Iterator[str]:
    """What each earlier lesson on an error did, in words."""
    rows = book.current("lesson_effect").dropna(subset=["difference"])
    mine = set(pattern.split(" / "))
    for row in rows.sort_values("day").to_dict("records"):
        if mine & set(str(row["pattern"]).split(" / ")):
            yield f"“{row['title']}”: {lesson_words(pd.Series(row))}."


def lesson_words(row: pd.Series) -> str:
    """Say what a lesson did to an error: before, after, and what other errors did meanwhile."""
    others = 100 * float(row["control_change"])
    sign = "±" if round(abs(others), 1) == 0 else "+" if others > 0 else "−"
    tail = "too few answers to say whether it helped"
    if row["difference_high"] < 0:
        tail = "clearly better than they did"
    elif row["difference_low"] > 0:
        tail = "clearly worse than they did"
    return (
        f"{percent(row['before'])} before, {percent(row['after'])} after; other errors "
        f"{sign}{abs(others):.1f} points; {tail}"
    )


def weekly(pattern: str, book: Book) -> pd.DataFrame:
    """Rates of an error by week over the topics that are shown: `week`, `rate`."""
    rows = book.current("error_by_topic_week").dropna(subset=["rate"])
    pooled = rows["note"].map(is_pooled).astype(bool)
    mine = rows[(rows["pattern"] == pattern) & ~pooled & (rows["opportunities"] > 0)]
    sums = mine.groupby("week")[["expected_errors", "opportunities"]].sum()
    return (sums["expected_errors"] / sums["opportunities"]).rename("rate").reset_index()


def _weekly(pattern: str, book: Book) -> Line | None:
    rows = weekly(pattern, book)
    if len(rows) < 2:
        return None
    weeks, rates = [int(week) for week in rows["week"]], [float(rate) for rate in rows["rate"]]
    told = [f"week {week}: {percent(rate)}" for week, rate in zip(weeks, rates, strict=True)]
    return Line(tuple(weeks), tuple(rates), ", ".join(told))


def _typed(pattern: str, book: Book) -> tuple[tuple[str, str], ...]:
    rows = book.current("typed").sort_values("place")
    mine = rows[rows["pattern"] == pattern].head(TYPED)
    return tuple(zip(mine["problem"].astype(str), mine["read_as"].astype(str), strict=True))


def _check(pattern: str, book: Book) -> Card | None:
    found = book.current("check_question").sort_values("place")
    found = found[found["pattern"] == pattern]
    if found.empty:
        return None
    row = found.iloc[0]
    mine = set(pattern.split(" / "))
    # The right answer, what shows the error itself, then what shows another one.
    pairs = sorted(
        zip(row["typed"], row["meanings"], strict=True),
        key=lambda pair: (bool(pair[1]), not mine & set(pair[1].split(" / "))),
    )
    return Card(
        problem=str(row["problem"]),
        origin=f"{STANDING[row['standing']].format(item=row['item'])} ({task_words(row['task'])})",
        meanings=tuple(
            (str(answer), _meaning(set(names.split(" / ")), mine) if names else "right")
            for answer, names in pairs[:MEANINGS]
        ),
    )


def _meaning(names: set[str], mine: set[str]) -> str:
    if names == mine:
        return "this error"
    return joined(sorted(map(quoted, names))).replace(" and ", " or ")
