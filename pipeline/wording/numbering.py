"""The numbering in front of a question: `18a.`, `Q3)`, `III.`, `(4)`, `Question 12:`."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

_NAMED: Final = (
    r"(?:question|probl[eè]me?a?|exercise|item|task|quest|prob|aufgabe|aufg|frage|pregunta|"
    r"exercice|ejercicio|ej|ex|number|no|nr|mc|q|p|#)"
)
_NUMBER: Final = (
    rf"(?:{_NAMED}[\s.#]*|(?!x)[a-z]{{1,2}}-?)\d{{1,4}}\s?[a-h]?(?![A-Za-z\d])|"
    r"\d{1,4}\s?\((?:[a-h]|[ivx]{1,4})\)|\d{1,4}(?:\.\d{1,3})*\s?[a-h]?(?![A-Za-z])|(?!x\b)[ivx]{1,5}|[a-h]"
)
_NUMBERING: Final = re.compile(
    rf"^\s*(?:[(\[]\s*(?P<in>{_NUMBER})\s*[)\]][.:]?(?=\s|$)|"
    rf"(?P<id>{_NUMBER})\s*(?:[.:][)\]]?(?=\s|$)|[)\]][.:]?(?=\s|$|[A-Za-z(\\$√|-]))|"
    rf"(?P<named>{_NAMED}[\s.#]*\d{{1,4}}\s?[a-h]?)\s+[-–—]\s+)",
    re.IGNORECASE,
)
_BARE_NAME: Final = re.compile(
    rf"^\s*(?P<id>{_NAMED}\s*\d{{1,4}}[a-h]?|\d{{1,3}}(?:\.\d{{1,3}}){{2,}})\s+(?=\S)",
    re.IGNORECASE,
)


_LETTER: Final = re.compile(
    r"(?<!part\s)(?<!parts\s)(?<!from\s)(?:(?<=\s)|(?<=[?:.;])|^)"
    r"(?:\(?(?=.{1,4}[.)])|\[(?=.\]))([A-Ha-h]|[ivx]{1,4})[.)\]]\s+(?=\S)"
)
_RUNS: Final = (["a", "b", "c", "d", "e", "f", "g", "h"], ["i", "ii", "iii", "iv", "v", "vi"])


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
    return Numbering(re.sub(r"(?<=\d) ?\(?([a-h])\)?$", r"\1", name), text[found.end() :].strip())


def lettered_parts(text: str) -> tuple[str, list[Numbering]]:
    """A line cut at its letters `A) … B) …` or `(i) … (ii) …`: what stands before, and the parts.

    They count from the first on and in order, two at least; else the line stays whole.
    """
    found = [*_LETTER.finditer(text)]
    run = max(
        ([one for one, letter in zip(found, letters, strict=False) if one[1].lower() == letter]
         for letters in _RUNS), key=len,
    )  # fmt: skip
    if len(run) < 2 or len(run) < len(found):
        return text, []
    ends = [one.start() for one in run[1:]] + [len(text)]
    parts = [
        re.sub(r"[\s;,]+(?:and|&)?\s*$", "", text[one.end() : end] + " ").strip(" ;,")
        for one, end in zip(run, ends, strict=True)
    ]
    return text[: run[0].start()].strip(), [
        Numbering(one[1], part) for one, part in zip(run, parts, strict=True)
    ]
