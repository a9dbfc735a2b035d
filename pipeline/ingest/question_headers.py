"""Which columns of a wide file hold answers, told by their headers and what stands beside them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from pipeline.ingest.columns import header_words, standard_field
from pipeline.ingest.header import HeaderRow
from pipeline.ingest.questions import Questions

__all__ = ["BOX", "WIDE_FIELDS", "question_headers"]

BOX = re.compile(r"^(?P<stem>.+?)[\s,:_-]*[(\[]?\s*(?:box|part|blank|field|answer|no\.?)?\s*"
                 r"(?P<number>[1-9]|[a-d])\s*[)\]]?$", re.I)  # fmt: skip
_NUMBERED = re.compile(r"^(?:q|question|problem|item|exercise)\W*\d+\w?$", re.I)
_REPLY = re.compile(r"^(?P<stem>.+?)[\s:_-]+(?:response|answer|reply)$", re.I)
_NUMBERED_REPLY = re.compile(r"^(?:response|answer|reply)\W*(?P<number>\d+)$", re.I)
WIDE_FIELDS = ("student", "answered_at", "attempt", "section", "term", "quiz", "setting")
_UNLISTED = "not among the items: stored unjudged"


def question_headers(
    row: HeaderRow, below: list[list[str]], questions: Questions, taken: set[str]
) -> tuple[dict[str, str], dict[str, str]]:
    """Columns that are questions.

    Args:
        row: the column names.
        below: cells of rows under them.
        questions: of the course.
        taken: headers that say something of the whole row.

    Returns:
        Header -> item, and header -> why; nothing when no item of the course is among them.
    """
    named: dict[str, str] = {}
    why: dict[str, str] = {}
    shown = {place for _, place in _numbered_replies(row)}
    for place, header in enumerate(row.names):
        if not header or standard_field(header) in WIDE_FIELDS or place in shown:
            continue
        if found := _item_of(header, row, below, questions):
            named[header], why[header] = found
        elif header not in taken and (_NUMBERED.match(header) or re.search("[=^]", header)):
            named[header], why[header] = header, _UNLISTED
    for header, item in named.items():
        if list(named.values()).count(item) > 1 and why[header] in ("its id", "its text"):
            why[header] = "one of the boxes of this question"
    if all(reason == _UNLISTED for reason in why.values()):
        return {}, {}
    return named, why


def _item_of(
    header: str, row: HeaderRow, below: list[list[str]], questions: Questions
) -> tuple[str, str] | None:
    """The item that a column answers, and how it is told."""
    if item := questions.find(header):
        return item, "its id" if header in questions.ids else "its text"
    split = BOX.match(header)
    if split and _has_other_box(split["stem"], row) and (item := questions.find(split["stem"])):
        return item, "one of the boxes of this question"
    if (reply := _REPLY.match(header)) and (item := questions.find(reply["stem"])):
        return item, "the answer to this question"
    for name, place in _numbered_replies(row):
        texts = {cells[place] for cells in below if place < len(cells) and cells[place]}
        if name == header and len(texts) == 1 and (item := questions.find(texts.pop())):
            return item, "the question named beside it"
    return None


def _has_other_box(stem: str, row: HeaderRow) -> bool:
    stems = Counter(split["stem"] for name in row.names if (split := BOX.match(name)))
    return stems[stem] > 1 or stem in row.names


def _numbered_replies(row: HeaderRow) -> Iterator[tuple[str, int]]:
    """`Response 1` with the place of the column `Question 1` beside it."""
    places = {header_words(name): place for place, name in enumerate(row.names) if name}
    for header in row.names:
        if found := _NUMBERED_REPLY.match(header):
            for word in ("question", "problem", "item"):
                if (place := places.get(f"{word} {found['number']}")) is not None:
                    yield header, place
