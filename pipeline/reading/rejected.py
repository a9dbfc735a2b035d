"""Values that an answer itself rejects: `x = 3, x = -2 is extraneous`, `7 and -2 but not -2`."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.reading.budgets import Unread
from pipeline.reading.words import alternation, word_lists

_PIECES = re.compile(r"([;,\n(]|\b(?:and|or|but|since|because)\b)", re.IGNORECASE)
_REASONS = frozenset({"because", "since"})
_BEHIND = frozenset({"(", ",", ";", "\n", "but"})
_NAMES = re.compile(r"(?i)\b(?:solutions?|roots?|answers?|values?|is|it|an?|the)\b|[\s).!]")
_ONLY_NOT = re.compile(r"\s*(?:[A-Za-z]\s+(?:is\s+)?)?not\b", re.IGNORECASE)
_LABEL = re.compile(r"^\s*(?:[A-Za-z]\s*=)?\s*|[\s).!]+")
_VALUE = r"\s+(?:[A-Za-z]\s*=\s*)?[-+±√\d(]"


_REGION = re.compile(r"[<>≤≥≠∞]|!=")
_RELATION = re.compile(r"[<>≤≥≠]|!=")
_LETTER = re.compile(r"(?<![A-Za-z])[A-Za-z](?![A-Za-z])")


def _without_numbers(region: str, numbers: set[str]) -> str:
    """Write numbers that are taken out of a region with a sign of their own.

    Raises:
        Unread: nothing says which letter the region is about.
    """
    names = set(_LETTER.findall(region))
    if len(names) != 1 or not all(re.fullmatch(r"[-+−]?[\d./]+", number) for number in numbers):
        raise Unread("something is taken out of a region; it is written with ≠")
    (name,) = names
    return " and ".join([region, *(f"{name} != {number}" for number in sorted(numbers))])


@lru_cache(maxsize=1)
def _rejections() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """What stands behind a rejected value, before one, and before one without a separator."""
    data = word_lists()["ignored"]
    after, before = alternation(data["rejected"]), alternation(data["rejecting"])
    return (
        re.compile(rf"(?<![A-Za-z])(?:{after})(?![A-Za-z])", re.IGNORECASE),
        re.compile(rf"(?:{before})(?={_VALUE})", re.IGNORECASE),
        re.compile(rf"(?<=[\d)\ue002])\s+(?=(?:{before}){_VALUE})", re.IGNORECASE),
    )


def without_rejected(text: str, changes: list[str]) -> tuple[str, bool]:
    """Take out values that the text itself rejects, also where they were listed before.

    Returns:
        The text that stays and whether every value was rejected.

    Raises:
        Unread: it says what the answer is not, and nothing else.
    """
    after, before, unseparated = _rejections()
    if not (after.search(text) or before.search(text)):
        return text, False
    pieces = ["", *_PIECES.split(unseparated.sub(", ", text))]
    pairs = list(zip(pieces[::2], pieces[1::2], strict=True))
    kept: list[tuple[str, str]] = []
    dropped: list[str] = []
    named: set[str] = set()
    for separator, piece in pairs:
        if not (after.search(piece) or before.match(piece.strip())):
            kept.append((separator, piece))
            continue
        value = before.sub("", after.sub("", piece))
        dropped.append(value)
        named.add(_LABEL.sub("", value))
        alone = separator == "(" or not _NAMES.sub("", value)
        if not re.search(r"\d", value) and separator.lower() in _BEHIND and alone and kept:
            kept.pop()
    if len(kept) == len(pairs):
        return text, False
    if not any(re.search(r"\w", piece) for _, piece in kept) and _ONLY_NOT.match(text):
        raise Unread("it says only what the answer is not")
    changes.append("a value that the answer itself rejects was taken out")
    kept = [one for one in kept if _LABEL.sub("", one[1]) not in named and one[0] not in _REASONS]
    result = "".join(separator + piece for separator, piece in kept)
    result = re.sub(r"^\s*(?:[;,\n(]|(?:and|or|but)\b)", "", result).strip()
    if _REGION.search(result) and not all(map(_RELATION.search, dropped)):
        result = _without_numbers(result, named)
    return result, not re.search(r"[\dA-Za-z]", result)
