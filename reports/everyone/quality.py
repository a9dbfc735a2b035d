"""quality.html for everyone: how far to trust these pages, and how much of them is hidden."""

from __future__ import annotations

from reports.everyone.common import covers, dated, hidden_counts
from reports.pages.cautions import cautions, setting_words
from reports.pages.moved import moved_parts
from reports.pages.quality import place_words
from reports.parts import Behind, Listing, Page, Part, Prose, Section
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import counted

__all__ = ["quality_page"]

SUBJECTS = {
    "wrong": "right and wrong first tries",
    "outcome": "students by outcome",
    "error": "percents of errors and their changes",
}


def quality_page(book: Book) -> Page:
    """Return the page on how far to trust the others, and on what is hidden."""
    return Page(
        file="quality.html",
        link="How far to trust this",
        question="How far can these pages be trusted, and what do they hide?",
        finding=_finding(book),
        covers=covers(book),
        sections=(
            Section("What is hidden", (_audits(book), _how(book))),
            Section("How answers were read", (_shares(book),)),
            Section("What is covered", (_coverage(book),)),
            Section("What moved since the published edition", moved_parts(book)),
            Section("What was taken for granted", _defaults(book)),
            cautions(book),
        ),
    )


def _finding(book: Book) -> str:
    audits = book.frame("audit")
    if audits.empty:
        return "There are no tables for everyone yet."
    failed = int((~audits["passed"].astype(bool)).sum())
    hidden, counts = int(audits["hidden"].sum()), int(audits["counts"].sum())
    proof = (
        "no hidden count could be narrowed down by the tables that are printed"
        if not failed
        else f"{counted(failed, 'group')} of tables could not be proved safe and "
        f"{'is' if failed == 1 else 'are'} withheld"
    )
    return f"{hidden:,} of {counts:,} counts are hidden; {proof}."


def _audits(book: Book) -> Table:
    rows = book.frame("audit")
    rows = rows.assign(
        what=rows["subject"].map(SUBJECTS),
        term_title=rows["term_title"].fillna("all together"),
        setting_words=[setting_words(str(name)) if name else "" for name in rows["setting"]],
        result=["passed" if passed else "withheld" for passed in rows["passed"].astype(bool)],
    )
    return Table(
        "audits",
        "Tables that were attacked before they were written",
        (
            Column("tables", ("what",)),
            Column("semester", ("term_title",)),
            Column("setting", ("setting_words",)),
            Column("counts", ("counts",), "count"),
            Column("hidden", ("hidden",), "count"),
            Column("earlier editions attacked with them", ("editions",), "count"),
            Column("result", ("result",), "word"),
        ),
        rows.assign(note=rows["reason"]),
        made_by=book.sql_file("audit"),
    )


def _shares(book: Book) -> Table:
    rows = dated(of_term(book.frame("quality"), book.term))
    rows = rows.assign(setting_words=[setting_words(str(name)) for name in rows["setting"]])
    return Table(
        "shares",
        "Shares of answers in whole percents",
        (
            Column("share of answers", ("measure",)),
            Column("setting", ("setting_words",)),
            Column("how many", ("printed",), "printed"),
        ),
        rows,
        left_out=(
            "“No known error fits” is the share of wrong answers to questions that can show an "
            f"error. {hidden_counts(rows, 'rate', 'share')}"
        ).strip(),
        made_by=book.sql_file("quality"),
    )


def _coverage(book: Book) -> Table:
    rows = of_term(book.frame("coverage"), book.term).sort_values("questions", ascending=False)
    return Table(
        "coverage",
        "Questions by what can be done with them",
        (Column("kind of question", ("label",)), Column("questions", ("questions",), "count")),
        rows.assign(label=place_words(rows)),
        made_by=book.sql_file("coverage"),
    )


def _defaults(book: Book) -> tuple[Part, ...]:
    sentences = tuple(str(sentence) for sentence in book.frame("default")["sentence"])
    if not sentences:
        return (Prose(("Nothing: the course file states every fact that the pages use.",)),)
    return (
        Prose(("The course file does not say the following, so it was worked out or assumed:",)),
        Listing(sentences),
    )


def _how(book: Book) -> Behind:
    return Behind(
        (
            "All tables about the same answers are attacked together: single weeks, topics, all "
            "totals, and the latest earlier editions that are kept. For each hidden count a linear "
            "program finds the smallest and largest value that fits everything printed. It passes "
            f"when the largest is at least {book.limit} and the two are at least {book.limit} "
            "apart; so do changes since the earlier editions.",
            "A change since an earlier edition that too few students made is not shown: the "
            "earlier figures stay until enough others have changed.",
            "Percents of errors are rounded, have no counts beside them, and are cut off near none "
            "and all. They are attacked likewise, semesters, topics, changes and earlier editions "
            "together, by an outsider who is taken to know every number of chances: 12% of 400 "
            "chances is 46 to 50 errors. Shares of how answers were read are rounded and cut off "
            "alone; no table splits them further.",
        )
    )
