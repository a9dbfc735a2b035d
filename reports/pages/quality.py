"""quality.html: how far to trust these pages."""

from __future__ import annotations

from typing import Final

import pandas as pd

from reports.charts import bars
from reports.pages.cautions import REST, cautions, covers
from reports.pages.checks import (
    agreement,
    loads,
    masked,
    notes,
    rejected,
    scored_wrong,
    unfair,
)
from reports.pages.moved import moved_parts
from reports.pages.questions import questions
from reports.parts import Behind, Figure, Listing, Page, Part, Prose, Section
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import counted, missing

PLACES = {
    **REST,
    "task": "errors can be told",
    "choice": "choice of options",
    "unread": "not to be read (`lostroot check` says why)",
}

_SETTLED_BY: Final = {
    "fraction": "two boxes, above and below a bar, or a fraction template",
    "root": "a root template",
    "power": "a template for powers",
    "function": "a word in the question that asks for brackets, as in ln(3x)",
}
"""The form of a question in which nobody has to type the brackets."""
_MEANT: Final = (
    " that were not typed: 9+sqrt(65)/4 may stand for (9+sqrt(65))/4, or for dividing the root"
    " alone, which is a known error. They count as neither right nor wrong, and no error is"
    " counted on them, unless the course file says which (missing_brackets)."
)
_WEIGHED: Final = (
    "The same students' other answers in the topic, where brackets can hide nothing, say how"
    " likely each was meant: about {meant:,.0f} of {told:,.0f}."
)


def quality_page(book: Book) -> Page:
    """Return the page on how far to trust the others."""
    coverage = of_term(book.frame("coverage"), book.term).sort_values("answers", ascending=False)
    return Page(
        file="quality.html",
        link="How far to trust this",
        question="How far can these pages be trusted?",
        finding=_finding(book, coverage),
        covers=covers(book),
        sections=(
            Section("Scores that look unfair", (*unfair(book), agreement(book))),
            Section("What is covered", _covered(coverage, book)),
            Section("What no known error fits", (*_proposals(book), _unexplained(book))),
            Section("What we could not read", (_unreadable(book),)),
            Section("What is right if brackets were meant", _meant(book)),
            Section("What follows from an earlier part", (_following(book),)),
            Section("What the questions can and cannot show", masked(book)),
            Section("How the questions behave", questions(book)),
            Section("From files to rows", (loads(book), rejected(book), *notes(book))),
            Section("What moved since the published edition", moved_parts(book)),
            Section("What was taken for granted", defaults_used(book)),
            cautions(book),
        ),
    )


def _finding(book: Book, coverage: pd.DataFrame) -> str:
    now = of_term(book.frame("headline"), book.term).dropna(subset=["wrong"])
    if coverage.dropna(subset=["answers"]).empty or now.empty:
        return "There are not yet enough answers to say how far these pages can be trusted."
    fits, read = _fits(now, now["wrong"].sum()), _unread(now["unreadable"], book.limit)
    scored = scored_wrong(book)
    return f"{fits}; {read}{scored}. Second and later tries are counted, all settings together."


def _unread(counts: pd.Series, limit: int) -> str:
    if counts.isna().any():
        return f"answers of fewer than {limit} students could not be read"
    unread = counts.sum()
    return f"{counted(unread, 'answer')} could not be read" if unread else "every answer was read"


def _fits(now: pd.DataFrame, wrong: float) -> str:
    told = now.dropna(subset=["tagged"])
    tellable = told["tellable"].sum()
    if not wrong:
        return "No answer was wrong"
    if not tellable:
        return "How many wrong answers fit a known error cannot be told"
    slips = told["slips"].sum()
    return (
        f"Of {counted(wrong, 'wrong answer')}, {tellable:,.0f} are to questions whose errors can "
        f"be told: about {told['tagged'].sum() - slips:,.0f} fit a known error, "
        f"{slips:,.0f} a slip of the pen or in arithmetic"
    )


