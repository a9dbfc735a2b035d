"""terms.html: this semester beside earlier ones, on the questions that both were asked."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.charts import differences
from reports.pages.cautions import cautions, covers
from reports.pages.term_details import semesters, small_word, term_details
from reports.parts import Behind, Figure, Page, Part, Prose, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import counted, joined, missing, pattern_label, points, span_of_points

FEWER = "fewer errors"
MORE = "more errors"
OPEN = "too few answers to say"
SMALL = "changed little"
WENT = {FEWER: "fell", MORE: "rose", OPEN: "with too few answers to say"}
LEVEL = 0.05
DRAWN = 14
NAMED = 2
"""Changes of one direction that the finding names."""
WORDS = {"topic": "topics", "pattern": "errors"}
HEADINGS = {"topic": "Change by topic", "pattern": "Change by error"}
OF = {
    "topic": "the share of wrong first tries",
    "pattern": "the share of chances at which the error was made",
}


def terms_page(book: Book) -> Page:
    """Return the page that compares semesters."""
    rows = _rows(book)
    earlier = latest_before(rows, book)
    now = rows[rows["term_before"] == earlier]
    return Page(
        file="terms.html",
        link="Semesters",
        question="What changed since last time?",
        finding=terms_finding(
            now, title_of(book, earlier), book.term_title, "questions that both asked"
        ),
        covers=f"{covers(book)}{_common(now, book)}",
        sections=(
            *_changes(now, book),
            *term_details(earlier, book),
            Section("All semesters", (semesters(book), *_further(rows, earlier, book), _how())),
            cautions(book),
        ),
    )


def settled_word(difference: float, p_adjusted: float) -> str | None:
    """Say which way a difference goes, or that it is not settled; never that nothing changed."""
    if missing(difference):
        return None
    if not p_adjusted < LEVEL:
        return OPEN
    return FEWER if difference < 0 else MORE


def compared(book: Book) -> pd.DataFrame:
    """Return the comparisons of this semester in the main setting, with `label`."""
    rows = book.frame("term_comparison")
    now = (rows["term_after"] == book.term) & (rows["setting"] == book.setting)
    rows = rows[now].reset_index(drop=True)
    named = rows["subject_title"].where(
        rows["kind"] != "pattern", rows["subject"].map(pattern_label)
    )
    return rows.assign(label=named)


def _rows(book: Book) -> pd.DataFrame:
    rows = compared(book)
    facts = rows[["difference", "p_adjusted", "within_margin", "margin"]]
    words = [_stands(*fact) for fact in facts.itertuples(index=False, name=None)]
    stands = pd.Series(words, index=rows.index, dtype=object)
    return rows.assign(stands=stands, settled=stands.isin([FEWER, MORE]))


def _stands(difference: float, p_adjusted: float, small: object, margin: float) -> str | None:
    word = settled_word(difference, p_adjusted)
    return small_word(margin) if word == OPEN and small is True else word


def latest_before(rows: pd.DataFrame, book: Book) -> str:
    """The latest semester that this one is compared with; "" where there is none."""
    order = book.frame("term").set_index("term")["position"]
    before = sorted(set(rows["term_before"]), key=lambda term: order.get(term, 0))
    return str(before[-1]) if before else ""


def title_of(book: Book, term: str) -> str:
    """A semester's name."""
    terms = book.frame("term").set_index("term")["title"]
    return str(terms.get(term, term))


def terms_finding(now: pd.DataFrame, before: str, after: str, asked: str) -> str:
    """Say how many topics and errors changed from one semester to another.

    Args:
        now: the comparisons, with `stands` and `settled`.
        before: the earlier semester's name.
        after: this one's.
        asked: on which questions, in words.
    """
    told = now.dropna(subset=["difference"])
    if told.empty:
        return "There is no earlier semester to compare with."
    if not told["settled"].any():
        topics, errors = (int((told["kind"] == kind).sum()) for kind in WORDS)
        compared = joined([counted(topics, "topic"), counted(errors, "error")])
        return (
            f"From {before} to {after} no change can be told from chance; {compared} were compared."
        )
    phrases = []
    # What changed beyond chance comes first.
    order = told.groupby("kind")["settled"].any()
    for kind, noun in sorted(WORDS.items(), key=lambda one: not order.get(one[0], False)):
        rows = told[told["kind"] == kind]
        went = dict(list(rows.groupby(rows["stands"].map(WENT).fillna(SMALL))["label"]))
        said = [_went(word, went[word]) for word in (*WENT.values(), SMALL) if word in went]
        if said:
            of = counted(len(rows), noun.removesuffix("s"), noun)
            phrases.append(f"of {of}, {joined(said)}")
    return f"From {before} to {after}, on {asked}: {'; '.join(phrases)}."


def _went(word: str, labels: pd.Series) -> str:
    """How many went one way; which, where a change of few can be told."""
    few = word in (WENT[FEWER], WENT[MORE]) and len(labels) <= NAMED
    names = joined(f"“{label}”" for label in labels)
    return f"{len(labels)} {word}" + (f" ({names})" if few else "")


