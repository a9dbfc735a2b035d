"""next-lesson.html: what the next lesson should cover, and how sure the answers are of it."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from reports.charts import ranked
from reports.pages.cautions import cautions, covers
from reports.pages.last_lesson import last_lesson
from reports.pages.learning import learning_parts
from reports.pages.patterns import (
    how_common,
    in_order,
    labelled,
    top_sentence,
    why_words,
    worked_example,
)
from reports.pages.quiz import quiz_questions
from reports.parts import Answer, Behind, Figure, Page, Part, Prose, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import counted, joined, missing, quoted

__all__ = ["candidates_figure", "next_lesson_page"]

MEANINGS = {
    "clear": "Another class like this one would almost surely have the first error among its first "
    "three.",
    "likely": "Other errors come close; another class like this one could order them differently.",
    "open": "Several errors are about as worth a lesson. Choose by what you know of the class.",
    "nothing stands out": "No error is both common and lasting enough to need a lesson of its own.",
    "cannot tell yet": "The answers so far cannot settle it.",
}
PLACES = {
    "clear": "It clearly belongs among the first three to treat.",
    "likely": "It is likely among the first three to treat.",
    "open": "Several errors come out about equally, so which to treat first is open.",
}
FEW = "There are no more known errors to choose from."
SHOWN = 3
DRAWN = 8


def next_lesson_page(book: Book) -> Page:
    """Return the instructor's page."""
    verdict, sentence = _summary(book)
    rows = in_order(book.current("pattern_prevalence"))
    top = rows.head(SHOWN if verdict in PLACES else 0)
    top = top[top["stands_out"].astype(bool) | (top["rank"] == rows["rank"].min())]
    examples = _examples(top, book)
    few = len(rows) <= SHOWN and verdict in ("clear", "likely")
    answer = Answer(verdict.capitalize(), FEW if few else MEANINGS.get(verdict, ""))
    return Page(
        file="next-lesson.html",
        link="Next lesson",
        question="What should the next lesson cover?",
        finding=_finding(verdict, sentence, top, rows),
        covers=covers(book),
        sections=(
            *((Section("What to take up, and what students do", examples),) if examples else ()),
            Section(
                "How sure is this?",
                (answer, candidates_figure(rows, book.sql_file("pattern_prevalence")), _how()),
            ),
            *((Section("What depends on it", _ahead(top, book)),) if len(top) else ()),
            Section("Do more questions help by themselves?", learning_parts(top, book)),
            Section("Did the last lesson help?", last_lesson(book)),
            Section("Three questions for the next quiz", quiz_questions(top, book)),
            cautions(book),
        ),
    )


def _summary(book: Book) -> tuple[str, str]:
    now = book.current("next_lesson_summary")
    if now.empty:
        return (
            "cannot tell yet",
            "The answers so far cannot say what a lesson should cover next.",
        )
    return str(now["verdict"].iloc[0]), str(now["sentence"].iloc[0])


def _finding(verdict: str, sentence: str, top: pd.DataFrame, rows: pd.DataFrame) -> str:
    if verdict not in PLACES or top.empty:
        return sentence
    first, *others = [quoted(str(pattern)) for pattern in top["pattern"]]
    cost = counted(top["answers_ahead"].iloc[0], "answer")
    place = PLACES[verdict]
    besides = [quoted(str(pattern)) for pattern in rows["pattern"][1:]]
    if not besides:
        place = "No other known error was made lately."
    elif len(besides) < SHOWN - 1 and verdict != "open":
        place = f"Besides, only {joined(besides)} {'was' if len(besides) == 1 else 'were'} made."
    elif verdict == "open" and others:
        come = "comes" if len(others) == 1 else "come"
        place = f"{joined(others)} {come} out about equally, so which to treat first is open."
    return (
        f"Next, take up {first}: {how_common(top.iloc[0])}, and it may still cost {cost}. "
        f"{place[:1].upper()}{place[1:]}"
    )


def _weeks(rows: pd.DataFrame) -> str:
    """What lately means on this page."""
    first, last = (rows[name].dropna() for name in ("recent_from", "recent_to"))
    if first.empty:
        return "Lately means the whole semester, since no answer has a week."
    weeks = sorted({int(first.iloc[0]), int(last.iloc[0])})
    named = f"week {weeks[0]}" if len(weeks) == 1 else f"weeks {weeks[0]} and {weeks[1]}"
    return (
        f"Lately means the last two weeks with such answers, here {named}; where these tell "
        "nothing of an error, the order counts its share of the whole semester."
    )


