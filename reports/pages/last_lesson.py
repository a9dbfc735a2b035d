"""Did the last lesson help: the change in its errors beside the change in others."""

from __future__ import annotations

import pandas as pd

from reports.charts import differences
from reports.pages.lesson_cards import lesson_words
from reports.pages.patterns import labelled
from reports.parts import Behind, Figure, Part, Prose
from reports.source import Book
from reports.tables import Column
from reports.words import counted, quoted

NEVER = 0.0005
"""A rate under this, which would print as none."""
AXIS = "percentage points beyond the change in other errors (left: less common)"
CAUTION = (
    "Read this with care: lessons follow bad weeks, and bad weeks are often followed by better "
    "ones by chance alone. Too few answers to say is not the same as no change."
)


def last_lesson(book: Book) -> tuple[Part, ...]:
    """Return the parts that say what changed after the latest lesson."""
    last = _last(book)
    if last.empty:
        return (
            Prose(
                (
                    "Cannot tell: no lesson of this semester has enough first tries both before "
                    "and after it. Name lessons with their dates and topics in the course file, "
                    "and ask questions on the same errors before and after.",
                )
            ),
        )
    never = last[["before", "after"]].max(axis=1) < NEVER
    if last.loc[~never, "difference"].isna().all():
        return (Prose((f"No error of “{last['title'].iloc[0]}” was made that can be compared.",)),)
    return (
        effect_figure(last[~never], book, int(never.sum())),
        Prose((CAUTION,)),
        _how(),
    )


def lesson_finding(book: Book) -> tuple[str, ...]:
    """Return the latest lesson's clearest change as a sentence; none where there is none yet."""
    last = _last(book).dropna(subset=["difference"])
    last = last[last[["before", "after"]].max(axis=1) >= NEVER]
    return () if last.empty else (f"{_title(_settled(last))}.",)


def _last(book: Book) -> pd.DataFrame:
    """Rows of the latest lesson that has a change to show; none without one."""
    rows = book.current("lesson_effect").sort_values(["day", "lesson", "pattern"])
    seen = rows.dropna(subset=["difference"])
    return rows[rows["lesson"].isin(seen["lesson"].tail(1))]


def _settled(rows: pd.DataFrame) -> pd.DataFrame:
    return rows.assign(settled=(rows["difference_low"] > 0) | (rows["difference_high"] < 0))


def effect_figure(rows: pd.DataFrame, book: Book, never: int = 0) -> Figure:
    """Return the difference in differences of one lesson's errors.

    Args:
        rows: rows of `lesson_effect` for one lesson.
        book: the course's numbers.
        never: how many further errors of it nobody made.
    """
    drawn = _settled(labelled(rows.dropna(subset=["difference"])))
    title = _title(drawn)
    return Figure(
        name="lesson-effect",
        title=title,
        chart=differences(drawn, title, AXIS),
        says=f"Change in the lesson’s errors beyond the change in others. {title}",
        longer=(
            "Zero means that the lesson’s error changed as much as the errors of other topics did. "
            "Left of zero it became less common than they did. A hollow dot may be chance."
        ),
        table=book.table(
            "lesson_effect",
            "lesson-effect",
            f"Before and after “{rows['title'].iloc[0]}”",
            (
                Column("error", ("pattern",), "pattern"),
                Column("before", ("before",), "percent"),
                Column("likely range", ("before_low", "before_high"), "range"),
                Column("after", ("after",), "percent"),
                Column("likely range", ("after_low", "after_high"), "range"),
                Column("points that other errors changed", ("control_change",), "points"),
                Column("points beyond that", ("difference",), "points"),
                Column("likely range", ("difference_low", "difference_high"), "points range"),
                Column("points it moved in the weeks before", ("trend_before",), "points"),
                Column("points others moved then", ("control_trend_before",), "points"),
                Column("students", ("students",), "count"),
            ),
            rows,
            left_out=_never(never),
        ),
    )


def _never(errors: int) -> str:
    said = "that nobody made before or after it"
    return (
        f"{counted(errors, 'error is', 'errors are')} left out {said}; the table files hold them."
        if errors
        else ""
    )


def _title(drawn: pd.DataFrame) -> str:
    # The widest-known change first: the one settled furthest from zero, else the first.
    order = drawn.assign(size=drawn["difference"].abs()).sort_values(
        ["settled", "size"], ascending=False
    )
    top = order.iloc[0]
    return f"After “{top['title']}”, {quoted(top['pattern'])}: {lesson_words(top)}"


def _how() -> Behind:
    return Behind(
        (
            "Before and after are rates per chance in the weeks on either side of the lesson. The "
            "change beyond that of other errors is a difference in differences: what the treated "
            "errors did, minus what the errors of other topics did over the same weeks. The "
            "interval is 95%, with students as the unit.",
            "It holds if both would have moved alike without the lesson, on this scale. The "
            "columns on the weeks before compare the three weeks before the lesson with the three "
            "before those: where the two had moved apart by then, the row says so. A topic chosen "
            "because it went badly recovers by chance (regression to the mean); controls from "
            "ordinary weeks do not undo that. A lesson given to some classes only counts classes, "
            "not students, as the unit.",
        )
    )