def _common(now: pd.DataFrame, book: Book) -> str:
    topics = now[(now["kind"] == "topic") & now["common_questions"].notna()]
    if topics.empty:
        return ""
    questions = counted(topics["common_questions"].sum(), "question")
    said = f" Compared are the {questions} that both semesters asked."
    declared = int(book.frame("course")["same_questions"].iloc[0])
    if declared:
        said += (
            f" The course declares {counted(declared, 'question')} to ask the same as another with "
            "other numbers; such a pair counts as one question."
        )
    return said


def _changes(now: pd.DataFrame, book: Book) -> Iterator[Section]:
    for kind, noun in WORDS.items():
        rows = now[now["kind"] == kind]
        drawn = _drawn(rows)
        ordered = pd.concat([drawn, rows.drop(index=drawn.index).sort_values("difference")])
        table = _table(ordered, f"change-by-{kind}", HEADINGS[kind], book)
        inside: Part = Prose((f"No {noun} can be compared yet.",))
        if len(rows):
            inside = change_figure(drawn, kind, OF[kind], table)
        yield Section(HEADINGS[kind], (inside,))


def change_figure(drawn: pd.DataFrame, kind: str, of: str, table: Table) -> Figure:
    """Return the differences of one kind with their intervals.

    Args:
        drawn: `label`, `difference`, `difference_low`, `difference_high`, `stands`, `settled`.
        kind: `topic` or `pattern`.
        of: what each difference is a change in, in words.
        table: the same numbers, and those that are not drawn.
    """
    title = change_title(drawn, WORDS[kind])
    return Figure(
        name=table.name,
        title=title,
        chart=differences(drawn, title, "change in percentage points (left of zero: fewer errors)"),
        says=f"Change by {kind} between two semesters. {title}",
        longer=(
            f"Each dot is the change in {of}, each bar its likely range. Left of zero there are "
            "fewer errors than before. A hollow dot may be chance: among so many changes one as "
            "large may come about by it."
        ),
        table=table,
    )


def _drawn(rows: pd.DataFrame) -> pd.DataFrame:
    """Choose by how common, not by how much changed: large changes would be chosen by chance."""
    told = rows[~rows["general"].astype(bool)].dropna(subset=["difference"])
    common = told[["rate_before", "rate_after"]].max(axis=1)
    return told.loc[common.sort_values(ascending=False).index[:DRAWN]].sort_values("difference")


def _left_out(rows: pd.DataFrame) -> str:
    rest = len(rows) - len(_drawn(rows))
    if not rest:
        return ""
    return (
        f"The chart leaves out {counted(rest, 'row')} of the table: less common ones, slips of the "
        "pen or in arithmetic, and those that cannot be told."
    )


def _table(rows: pd.DataFrame, name: str, caption: str, book: Book) -> Table:
    return book.table(
        "term_comparison",
        name,
        f"{caption}, on questions that both semesters asked",
        (
            Column("compared", ("label",)),
            Column("before", ("rate_before",), "percent"),
            Column("after", ("rate_after",), "percent"),
            Column("change in points", ("difference",), "points"),
            Column(
                "likely range, taken alone", ("difference_low", "difference_high"), "points range"
            ),
            Column("which way", ("stands",), "word"),
            Column("common questions", ("common_questions",), "count"),
            Column("students before", ("students_before",), "count"),
            Column("students after", ("students_after",), "count"),
        ),
        rows,
        left_out=_left_out(rows),
        first=len(_drawn(rows)),
    )


def change_title(drawn: pd.DataFrame, noun: str) -> str:
    """The finding of a chart of changes: the largest that is no chance."""
    if drawn.empty:
        return f"No change in {noun} can be shown"
    settled = drawn[drawn["settled"]]
    if settled.empty:
        drawn_here = f"{counted(len(drawn), 'change')} in {noun} drawn here"
        return f"None of the {drawn_here} can be told from chance"
    top = settled.sort_values("difference", key=abs, ascending=False).iloc[0]
    between = span_of_points(top["difference_low"], top["difference_high"])
    likely = f" (likely {between})" if between else ""
    return f"Largest change beyond chance: {top['label']}, {points(top['difference'])}{likely}"


def _further(rows: pd.DataFrame, earlier: str, book: Book) -> tuple[Part, ...]:
    others = sorted(set(rows["term_before"]) - {earlier})
    return tuple(
        _table(
            rows[rows["term_before"] == term],
            f"since-{number}",
            f"Change since {title_of(book, str(term))}",
            book,
        )
        for number, term in enumerate(others, 1)
    )


def _how() -> Behind:
    kinds = joined(list(WORDS.values()))
    return Behind(
        (
            "Only questions asked in both semesters count, each with the same fixed weight on both "
            "sides, so that a different mix of questions cannot look like a change. To compare "
            "a new semester, leave some questions unchanged; `lostroot new DIR --from OLD` begins "
            "one.",
            "The likely range is a 95% interval with students as the unit. Because many "
            f"{kinds} are looked at together, a change counts as settled only if its p-value, "
            "adjusted over all comparisons (Benjamini–Hochberg), lies under 0.05; so a range may "
            "leave out zero and the change still be not settled. “Not significant” is not “the "
            "same”: a change counts as small only where its 90% interval lies inside the margin. "
            "The p-values are in the table files.",
            "Different students sit in different semesters, so a change is not the effect of "
            "teaching.",
        )
    )
