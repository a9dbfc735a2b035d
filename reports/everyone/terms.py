"""terms.html for everyone: changes between semesters in whole points."""

from __future__ import annotations

import pandas as pd

from reports.charts import differences
from reports.everyone.common import covers
from reports.pages.cautions import cautions
from reports.pages.terms import DRAWN, FEWER, MORE, OPEN, WORDS, change_title, latest_before
from reports.parts import Behind, Figure, Page, Part, Prose, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import counted, joined, missing, pattern_label


def terms_page(book: Book) -> Page:
    """Return the page that compares semesters."""
    rows = _rows(book)
    earlier = latest_before(rows, book)
    now = rows[rows["term_before"] == earlier]
    titles = book.frame("term").set_index("term")["title"]
    return Page(
        file="terms.html",
        link="Semesters",
        question="What changed since last time?",
        finding=_finding(now, str(titles.get(earlier, earlier)), book.term_title),
        covers=covers(book),
        sections=(
            *(
                Section(f"Change by {'topic' if kind == 'topic' else 'error'}", parts)
                for kind in WORDS
                for parts in (_change(now[now["kind"] == kind], kind, book),)
            ),
            Section("All semesters", (_terms(book), _how())),
            cautions(book),
        ),
    )


def _rows(book: Book) -> pd.DataFrame:
    rows = book.frame("term_comparison")
    rows = rows[(rows["term_after"] == book.term) & (rows["setting"] == book.setting)]
    rows = rows.reset_index(drop=True)
    names = [
        pattern_label(str(subject)) if kind == "pattern" else str(title)
        for kind, subject, title in zip(
            rows["kind"], rows["subject"], rows["subject_title"], strict=True
        )
    ]
    words = [
        _word(difference, settled)
        for difference, settled in zip(rows["difference"], rows["settled"], strict=True)
    ]
    stands = pd.Series(words, index=rows.index, dtype=object)
    return rows.assign(label=names, stands=stands, settled=stands.isin([FEWER, MORE]))


def _word(difference: float, settled: object) -> str | None:
    if missing(difference):
        return None
    if missing(settled) or not bool(settled):
        return OPEN
    return FEWER if difference < 0 else MORE


def _finding(now: pd.DataFrame, before: str, after: str) -> str:
    told = now.dropna(subset=["difference"])
    if told.empty:
        return "There is no earlier semester that can be compared for everyone to see."
    if not told["settled"].any():
        compared = counted(len(told), "change")
        none = f"From {before} to {after} no change can be told from chance"
        return f"{none}; {compared} were looked at."
    counts = [(int((told["stands"] == word).sum()), word) for word in (FEWER, MORE, OPEN)]
    names = {FEWER: "fell", MORE: "rose", OPEN: "with too few answers to say"}
    said = joined([f"{count} {names[word]}" for count, word in counts if count])
    of = counted(len(told), "comparison")
    return f"From {before} to {after}, on whatever questions each asked: of {of}, {said}."


def _change(rows: pd.DataFrame, kind: str, book: Book) -> tuple[Part, ...]:
    if rows.empty:
        return (Prose((f"No {WORDS[kind]} can be compared yet.",)),)
    told = rows[~rows["general"].astype(bool)].dropna(subset=["difference"])
    drawn = _most_common(told, kind, book).sort_values("difference")
    none = f"No change in {WORDS[kind]} can be shown to everyone"
    title = none if drawn.empty else change_title(drawn, WORDS[kind])
    figure = Figure(
        name=f"change-by-{kind}",
        title=title,
        chart=differences(drawn, title, "change in percentage points (left of zero: fewer errors)"),
        says=f"Change by {kind} between two semesters. {title}",
        longer=(
            "Each dot is the change in the share of first tries that were wrong, or that count for "
            "the error, in whole points; the bar is its likely range. A hollow dot may be "
            "chance: among so many changes one as large may come about by it."
        ),
        table=Table(
            f"change-by-{kind}",
            f"Change by {'topic' if kind == 'topic' else 'error'}, whatever was asked",
            (
                Column("compared", ("label",)),
                Column("change in points", ("difference",), "points"),
                Column("likely range", ("difference_low", "difference_high"), "points range"),
                Column("which way", ("stands",), "word"),
            ),
            pd.concat([drawn, rows.drop(index=drawn.index).sort_values("difference")]),
            made_by=book.sql_file("term_comparison"),
            first=len(drawn),
        ),
    )
    return (figure,)


def _most_common(told: pd.DataFrame, kind: str, book: Book) -> pd.DataFrame:
    """Choose by how common, not by how much changed: large changes would be chosen by chance."""
    view, key = ("wrong", "topic") if kind == "topic" else ("pattern_prevalence", "pattern")
    now = book.current(view)
    now = now[now["topic"] != ""] if kind == "topic" else now[now["topic"] == ""]
    rates = now.set_index(key)["rate"]
    order = told["subject"].map(rates).sort_values(ascending=False, kind="stable")
    return told.loc[order.index[:DRAWN]]


def _terms(book: Book) -> Table:
    return Table(
        "semesters",
        "The semesters in the database",
        (
            Column("semester", ("title",)),
            Column("first day", ("first_day",), "day"),
            Column("teaching weeks", ("weeks",), "count"),
        ),
        book.frame("term").sort_values("position"),
        made_by=book.sql_file("term"),
    )


def _how() -> Behind:
    return Behind(
        (
            "A change is the difference of two shares that are printed, whatever questions each "
            "semester asked; the own edition compares common questions. Its likely range combines "
            "theirs (method 10 of Newcombe), rounded outward to whole points; a change counts as "
            "settled where the range leaves out none.",
            "A change is shown only where the topic or error may be shown in both semesters. "
            "Different students sit in different semesters, so a change is not the effect of "
            "teaching.",
        )
    )
