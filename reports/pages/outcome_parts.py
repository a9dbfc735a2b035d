"""How outcomes stand to their targets, and the figures that show it, class sections pooled."""

from __future__ import annotations

import pandas as pd

from reports import charts
from reports.parts import Behind, Figure
from reports.source import Book
from reports.tables import Column, Table
from reports.words import counted, joined, missing, percent, setting_words, span

REACHED = "reaches the target"
BELOW = "below the target"
CLOSE = "too close to tell"
CHANGED = "changed counts do not tell"
"""What stands for `CLOSE` where counts are changed: exact ones may tell."""
NO_TARGET = "no target set"
TINY = 1e-9
"""Room for fractions that are whole percents but for their last bit."""


def against_target(low: float | None, high: float | None, target: float | None) -> str:
    """Say how a share stands to its target; close calls are not called.

    The interval counts as it is, before it is rounded for print.

    Args:
        low: lower end of the share's interval, fraction.
        high: upper end.
        target: fraction that the course set, or None.
    """
    if missing(target):
        return NO_TARGET
    if missing(low) or missing(high):
        return "cannot tell"
    aim = 100 * float(target or 0)
    if 100 * float(low or 0) >= aim - TINY:
        return REACHED
    return BELOW if 100 * float(high or 0) < aim - TINY else CLOSE


def in_course_order(rows: pd.DataFrame, book: Book) -> pd.DataFrame:
    """Add `place`, from 1, of each row's outcome in the course's list, and sort by it."""
    places = book.frame("outcome_topics").drop_duplicates("outcome").set_index("outcome")["place"]
    placed = rows.assign(place=rows["outcome"].map(places))
    return placed.sort_values("place", kind="stable").reset_index(drop=True)


def judged(rows: pd.DataFrame, close: str = CLOSE) -> pd.DataFrame:
    """Add `label`, `likely`, the range in words, and `stands`, how it stands to its target.

    Args:
        rows: rows of `outcome_results`, class sections pooled.
        close: what a close call is called.
    """
    limits = list(zip(rows["share_low"], rows["share_high"], rows["target"], strict=True))
    likely = pd.Series([span(*ends) or None for ends in limits], index=rows.index, dtype=object)
    words = [against_target(*ends) for ends in limits]
    words = [close if word == CLOSE else word for word in words]
    statements = rows["statement"].str.rstrip(".")
    stands = pd.Series(words, index=rows.index, dtype=object)
    return rows.assign(statement=statements, label=statements, likely=likely, stands=stands)


def outcomes_finding(rows: pd.DataFrame) -> str:
    """Say how many outcomes reach their targets; `rows` are those of one term with `stands`."""
    aimed = rows[rows["stands"] != NO_TARGET]
    if rows.empty:
        return "The course names no outcomes yet."
    if rows.dropna(subset=["share"]).empty:
        return "No outcome has enough evidence to be shown yet."
    if aimed.empty:
        return f"{counted(len(rows), 'outcome has', 'outcomes have')} evidence; no target is set."
    said = [
        (REACHED, "reaches it", "reach it"),
        (BELOW, "stays below it", "stay below it"),
        (CLOSE, "is too close to tell", "are too close to tell"),
        (CHANGED, "cannot be told from changed counts", "cannot be told from changed counts"),
        ("cannot tell", "cannot be told", "cannot be told"),
        ("hidden", "is hidden", "are hidden"),
    ]
    counts = [(int((aimed["stands"] == word).sum()), one, many) for word, one, many in said]
    phrases = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    if len(aimed) == 1:
        return f"The one outcome with a target {phrases[0].removeprefix('1 ')}."
    with_target = counted(len(aimed), "outcome with a target", "outcomes with a target")
    return f"Of {with_target}, {joined(phrases)}."


