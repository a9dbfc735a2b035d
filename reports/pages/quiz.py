"""Three questions that tell the errors of the next lesson from others, and what answers mean."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.patterns import task_words
from reports.parts import Card, Cards, Part, Prose
from reports.source import Book
from reports.words import joined, minus_signs, quoted

__all__ = ["quiz_questions"]

WANTED = 3
STANDING = {
    "new": "your question {item}, not asked yet",
    "varied": "like your question {item}, with other numbers",
    "asked": "your question {item}, asked already",
}


def quiz_questions(top: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    """Return up to three questions, one for each of the top errors while there are as many.

    Args:
        top: first rows of `next_lesson`.
        book: the course's numbers.
    """
    if top.empty:
        return (Prose(("Once an error stands out, questions that can show it stand here.",)),)
    ids = [str(pattern) for pattern in top["pattern"]]
    found = book.current("check_question").sort_values("place")
    found = found[found["pattern"].isin(ids)]
    chosen = found.assign(turn=found["pattern"].map(ids.index)).sort_values(["place", "turn"])
    chosen = chosen.drop_duplicates("problem").head(WANTED)
    says = book.frame("pattern").set_index("pattern")["sentence"]
    parts: list[Part] = [Cards(tuple(_card(row, says) for _, row in chosen.iterrows()))]
    if without := [quoted(name) for name in ids if name not in set(found["pattern"])]:
        told = "tells its answers from right ones and from those of other errors that are common"
        parts.append(Prose((f"For {joined(without)} we found no question that {told} here.",)))
    return tuple(part for part in parts if part != Cards(()))


def _card(row: pd.Series, says: pd.Series) -> Card:
    return Card(
        problem=str(row["problem"]),
        origin=f"For {quoted(row['pattern'])}: "
        f"{STANDING[row['standing']].format(item=row['item'])} ({task_words(row['task'])})",
        meanings=tuple(
            (str(answer), " Or: ".join(_meaning(names, says)) if names else "right")
            for answer, names in zip(row["typed"], row["meanings"], strict=True)
        ),
    )


def _meaning(names: str, says: pd.Series) -> Iterator[str]:
    for name in names.split(" / "):
        yield f"{quoted(name)}: {minus_signs(str(says[name]))}" if name in says else quoted(name)
