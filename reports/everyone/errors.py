"""errors.html for everyone: how common each error is, in whole percents, nothing crossed."""

from __future__ import annotations

import pandas as pd

from reports.charts import ranked
from reports.everyone.common import covers, dated, hidden_counts, shown_rate, unless_withheld
from reports.pages.cautions import cautions
from reports.pages.patterns import labelled, worked_example
from reports.parts import Behind, Figure, Page, Part, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import quoted, span

__all__ = ["errors_page"]

DRAWN = 12
EXAMPLES = 3


def errors_page(book: Book) -> Page:
    """Return the page on error patterns."""
    rows = _ordered(dated(book.current("pattern_prevalence")))
    page = Page(
        file="errors.html",
        link="Errors",
        question="Which errors are common?",
        finding=_finding(rows),
        covers=covers(book),
        sections=(
            Section("In this semester", (_ranking(rows, book), _how())),
            Section("What the most common ones look like", _examples(rows, book)),
            Section("By topic, all semesters together", (_by_topic(book),)),
            cautions(book),
        ),
    )
    return unless_withheld(page, book, "error")


def _ordered(rows: pd.DataFrame) -> pd.DataFrame:
    told = rows.assign(last=rows["general"].fillna(False).astype(bool))
    return told.sort_values(
        ["last", "rate", "pattern"], ascending=[True, False, True], na_position="last"
    ).reset_index(drop=True)


def _shown(rows: pd.DataFrame) -> pd.DataFrame:
    return rows[rows["rate"].notna() & ~rows["general"].fillna(False).astype(bool)]


def _finding(rows: pd.DataFrame) -> str:
    seen = _shown(rows)
    if seen.empty:
        return "No known error was shown by enough students to be listed here."
    top = seen.iloc[0]
    between = span(top["rate_low"], top["rate_high"])
    likely = f", likely {between}" if between else ""
    share = shown_rate(top["rate"], None)
    return f"Most common: {quoted(top['pattern'])}, in {share} of chances to show it{likely}."


def _ranking(rows: pd.DataFrame, book: Book) -> Figure:
    drawn = labelled(_shown(rows).head(DRAWN)).assign(
        opportunities=float("nan"), students=lambda f: f["students_at_least"]
    )
    title = _finding(rows).removesuffix(".")
    return Figure(
        name="errors",
        title=title,
        chart=ranked(drawn, title),
        says=f"How common the {len(drawn)} most common known errors are. {title}",
        longer=(
            "Each dot is the share of chances at which the error was made, in whole percents; the "
            "bar is the range that the share likely lies in."
        ),
        table=Table(
            "errors",
            "Known errors, most common first",
            (
                Column("error, and what is done", ("pattern", "says"), "pattern"),
                Column("how common", ("printed",), "printed"),
                Column("likely range", ("rate_low", "rate_high"), "range"),
                Column("students, at least", ("students_at_least",), "count"),
            ),
            rows,
            left_out=(
                "Counts are left out on purpose; the own edition has them. "
                f"{hidden_counts(rows, 'rate', 'error')}"
            ).strip(),
            made_by=book.sql_file("pattern_prevalence"),
            first=len(drawn),
        ),
    )


def _examples(rows: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    catalogue = book.frame("pattern")
    top = _shown(rows).head(EXAMPLES)
    return tuple(worked_example(row, catalogue) for _, row in top.iterrows())


def _by_topic(book: Book) -> Table:
    every = dated(book.frame("pattern_by_topic"))
    every = every[every["setting"] == book.setting]
    rows = every[every["rate"].notna()].sort_values(
        ["topic_position", "rate", "pattern"], ascending=[True, False, True]
    )
    near, hidden = int(every["code"].notna().sum()), int(every["note"].notna().sum())
    return Table(
        "errors-by-topic",
        "Known errors by topic",
        (
            Column("topic", ("topic_title",)),
            Column("error, and what is done", ("pattern", "says"), "pattern"),
            Column("how common", ("printed",), "printed"),
            Column("likely range", ("rate_low", "rate_high"), "range"),
        ),
        rows,
        left_out=(
            f"Of {len(every)} pairs of topic and error, {near} are only said to be near none (they "
            f"are in the table files), and {hidden} are hidden or cannot be told."
        ),
        made_by=book.sql_file("pattern_by_topic"),
        first=DRAWN,
    )


def _how() -> Behind:
    return Behind(
        (
            "A chance to show an error is a first try at a question on which the error leads to an "
            "answer of its own. Where several errors lead to the same answer, it is shared among "
            "them so that the whole class’s answers become most likely.",
            "Rates are whole percents without counts, by semester and by topic but never by both, "
            "by week or by class section: crossed any further, small groups would show.",
            "An error is hidden where fewer students than the limit are expected to have shown it, "
            "and where its percent would let such a number be worked out from the other percents, "
            "from the wrong answers that are counted, or from earlier editions.",
        )
    )