def outcomes_figure(rows: pd.DataFrame, earlier: pd.DataFrame, book: Book) -> Figure:
    """Return the share of students who met each outcome's bar, earlier semesters beside it.

    Args:
        rows: what `judged` returns, of this term.
        earlier: the same of earlier terms, which the chart shows alone.
        book: the course's numbers.
    """
    title = _title(rows)
    old = _titled(earlier, book)
    old = old.assign(label=old["statement"] + ", " + old["term_title"])
    drawn = pd.concat([rows.assign(now=True), old.assign(now=False)])
    drawn = drawn.sort_values(["place", "now"], ascending=[True, False], kind="stable")
    more: tuple[Column, ...] = ()
    if "plus_minus" in rows:
        more = (Column("of the range from changed counts", ("plus_minus",), "printed"),)
    return Figure(
        name="outcomes",
        title=title,
        chart=charts.outcomes(drawn, title),
        says=f"Share of students who met the bar of each outcome. {title}",
        longer=(
            "A student meets an outcome’s bar with enough questions right; the target, drawn as "
            "an upright stroke, is the share of students who should. The dot is the share who did, "
            "the line through it the likely range. The numbers at the right give the share and the "
            "students with enough questions."
            + (" Hollow dots are earlier semesters." if len(old) else "")
        ),
        table=book.table(
            "outcome_results",
            "outcomes",
            "Students who met each outcome’s bar, class sections pooled",
            (
                Column("outcome", ("statement",)),
                Column("met the bar", ("share",), "percent"),
                Column("likely range", ("likely",), "printed"),
                Column("students", ("students",), "count"),
                Column("target", ("target",), "percent"),
                Column("against the target", ("stands",), "word"),
                *more,
            ),
            rows,
        ),
    )


def _titled(rows: pd.DataFrame, book: Book) -> pd.DataFrame:
    """Outcomes of earlier terms with `term_title`, the latest term first."""
    terms = book.frame("term").set_index("term")
    titled = rows.assign(
        term_title=rows["term"].map(terms["title"]), position=rows["term"].map(terms["position"])
    )
    return titled.sort_values(["position", "place"], ascending=[False, True])


def _title(rows: pd.DataFrame) -> str:
    seen = rows.dropna(subset=["share"])
    if seen.empty:
        return "No outcome has enough students to be shown"
    low = seen.sort_values("share").iloc[0]
    between = span(low["share_low"], low["share_high"])
    likely = f" (likely {between})" if between else ""
    return (
        f"Fewest students met the bar in “{low['statement']}”: {percent(low['share'])} "
        f"of {low['students']:,.0f}{likely}"
    )


def evidence(rows: pd.DataFrame, book: Book, why_fewest: str) -> Table:
    """Return what each outcome's figures rest on; `why_fewest` says where that number is from."""
    named = book.frame("outcome_topics").dropna(subset=["topic"])
    topics = named.groupby("outcome")["topic_title"].agg(", ".join)
    counts = rows["evidence"].map(
        lambda names: [setting_words(str(name)) for name in names], na_action="ignore"
    )
    return book.table(
        "outcome_results",
        "evidence",
        "Bar, evidence and topics of each outcome",
        (
            Column("outcome", ("statement",)),
            Column("topics", ("topics",)),
            Column("bar: share to get right", ("bar",), "percent"),
            Column("fewest questions", ("fewest",), "count"),
            Column("settings that count", ("evidence",), "list"),
        ),
        rows.assign(topics=rows["outcome"].map(topics), evidence=counts).drop(
            columns="note", errors="ignore"
        ),
        left_out=why_fewest,
    )


def earlier_semesters(rows: pd.DataFrame, book: Book) -> Table:
    """Return the outcomes of earlier terms; `rows` are what `judged` returns."""
    return book.table(
        "outcome_results",
        "earlier-outcomes",
        "The same outcomes in earlier semesters",
        (
            Column("semester", ("term_title",)),
            Column("outcome", ("statement",)),
            Column("met the bar", ("share",), "percent"),
            Column("likely range", ("likely",), "printed"),
            Column("students", ("students",), "count"),
            Column("target", ("target",), "percent"),
        ),
        _titled(rows, book),
        left_out="Questions may differ between semesters: no comparison.",
    )


def how(close: str) -> Behind:
    """Return how a share of students was worked out; `close` is said of a close call."""
    return Behind(
        (
            "A student meets an outcome’s bar by getting at least the set share of its questions "
            "right on first tries, out of at least the fewest questions. Students with fewer are "
            "in no figure, not failing.",
            "The likely range is a 95% Wilson interval over students. “Reaches the target” means "
            "that the whole interval, before it is rounded for print, lies at or above it, "
            f"“below” that it lies under it; anything else {close}.",
            "Class sections are pooled: a section is often one instructor, and no page ranks "
            "people. The bar is a convention of the course.",
        )
    )