def _covered(coverage: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    return (coverage_figure(coverage, book), *_unlisted(book), _how())


def coverage_figure(coverage: pd.DataFrame, book: Book) -> Figure:
    """Return how many answers each kind of question brought.

    Args:
        coverage: rows of `coverage` for one term.
        book: the course's numbers.
    """
    rows = coverage.assign(
        label=place_words(coverage),
        count=coverage["answers"],
        share=coverage["answers"] / max(coverage["answers"].sum(), 1),
    )
    title = _title(rows)
    return Figure(
        name="coverage",
        title=title,
        chart=bars(rows, title),
        says=f"Answers by what can be done with their question. {title}",
        longer="Each bar is a kind of question, as long as the number of answers that it brought.",
        table=book.table(
            "coverage",
            "coverage",
            "Answers by what can be done with their question",
            (
                Column("kind of question", ("label",)),
                Column("questions", ("questions",), "count"),
                Column("answers", ("answers",), "count"),
                Column("share of answers", ("share",), "percent"),
                Column("students", ("students",), "count"),
            ),
            rows,
        ),
    )


def place_words(coverage: pd.DataFrame) -> list[str]:
    """Return what can be done with the questions of each row, in words."""
    pairs = zip(coverage["place"], coverage["covered"], strict=True)
    return [_place(str(place), bool(covered)) for place, covered in pairs]


def _place(place: str, covered: bool) -> str:
    words = PLACES.get(place, place)
    if place == "task" or not covered:
        return words if place != "task" or covered else "a task in which no error can be told"
    return f"{words}, errors can be told"


def _title(rows: pd.DataFrame) -> str:
    told = rows.dropna(subset=["answers"])
    if told.empty:
        return "No answers to show yet"
    top = told.sort_values("answers", ascending=False).iloc[0]
    return (
        f"{top['answers']:,.0f} of {counted(told['answers'].sum(), 'answer')} are to one kind of "
        f"question: {top['label']}"
    )


def _most_first(view: str, name: str, book: Book) -> pd.DataFrame:
    """Rows of a list on trust: most answers first, and the sum of all others last."""
    rows = of_term(book.frame(view), book.term)
    rows = rows.assign(last=rows[name].isna()).sort_values(
        ["last", "answers", name], ascending=[True, False, True]
    )
    return rows.assign(**{name: rows[name].fillna("all others")})


def _unlisted(book: Book) -> tuple[Part, ...]:
    rows = _most_first("unlisted", "item", book)
    if rows.empty:
        return ()
    return (
        book.table(
            "unlisted",
            "unlisted",
            "Questions that the items file does not list, stored but not judged",
            (
                Column("question", ("item",)),
                Column("answers", ("answers",), "count"),
                Column("students", ("students",), "count"),
            ),
            rows,
        ),
    )


def _unexplained(book: Book) -> Table:
    rows = _most_first("unexplained", "item", book)
    return book.table(
        "unexplained",
        "unexplained",
        "Wrong answers that no known error fits well, most frequent first",
        (
            Column("question", ("item",)),
            Column("problem", ("problem",), "math"),
            Column("answer, as we read it", ("read_as",), "math"),
            Column("answers", ("answers",), "count"),
            Column("students", ("students",), "count"),
            Column("share that fits nothing known", ("share_unexplained",), "percent"),
        ),
        rows,
        left_out=f"Answers given by fewer than {book.limit} students are summed in one row.",
    )


def _proposals(book: Book) -> tuple[Part, ...]:
    rows = book.frame("proposal").sort_values("position")
    if rows.empty:
        return ()
    rows = rows.assign(
        problem=rows["example_problems"].str[0],
        answer=rows["example_answers"].str[0],
        others=rows["readings"].str.len(),
    )
    table = book.table(
        "proposal",
        "proposal",
        "What many of these answers have in common: wrong rules that nobody has named yet",
        (
            Column("instead", ("what",)),
            Column("for example", ("problem",), "math"),
            Column("comes out", ("answer",), "math"),
            Column("answers, at least", ("answers",), "count"),
            Column("students, at least", ("students",), "count"),
            Column("questions", ("questions",), "count"),
            Column("by chance alone", ("by_noise",), "percent"),
            Column("other rules that do as well", ("others",), "count"),
            Column("a question that tells them apart", ("decided_by",), "math"),
        ),
        rows,
        left_out=f"Rules that fewer than {book.limit} students share are not listed.",
    )
    said = (
        "No answer is counted for such a rule before somebody has named it: “lostroot tag” lists "
        "them on the sheet of new errors, with the other rules that do as well."
    )
    return (table, Prose((said,)))


def _unreadable(book: Book) -> Table:
    rows = _most_first("unreadable", "reason", book)
    return book.table(
        "unreadable",
        "unreadable",
        "Answers that we could not read, by reason",
        (
            Column("reason", ("reason",)),
            Column("answers", ("answers",), "count"),
            Column("students", ("students",), "count"),
        ),
        rows,
        left_out="The texts themselves are not shown.",
    )


def _meant(book: Book) -> tuple[Part, ...]:
    rows = _most_first("meant", "item", book)
    if rows.empty:
        return (Prose(("No answer is counted apart for brackets that were not typed.",)),)
    rows = rows.assign(settled_by=[_SETTLED_BY.get(str(name), "") for name in rows["bracketed"]])
    table = book.table(
        "meant",
        "meant",
        "Answers that are right only if brackets were meant",
        (
            Column("question", ("item",)),
            Column("answers", ("answers",), "count"),
            Column("students", ("students",), "count"),
            Column("brackets were meant in about", ("meant",), "count"),
            Column("else most likely", ("otherwise",), "pattern"),
            Column("what would settle it", ("settled_by",)),
        ),
        rows,
    )
    total = rows["answers"].sum(min_count=1)
    if missing(total):
        hang = f"Answers of fewer than {book.limit} students hang on brackets"
    else:
        hang = f"{counted(total, 'answer')} {'hangs' if total == 1 else 'hang'} on brackets"
    told = rows["told"].sum()
    weighed = (_WEIGHED.format(meant=rows["meant"].sum(), told=told),) if told else ()
    return (Prose((hang + _MEANT, *weighed)), table)


def _following(book: Book) -> Part:
    rows = of_term(book.frame("following"), book.term)
    if rows.empty:
        return Prose(("No wrong answer follows from a student's own answer to an earlier part.",))
    if rows["answers"].isna().all():
        return Prose((f"Wrong answers that follow an earlier part: {rows['note'].iloc[0]}.",))
    total = int(rows["answers"].sum())
    return Prose(
        (
            f"{counted(total, 'wrong answer')} to a later part would be right with the student's"
            " own answer to the earlier part put in: wrong against the key, without an error.",
        )
    )


def defaults_used(book: Book) -> tuple[Part, ...]:
    """What the course file leaves open, and so was worked out or assumed."""
    sentences = tuple(str(sentence) for sentence in book.frame("default")["sentence"])
    if not sentences:
        return (Prose(("Nothing: the course file states every fact that the pages use.",)),)
    return (
        Prose(("The course file does not say the following, so it was worked out or assumed:",)),
        Listing(sentences),
    )


def _how() -> Behind:
    return Behind(
        (
            "Every row of every file ends in exactly one place: stored, known duplicate, or "
            "rejected with its reason. The tables below add up where their numbers are shown.",
            "The share that fits nothing known is the weight left to “no known error fits” after "
            "the answers of the whole class were shared among the possible errors. It includes "
            "reasons that the catalogue lacks, slips, and noise.",
        )
    )
