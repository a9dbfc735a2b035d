"""next-lesson.html: what the next lesson should cover, and how sure the answers are of it."""

from __future__ import annotations

import pandas as pd

from reports.charts import order
from reports.pages.cautions import cautions, covers
from reports.pages.class_note import class_note
from reports.pages.class_sections import section_map
from reports.pages.last_lesson import last_lesson
from reports.pages.learning import learning_parts
from reports.pages.lesson_cards import lesson_cards
from reports.pages.patterns import how_common, in_order, labelled, top_sentence
from reports.parts import Behind, Figure, Page, Section
from reports.source import Book
from reports.tables import Column
from reports.words import counted, joined, quoted

PLACES = {
    "clear": "It clearly belongs among the first three to treat.",
    "likely": "It is likely among the first three to treat.",
    "open": "Several errors come out about equally, so which to treat first is open.",
}
WORKED_OUT = "worked out from the dates of the answers."
SHOWN = 3
DRAWN = 12
FACTORS = (
    Column("error, and what students do", ("pattern", "says"), "pattern"),
    Column("answers it may still cost", ("answers_ahead",), "count"),
    Column("how common in the semester", ("rate",), "percent"),
    Column("likely range", ("rate_low", "rate_high"), "range"),
    Column("chances to show it", ("opportunities",), "count"),
    Column("students", ("students",), "count"),
    Column("answers counted for it", ("expected_errors",), "count"),
    Column("of these, fit it alone", ("certain_errors",), "count"),
    Column("how common lately", ("recent_rate",), "percent"),
    Column("likely range", ("recent_low", "recent_high"), "range"),
    Column("comes back in the same students", ("persistence",), "percent"),
    Column("likely range", ("persistence_low", "persistence_high"), "range"),
    Column("as the order counts it", ("persistence_counted",), "percent"),
    Column("chances ahead for each student", ("chances_ahead",), "number"),
    Column("weight of the course", ("weight",), "number"),
    Column("place in the list", ("certainty",), "word"),
)
"""Columns of the order: each factor, so that a reader can disagree with one."""


def next_lesson_page(book: Book) -> Page:
    """Return the instructor's page."""
    verdict, sentence = _summary(book)
    rows = in_order(book.current("pattern_prevalence"))
    top = rows.head(SHOWN if verdict in PLACES else 0)
    top = top[top["stands_out"].astype(bool) | (top["rank"] == rows["rank"].min())]
    cards = lesson_cards(top, book)
    prevalence = book.current("pattern_prevalence")
    figure = order_figure(prevalence, book)
    return Page(
        file="next-lesson.html",
        link="Next lesson",
        question="What should the next lesson cover?",
        finding=_finding(verdict, sentence, top, rows, over=_is_over(book)),
        covers=covers(book),
        sections=(
            *((Section("What to take up, and what students do", cards),) if cards else ()),
            *class_note(cards),
            Section("How sure is the order?", (figure, _how()), printed=not cards),
            *_by_section(rows, book),
            Section("Did the last lesson help?", last_lesson(book), printed=False),
            Section("Do more questions help by themselves?", learning_parts(book), printed=False),
            cautions(book),
        ),
    )


def _by_section(rows: pd.DataFrame, book: Book) -> tuple[Section, ...]:
    figure = section_map([str(name) for name in rows["pattern"]], book)
    return (Section("Is it every class section?", (figure,), printed=False),) if figure else ()


def _is_over(book: Book) -> bool:
    """Whether the semester's last teaching week has answers, so that no lesson is ahead.

    A semester that was worked out from answers ends with the latest one, which tells nothing.
    """
    if book.frame("default")["sentence"].str.endswith(WORKED_OUT).any():
        return False
    weeks = book.frame("term").set_index("term")["weeks"].get(book.term)
    now = book.course.get("current_week")
    return bool(now >= weeks) if pd.notna(now) and pd.notna(weeks) else False


def _summary(book: Book) -> tuple[str, str]:
    now = book.current("next_lesson_summary")
    if now.empty:
        return (
            "cannot tell yet",
            "The answers so far cannot say what a lesson should cover next.",
        )
    return str(now["verdict"].iloc[0]), str(now["sentence"].iloc[0])


def _finding(
    verdict: str, sentence: str, top: pd.DataFrame, rows: pd.DataFrame, *, over: bool
) -> str:
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
    when = "For the final and next semester" if over else "Next"
    return (
        f"{when}, take up {first}: {how_common(top.iloc[0])}, and it may still cost {cost}. "
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


def order_figure(prevalence: pd.DataFrame, book: Book) -> Figure:
    """Return the errors in the order of the answers that each may still cost, and all others.

    Args:
        prevalence: rows of `pattern_prevalence` for one term and setting.
        book: the course's numbers.
    """
    ordered = in_order(prevalence)
    rest = prevalence.drop(index=ordered.index).sort_values(
        ["expected_errors", "pattern"], ascending=[False, True]
    )
    listed = labelled(pd.concat([ordered, rest]))
    drawn = listed.head(min(DRAWN, len(ordered)))
    title = top_sentence(prevalence)
    return Figure(
        name="error-order",
        title=title,
        chart=order(drawn, title),
        says=f"What each error may still cost, and how common it is. {title}",
        longer=(
            "From top to bottom in the order of the next lesson. A bar on the left is as long as "
            "the answers that the error may still cost: how common it is lately, whether it comes "
            "back, and how many chances for it lie ahead. The dot on the right is its share of the "
            f"semester’s chances, with the likely range. {_weeks(ordered)}"
        ),
        table=book.table(
            "pattern_prevalence",
            "error-order",
            "Known errors in the order of the next lesson",
            FACTORS,
            listed.assign(weight=listed["weight"] if (ordered["weight"] != 1).any() else None),
            left_out=_left_out(listed, drawn),
            folded=True,
        ),
    )


def _left_out(listed: pd.DataFrame, drawn: pd.DataFrame) -> str:
    sentences = [
        "Answers counted for an error are an estimate: those that several errors lead to are "
        "shared among them, and a part is left to chance; of these, those fit it alone that no "
        "other single known error leads to, whatever the class did."
    ]
    if len(listed) > len(drawn):
        rest = counted(len(listed) - len(drawn), "row is", "rows are")
        sentences.append(
            f"{rest} in the table but not in the chart: those further down, those with too little "
            "to go by, and slips of the pen or in arithmetic, which take no place in the order."
        )
    return " ".join(sentences)


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
            "answers told of it. Stable differences between students look the same.",
            "It takes for granted that those who show an error now are those who gain, that "
            "persistence stays as it is, and that lessons work equally well on each error.",
            "Place in the list: 1,000 draws of rate and persistence give each error’s probability "
            "of being among the first three; clear from 0.95, likely from 0.7, open below.",
            "Class sections: a student counts in the section of most of the student’s answers. An "
            "error is common where its likely range lies above 2% of the chances, hardly made "
            "where below; most or least is said where the range meets that of no other section. "
            "Nothing here says why sections differ.",
        )
    )
