"""MathML inside a question's text, as somebody would type it: what a list of questions holds."""

from __future__ import annotations

import re

from pipeline.reading import marks
from pipeline.reading.mathml import from_mathml

__all__ = ["typed"]

_ATOM = re.compile(r"[A-Za-zα-ωπ]|\d+(?:[.,]\d+)?|\{\w+\}")
_FRACTION = re.compile(
    f"{marks.FRACTION}([^{marks.FIRST}-{marks.LAST}]*){marks.OVER}"
    f"([^{marks.FIRST}-{marks.LAST}]*){marks.END_FRACTION}"
)
_ROOT = re.compile(
    f"{marks.INDEX}([^{marks.FIRST}-{marks.LAST}]*){marks.END_INDEX}"
    f"{marks.GROUP}([^{marks.FIRST}-{marks.LAST}]*){marks.END_GROUP}"
)
_GROUP = re.compile(f"{marks.GROUP}([^{marks.FIRST}-{marks.LAST}]*){marks.END_GROUP}")
_REPEATING = re.compile(f"{marks.REPEATING}([^{marks.FIRST}-{marks.LAST}]*){marks.END_REPEATING}")
_UPRIGHT = re.compile(f"[{marks.ROMAN}{marks.END_ROMAN}]")


def typed(mathml: str) -> str:
    """MathML rewritten as plain typed notation, brackets where a bar or a raised part had none.

    Raises:
        Unread: broken MathML, or an element that is not known.
    """
    text = _UPRIGHT.sub("", from_mathml(mathml, [])).replace("−", "-")
    while True:
        # A root stands before its radicand's group; the innermost marks go first.
        after = _ROOT.sub(_root, _FRACTION.sub(_over, _REPEATING.sub(r"\1...", text)))
        if after == text:
            after = _GROUP.sub(lambda found: _operand(found[1]), text, count=1)
        if after == text:
            return re.sub(r"[ \t]+", " ", text).strip()
        text = after


def _operand(text: str) -> str:
    inner = text.strip()
    return inner if _ATOM.fullmatch(inner) else f"({inner})"


def _over(found: re.Match[str]) -> str:
    return f"({_operand(found[1])}/{_operand(found[2])})"


def _root(found: re.Match[str]) -> str:
    index = found[1].strip()
    front = "sqrt" if index == "2" else f"root({index})"
    return f"{front}({found[2].strip()})"
