"""The numbering in front of a question: `18a.`, `Q3)`, `III.`, `(4)`, `Question 12:`."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

__all__ = ["Numbering", "numbering_of"]

_NAMED: Final = r"(?:question|problem|exercise|item|quest|prob|ex|no|q|p|#)"
_NUMBER: Final = (
    rf"{_NAMED}[\s.#]*\d{{1,4}}\s?[a-h]?(?![A-Za-z\d])|"
    r"\d{1,4}(?:\.\d{1,3})*\s?[a-h]?(?![A-Za-z])|(?!x\b)[ivx]{1,5}|[a-h]"
)
_NUMBERING: Final = re.compile(
    rf"^\s*(?:[(\[]\s*(?P<in>{_NUMBER})\s*[)\]][.:]?(?=\s|$)|"
    rf"(?P<id>{_NUMBER})\s*(?:[.:][)\]]?(?=\s|$)|[)\]][.:]?(?=\s|$|[A-Za-z(\\$√|-]))|"
    rf"(?P<named>{_NAMED}[\s.#]*\d{{1,4}}\s?[a-h]?)\s+[-–]\s+)",
    re.IGNORECASE,
)
_BARE_NAME: Final = re.compile(rf"^\s*(?P<id>{_NAMED}\s*\d{{1,4}}[a-h]?)\s+(?=\S)", re.IGNORECASE)


class Numbering(NamedTuple):
    """What stands in front: the id as it is written, without its bracket or point; the rest."""

    id: str
    rest: str


def numbering_of(text: str) -> Numbering:
    """The number in front of a question and the question without it; "" where there is none."""
    found = _NUMBERING.match(text) or _BARE_NAME.match(text)
    if not found:
        return Numbering("", text.strip())
    groups = found.groupdict()
    name = groups.get("id") or groups.get("in") or groups.get("named") or ""
    name = re.sub(r"\s+", " ", name).strip()
    return Numbering(re.sub(r"(?<=\d) (?=[a-h]$)", "", name), text[found.end() :].strip())
