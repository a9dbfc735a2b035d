"""Structure that the reader's private marks carry, written as a person would type it."""

from __future__ import annotations

import re
from typing import Final

from pipeline.reading import marks
from pipeline.reading.normalise import normalised
from pipeline.reading.records import Unread

_CLOSING: Final = {
    marks.FRACTION: marks.END_FRACTION,
    marks.GROUP: marks.END_GROUP,
    marks.INDEX: marks.END_INDEX,
    marks.ROMAN: marks.END_ROMAN,
    marks.REPEATING: marks.END_REPEATING,
}
_ATOM: Final = re.compile(r"\d+(?:\.\d+)?|[A-Za-zα-ωπ]|(?:sqrt|cbrt|abs)\([^()]*\)")
_WHOLE: Final = re.compile(r"\d+")
_ROOT_SIGN: Final = re.compile(r"√\s*(?=\()|√\s*([-−]?\d+(?:\.\d+)?|[A-Za-z])")
_SPAN: Final = re.compile(r"(\$\$?)(.+?)\1|\\\((.+?)\\\)|\\\[(.+?)\\\]", re.DOTALL)
_FOR_LETTER: Final = re.compile(r"(\bfor\s+[A-Za-z])\s+(?=\\[(\[]|\$)")
"""The unknown that is asked for is no factor of the formula behind it."""
_CALLING: Final = re.compile(r"(?<![A-Za-z])(?:log|ln|sqrt|cbrt|abs)(?:\s*_\s*\(?\w+\)?)?$")
"""Functions that stand before what they are taken of."""
_COMPOSED: Final = re.compile(r"(?<=[A-Za-z])\s*°\s*(?=[A-Za-z]\b)")
_BARE_ROOT: Final = re.compile(r"\b(sqrt|cbrt)\s*(\d+(?:\.\d+)?)(?![\d.])")
_DIVIDED: Final = re.compile(r"\s*÷\s*")
"""With blanks around it a slash divides what stands on both sides: 4/9 / 2/3."""
_TIMES_TEN: Final = re.compile(r"(?<=\d)\s*[xX]\s*(?=10\s*\^)")
_BLANKS: Final = re.compile(r"[ \t]+")


def typed(text: str) -> str:
    """A sentence with its mathematics in typed notation, from plain text, Unicode, LaTeX, MathML.

    Text that the reader refuses as a whole keeps its words; each formula in it is tried alone.

    Raises:
        Unread: nothing of it can be taken; the message says why.
    """
    text = _FOR_LETTER.sub(r"\1: ", text)
    try:
        return plain_notation(normalised(text, []))
    except Unread:
        if not _SPAN.search(text):
            raise
    return _SPAN.sub(lambda found: plain_notation(normalised(found[0], [])), text)


def plain_notation(marked: str) -> str:
    """Text with private marks as typed notation: `(a + b)/2`, `sqrt(x)`, `x^(-2)`."""
    text = _Writer(marked).until("")
    text = _COMPOSED.sub(" ∘ ", _BARE_ROOT.sub(r"\1(\2)", roots_typed(text)))
    text = _DIVIDED.sub(" / ", _TIMES_TEN.sub(" * ", text)).replace(" _", "_")
    text = re.sub(r"\b(log|ln|sqrt|cbrt|abs)\s+(?=[(_])", r"\1", text)
    return _BLANKS.sub(" ", text).strip()


def roots_typed(text: str) -> str:
    """Text with `sqrt(…)` in place of each root sign."""
    return _ROOT_SIGN.sub(lambda found: f"sqrt({found[1]})" if found[1] else "sqrt", text)


def _is_atom(text: str) -> bool:
    return _ATOM.fullmatch(text) is not None


def _bracketed(text: str) -> str:
    return text if _is_atom(text) else f"({text})"


class _Writer:
    """A single pass over marked text."""

    def __init__(self, text: str) -> None:
        self.text, self.place = text, 0

    def until(self, stop: str) -> str:
        """Write what stands before a closing mark, and step over the mark."""
        written = ""
        while self.place < len(self.text):
            character = self.text[self.place]
            self.place += 1
            if stop and character == stop:
                return written
            written += self._piece(character, written)
        return written

    def _piece(self, character: str, before: str) -> str:
        if character not in _CLOSING:
            return character
        if character == marks.FRACTION:
            upper = self.until(marks.OVER).strip()
            return self._fraction(upper, self.until(marks.END_FRACTION).strip(), before)
        inner = self.until(_CLOSING[character]).strip()
        if character == marks.INDEX:
            return self._root(inner)
        if character == marks.GROUP:
            return self._group(inner, before)
        if character == marks.REPEATING:
            raise Unread("decimals that repeat for ever cannot be typed")
        return f" {inner} "

    def _fraction(self, upper: str, lower: str, before: str) -> str:
        text = f"{_bracketed(upper)}/{_bracketed(lower)}"
        stem = before.rstrip()
        if _CALLING.search(stem):
            return f"({text})"
        if _WHOLE.fullmatch(upper) and _WHOLE.fullmatch(lower) and re.search(r"\d$", stem):
            return f" {text}"
        follows = self.text[self.place : self.place + 1]
        joined = follows.isalnum() or follows in {"(", "^", "!", marks.GROUP, marks.INDEX, "√"}
        beside = re.search(r"(?<![A-Za-z])[A-Za-z]$|[\d)\]/^÷]$", stem) is not None
        return f"({text})" if (joined and follows) or beside else text

    def _root(self, index: str) -> str:
        rest = self.text[self.place :].lstrip()
        if not rest.startswith(marks.GROUP):
            return "cbrt" if index == "3" else f"root_{index}"
        self.place = self.text.index(marks.GROUP, self.place) + 1
        inner = self.until(marks.END_GROUP).strip()
        if index in {"2", "3"}:
            return f"{'sqrt' if index == '2' else 'cbrt'}({inner})"
        return f"({inner})^(1/{_bracketed(index)})"

    def _group(self, inner: str, before: str) -> str:
        if before.rstrip().endswith("^"):
            return _bracketed(inner)
        return _bracketed(inner) if self.text[self.place : self.place + 1] == "^" else inner
