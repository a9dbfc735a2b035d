"""The tables that check the pages: scores, hidden errors and files."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from typing import Any

import pandas as pd

from reports.pages.patterns import in_order
from reports.parts import Listing, Part, Prose
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import counted, missing


def unfair(book: Book) -> tuple[Part, ...]:
    """Return answers whose score looks unfair, by what would cure it, and those scored too well."""
    rows = of_term(book.frame("disagreements"), book.term)
    lines = pd.Series([f", line {at:.0f}" for at in rows["first_line"]], rows.index, dtype="str")
    rows = rows.assign(
        last=rows["item"].isna(),
        where=rows["file"].astype("str") + lines,
    ).sort_values(["last", "answers", "setting", "cure"], ascending=[True, False, True, True])
    rows["cure_words"] = [_cure(row) for row in rows.to_dict("records")]
    rows["item"] = rows["item"].fillna("several")
    lost = rows["kind"].str.startswith("we say right")
    return (
        _unfair("unfair", "Right by our check, scored wrong", rows[lost], book),
        _unfair("too-kind", "Wrong by our check, scored right", rows[~lost], book),
        Prose((_SAID, _MAY_BE_OURS)),
    )


_SAID = (
    "The first column is a sentence to send to the owner of the questions. Where few students are "
    "behind an answer or question, neither is named here: whoever reads the database finds each "
    "with file and line in the view “disagreements”."
)
_MAY_BE_OURS = (
    "Neither side is taken on trust: a key can be wrong, a grading rule strict, or our reading "
    "mistaken. Where an answer never gets its points, look at the question before you ask for them."
)


def scored_wrong(book: Book) -> str:
    """Say how many answers that are right by our check got no points; empty where none is shown."""
    rows = of_term(book.frame("disagreements"), book.term)
    lost = rows.loc[rows["kind"].str.startswith("we say right"), "answers"]
    few = "at least " if lost.isna().any() else ""
    right = counted(lost.sum(), "answer right by our check", "answers right by our check")
    return f"; {few}{right} got no points" if lost.sum() else ""


def _unfair(name: str, caption: str, rows: pd.DataFrame, book: Book) -> Table:
    return book.table(
        "disagreements",
        name,
        caption,
        (
            Column("what to ask the owner for", ("cure_words",)),
            Column("answers", ("answers",), "count"),
            Column("students", ("students",), "count"),
            Column("setting", ("setting",), "setting"),
            Column("question", ("item",)),
            Column("problem", ("problem",), "math"),
            Column("typed", ("as_typed",), "math"),
            Column("first one in the export", ("where",)),
        ),
        rows,
    )


def _cure(row: Mapping[Hashable, Any]) -> str:
    """A sentence to send on what would make score and check agree."""
    named = not missing(row["as_typed"])
    typed = f"“{row['as_typed']}”" if named else "these answers"
    match row["cure"]:
        case "form" if named and not missing(row["accepted"]):
            return f"Please accept {typed} for “{row['accepted']}”: they are the same."
        case "form":
            return f"Please accept {typed}: others with the same value got the points."
        case "both ways" if str(row["kind"]).startswith("we say right"):
            return f"Please score {typed} again: the same typing got the points elsewhere."
        case "both ways":
            return f"Please score {typed} again: the same value got no points elsewhere."
        case "never accepted" | "never refused" as kind:
            always = "always got the points. Or we read it wrong."
            got = always if kind == "never refused" else "never got the points."
            return f"Please check the key: {typed} {got}"
    return "Several of these, together."


def agreement(book: Book) -> Table:
    """Return our count of right answers beside the source's."""
    rows = of_term(book.frame("agreement"), book.term)
    return book.table(
        "agreement",
        "agreement",
        "Right by our check and by the score, where there is a score and the form is as asked",
        (
            Column("setting", ("setting",), "setting"),
            Column("answers with a score", ("answers",), "count"),
            Column("right by our check", ("our_right",), "count"),
            Column("right by the score", ("source_right",), "count"),
            Column("judged alike", ("agreeing",), "count"),
        ),
        rows,
    )


