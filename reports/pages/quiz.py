"""Three questions that can show the errors of the next lesson: the course's own, else examples."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.patterns import task_words
from reports.parts import Cards, Part, Prose
from reports.source import Book
from reports.words import percent, quoted, span

__all__ = ["quiz_questions"]

WANTED = 3
UNASKED = ("judge", "choice", "skip")

Card = tuple[str, str, str, str]


def quiz_questions(top: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    """Return up to three questions, one for each of the top errors while there are as many.

    Args:
        top: first rows of `next_lesson`.
        book: the course's numbers.
    """
    if top.empty:
        return (Prose(("Once an error stands out, questions that can show it stand here.",)),)
    ids = [str(pattern) for pattern in top["pattern"]]
    piles = [_choices(pattern, book) for pattern in ids]
    chosen: dict[str, Card] = {}
    for _ in range(WANTED):
        for pile in piles:
            card = next((card for card in pile if card[0] not in chosen), None)
            if card and len(chosen) < WANTED:
                chosen[card[0]] = card
    return (Cards(tuple(chosen.values())),)


def _choices(pattern: str, book: Book) -> Iterator[Card]:
    yield from _own_items(pattern, book)
    yield from _examples(pattern, book)


def _own_items(pattern: str, book: Book) -> Iterator[Card]:
    shown = book.current("error_by_topic_week")
    topics = set(shown.loc[shown["pattern"] == pattern, "topic"])
    items = book.current("item_statistics").dropna(subset=["problem"])
    items = items[~items["task"].isin(("judge", "skip"))]
    names = set(pattern.split(" / "))
    for _, item in items[items["topic"].isin(topics)].sort_values(["week", "item"]).iterrows():
        hidden = set() if item["cannot_show"] is None else set(item["cannot_show"])
        if not names & hidden:
            yield (
                str(item["problem"]),
                f"Your question {item['item']}{_asked(str(item['task'] or ''))}",
                f"Can show {quoted(pattern)}.",
                _difficulty(item),
            )


def _asked(task: str) -> str:
    """What a question asks for, in brackets; nothing where its text says it."""
    return f" ({task_words(task)})" if task and task not in UNASKED else ""


def _difficulty(item: pd.Series) -> str:
    between = span(item["difficulty_low"], item["difficulty_high"])
    if not between:
        return "Asked already."
    return (
        f"Asked already; so far right in {percent(item['difficulty'])} of "
        f"{item['answers']:,.0f} first tries (likely {between})."
    )


def _examples(pattern: str, book: Book) -> Iterator[Card]:
    catalogue = book.frame("pattern").set_index("pattern")
    for name in pattern.split(" / "):
        if name in catalogue.index and catalogue.loc[name, "example_problem"]:
            example = catalogue.loc[name]
            yield (
                str(example["example_problem"]),
                f"An example of ours ({task_words(str(example['example_task']))})",
                f"Can show {quoted(name)}.",
                "",
            )
