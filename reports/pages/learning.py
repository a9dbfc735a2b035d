"""Whether more questions on a topic help by themselves: the first question beside the last."""

from __future__ import annotations

import pandas as pd

from reports.parts import Behind, Part, Prose
from reports.source import Book
from reports.tables import Column, Table
from reports.words import counted, joined

BETTER = "fewer errors"
WORSE = "more errors"
OPEN = "too few answers to say"
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


def learning_parts(book: Book) -> tuple[Part, ...]:
    """Return each topic's first question beside its last, and which way the trend goes."""
    slopes, untold = _slopes(book), _untold(book)
    rows = _ends(book, slopes)
    if rows.empty and slopes.empty and not untold:
        return (Prose((CANNOT_TELL,)),)
    told = (_sentence(slopes),) if len(slopes) or not untold else ()
    return (Prose((*told, *untold)), *((_table(rows, book),) if len(rows) else ()), _how())


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


def _ends(book: Book, slopes: pd.DataFrame) -> pd.DataFrame:
    """One row for each topic: the first and the last question that its followed students met."""
    rows = book.current("learning_curve").dropna(subset=["rate"]).sort_values(["topic", "chance"])
    rows = rows[rows.groupby("topic")["chance"].transform("count") >= 2]
    first = rows.drop_duplicates("topic").set_index("topic")
    last = rows.drop_duplicates("topic", keep="last").set_index("topic")
    words = slopes.set_index("topic")["stands"].reindex(last.index)
    both = last.assign(rate_first=first["rate"], usual_first=first["usual"], stands=words)
    titles = book.frame("topic").set_index("topic")["topic_position"]
    return both.assign(position=titles.reindex(both.index)).sort_values("position").reset_index()


def _sentence(slopes: pd.DataFrame) -> str:
    if slopes.empty:
        return "No trend from question to question can be told yet."
    better, worse = (int((slopes["stands"] == word).sum()) for word in (BETTER, WORSE))
    rest = len(slopes) - better - worse
    went = [(better, "better"), (worse, "worse")]
    said = joined(f"{word} in {count}" for count, word in went if count)
    topics = counted(len(slopes), "topic")
    if not said:
        return (
            f"In none of {topics} are there enough answers to say which way later questions went."
        )
    tail = f"; in {rest} there are too few answers to say" if rest else ""
    return f"Later questions on a topic went {said} of {topics}{tail}."


def _table(rows: pd.DataFrame, book: Book) -> Table:
    return book.table(
        "learning_curve",
        "learning",
        "From the first question on a topic to the last, the same students throughout",
        (
            Column("topic", ("topic_title",)),
            Column("wrong on the first question", ("rate_first",), "percent"),
            Column("whole class on it", ("usual_first",), "percent"),
            Column("wrong on the last", ("rate",), "percent"),
            Column("whole class on it", ("usual",), "percent"),
            Column("questions", ("chance",), "count"),
            Column("students", ("students",), "count"),
            Column("which way", ("stands",), "word"),
        ),
        rows,
        left_out=(
            "A dash says that the order of questions tells no trend. Topics on which too few "
            "students answered two questions in a known order are not listed."
        ),
        folded=bool(rows["stands"].isna().all()),
    )


def _how() -> Behind:
    return Behind(
        (
            "A group that thins out looks as if it learned, since those who stop are seldom like "
            "those who go on. So each row follows only students who answered as many questions, "
            "in their own order, where times tell it.",
            "The trend is a model of all first tries of the semester: the log-odds of a right "
            "answer are the student’s level plus the question’s plus a slope for each further "
            "question on the topic (additive factors model; Cen, Koedinger and Junker 2006), with "
            "student levels from one normal distribution. A direction counts as settled if the "
            "slope’s p-value, with students as the unit and adjusted over all topics and settings "
            "of the semester (Holm), is under 5%.",
            "Questions differ in difficulty, which only an order that differs between students "
            "tells from learning: no trend is given where under a fifth of the students met any "
            "of a topic’s questions the other way round. Beside each share stands what the whole "
            "class has wrong on the same questions. A trend does not say what students learned "
            "from.",
        )
    )
