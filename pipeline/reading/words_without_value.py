"""Known words without value, set aside without joining the values on both sides of them."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.reading.budgets import Unread
from pipeline.reading.words import COUNTED, alternation, word_lists

_ENDS = re.compile(r"(?:[\w)\]}%π∞\ue002\ue004\ue008])$")
_STARTS = re.compile(r"[\w(\[{√∛∜.$π∞\ue000\ue003\ue005\ue007+\-±]")
_JOINED = re.compile(r"(?:or|and)(?![A-Za-z])", re.IGNORECASE)
_JOINING = re.compile(r"(?<![A-Za-z])(?:or|and)$", re.IGNORECASE)
_LABEL = re.compile(r"[A-Za-z](?:_?\d)?\s*(?:[=<>≤≥≠~∈]|!=)")
_POINT_BEFORE = re.compile(r"\([^()]*,[^()]*\)$")
_POINT_AFTER = re.compile(r"\([^()]*,")
_LONE_LETTER = re.compile(r"(?<![A-Za-z\d)])[A-Za-z]$")
_CONCLUDES = re.compile(r"(?:so|then|therefore|thus|hence)(?![a-z])")
_RELATION = re.compile(r"[=<>≤≥≠]")
_WORD = re.compile(r"(?!sqrt|cbrt|root|abs|pi|oo)[A-Za-z]{2,}")


@lru_cache(maxsize=1)
def _ignored() -> re.Pattern[str]:
    """One or more known words in a row."""
    data = word_lists()["ignored"]
    phrases = alternation([*data["before_and_after"], *data["multiplicity"]])
    end = r"(?![A-Za-z'])(?:\s*(?::(?!=)|=(?!=)))?"
    return re.compile(rf"(?:(?<![A-Za-z\\_])(?:{phrases}){end}\s*)+", re.IGNORECASE)


@lru_cache(maxsize=1)
def _multiplicity() -> re.Pattern[str]:
    phrases = alternation(word_lists()["ignored"]["multiplicity"])
    return re.compile(rf"(?:{phrases})(?![A-Za-z])|{COUNTED.pattern}", re.IGNORECASE)


def _put_aside(found: re.Match[str]) -> str:
    """What stays of words without value: nothing at an end, a sign or a comma between values.

    An arrow stands where a conclusion follows a line of working: `x = ±2, so -2 < x < 2`.
    In brackets behind a value, `√17 (about 4.12)`, they stand for ≈.

    Raises:
        Unread: the words stand between two values, and nothing says how the two go together.
    """
    before, after = found.string[: found.start()].rstrip(), found.string[found.end() :]
    words = found[0].strip().casefold()
    if before.endswith("(") and _ENDS.search(before[:-1].rstrip()) and _STARTS.match(after):
        return "~"
    concludes = _CONCLUDES.match(words) and _RELATION.search(before) and not _LABEL.match(after)
    if concludes and _STARTS.match(after):
        return " -> "
    if not (_ENDS.search(before) and _STARTS.match(after)):
        return " "
    if _JOINING.search(before) or _JOINED.match(after) or _WORD.match(after):
        return " "
    if _LABEL.match(after):
        return " , "
    between_points = _POINT_BEFORE.search(before) and _POINT_AFTER.match(after)
    if between_points or (words[-1] in ":=" and not before[-1].isalpha()):
        return " , "
    if _LONE_LETTER.search(before) or words in {"is", "are"}:
        return " = "
    raise Unread(f"the words “{words[:40]}” stand between two values")


def ignored_words(text: str, changes: list[str]) -> tuple[str, bool]:
    """Set known words without value aside; tells whether they spoke of a repeated root.

    Brackets that held nothing else go with them.
    """
    pattern = _multiplicity()
    doubled = pattern.search(text) is not None
    kept = pattern.sub(" ", text) if doubled else text
    kept = _ignored().sub(_put_aside, kept)
    if kept == text:
        return text, False
    kept = re.sub(r"\(\s*[!.,]*\s*\)|\[\s*\]", " ", kept)
    kept = re.sub(r"^\s*[:=,]+(?!=)|[\s:,!-]+$", " ", kept) if kept.strip(" :=,!-") else kept
    changes.append("words without value set aside")
    return kept, doubled
