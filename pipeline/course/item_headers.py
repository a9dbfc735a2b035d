"""Columns of a list of questions, told by their names in any usual spelling and by their cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Final

from pipeline.tables import plain_text
from pipeline.wording.vocabulary import meant_task

WRITTEN_COLUMNS = ("computed", "status", "why")
"""Written by `check --write` for the person who reads the list; no run looks at them."""
ITEM_COLUMNS = (
    "item", "topic", "task", "problem", "answer", "form", "numbers", "outcome", "options",
    "quiz", "week", "method", "from", "correction", "asked", "keep", "follows", "wording",
    "same",
    *WRITTEN_COLUMNS,
)  # fmt: skip
_TYPED: Final = tuple(name for name in ITEM_COLUMNS if name not in WRITTEN_COLUMNS)
_OTHER_NAMES: Final = {
    "item": "id|item id|question id|question number|question no|question nr|no|nr|number|#|q|"
    "label|item number|item no|question name|problem number|problem no|exercise number|code|"
    "item code",
    "topic": "unit|chapter|section|module|skill|category|concept|subject|theme|objective area",
    "task": "type|question type|kind|instruction|instructions|directions|action|task type|"
    "what to do|what they should do|what students should do|what they do|what is asked|to do|"
    "problem type|item type|format of question",
    "problem": "equation|expression|formula|math|mathematics|equation or expression",
    "wording": "question text|text|stem|prompt|problem text|full text|question wording|item text|"
    "question stem|statement|description",
    "answer": "key|correct answer|answer key|solution|correct|right answer|correct response|"
    "expected answer|what is right|what is correct|solutions|answers|correct answers|"
    "correct option|model answer",
    "form": "answer form|form of answer|answer format",
    "numbers": "number system|number set",
    "outcome": "learning outcome|objective|learning objective|standard|slo|outcomes",
    "options": "choices|answer choices|alternatives|distractors|answer options|possible answers",
    "quiz": "test|exam|assignment|assessment|homework|quiz name|quiz title|worksheet",
    "week": "teaching week|week number|wk",
    "method": "taught method|procedure|technique",
    "same": "same as|same question as|asks the same as",
    "from": "valid from|in force from|start|starting",
}  # fmt: skip
_MEANT: Final = {word: name for name, words in _OTHER_NAMES.items() for word in words.split("|")}
_BY_CONTENT: Final = ("question", "problem", "item", "exercise", "questions", "problems", "items")
_OWN: Final = re.compile(r"(notes?|comments?|remarks?)\b.*")
_BESIDE: Final = re.compile(
    r"\([^)]*\)|\b(?:of|the|for|each|this|question|questions|item|exercise)\b(?:['’]s)?"
)
"""Words beside the one that names a column: `type of question`, `answer (key)`."""
_SEARCHED_ROWS: Final = 10
_MATHEMATICS: Final = re.compile(r"[=^<>√]|\\|\w\s*[+*/]\s*\w|\)\(|\w+ \w+ \w+")


@dataclass(slots=True)
class ItemHeader:
    """What each column of a list of questions holds.

    Args:
        names: a name of `ITEM_COLUMNS` a column; "" for one that is not used.
        taken: a sentence for each column that was taken for something its name does not say.
        errors: what has to be mended, as (column, sentence).
    """

    names: list[str] = field(default_factory=list)
    taken: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


def below_title(rows: Sequence[tuple[int, list[str]]]) -> Sequence[tuple[int, list[str]]]:
    """Rows from the header on: a title above it fills one cell, and names no column.

    Args:
        rows: all rows that are not empty, with their lines.
    """
    for place, (_, cells) in enumerate(rows[:_SEARCHED_ROWS]):
        filled = [_words(plain_text(cell)) for cell in cells if plain_text(cell).strip()]
        if len(filled) > 1:
            return rows[place:] if any(map(_is_name, filled)) else rows
    return rows


def _is_name(words: str) -> bool:
    return words in ITEM_COLUMNS or words in _BY_CONTENT or words in _MEANT


def item_header(cells: Sequence[str], below: Sequence[Sequence[str]]) -> ItemHeader:
    """Tell the columns of a list of questions.

    Args:
        cells: the first row.
        below: the rows under it.
    """
    header = ItemHeader()
    shown = [plain_text(cell).strip() for cell in cells]
    written = [_words(name) for name in shown]
    certain = {name for name in written if name in ITEM_COLUMNS and name not in _BY_CONTENT}
    for place, name in enumerate(written):
        texts = [plain_text(row[place]).strip() for row in below if place < len(row)]
        meant = _meant(name, [text for text in texts if text], written, certain)
        if meant and meant in header.names:
            header.errors.append(f"column {shown[place]!r} stands there twice")
            meant = ""
        header.names.append(meant)
        _say(header, shown[place], name, meant)
    if "problem" not in header.names and "wording" in header.names:
        header.names[header.names.index("wording")] = "problem"
    if "problem" not in header.names:
        header.errors.append(
            f"no column problem; expected the columns {', '.join(_TYPED)} (the fourth is needed), "
            f"and there are {', '.join(filter(None, shown)) or 'none'}"
        )
    return header


def _words(name: str) -> str:
    name = re.sub(r"(?<=[a-z])\s*#\s*$", " number", name, flags=re.IGNORECASE)
    plain = " ".join(re.sub(r"[_\s]+", " ", name).casefold().strip(" :.*?").split())
    return re.sub(r"^(?:the|my|your|our|full|actual) (?=\w)", "", plain)


def _meant(name: str, texts: Sequence[str], written: Sequence[str], certain: set[str]) -> str:
    if name == "item" and "problem" in written:
        return name
    if name in _BY_CONTENT:
        return _told_by_cells(name, texts, written)
    if name in ITEM_COLUMNS:
        return name
    bare = " ".join(_BESIDE.sub(" ", name).split())
    meant = _MEANT.get(name) or (bare if bare in _TYPED else _MEANT.get(bare, ""))
    if not meant and texts and 2 * sum(meant_task(text) is not None for text in texts) > len(texts):
        meant = "task"
    return "" if meant in certain else meant


def _told_by_cells(name: str, texts: Sequence[str], written: Sequence[str]) -> str:
    """Whether a column called `question`, `item` or `problem` holds names or what is asked."""
    asks = sum(_MATHEMATICS.search(text) is not None for text in texts)
    others = [one for one in written if one != name]
    if texts and 2 * asks <= len(texts):
        holds_problem = "problem" in others or any(_MEANT.get(one) == "problem" for one in others)
        lone = not holds_problem and "question" not in others
        return "problem" if name == "problem" and lone else "item"
    if name == "problem" or (not texts and name != "item"):
        return "problem"
    if name == "item" and not texts:
        return "item"
    spoken = any(one == "problem" or _MEANT.get(one) == "problem" for one in others)
    return "wording" if spoken else "problem"


def _say(header: ItemHeader, shown: str, name: str, meant: str) -> None:
    if not shown or name == meant or _OWN.fullmatch(name):
        return
    if meant:
        header.taken.append(f"column {shown!r} is taken for `{meant}`")
        return
    near = get_close_matches(name, ITEM_COLUMNS, n=1, cutoff=0.75)
    if near and not header.errors:
        header.errors.append(
            f"column {shown!r}; expected the columns {', '.join(_TYPED)}. "
            f"Did you mean `{near[0]}`? A column of your own may be called `notes`"
        )
    elif not near:
        header.taken.append(f"column {shown!r} is not used")
