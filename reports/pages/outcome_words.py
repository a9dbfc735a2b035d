"""A paragraph on each outcome to paste into a review, and the questions behind it."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.parts import Listing, Part, Prose
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import counted, joined, missing, percent, quoted, rate_words, setting_words, span

IN_THE_WAY = 2
LIMITS = (
    "The bar is a convention of the course. Students with fewer questions are in no figure. An "
    "answer shows what came out, not how it was found; different students sit in different "
    "semesters."
)


def paragraphs(rows: pd.DataFrame, earlier: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    """Return one paragraph for each outcome with figures, and what holds for all.

    Args:
        rows: rows of `outcome_results` of this term, class sections pooled, with `stands`.
        earlier: the same of earlier terms.
        book: the course's numbers.
    """
    told = rows.dropna(subset=["share"])
    if told.empty:
        return (Prose(("No outcome has enough students for a paragraph yet.",)),)
    said = (" ".join(_sentences(row, earlier, book)) for _, row in told.iterrows())
    return (Listing(tuple(said), numbered=True), Prose((LIMITS,)))


def _sentences(row: pd.Series, earlier: pd.DataFrame, book: Book) -> Iterator[str]:
    between = span(row["share_low"], row["share_high"], row["target"])
    likely = f" (likely {between})" if between else ""
    aim = "" if missing(row["target"]) else f"; the target is {percent(row['target'])}"
    yield (
        f"Outcome “{row['statement']}”: in {book.term_title}, "
        f"{percent(row['share'])} of {row['students']:,.0f} students with enough questions met its "
        f"bar{likely}{aim}: {row['stands']}."
    )
    counts = joined([setting_words(str(name)) for name in row["evidence"]]) or "all settings"
    yield (
        f"The bar is {percent(row['bar'])} of at least {row['fewest']:,.0f} questions right at the "
        f"first try, in {counts}, class sections pooled."
    )
    # Everyone has errors by topic alone, without the chances that these shares are of.
    if book.edition == "own" and (errors := list(_in_the_way(str(row["outcome"]), book))):
        setting = setting_words(book.setting)
        yield f"Most in the way: {'; '.join(errors)}; these are shares of {setting}."
    before = earlier[earlier["outcome"] == row["outcome"]].dropna(subset=["share"])
    titles = book.frame("term").set_index("term")["title"]
    for _, old in before.iterrows():
        yield (
            f"In {titles.get(old['term'], old['term'])} it was {percent(old['share'])} of "
            f"{old['students']:,.0f}; {_asked_then(row, str(old['term']), book)}."
        )


def _asked_then(row: pd.Series, term: str, book: Book) -> str:
    """How many questions of this term were asked in an earlier one, where that may be told."""
    if book.edition == "shared":
        return "the questions may differ"
    now, then = (
        set(map(tuple, _counting(row.to_frame().T, one, book)[["item", "problem"]].to_numpy()))
        for one in (book.term, term)
    )
    return f"{len(now & then):,} of its {counted(len(now), 'question')} were asked then, too"


def _in_the_way(outcome: str, book: Book) -> Iterator[str]:
    """The errors that cost most answers in an outcome's topics."""
    topics = book.frame("outcome_topics")
    mine = set(topics.loc[topics["outcome"] == outcome, "topic"])
    errors = book.current("error_by_topic_week").dropna(subset=["expected_errors"])
    errors = errors[errors["topic"].isin(mine) & ~errors["general"].fillna(False).astype(bool)]
    cost = errors.groupby("pattern")["expected_errors"].sum().sort_values(ascending=False)
    rates = book.current("pattern_prevalence").dropna(subset=["rate"]).set_index("pattern")
    for name in [name for name in cost.index if name in rates.index][:IN_THE_WAY]:
        row = rates.loc[name]
        chances = int(row["opportunities"])
        rate = rate_words(row["rate"], row["rate_low"], row["rate_high"], chances)
        yield f"{quoted(str(name))}, {rate} in the whole semester"


def questions_behind(rows: pd.DataFrame, book: Book) -> Table:
    """Return the questions that each outcome's evidence is of, and how they behaved."""
    found = _counting(rows, book.term, book).sort_values(["place", "setting", "item"])
    return book.table(
        "item_statistics",
        "questions-behind",
        "Questions behind each outcome",
        (
            Column("outcome", ("statement",)),
            Column("question", ("item",)),
            Column("problem", ("problem",), "math"),
            Column("setting", ("setting",), "setting"),
            Column("share right", ("difficulty",), "percent"),
            Column("likely range", ("difficulty_low", "difficulty_high"), "range"),
            Column("students", ("students",), "count"),
            Column("worth a look", ("flag",)),
        ),
        found,
        folded=True,
    )


def _counting(rows: pd.DataFrame, term: str, book: Book) -> pd.DataFrame:
    """Statistics of a term's questions that count for some outcomes."""
    items = of_term(book.frame("item_statistics"), term).drop(columns="note")
    topics = book.frame("outcome_topics").dropna(subset=["topic"])[["outcome", "place", "topic"]]
    mine = topics.merge(rows[["outcome", "statement", "evidence"]], on="outcome")
    found = mine.merge(items, on="topic")
    counting = [
        not len(evidence) or setting in evidence or not set(evidence) & {"practice", "quiz", "exam"}
        for setting, evidence in zip(found["setting"], found["evidence"], strict=True)
    ]
    # A list of no truth values would choose no columns.
    return found[pd.Series(counting, found.index, dtype=bool)]
