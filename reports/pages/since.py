"""Since the last run: five lines on what is new, as the run itself stored what it found before."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.lesson_cards import lesson_words
from reports.parts import Listing, Part, Prose
from reports.source import Book, of_term
from reports.words import counted, joined, quoted

FIRST = "This is the first run of this semester; after the next one, this place says what changed."
FEW = "a few new ones"
TEN, THREE = 10, 3
MOST_NAMED = 3


def since_last_run(book: Book) -> Part:
    """Return what is new since the last run; a sentence where there was none."""
    rows = of_term(book.frame("since"), book.term)
    if not rows["stood"].any():
        return Prose((FIRST,))
    mine = rows[rows["setting"].isin(["all", book.setting])]
    kinds = {str(kind): part for kind, part in mine.groupby("kind")}
    none = mine.iloc[:0]
    errors = kinds.get("error", none)
    return Listing(
        (
            _answers(kinds.get("answers", none), book),
            _came_and_went(errors),
            _lesson(kinds.get("lesson", none), book),
            _questions(kinds.get("question", none)),
            _order(errors),
        )
    )


def _answers(rows: pd.DataFrame, book: Book) -> str:
    told = rows.dropna(subset=["before", "now"])
    if told.empty:
        return "Answers: how many are new cannot be told."
    before, now = told[["before", "now"]].iloc[0]
    more = round(now - before)
    new = "none is new" if more == 0 else f"{more:,} are new" if more >= book.limit else FEW
    if more < 0:
        new = "fewer than before, since some were taken out or are judged elsewhere"
    return f"Answers: {new}, of {counted(now, 'answer')} in {book.term_title}."


def _came_and_went(rows: pd.DataFrame) -> str:
    now, before = (set(rows.loc[rows[when] <= TEN, "name"]) for when in ("now", "before"))
    ordered = rows.sort_values("now")["name"]
    came = [quoted(name) for name in ordered if name in now - before]
    went = [quoted(name) for name in ordered if name in before - now]
    said = [
        f"{joined(names)} {what}" for names, what in ((came, "came up"), (went, "went")) if names
    ]
    return (
        f"Among the first ten errors {'; '.join(said)}."
        if said
        else ("The first ten errors are those of the last run.")
    )


def _lesson(rows: pd.DataFrame, book: Book) -> str:
    seen = book.current("lesson_effect").dropna(subset=["difference"])
    if seen.empty:
        return "No lesson can be looked at yet."
    last = seen[seen["lesson"] == seen.sort_values("day")["lesson"].iloc[-1]]
    row = last.loc[last["difference"].abs().idxmax()]
    name = f"{row['lesson']}: {row['pattern']}"
    fresh = "" if name in set(rows.loc[rows["stood"], "name"]) else "New: after "
    return f"{fresh or 'After '}“{row['title']}”, {quoted(row['pattern'])}: {lesson_words(row)}."


def _questions(rows: pd.DataFrame) -> str:
    came = list(rows.loc[~rows["stood"], "name"])
    if not came:
        return "No question to look at was added."
    said = _few([f"question {name}" for name in came])
    return f"To look at on the page on trust, and not before: {said}."


def _few(names: list[str]) -> str:
    more = [f"{len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
    return joined([*names[:MOST_NAMED], *more])


def _order(rows: pd.DataFrame) -> str:
    def first(when: str) -> Iterator[str]:
        for name in rows.dropna(subset=[when]).sort_values(when)["name"].head(THREE):
            yield quoted(str(name))

    before, now = list(first("before")), list(first("now"))
    if before == now:
        return f"The order begins as before: {joined(now) or 'no error has a place'}."
    return f"The order began with {joined(before) or 'none'}, and begins now with {joined(now)}."
