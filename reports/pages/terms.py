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
    "own": {
        "topic": "the share of wrong first tries",
        "pattern": "the share of chances at which the error was made",
    },
    "shared": dict.fromkeys(
        WORDS,
        "the share of first tries that were wrong, or that count for the error, in whole points",
    ),
}
ASKED = {"own": "questions that both asked", "shared": "whatever questions each asked"}
CAPTION = {"own": "on questions that both semesters asked", "shared": "whatever was asked"}
RANGE = {"own": "likely range, taken alone", "shared": "likely range"}
HOW = {
    "own": (
        "Only questions asked in both semesters count, each with the same fixed weight on both "
        "sides, so that a different mix of questions cannot look like a change. To compare "
        "a new semester, leave some questions unchanged; `lostroot new DIR --from OLD` begins "
        "one.",
        "The likely range is a 95% interval with students as the unit. Because many topics and "
        "errors are looked at together, a change counts as settled only if its p-value, adjusted "
        "over all comparisons (Benjamini–Hochberg), lies under 0.05; so a range may "
        "leave out zero and the change still be not settled. “Not significant” is not “the "
        "same”: a change counts as small only where its 90% interval lies inside the margin. "
        "The p-values are in the table files.",
        "Different students sit in different semesters, so a change is not the effect of teaching.",
    ),
    "shared": (
        "A change is the difference of two shares that are printed, whatever questions each "
        "semester asked; the own edition compares common questions. Its likely range combines "
        "theirs (method 10 of Newcombe), rounded outward to whole points; a change counts as "
        "settled where the range leaves out zero.",
        "A change is shown only where the topic or error may be shown in both semesters. "
        "Different students sit in different semesters, so a change is not the effect of "
        "teaching.",
    ),
}
"""How a change was worked out."""


def terms_page(book: Book) -> Page:
    """Return the page that compares semesters: on common questions, for everyone on all."""
    rows = _rows(book)
    earlier, own = latest_before(rows, book), book.edition == "own"
    now = rows[rows["term_before"] == earlier]
    more = _further(rows, earlier, book) if own else ()
    return Page(
        file="terms.html",
        link="Semesters",
        question="What changed since last time?",
        finding=terms_finding(now, title_of(book, earlier), book.term_title, ASKED[book.edition]),
        covers=covers(book) + (_common(now, book) if own else ""),
        sections=(
            *_changes(now, book),
            *(term_details(earlier, book) if own else ()),
            Section("All semesters", (semesters(book), *more, Behind(HOW[book.edition]))),
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


def _rows(book: Book) -> pd.DataFrame:
    """The comparisons of this semester in the main setting, with what is said of each."""
    rows = book.frame("term_comparison")
    now = (rows["term_after"] == book.term) & (rows["setting"] == book.setting)
    rows = rows[now].reset_index(drop=True)
    named = rows["subject_title"].where(
        rows["kind"] != "pattern", rows["subject"].map(pattern_label)
    )
    if book.edition == "own":
        facts = rows[["difference", "p_adjusted", "within_margin", "margin"]]
        words = [_stands(*fact) for fact in facts.itertuples(index=False, name=None)]
        common = rows[["rate_before", "rate_after"]].max(axis=1)
    else:
        chance = rows["settled"].eq(True).map({True: 0.0, False: 1.0})
        words = [*map(settled_word, rows["difference"], chance)]
        common = rows["kind"].map(_rates_of_everyone(book)).combine(rows["subject"], dict.get)
    stands = pd.Series(words, index=rows.index, dtype=object)
    settled = stands.isin([FEWER, MORE])
    return rows.assign(label=named, stands=stands, settled=settled, common=common)


def _rates_of_everyone(book: Book) -> dict[str, dict[str, float]]:
    """Shares that everyone may see, by topic and by error."""
    topics, errors = book.current("wrong"), book.current("pattern_prevalence")
    errors = errors[errors["topic"] == ""].set_index("pattern")
    return {"topic": dict(topics.set_index("topic")["rate"]), "pattern": dict(errors["rate"])}


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
        inside: Part = Prose((f"No {noun} can be compared yet.",))
        if len(rows):
            inside = _figure(rows, kind, book)
        yield Section(HEADINGS[kind], (inside,))


def _figure(rows: pd.DataFrame, kind: str, book: Book) -> Figure:
    """The differences of one kind with their intervals."""
    drawn = _drawn(rows)
    title = change_title(drawn, WORDS[kind])
    ordered = pd.concat([drawn, rows.drop(index=drawn.index).sort_values("difference")])
    table = _table(ordered, f"change-by-{kind}", HEADINGS[kind], book)
    return Figure(
        name=table.name,
        title=title,
        chart=differences(drawn, title, "change in percentage points (left of zero: fewer errors)"),
        says=f"Change by {kind} between two semesters. {title}",
        longer=(
            f"Each dot is the change in {OF[book.edition][kind]}, each bar its likely range. Left "
            "of zero there are fewer errors than before. A hollow dot may be chance: among so many "
            "changes one as large may come about by it."
        ),
        table=table,
    )


def _drawn(rows: pd.DataFrame) -> pd.DataFrame:
    """Choose by how common, not by how much changed: large changes would be chosen by chance."""
    told = rows[~rows["general"].astype(bool)].dropna(subset=["difference"])
    order = told["common"].astype(float).sort_values(ascending=False, kind="stable").index
    return told.loc[order[:DRAWN]].sort_values("difference")


def _left_out(rows: pd.DataFrame) -> str:
    rest = len(rows) - len(_drawn(rows))
    if not rest:
        return ""
    return (
        f"The chart leaves out {counted(rest, 'row')} of the table: less common ones, slips of the "
        "pen or in arithmetic, and those that cannot be told."
    )


def _table(rows: pd.DataFrame, name: str, caption: str, book: Book) -> Table:
    columns = (
        Column("compared", ("label",)),
        Column("before", ("rate_before",), "percent"),
        Column("after", ("rate_after",), "percent"),
        Column("change in points", ("difference",), "points"),
        Column(RANGE[book.edition], ("difference_low", "difference_high"), "points range"),
        Column("which way", ("stands",), "word"),
        Column("common questions", ("common_questions",), "count"),
        Column("students before", ("students_before",), "count"),
        Column("students after", ("students_after",), "count"),
    )
    return book.table(
        "term_comparison",
        name,
        f"{caption}, {CAPTION[book.edition]}",
        tuple(column for column in columns if column.names[0] in rows),
        rows,
        _left_out(rows),
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
