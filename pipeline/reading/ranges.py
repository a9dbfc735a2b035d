"""Sentences about numbers rewritten with signs: `between -2 and 3`, `all reals except 5`."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.reading import marks
from pipeline.reading.words import alternation, word_lists

_ALL_THAT = re.compile(
    r"^\s*(?:(?:all|any|every)\s+(?:real\s+)?(?:numbers?|values?|reals?|x)(?:\s+of\s+x)?\s*"
    r"(?:(?:that|which)\s+)?(?:is|are)?\s*)?(?=(?:is\s+)?(?:greater|less|more|bigger|smaller|"
    r"at\s+least|at\s+most|between)\b)|^\s*(?:all|any)\s+(?:real\s+)?(?:numbers?|x|values?)\s*(?=[<>≤≥])"
    r"|^\s*(?:all|any)\s+(?:real\s+)?(?:numbers?|values?)\s+x\s*(?=[<>≤≥])"
    r"|^\s*(?:numbers|everything|anything)\s+(?=greater|less|more)",
    re.IGNORECASE,
)
_IS = re.compile(
    r"(?<![A-Za-z'])([A-Za-z])\s+(?:is|can\s+be|could\s+be|must\s+be|would\s+be|has\s+to\s+be|"
    r"will\s+be|are|equal|equals)\s+(?:either\s+|both\s+|equal\s+to\s+)?"
    r"(?=[-+±√∛∜\d(.\ue000-\ue005]|sqrt|cbrt|(?:the\s+)?(?:square|cube|root|rad)|neg|minus|pos|plus|"
    r"(?:zero|one|two|three|four|five|six|seven|eight|nine|ten)\b)",
    re.IGNORECASE,
)
_REAL_LETTER = re.compile(
    r"(?<![A-Za-z])([A-Za-z])\s+(?:is|are|in)\s+(?:an?\s+|any\s+|all\s+)?reals?(?:\s+numbers?)?\b",
    re.IGNORECASE,
)
_ALL_BUT = re.compile(
    r"^\s*all\s+real(?:s|\s+numbers?)?\s*[,;:]?\s*(?=[a-z]\s*(?:!=|≠|is\s+not|cannot))",
    re.IGNORECASE,
)
_COUNT_ONLY = re.compile(
    r"^\s*(\d|one|two|three)\s+(?:real\s+|distinct\s+|different\s+|rational\s+|irrational\s+)*"
    r"(?:solutions?|roots?|answers?|zeros)\s*[.!]?\s*$",
    re.IGNORECASE,
)
_COUNT_BEHIND = re.compile(
    r"(?<=[^\s,;.(])\s*[,;.(]?\s*\b(?:so|thus|therefore|hence|giving|gives|and|that'?s|there\s+are|which\s+is)?"
    r"(?<![-+=<>*/^√±])\s*\b(?:[2-4]|two|three|four)\s+"
    r"(?:real\s+|distinct\s+|different\s+|irrational\s+|rational\s+)*"
    r"(?:solutions?|answers?|roots?|zeros)\s*\)?\s*[.!]*\s*$",
    re.IGNORECASE,
)
_COUNT_OF = re.compile(
    r"^\s*(?:\d|one|two|three)\s+(?:real\s+|distinct\s+|different\s+)*"
    r"(?:(?:solutions?|roots?|answers?|zeros|values)\s*[:,]|(?:solutions|roots|answers)\s+(?=[-+±√\d]))",
    re.IGNORECASE,
)
_REPEATING = re.compile(
    r"(\d*)\.(\d+)\s*(?:\(\s*(?:repeating|recurring)\s*\)|(?:repeating|recurring|bar|rep\.?)(?![A-Za-z]))",
    re.IGNORECASE,
)
_DIMENSIONS = re.compile(r"(?<=[\d)a-z])\s+by\s+(?=\d)")
_BETWEEN = re.compile(r"^\s*(?:x\s+(?:is\s+)?)?between\s+(.+?)\s+and\s+(.+)$", re.IGNORECASE)
_RANGE = re.compile(
    r"(?<=[\d)∞\ue002])\s+(?:to|through|thru)\s+(?=[-+−\d(√∞\ue000])", re.IGNORECASE
)


@lru_cache(maxsize=1)
def _exceptions() -> re.Pattern[str]:
    phrases = alternation(word_lists()["exceptions"]["phrases"])
    return re.compile(rf"^\s*(?:x\s*(?:=|is|can be)\s*)?(?:{phrases})(?![A-Za-z])", re.IGNORECASE)


def counts_only(text: str) -> bool:
    """Whether a text says how many solutions there are and nothing else."""
    return _COUNT_ONLY.match(text) is not None


def _repeating(found: re.Match[str]) -> str:
    return f"{found[1] or 0}.{marks.repeating(found[2])}"


def ranges_in_words(text: str, changes: list[str]) -> str:
    """Rewrite `all reals except 3`, `between -2 and 3` and `-2 to 3` with signs."""
    written = _exceptions().sub(r" ℝ \\ ", text)
    written = _COUNT_ONLY.sub(r"\1", _REAL_LETTER.sub(r"\1 ∈ ℝ", written))
    written = _COUNT_OF.sub("", _ALL_BUT.sub("", written))
    written = written if re.search(r"[<>](?!\s*0\b)", written) else _COUNT_BEHIND.sub("", written)
    written = _IS.sub(r"\1 = ", written)
    written = _REPEATING.sub(_repeating, written)
    written = _ALL_THAT.sub("x ", written)
    written = _BETWEEN.sub(r"\1 -> \2", written)
    written = re.sub(r"^\s*from\s+", "", written, flags=re.IGNORECASE)
    written = _DIMENSIONS.sub(" and ", _RANGE.sub(" -> ", written))
    if written != text:
        changes.append("words read as signs")
    return written
