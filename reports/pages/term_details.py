"""Parts of terms.html on what a change is made of, question by question and over several terms."""

from __future__ import annotations

import pandas as pd

from reports.parts import Behind, Part, Prose, Section
from reports.source import Book
from reports.tables import TRIES, Column, Table
from reports.words import counted, missing, points, span_of_points

LEVEL = 0.05
SMALL_PART = 0.005
"""A part of a change under half a percentage point is not worth a sentence."""


def small_word(margin: float) -> str:
    """Say that a change is shown to be small, never that there is none."""
    return f"smaller than {points(margin).removeprefix('+')}"


def term_details(earlier: str, book: Book) -> tuple[Section, ...]:
    """Return what the change since an earlier term is made of; nothing without common questions.

    Args:
        earlier: id of that term.
        book: the views.
    """
    changes = book.frame("term_change")
    changes = changes[_pair(changes, earlier, book)]
    parts = (*change_parts(changes), *_questions(earlier, book), *_series(book))
    return (Section("What the change is made of", (*parts, _how())),) if parts else ()


def _pair(rows: pd.DataFrame, earlier: str, book: Book) -> pd.Series:
    mine = (rows["term_before"] == earlier) & (rows["term_after"] == book.term)
    return mine & (rows["setting"] == book.setting)


def change_parts(changes: pd.DataFrame) -> tuple[Part, ...]:
    """Return the sentences on all topics together.

    Args:
        changes: rows of `term_change` for one pair of terms and one setting.
    """
    whole = changes[changes["topic"].isna()].dropna(subset=["difference"])
    if whole.empty:
        return ()
    row = whole.iloc[0]
    return (Prose((f"{_headline(row)} {_could_show(row)}", _made_of(row))),)


def _headline(row: pd.Series) -> str:
    between = span_of_points(row["difference_low"], row["difference_high"])
    likely = f" (likely {between})" if between else ""
    over = f"Over all {counted(row['common_questions'], 'common question')}"
    changed = f"the share of wrong first tries changed by {points(row['difference'])}{likely}"
    if row["p_holm"] < LEVEL:
        return f"{over}, {changed}."
    return f"{over}, {changed}. One as large may come about by chance."


def _could_show(row: pd.Series) -> str:
    margin = points(row["margin"]).removeprefix("+")
    if bool(row["within_margin"]):
        small = f"The change is shown to be smaller than {margin} either way."
    else:
        small = f"Whether it is smaller than {margin} either way cannot be told."
    if missing(row["smallest_visible"]):
        return f"{small} With so few answers even a large change would often stay unseen."
    visible = points(row["smallest_visible"]).removeprefix("+")
    return f"{small} A change of less than {visible} would often have stayed unseen here."


def _made_of(row: pd.Series) -> str:
    crude = row["crude_after"] - row["crude_before"]
    if abs(row["by_mix"]) < SMALL_PART:
        return "The mix of questions was about alike in both semesters and moved the share little."
    return (
        f"Counted without fixed weights, the share changed by {points(crude)}: "
        f"{points(row['by_rates'])} because the same questions went differently, "
        f"{points(row['by_mix'])} because students answered another mix of them."
    )


def _questions(earlier: str, book: Book) -> tuple[Part, ...]:
    rows = book.frame("question_change")
    rows = rows[_pair(rows, earlier, book)]
    if rows.empty:
        return ()
    rows = rows.sort_values(["topic", "item", "item_from"], na_position="first")
    settled = rows["p_adjusted"] < LEVEL
    ordered = pd.concat([rows[settled], rows[~settled]])
    words = ["yes" if p < LEVEL else "too few answers to say" for p in ordered["p_adjusted"]]
    return (
        book.table(
            "question_change",
            "change-by-question",
            f"Question by question: {settled.sum()} of {counted(len(rows), 'change')} beyond "
            "chance",
            (
                Column("question", ("item",)),
                Column("problem", ("problem",), "math"),
                Column("wrong before", ("rate_before",), "percent"),
                Column("wrong after", ("rate_after",), "percent"),
                Column("change in points", ("difference",), "points"),
                Column("likely range", ("difference_low", "difference_high"), "points range"),
                Column("beyond chance", ("stands",), "word"),
                Column("students before", ("students_before",), "count"),
                Column("students after", ("students_after",), "count"),
            ),
            ordered.assign(stands=words),
            left_out="Changes beyond chance stand first.",
        ),
    )


def _series(book: Book) -> tuple[Part, ...]:
    rows = book.frame("term_series")
    rows = rows[(rows["setting"] == book.setting) & rows["topic"].isna()]
    if rows.empty:
        return ()
    return (
        book.table(
            "term_series",
            "several-semesters",
            f"All semesters on the {counted(rows['common_questions'].iloc[0], 'question')} that "
            "each of them asked",
            (
                Column("semester", ("term_title",)),
                *TRIES,
            ),
            rows.sort_values("term_position"),
        ),
    )


def semesters(book: Book) -> Table:
    """Return the semesters in the database, with the counts that the edition has."""
    terms = book.frame("term").sort_values("position")
    columns = (
        Column("semester", ("title",)),
        Column("first day", ("first_day",), "day"),
        Column("teaching weeks", ("weeks",), "count"),
        Column("class sections", ("sections",), "count"),
        Column("students", ("students",), "count"),
        Column("answers", ("answers",), "count"),
    )
    return book.table(
        "term",
        "semesters",
        "The semesters in the database",
        tuple(column for column in columns if column.names[0] in terms),
        terms,
    )


def _how() -> Behind:
    return Behind(
        (
            "The change over all questions is the headline claim; its p-value is adjusted by Holm "
            "over the headline claims of the database. “Smaller than” is claimed only if the 90% "
            "interval lies inside the stated margin (two one-sided tests at 5%). The change that "
            "would often have stayed unseen is the smallest one that these students would have "
            "shown with 80% chance.",
            "The crude difference is split into rates and mix by Kitagawa’s decomposition. The "
            "table files also give the Mantel–Haenszel odds ratio with the interval of Robins, "
            "Breslow and Greenland, widened by what the answers of one student have in common, and "
            "the Breslow–Day test of one odds ratio for all questions: where its p-value is small, "
            "read the questions one by one.",
            "Changes of single questions are adjusted over all questions (Benjamini–Hochberg).",
        )
    )
