"""What moved since the published edition: old figure, new figure, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import pandas as pd

from reports.parts import Part, Prose
from reports.source import Book, Published
from reports.tables import Column, Table
from reports.words import counted, missing, pattern_label, percent, points

SHOWN = 10


@dataclass(frozen=True)
class _Figures:
    """A view whose figures are compared: its key, its figure, the count that it rests on."""

    view: str
    keys: tuple[str, ...]
    figure: str
    count: str | None
    what: str


_PATTERNS = ("term", "setting", "pattern")
COMPARED = {
    "own": (
        _Figures("pattern_prevalence", _PATTERNS, "rate", "opportunities", "how common"),
        _Figures("outcome_results", ("term", "section", "outcome"), "share", "students", "met"),
        _Figures("item_statistics", ("term", "setting", "item"), "difficulty", "answers", "right"),
        _Figures(
            "term_comparison",
            ("setting", "term_before", "term_after", "kind", "subject"),
            "difference",
            None,
            "change",
        ),
    ),
    "shared": (
        _Figures("wrong", ("term", "setting", "topic"), "rate", "answers", "wrong"),
        _Figures("pattern_prevalence", ("term", "setting", "topic", "pattern"), "rate", "chances",
                 "how common"),
        _Figures("outcome_results", ("term", "outcome"), "share", "students", "met"),
    ),
}  # fmt: skip


def moved_parts(book: Book) -> tuple[Part, ...]:
    """Return the parts that say what moved; a sentence where no edition was published."""
    if book.published is None:
        return (
            Prose(
                (
                    "No earlier edition is marked as published. An empty file named “published” in "
                    "the folder of a kept edition marks it; from then on it is never rewritten, "
                    "and this section lists its figures that moved.",
                )
            ),
        )
    rows = [row for one in COMPARED[book.edition] for row in _moved(one, book, book.published)]
    frame = pd.DataFrame(rows, columns=["subject", "what", "old", "new", "why"])
    day = book.published.name[:10]
    if frame.empty:
        return (Prose((f"No figure of the edition published on {day} has moved.",)),)
    return (
        Table(
            "moved",
            f"Figures of the edition published on {day} that are others now",
            (
                Column("figure of", ("subject",)),
                Column("what", ("what",), "word"),
                Column("published", ("old",), "word"),
                Column("now", ("new",), "word"),
                Column("why", ("why",)),
            ),
            frame,
            left_out=f"{counted(len(frame), 'figure')} moved; all others are as published.",
            first=SHOWN,
        ),
    )


def _moved(one: _Figures, book: Book, published: Published) -> Iterator[dict[str, str]]:
    old = published.frames.get(one.view)
    if old is None or not {*one.keys, one.figure} <= set(old.columns):
        return
    keys = list(one.keys)
    now = book.frame(one.view)
    columns = [*keys, one.figure, *([one.count] if one.count else [])]
    left = old[[name for name in columns if name in old]].copy()
    right = now[columns].copy()
    for name in keys:
        right[name] = right[name].map(_text)
        left[name] = left[name].map(_text)
    both = left.merge(right, on=keys, suffixes=("_old", "_new"))
    for row in both.to_dict("records"):
        before, after = row[f"{one.figure}_old"], row[f"{one.figure}_new"]
        write = points if one.figure == "difference" else percent
        old_text = write(float(before)) if str(before) else ""
        new_text = "" if missing(after) else write(float(after))
        if old_text and old_text != new_text:
            yield {
                "subject": _subject([str(row[name]) for name in keys]),
                "what": one.what,
                "old": old_text,
                "new": new_text or "hidden",
                "why": _why(one, row, book, published),
            }


def _text(value: object) -> str:
    return "" if missing(value) else str(value)


def _subject(keys: list[str]) -> str:
    return ", ".join(pattern_label(key) if " / " in key else key for key in keys if key)


def _why(one: _Figures, row: dict[object, object], book: Book, published: Published) -> str:
    reasons = []
    facts, now = published.facts, book.course
    if _text(facts.get("rule_set")) != _text(now.get("rule_set")):
        reasons.append("new rules for reading and explaining answers")
    if _text(facts.get("items")) != _text(now.get("items")):
        reasons.append("questions or their right answers changed")
    if _answers_moved(one, row, facts, now):
        reasons.append("more or fewer answers")
    return "; ".join(reasons) or "other settings of the course"


def _answers_moved(
    one: _Figures, row: dict[object, object], facts: Mapping[str, object], now: pd.Series
) -> bool:
    if one.count:
        return _count(row[f"{one.count}_old"]) != _count(row[f"{one.count}_new"])
    return _text(facts.get("exports")) != _text(now.get("exports"))


def _count(value: object) -> float:
    return -1.0 if missing(value) or value == "" else float(str(value))
