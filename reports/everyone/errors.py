"""errors.html for everyone: how common each error is, over the semester and by topic."""

from __future__ import annotations

import pandas as pd

from reports.charts import ranked
from reports.pages.cautions import cautions, covers
from reports.pages.changed_counts import (
    FIGURES,
    dated,
    how_perturbed,
    shown_rate,
)
from reports.pages.patterns import labelled, worked_example
from reports.parts import Figure, Page, Part, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import quoted, span

DRAWN = 12
EXAMPLES = 3

HIDDEN = (
    "Not listed is an error that fewer students than the limit could show, or whose count may be "
    "of nothing but the change."
)
HOW = (
    "A share is of all first tries on a topic, whether or not a question could show the error: how "
    "many could would tell which ones a student left blank. Those who teach have it by chances. "
    "Where several errors lead to the same answer, it is shared by fixed weights, whatever this "
    "class answered. Errors that lead to the same answers on all these questions are listed "
    "together.",
    "Over the semester a topic counts where the error shows: left out is one whose changed count "
    "may be none, although at the rate of the other topics it would be far more.",
    "The order is by answers counted for each error: as near as changed counts come to the order "
    "for those who teach, by the answers that each may still cost. How common an error is lately, "
    "and whether it comes back, is not published.",
)


def errors_page(book: Book) -> Page:
    """Return the page on error patterns."""
    every = dated(book.current("pattern_prevalence"))
    rows = _ordered(every[every["topic"] == ""])
    examples = _examples(rows, book)
    return Page(
        file="errors.html",
        link="Errors",
        question="Which errors are common?",
        finding=_finding(rows),
        covers=covers(book),
        sections=(
            Section("In this semester", (_ranking(rows, book), how_perturbed(book, *HOW))),
            *((Section("What the first ones look like", examples),) if examples else ()),
            Section("By topic", (_by_topic(every[every["topic"] != ""], book),)),
            cautions(book),
        ),
    )


def _ordered(rows: pd.DataFrame) -> pd.DataFrame:
    told = rows.assign(last=rows["general"].fillna(False).astype(bool))
    return told.sort_values(
        ["last", "laid", "pattern"], ascending=[True, False, True], na_position="last"
    ).reset_index(drop=True)


def _shown(rows: pd.DataFrame) -> pd.DataFrame:
    return rows[rows["rate"].notna() & ~rows["general"].fillna(False).astype(bool)]


def _finding(rows: pd.DataFrame) -> str:
    seen = _shown(rows)
    if seen.empty:
        return "No known error is common enough to be told from the changes of the counts."
    top = seen.iloc[0]
    between = span(top["rate_low"], top["rate_high"])
    likely = f" (likely {between})" if between else ""
    share, chances = shown_rate(top["rate"], None), f"{top['answers']:,.0f} first tries"
    return (
        f"Most answers count for {quoted(top['pattern'])}, as far as changed counts can tell: "
        f"{share} of about {chances} on its topics{likely}."
    )


def _ranking(rows: pd.DataFrame, book: Book) -> Figure:
    drawn = labelled(_shown(rows).head(DRAWN)).assign(
        rate=lambda f: f["rate"].astype(float).round(2),
        opportunities=float("nan"),
    )
    title = _finding(rows).removesuffix(".")
    return Figure(
        name="errors",
        title=title,
        chart=ranked(drawn, title),
        says=f"How common the first known errors are. {title}",
        longer=(
            "From top to bottom by the answers counted for each; those who teach have them in the "
            "order of the answers that a lesson may still save. Each dot is the share of first "
            "tries on the topics of the error that count for it, in whole percents; the bar is "
            "the range that the share likely lies in."
        ),
        table=book.table(
            "pattern_prevalence",
            "errors",
            "Known errors, those that most answers are counted for first",
            (
                Column("error, and what is done", ("pattern", "says"), "pattern"),
                Column("how common", ("printed",), "printed"),
                *FIGURES,
                Column("first tries on its topics, about", ("answers",), "count"),
                Column("answers counted for it, about", ("laid",), "count"),
            ),
            rows,
            left_out=HIDDEN,
            first=len(drawn),
        ),
    )


def _examples(rows: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    catalogue = book.frame("pattern")
    top = _shown(rows).head(EXAMPLES)
    return tuple(worked_example(row, catalogue) for _, row in top.iterrows())


def _by_topic(every: pd.DataFrame, book: Book) -> Table:
    told = every[every["rate"].notna()]
    rows = told.sort_values(["topic_position", "rate", "pattern"], ascending=[True, False, True])
    return book.table(
        "pattern_prevalence",
        "errors-by-topic",
        "Known errors by topic",
        (
            Column("topic", ("topic_title",)),
            Column("error, and what is done", ("pattern", "says"), "pattern"),
            Column("how common", ("printed",), "printed"),
            *FIGURES,
        ),
        rows,
        left_out=HIDDEN,
        first=DRAWN,
    )
