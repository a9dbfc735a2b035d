"""The way of a raw text to the one notation; each change is listed."""

from __future__ import annotations

import re

from pipeline.reading.budgets import MAX_LENGTH, Unread
from pipeline.reading.characters import plain_characters, refuse_private, repair_mojibake
from pipeline.reading.latex import from_latex, looks_like_latex
from pipeline.reading.mathml import from_mathml, looks_like_mathml
from pipeline.reading.web import from_html, undo_escapes

__all__ = ["normalised"]

_MARKUP = re.compile(r"[<&\\$%\"'`{\x08\x0c\t]")
_DRAWN = re.compile(r"^\s*(.+?)[ \t]*\n\s*[-_—–─━]{2,}\s*\n\s*(.+?)\s*$", re.DOTALL)


def normalised(text: str, changes: list[str]) -> str:
    """Return the text in the reader's notation.

    Raises:
        Unread: too long, or characters or markup that cannot be part of an answer.
    """
    if len(text) > MAX_LENGTH:
        raise Unread("too large: more than 2,000 characters")
    refuse_private(text.replace("\x0c", "").replace("\x08", ""))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.isascii():
        text = repair_mojibake(text, changes)
    if _MARKUP.search(text):
        text = _without_markup(text, changes)
    drawn = _DRAWN.match(text)
    if drawn and "\n" not in drawn[1]:
        from pipeline.reading.marks import fraction  # noqa: PLC0415 - rarely needed

        changes.append("a fraction drawn over three lines")
        text = fraction(drawn[1].strip(), drawn[2].strip())
    return plain_characters(text, changes)


def _without_markup(text: str, changes: list[str]) -> str:
    text = undo_escapes(text, changes)
    if looks_like_mathml(text) or "&lt;m" in text:
        if "&lt;m" in text:
            text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", '"')
        return from_mathml(text, changes)
    text = from_html(text, changes)
    if looks_like_latex(text):
        text = from_latex(text, changes)
    return text