_OF_THOSE_MADE = (
    "The tables have a row for each error that was made, and a column for each question of this "
    "semester that can show one of them."
)


def masked(book: Book) -> tuple[Part, ...]:
    """Return which errors the questions can show: in a sentence, then topic by topic."""
    rows = book.frame("masked")
    if rows.empty:
        return (Prose(("Every known error can be seen and told from the others.",)),)
    seen = int((rows["questions_that_show"] > 0).sum())
    joint = int((rows["joint_with"].map(len) > 0).sum())
    told = (
        f"Of {counted(len(rows), 'error')}, {seen:,} can be seen in at least one question of the "
        f"course; {len(rows) - seen:,} can be seen in none: the table files name them. "
        f"{counted(joint, 'error is', 'errors are')} never told apart from another."
    )
    made = {
        one
        for name in in_order(book.current("pattern_prevalence"))["pattern"]
        for one in name.split(" / ")
    }
    tables = tuple(_shown_by(rows[rows["pattern"].isin(made)], book))
    return (Prose((told, *((_OF_THOSE_MADE,) if tables else ()))), *tables)


def _shown_by(rows: pd.DataFrame, book: Book) -> Iterator[Table]:
    """For each topic a row an error and a column a question of this semester."""
    asked = of_term(book.frame("item_statistics"), book.term).drop_duplicates("item")
    shown = rows.explode("shown_by").merge(asked, left_on="shown_by", right_on="item")
    places = book.frame("topic").set_index("topic")["topic_position"]
    for _, part in shown.assign(place=shown["topic"].map(places)).groupby("place"):
        grid = part.assign(shows="yes").pivot(index="pattern", columns="item", values="shows")
        most = grid.count(axis=1).sort_values(ascending=False, kind="stable").index
        joint = rows.set_index("pattern")["joint_with"]
        yield book.table(
            "masked",
            f"shown-in-{part['topic'].iloc[0]}",
            f"{part['topic_title'].iloc[0]}: errors by question",
            (
                Column("error", ("pattern",), "pattern"),
                *(Column(str(item), (f"in {item}",)) for item in grid),
                Column("never told apart from", ("joint_with",), "list"),
            ),
            grid.loc[most].add_prefix("in ").assign(joint_with=joint).reset_index(),
            folded=True,
        )


def loads(book: Book) -> Table:
    """Return the account of every file's rows."""
    rows = book.frame("loads")
    return book.table(
        "loads",
        "loads",
        "Rows of each file: read = stored + known duplicates + rejected",
        (
            Column("file", ("file",)),
            Column("read", ("rows_read",), "count"),
            Column("stored", ("stored",), "count"),
            Column("known duplicates", ("duplicates",), "count"),
            Column("rejected", ("rejected",), "count"),
        ),
        rows,
        left_out=(
            "Numbers under the limit are not shown, nor those that would tell them: none is where "
            "few answers could not be read or were blank."
        ),
    )


def rejected(book: Book) -> Table:
    """Return the reasons for which rows were rejected."""
    rows = book.frame("rejected")
    return book.table(
        "rejected",
        "rejected",
        "Rejected rows by file and reason",
        (
            Column("file", ("file",)),
            Column("reason", ("reason",)),
            Column("rows", ("rows",), "count"),
            Column("first line", ("first_line",), "count"),
        ),
        rows,
        left_out=(
            "The rows’ contents are not shown; file and line find them in the export. What was "
            "left out on purpose is in no number here; of fewer rows than the limit neither number "
            "nor line is shown: lostroot check names them."
        ),
    )


def notes(book: Book) -> tuple[Part, ...]:
    """Return what else the files had to say; nothing where they had nothing."""
    rows = book.frame("note")
    if rows.empty:
        return ()
    told = zip(rows["file"], rows["sentence"], strict=True)
    return (
        Prose(("Besides, while reading the files:",)),
        Listing(tuple(f"{file}: {sentence}" for file, sentence in told)),
    )