def candidates_figure(rows: pd.DataFrame, made_by: str) -> Figure:
    """Return the errors in the order of the answers that each may still cost.

    Args:
        rows: rows of `pattern_prevalence` for one term and setting with a place, in order.
        made_by: the `.sql` file.
    """
    drawn = labelled(rows.head(DRAWN))
    title = top_sentence(rows)
    return Figure(
        name="lesson-candidates",
        title=title,
        chart=ranked(drawn, title),
        says=f"How common the errors are that a lesson could treat, in order of gain. {title}",
        longer=(
            "From top to bottom in the order of what each may still cost, which weighs more than "
            "how common an error is: how common it is lately, whether it comes back, and how many "
            "chances for it lie ahead. The dot is its share of the semester’s chances, as on every "
            f"page, the bar the likely range. {_weeks(rows)}"
        ),
        table=Table(
            "lesson-candidates",
            "What a lesson on each error would rest on",
            _factors(rows),
            rows,
            made_by=made_by,
            first=len(drawn),
        ),
    )


def _factors(rows: pd.DataFrame) -> tuple[Column, ...]:
    """Columns of all factors but those that are known of no error or the same for all."""
    ahead = Column("chances ahead for each student", ("chances_ahead",), "number")
    weight = Column("weight of the course", ("weight",), "number")
    return (
        Column("error, and what students do", ("pattern", "says"), "pattern"),
        Column("answers it may still cost", ("answers_ahead",), "count"),
        Column("how common in the semester", ("rate",), "percent"),
        Column("chances to show it", ("opportunities",), "count"),
        Column("how common lately", ("recent_rate",), "percent"),
        Column("likely range", ("recent_low", "recent_high"), "range"),
        Column("chances to show it lately", ("recent_opportunities",), "count"),
        Column("comes back in the same students", ("persistence",), "percent"),
        Column("answers with a next chance", ("showed",), "count"),
        Column("as the order counts it", ("persistence_counted",), "percent"),
        *((ahead,) if rows["chances_ahead"].notna().any() else ()),
        *((weight,) if (rows["weight"] != 1).any() else ()),
        Column("how sure", ("certainty",), "word"),
    )


def _examples(top: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    catalogue = book.frame("pattern")
    parts = []
    for place, (_, row) in enumerate(top.iterrows(), 1):
        shown = worked_example(row, catalogue, *why_words(row))
        sure = "" if missing(row["certainty"]) else f"how sure: {row['certainty']}"
        parts.append(replace(shown, name=f"{place}. {shown.name}", sure=sure))
    return tuple(parts)


def _ahead(top: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    sentences = []
    for pattern, ahead in zip(top["pattern"], top["topics_ahead"], strict=True):
        topics = [] if ahead is None else [str(name) for name in ahead]
        needing = _needing(str(pattern), book)
        if topics:
            sentences.append(f"{quoted(pattern)} can come up again in {joined(topics)}.")
        if needing:
            rest = joined(needing)
            sentences.append(
                f"The topics in which {quoted(pattern)} comes up are needed in {rest}."
            )
    nothing = "No topic still ahead has questions that can show these errors, as far as the course"
    return (Prose(tuple(sentences or [f"{nothing} file tells."])),)


def _needing(pattern: str, book: Book) -> list[str]:
    """Titles of the topics that the course file says build on those in which an error comes up."""
    shown = book.current("error_by_topic_week")
    own = set(shown.loc[shown["pattern"] == pattern, "topic"])
    topics = book.frame("topic").sort_values("topic_position")
    return [
        str(row["topic_title"])
        for row in topics.to_dict("records")
        if row["topic"] not in own and own & set(row["needs"])
    ]


def _how() -> Behind:
    return Behind(
        (
            "The order is by students × recent rate × persistence × chances ahead × the course’s "
            "weight: the answers that each may still cost, which is what a lesson saves if it "
            "frees the same share of students from each. Each factor stands in the table, so that "
            "you can disagree with one. Where no chance ahead is known, the chances are those of "
            "this semester, as if its questions came once more. All pages name errors in this one "
            "order.",
            "How often an error comes back is drawn toward that of all errors, as if ten more "
            "answers told of it.",
            "It takes for granted that those who show an error now are those who gain, that "
            "persistence stays as it is, and that lessons work equally well on each error.",
            "How sure: 1,000 draws of rate and persistence give each error’s probability of being "
            "among the first three; clear from 0.95, likely from 0.7, open below.",
        )
    )
