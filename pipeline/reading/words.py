"""Words that stand for signs, words that carry no value, and units; the lists are words.toml."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pipeline.reading import marks
from pipeline.reading.characters import plain_characters

__all__ = [
    "ignored_words",
    "needs_words",
    "ranges_in_words",
    "says_real",
    "signs_for_words",
    "without_rejected",
]

_RUN = re.compile(r"[A-Za-z\u00c0-\u06ff\u4e00-\u9fff]{2,}")
_COUNTED = re.compile(r"(?<=[\d)]\s)\(\s*[x×*]\s*[23]\s*\)")
_SHORT_UNIT = re.compile(_COUNTED.pattern + r"|\d\s*[a-z]/[a-z]\b")
_SAYS_REAL = re.compile(r"(?<![A-Za-z])(?:non)?(?:reals?|imaginary|complex)(?![A-Za-z])", re.I)
_QUIET = {"sqrt", "or", "and", "pi", "xy", "sqr"}


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    text = files("pipeline.reading").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _alternation(phrases: list[str]) -> str:
    ordered = sorted(phrases, key=len, reverse=True)
    return "|".join(re.escape(phrase).replace(r"\ ", r"\s+") for phrase in ordered)


@lru_cache(maxsize=1)
def _signs() -> tuple[re.Pattern[str], dict[str, str]]:
    table = {phrase.lower(): sign for phrase, sign in _data()["signs"].items()}
    roots = {"root", "radical", "rad", "square root", "cube root", "half"}
    plain = _alternation([phrase for phrase in table if phrase not in roots])
    guarded = _alternation(sorted(roots - {"half"}))
    operand = r"\s*(?:[\d√-]|\((?!\d+\)\s*\())"
    pattern = rf"(?<![A-Za-z\\_])(?:(?:{plain})(?![A-Za-z])|(?:{guarded})(?={operand})|half\b)"
    return re.compile(pattern, re.IGNORECASE), table


@lru_cache(maxsize=1)
def _ignored() -> re.Pattern[str]:
    data = _data()["ignored"]
    phrases = _alternation([*data["before_and_after"], *data["multiplicity"]])
    return re.compile(rf"(?<![A-Za-z\\_])(?:{phrases})(?![A-Za-z'])(?:\s*:(?!=))?", re.IGNORECASE)


@lru_cache(maxsize=1)
def _multiplicity() -> re.Pattern[str]:
    phrases = _alternation(_data()["ignored"]["multiplicity"])
    return re.compile(rf"(?:{phrases})(?![A-Za-z])|{_COUNTED.pattern}", re.IGNORECASE)


@lru_cache(maxsize=1)
def _rejections() -> tuple[re.Pattern[str], re.Pattern[str]]:
    data = _data()["ignored"]
    after = _alternation(data["rejected"])
    before = _alternation(data["rejecting"])
    return (
        re.compile(rf"(?<![A-Za-z])(?:{after})(?![A-Za-z])", re.IGNORECASE),
        re.compile(rf"(?:{before})\s+(?:[A-Za-z]\s*=\s*)?[-+±√\d(]", re.IGNORECASE),
    )


@lru_cache(maxsize=1)
def _unit_phrase() -> re.Pattern[str]:
    """Units of several words or with signs of their own, behind a number."""
    phrases = [unit for unit in unit_words() if len(unit) > 1 and not unit.isalpha()]
    end = r"(?=\s*(?:$|[,;.)]|and\b|or\b|\n))"
    return re.compile(rf"([\d)\ue002])\s*({_alternation(phrases)}){end}", re.IGNORECASE)


@lru_cache(maxsize=1)
def unit_words() -> frozenset[str]:
    """Return the units that may follow a number."""
    return frozenset(_data()["units"]["words"])


@lru_cache(maxsize=1)
def short_words() -> frozenset[str]:
    """Return short words that are no product of letters."""
    return frozenset(_data()["letters"]["no_products"])


_TENS = re.compile(
    r"\b(twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)[\s-]+"
    r"(one|two|three|four|five|six|seven|eight|nine)\b",
    re.IGNORECASE,
)
_ROMANCE = re.compile(r"(?<=[\d)½¼¾])\s+[oyu]\s+(?=[A-Za-z]\s*=|[-+]?\d)")
_MINUS_BEFORE = re.compile(r"^\s*negative\b", re.IGNORECASE)


def _tens(found: re.Match[str]) -> str:
    table = _signs()[1]
    return str(int(table[found[1].lower()]) + int(table[found[2].lower()]))


def needs_words(text: str) -> bool:
    """Whether a text has words beyond the few that the grammar itself knows."""
    if any(found.lower() not in _QUIET for found in _RUN.findall(text)):
        return True
    return "+ or" in text or "°" in text or _SHORT_UNIT.search(text) is not None


def says_real(text: str) -> bool:
    """Whether a text speaks of real numbers, so that its words may not be set aside."""
    return _SAYS_REAL.search(text) is not None


def signs_for_words(text: str, changes: list[str]) -> str:
    """Put signs in place of the words that mean them: `x squared plus three`."""
    pattern, table = _signs()
    text = _ROMANCE.sub(" or ", text)
    text = _unit_phrase().sub(lambda found: found[1] + marks.roman(found[2]), text)
    written = _TENS.sub(_tens, text)
    written = pattern.sub(lambda found: f" {table[' '.join(found[0].lower().split())]} ", written)
    if written != text:
        changes.append("words read as signs")
        written = plain_characters(written, [])
    return written


def ignored_words(text: str, changes: list[str]) -> tuple[str, bool]:
    """Set known words without value aside; tells whether they spoke of a repeated root.

    Brackets that held nothing else go with them.
    """
    pattern = _multiplicity()
    doubled = pattern.search(text) is not None
    kept = pattern.sub(" ", text) if doubled else text
    kept = _ignored().sub(" ", kept)
    if kept == text:
        return text, False
    kept = re.sub(r"\(\s*[!.,]*\s*\)|\[\s*\]", " ", kept)
    kept = re.sub(r"^\s*[:=,]+(?!=)|[\s:,!-]+$", " ", kept) if kept.strip(" :=,!-") else kept
    changes.append("words without value set aside")
    return kept, doubled


_PIECES = re.compile(r"([;,\n(]|\band\b|\bor\b|\bbut\b)", re.IGNORECASE)


_ALL_THAT = re.compile(
    r"^\s*(?:(?:all|any|every)\s+(?:real\s+)?(?:numbers?|values?|reals?|x)(?:\s+of\s+x)?\s*"
    r"(?:(?:that|which)\s+)?(?:is|are)?\s*)?(?=(?:is\s+)?(?:greater|less|more|bigger|smaller|"
    r"at\s+least|at\s+most|between)\b)|^\s*(?:all|any)\s+(?:real\s+)?(?:numbers?|x|values?)\s*(?=[<>≤≥])"
    r"|^\s*(?:numbers|everything|anything)\s+(?=greater|less|more)",
    re.IGNORECASE,
)
_IS = re.compile(
    r"(?<![A-Za-z])([A-Za-z])\s+(?:is|can\s+be|could\s+be|must\s+be|would\s+be|has\s+to\s+be|"
    r"will\s+be)\s+(?:either\s+|both\s+|equal\s+to\s+)?(?=[-+±√\d(\ue000])",
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
_COUNT_OF = re.compile(
    r"^\s*(?:\d|one|two|three)\s+(?:real\s+|distinct\s+|different\s+)*"
    r"(?:solutions?|roots?|answers?|zeros|values)\s*[:,]",
    re.IGNORECASE,
)
_REPEATING = re.compile(
    r"(\d*\.)(\d+)\s*(?:repeating|recurring|bar|rep\.?)(?![A-Za-z])", re.IGNORECASE
)
_BETWEEN = re.compile(r"^\s*(?:x\s+(?:is\s+)?)?between\s+(.+?)\s+and\s+(.+)$", re.IGNORECASE)
_RANGE = re.compile(
    r"(?<=[\d)∞\ue002])\s+(?:to|through|thru)\s+(?=[-+−\d(√∞\ue000])", re.IGNORECASE
)


@lru_cache(maxsize=1)
def _exceptions() -> re.Pattern[str]:
    phrases = _alternation(_data()["exceptions"]["phrases"])
    return re.compile(rf"^\s*(?:x\s*(?:=|is|can be)\s*)?(?:{phrases})(?![A-Za-z])", re.IGNORECASE)


def ranges_in_words(text: str, changes: list[str]) -> str:
    """Rewrite `all reals except 3`, `between -2 and 3` and `-2 to 3` with signs."""
    written = _COUNT_ONLY.sub(r"\1", _REAL_LETTER.sub(r"\1 ∈ ℝ", text))
    written = _IS.sub(r"\1 = ", _COUNT_OF.sub("", _ALL_BUT.sub("", written)))
    written = _REPEATING.sub(lambda found: found[1] + marks.repeating(found[2]), written)
    written = _ALL_THAT.sub("x ", written)
    written = _exceptions().sub(r" ℝ \\ ", written)
    written = _BETWEEN.sub(r"\1 -> \2", written)
    written = re.sub(r"^\s*from\s+", "", written, flags=re.IGNORECASE)
    written = _RANGE.sub(" -> ", written)
    if written != text:
        changes.append("words read as signs")
    return written


def without_rejected(text: str, changes: list[str]) -> tuple[str, bool]:
    """Take out values that the text itself rejects: `x = 3, x = -2 is extraneous`.

    Returns:
        The text that stays and whether every value was rejected.
    """
    after, before = _rejections()
    if not (after.search(text) or before.search(text)):
        return text, False
    pieces = _PIECES.split(text)
    kept: list[str] = []
    rejected = False
    for place in range(0, len(pieces), 2):
        separator = pieces[place - 1] if place else ""
        piece = pieces[place]
        if after.search(piece) or before.match(piece.strip()):
            rejected = True
            bare = after.sub("", piece).strip(" ).!")
            if not re.search(r"\d", bare) and not before.match(piece.strip()) and kept:
                kept = kept[:-1] if separator == "(" else kept
                kept = kept[:-1] if kept and kept[-1] in {",", ";", "or", "and"} else kept
            continue
        kept += [separator, piece] if kept else [piece]
    if not rejected:
        return text, False
    changes.append("a value that the answer itself rejects was taken out")
    result = "".join(kept).strip()
    return result, not re.search(r"[\dA-Za-z]", result)
