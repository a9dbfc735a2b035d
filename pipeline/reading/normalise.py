"""The way of a raw text to the one notation; each change is listed."""

from __future__ import annotations

import re
from typing import Final

from pipeline.reading import marks
from pipeline.reading.budgets import MAX_LENGTH, Unread
from pipeline.reading.characters import plain_characters, refuse_private, repair_mojibake
from pipeline.reading.latex import LATEX, from_latex, looks_like_latex
from pipeline.reading.mathml import MATHML, from_mathml, looks_like_mathml
from pipeline.reading.web import from_html, undo_escapes

_DRAWN: Final = "a fraction drawn over three lines"
TYPESET: Final = frozenset({LATEX, MATHML, _DRAWN})
"""Changes of texts that say how far their fraction bars and roots reach."""

_MARKUP = re.compile(r"[<&\\$%\"'`{\x08\x0c\t]")
_OUTWARD = re.compile(
    r"(?<![\w)])(\])([^\[\]()]*[,;][^\[\]()]*)([\[\]])|(?<![\w)])(?=\[)(\[)([^\[\]()]*[,;][^\[\]()]*)(\[)"
)
_QUOTED = re.compile(r"(?<![A-Za-z\d])(['\"])([^'\"\s][^'\"]{0,30})\1")
_WITHOUT = re.compile(r"(?<![A-Za-z\\])[Rℝ]\s*\\\s*\{([^{}\\]*)\}")
_BLANKS = re.compile(r" {2,}|\t{2,}")
_NEW_LINES = re.compile(r" ?\n[ \n]*")
_BAR = frozenset("-_—–─━")


def normalised(text: str, changes: list[str]) -> str:
    """Return the text in the reader's notation.

    Raises:
        Unread: too long, or characters or markup that cannot be part of an answer.
    """
    if len(text) > MAX_LENGTH:
        raise Unread("too large: more than 2,000 characters")
    refuse_private(text.replace("\x0c", "").replace("\x08", ""))
    text = _with_single_blanks(text.replace("\r\n", "\n").replace("\r", "\n"))
    if not text.isascii():
        text = repair_mojibake(text, changes)
    if _MARKUP.search(text):
        text = _without_markup(text, changes)
    text = _OUTWARD.sub(_inward, text) if "]" in text or "[" in text else text
    lines = text.strip().split("\n")
    if len(lines) == 3 and len(lines[1].strip()) > 1 and set(lines[1].strip()) <= _BAR:
        changes.append(_DRAWN)
        text = marks.fraction(lines[0].strip(), lines[2].strip())
    return _with_single_blanks(plain_characters(text, changes))


def _with_single_blanks(text: str) -> str:
    """Runs of blanks and of new lines become one, so that no pattern has to try their parts."""
    if "  " in text or "\t\t" in text:
        text = _BLANKS.sub(" ", text)
    return _NEW_LINES.sub("\n", text) if "\n" in text else text


def _inward(found: re.Match[str]) -> str:
    """Outward brackets are open ends: ]a, b[ is (a, b)."""
    if found[1]:
        return f"({found[2]}{')' if found[3] == '[' else ']'}"
    return f"[{found[5]})"


def _without_markup(text: str, changes: list[str]) -> str:
    text = _WITHOUT.sub(r"ℝ-{\1}", undo_escapes(text, changes))
    if looks_like_mathml(text) or "&lt;m" in text:
        if "&lt;m" in text:
            text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", '"')
        return from_mathml(text, changes)
    text = from_html(text, changes)
    text = _QUOTED.sub(r"\2", text)
    if looks_like_latex(text):
        text = from_latex(text, changes)
    return text
