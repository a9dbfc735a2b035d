"""Whether more questions on a topic help by themselves, for the topics of the next lesson."""

from __future__ import annotations

import pandas as pd

from reports.curves import learning_curves
from reports.parts import Behind, Figure, Part, Prose
from reports.source import Book
from reports.tables import Column, Table, hidden_rows
from reports.words import counted, joined

__all__ = ["learning_parts"]

BETTER = "fewer errors"
WORSE = "more errors"
OPEN = "not settled"
PANELS = 3
CANNOT_TELL = (
    "Cannot tell: too few students answered two or more questions of the same topic in an order "
    "that is known. A time for each answer in the export would tell it."
)
ONE_ORDER = (
    "{topics}: cannot tell, since nearly all students met these questions in the same order, so "
    "that easier questions later on look the same as learning. Questions in an order of chance for "
    "each student would tell it."
)
LEVEL = 0.05


def learning_parts(top: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    """Return the curves of the topics in which the top errors come up, and the trend of all topics.

    Args:
        top: first rows of `next_lesson`.
        book: the course's numbers.
    """
    slopes = _slopes(book)
    curves = _curves(top, book)
    untold = _untold(book)
    if slopes.empty and curves.empty and not untold:
        return (Prose((CANNOT_TELL,)),)
    figure = (_figure(curves, slopes, book),) if len(curves) else ()
    table = (_table(slopes, book),) if len(slopes) else ()
    told = (_sentence(slopes),) if len(slopes) or not untold else ()
    return (Prose((*told, *untold)), *figure, *table, _how())


def _untold(book: Book) -> tuple[str, ...]:
    """What stands where one order for all hides whether later questions go better."""
    rows = book.current("learning_slope")
    same = rows["note"].astype(str).str.startswith("cannot tell") & rows["slope"].isna()
    count = int(same.sum())
    return (ONE_ORDER.format(topics=counted(count, "topic")),) if count else ()


def _slopes(book: Book) -> pd.DataFrame:
    rows = book.current("learning_slope").dropna(subset=["slope", "first_wrong"])
    slopes = zip(rows["slope"], rows["p_adjusted"], strict=True)
    words = [OPEN if not p < LEVEL else BETTER if slope > 0 else WORSE for slope, p in slopes]
    return rows.assign(stands=words).sort_values("topic_position").reset_index(drop=True)


def _curves(top: pd.DataFrame, book: Book) -> pd.DataFrame:
    rows = book.current("learning_curve").dropna(subset=["rate"])
    followed = rows.groupby("topic")["chance"].transform("count") >= 2
    rows = rows[followed]
    wanted = [topic for topic in _topics(top, book) if topic in set(rows["topic"])][:PANELS]
    panels = [rows[rows["topic"] == topic].sort_values("chance") for topic in wanted]
    found = pd.concat(panels, ignore_index=True) if panels else rows.iloc[:0]
    return found.assign(label=found["topic_title"])


def _topics(top: pd.DataFrame, book: Book) -> list[str]:
    """The topic in which each top error cost most answers, each topic once."""
    errors = book.current("error_by_topic_week").dropna(subset=["expected_errors"])
    cost = errors.groupby(["pattern", "topic"])["expected_errors"].sum()
    costliest = [cost[name].idxmax() for name in top["pattern"] if name in cost.index]
    return list(dict.fromkeys(str(topic) for topic in costliest))


def _sentence(slopes: pd.DataFrame) -> str:
    if slopes.empty:
        return "No trend from question to question can be told yet."
    better, worse = (int((slopes["stands"] == word).sum()) for word in (BETTER, WORSE))
    rest = len(slopes) - better - worse
    went = [(better, "better"), (worse, "worse")]
    said = joined(f"{word} in {count}" for count, word in went if count)
    topics = counted(len(slopes), "topic")
    if not said:
        return f"In none of {topics} is it settled whether later questions went better or worse."
    tail = f"; in {rest} it is not settled" if rest else ""
    return f"Later questions on a topic went {said} of {topics}{tail}."


def _title(curves: pd.DataFrame, slopes: pd.DataFrame) -> str:
    first = curves.iloc[0]
    name = str(first["topic_title"])
    name, students = name[:1].upper() + name[1:], counted(first["students"], "student")
    trend = slopes[slopes["topic"] == first["topic"]]
    if trend.empty:
        others = joined(list(dict.fromkeys(curves["topic_title"].astype(str)))[1:])
        beside = f"; beside it, {others}" if others else ""
        return f"{name}, question by question, for the same {students}{beside}"
    row = trend.iloc[0]
    words = {
        BETTER: "later questions go better",
        WORSE: "later questions go worse",
        OPEN: "not settled whether more questions help",
    }
    return f"{name}: {words[str(row['stands'])]}"


def _figure(curves: pd.DataFrame, slopes: pd.DataFrame, book: Book) -> Figure:
    title = _title(curves, slopes)
    return Figure(
        name="learning-curves",
        title=title,
        chart=learning_curves(curves, title),
        says=f"Share wrong from the first question on a topic to the later ones. {title}",
        longer=(
            "One panel for each topic in which the errors above come up, from a student’s first "
            "question on, and only students whose times tell in which order they answered: two "
            "answers on a topic with the same time, or with a date alone, do not. The second "
            "number below is how many of these got so far. Dots "
            "follow one and the same group through all of them; the bar is the likely range. "
            "The level stroke is what the whole class has wrong on the same questions: where dot "
            "and stroke go up and down together, the questions were harder or easier."
            + (
                " The line, where one is drawn, is the trend."
                if curves["modeled"].notna().any()
                else ""
            )
        ),
        table=Table(
            "learning-curves",
            "Wrong first tries by question in turn, same students throughout",
            (
                Column("topic", ("topic_title",)),
                Column("question in turn", ("chance",), "count"),
                Column("wrong", ("rate",), "percent"),
                Column("likely range", ("rate_low", "rate_high"), "range"),
                Column("whole class on the same questions", ("usual",), "percent"),
                Column("trend", ("modeled",), "percent"),
                Column("students followed", ("students",), "count"),
                Column("students whose order is known, who got so far", ("reached",), "count"),
            ),
            curves,
            left_out="Other topics are in the table files.",
            made_by=book.sql_file("learning_curve"),
            folded=True,
        ),
    )


def _table(slopes: pd.DataFrame, book: Book) -> Table:
    return Table(
        "learning-trends",
        "From the first question on a topic to the last, as the trend has it",
        (
            Column("topic", ("topic_title",)),
            Column("wrong on the first question", ("first_wrong",), "percent"),
            Column("wrong on the last", ("last_wrong",), "percent"),
            Column("questions", ("chances",), "count"),
            Column("which way", ("stands",), "word"),
            Column("first tries", ("answers",), "count"),
            Column("students", ("students",), "count"),
        ),
        slopes,
        left_out=hidden_rows(book.current("learning_slope")),
        made_by=book.sql_file("learning_slope"),
        folded=True,
    )


def _how() -> Behind:
    return Behind(
        (
            "A group that thins out looks as if it learned, since those who stop are seldom like "
            "those who go on. So each panel follows only students who answered all the questions "
            "drawn, in their own order, where times tell it.",
            "The trend is a model of all first tries of the semester: the log-odds of a right "
            "answer are the student’s level plus the question’s plus a slope for each further "
            "question on the topic (additive factors model; Cen, Koedinger and Junker 2006), with "
            "student levels from one normal distribution. A direction counts as settled if the "
            "slope’s p-value, with students as the unit and adjusted over all topics and settings "
            "of the semester (Holm), is under 5%.",
            "Questions differ in difficulty, which only an order that differs between students "
            "tells from learning: no trend is given where under a fifth of the students met any "
            "of a topic’s questions the other way round. The level strokes show what the whole "
            "class has wrong on the same questions. A trend does not say what students learned "
            "from.",
        )
    )
