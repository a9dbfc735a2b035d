"""index.html: what the answers show, and what the other pages found."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from reports.charts import heat_map
from reports.pages.cautions import cautions, covers, setting_words
from reports.pages.patterns import ranking, top_sentence
from reports.parts import Behind, Figure, Links, Page, Section
from reports.source import Book, of_term
from reports.tables import Column, Table, hidden_rows
from reports.words import rate_words

__all__ = ["error_map", "index_page"]


def index_page(book: Book, others: Sequence[Page]) -> Page:
    """Return the first page, which sums up `others`."""
    return Page(
        file="index.html",
        link="Overview",
        question=f"What do the answers of {book.term_title} show?",
        finding=_finding(book),
        covers=covers(book),
        sections=(
            Section(
                "In one sentence each",
                (Links(tuple((page.file, page.link, page.finding) for page in others)),),
            ),
            Section("Where errors happen", (_map(book),)),
            Section("Which errors", (_ranking(book), _how(book))),
            Section("What was counted", (settings(book),)),
            cautions(book),
        ),
    )


def _finding(book: Book) -> str:
    now = book.current("headline").dropna(subset=["wrong"])
    if now.empty:
        return f"There are not yet enough answers in {book.term_title} to say anything."
    row = now.iloc[0]
    return (
        f"{row['wrong']:,.0f} of {row['right'] + row['wrong']:,.0f} judged answers were wrong. "
        f"{top_sentence(book.current('pattern_prevalence'))}"
    )


def _map(book: Book) -> Figure:
    return error_map(book.current("wrong_by_topic_week"), book.sql_file("wrong_by_topic_week"))


def _ranking(book: Book) -> Figure:
    return ranking(book.current("pattern_prevalence"), book.sql_file("pattern_prevalence"))


def error_map(wrong: pd.DataFrame, made_by: str) -> Figure:
    """Return the map of wrong first tries by topic and week.

    Args:
        wrong: rows of `wrong_by_topic_week` for one term and setting.
        made_by: the `.sql` file.
    """
    rows = wrong.sort_values(["topic_position", "week"]).assign(
        label=lambda frame: frame["topic_title"], opportunities=lambda frame: frame["answers"]
    )
    title = _map_title(rows)
    return Figure(
        name="errors-by-topic-and-week",
        title=title,
        chart=heat_map(rows, title),
        says=f"Share of wrong first tries by topic and teaching week. {title}",
        longer=(
            "One row for each topic in the order of the course, one column for each teaching week. "
            "The number in a cell is the share of first tries that were wrong; darker means more. "
            "An empty cell had no question, or too few students to be shown."
        ),
        table=Table(
            "errors-by-topic-and-week",
            "Wrong first tries by topic and teaching week",
            (
                Column("topic", ("topic_title",)),
                Column("week", ("week",), "count"),
                Column("wrong", ("rate",), "percent"),
                Column("likely range", ("rate_low", "rate_high"), "range"),
                Column("first tries", ("answers",), "count"),
                Column("students", ("students",), "count"),
            ),
            rows,
            left_out=hidden_rows(rows),
            made_by=made_by,
            folded=True,
        ),
    )


def _map_title(rows: pd.DataFrame) -> str:
    seen = rows.dropna(subset=["rate", "rate_low"])
    if seen.empty:
        return "No topic and week has enough answers to be shown yet"
    # The largest lower limit, not the largest rate: a small cell should not make the headline.
    top = seen.sort_values("rate_low", ascending=False).iloc[0]
    tries = int(top["answers"])
    rate = rate_words(top["rate"], top["rate_low"], top["rate_high"], tries, "first tries")
    return f"Most trouble: {top['topic_title']} in week {top['week']:.0f}, wrong in {rate}"


def settings(book: Book) -> Table:
    """Return what was counted, setting by setting."""
    rows = of_term(book.frame("headline"), book.term)
    rows = rows.assign(setting_words=[setting_words(str(name)) for name in rows["setting"]])
    return Table(
        "what-was-counted",
        f"Answers in {book.term_title}, second and later tries included",
        (
            Column("setting", ("setting_words",)),
            Column("students", ("students",), "count"),
            Column("answers", ("answers",), "count"),
            Column("of these, first tries", ("first_attempts",), "count"),
            Column("right", ("right",), "count"),
            Column("wrong", ("wrong",), "count"),
            Column("we could not read it", ("unreadable",), "count"),
            Column("blank", ("blank",), "count"),
        ),
        rows,
        left_out=hidden_rows(rows),
        made_by=book.sql_file("headline"),
    )


def _how(book: Book) -> Behind:
    return Behind(
        (
            "A chance to show an error is a first try at a question on which the error leads to at "
            "least one answer that differs from the right one.",
            "Where several errors lead to the same answer, the answer is shared among them so that "
            "the whole class’s answers become most likely (expectation-maximization over the "
            "possible errors, with “no known error fits” among them). Errors that these questions "
            "cannot tell apart are listed together, under both names.",
            "The likely range is a 95% interval. It allows for students who answer many questions "
            "(sandwich variance over students, score-type limits).",
            "“Comes back in the same students” is the share of next chances at which a student who "
            "made the error makes it again. Stable differences between students look the same, so "
            "it does not say that the error causes itself.",
            f"Counted are first tries in {setting_words(book.setting)} only.",
        )
    )
