"""Names of AsciiMath between the things that they join: `x in RR`, `-1 lt x`, `(1,2) uu (3,4)`."""

from __future__ import annotations

import re

_ANY = re.compile(
    r"(?<![A-Za-z])text\(|(?<![A-Za-z])(?:RR|uu|nn|lt|gt|le|ge|ne|in)(?![A-Za-z])|\dxx\d|\d xx "
)
_SIGNS = {"lt": "<", "gt": ">", "le": "<=", "ge": ">=", "ne": "!="}
_RULES: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"(?<![A-Za-z\\])text\(([^()]*)\)"), r" \1 "),
    (re.compile(r"(?<![A-Za-z])RR(?![A-Za-z])"), "ℝ"),
    (re.compile(r"(?<=[A-Za-z])\s+in\s+(?=[{(\[ℝ])"), " ∈ "),
    (re.compile(r"(?<=[)\]}])\s*uu\s*(?=[(\[{])"), " ∪ "),
    (re.compile(r"(?<=[)\]}])\s*nn\s*(?=[(\[{])"), " ∩ "),
    (re.compile(r"(?<=\d)\s*xx\s*(?=\d)"), " * "),
)
_MEMBER = re.compile(r"^\s*([A-Za-z])\s*(?: [EeЄє]|[ϵε€])\s*[Rℝ]\s*\.?\s*$")
_RELATION = re.compile(
    r"(?:(?<=[\d)\]])|(?<=(?<![A-Za-z])[A-Za-z]))\s+(lt|gt|le|ge|ne)\s+(?=[-+\d(√]|[A-Za-z](?![A-Za-z]))"
)


def from_asciimath(text: str, changes: list[str]) -> str:
    """Put signs in place of the names that AsciiMath gives them."""
    member = _MEMBER.sub(r"\1 ∈ ℝ", text)
    if member != text:
        changes.append("a letter read as the sign of membership")
        return member
    if not _ANY.search(text):
        return text
    written = text
    for pattern, sign in _RULES:
        written = pattern.sub(sign, written)
    written = _RELATION.sub(lambda found: f" {_SIGNS[found[1]]} ", written)
    if written != text:
        changes.append("AsciiMath names read as signs")
    return written
