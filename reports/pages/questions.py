"""Tables on how questions behave: those that deserve a look, whole quizzes, options of choices."""

from __future__ import annotations

from reports.parts import Behind, Part
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import missing, quoted, setting_words

NOTHING = "no known error"


def questions(book: Book) -> tuple[Part, ...]:
    """Return all parts on how this term's questions behave."""
    return (flagged(book), *quiz_scores(book), *options(book), _how())


def flagged(book: Book) -> Table:
    """Return the questions that deserve a look, with how they behaved."""
    rows = book.current("item_statistics")
    some = rows[rows["flag"].notna()]
    few = int(rows["item_rest_note"].notna().sum())
    young = f": too few students on {few} of them" if few else ""
    return book.table(
        "item_statistics",
        "flagged-questions",
        "Questions that deserve a look",
        (
            Column("question", ("item",)),
            Column("problem", ("problem",), "math"),
            Column("why", ("flag",)),
            Column("share right", ("difficulty",), "percent"),
            Column("likely range", ("difficulty_low", "difficulty_high"), "range"),
            Column("first tries", ("answers",), "count"),
            Column("students", ("students",), "count"),
        ),
        some,
        left_out=(
            f"{len(rows) - len(some)} of {len(rows)} questions gave no reason for a look; looked "
            f"at were those in {setting_words(book.setting)} alone. With fewer than 30 students no "
            f"reason is looked for{young}."
        ),
    )


def quiz_scores(book: Book) -> tuple[Part, ...]:
    """Return how well the scores of quizzes would repeat; nothing where none is known."""
    rows = of_term(book.frame("quiz_score"), book.term)
    told = rows.dropna(subset=["alpha"])
    if told.empty:
        return ()
    return (
        book.table(
            "quiz_score",
            "quiz-scores",
            "How exact the score of a whole quiz is",
            (
                Column("quiz", ("quiz",)),
                Column("questions", ("questions",), "count"),
                Column("mean right", ("mean_score",), "number"),
                Column("a score is exact to about ±", ("score_error",), "number"),
                Column("students who answered all", ("students",), "count"),
            ),
            told,
            left_out=_untold(len(rows), len(told)),
        ),
    )


def _untold(quizzes: int, told: int) -> str:
    few = f"{quizzes - told} of {quizzes} quizzes were answered whole by too few students. "
    return (
        f"{few if told < quizzes else ''}The mean is not shown where it would tell of few who "
        "answered only some of it. The coefficients are in the table files."
    )


def options(book: Book) -> tuple[Part, ...]:
    """Return which options of choice questions were chosen; nothing without such questions."""
    rows = of_term(book.frame("option_share"), book.term)
    if rows.empty:
        return ()
    ordered = rows.sort_values(
        ["item", "is_right", "shows", "chosen"], ascending=[True, False, True, False]
    )
    facts = zip(ordered["is_right"], ordered["shows"], strict=True)
    words = [
        "right" if right else NOTHING if missing(name) else quoted(name) for right, name in facts
    ]
    return (
        book.table(
            "option_share",
            "options",
            "Options of choice questions by the error that they show",
            (
                Column("question", ("item",)),
                Column("what it shows", ("stands",)),
                Column("option", ("option",), "math"),
                Column("chosen by", ("chosen",), "count"),
                Column("share", ("share",), "percent"),
                Column("likely range", ("share_low", "share_high"), "range"),
                Column("students", ("students",), "count"),
            ),
            ordered.assign(stands=words),
        ),
    )


def _how() -> Behind:
    return Behind(
        (
            "A question is listed only where an interval leaves no doubt: students right here and "
            "students right elsewhere hardly the same ones (a correlation with the other questions "
            "whose 95% interval lies below zero or below .1), or hardly any right answers. It is "
            "no fault of a question to be easy.",
            "The exactness of a score is its standard error of measurement, from coefficient "
            "alpha (KR-20) among students who answered every question. Alpha, its interval "
            "(Feldt) and each question’s gap between stronger and weaker students (shares right "
            "among the upper and lower 27%) are in the table files. Alpha is a lower bound and "
            "does not show that a quiz asks for one thing.",
        ),
        heading="How questions were looked at",
    )
