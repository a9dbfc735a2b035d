"""Words that stand for signs, words that carry no value, and units; the lists are words.toml."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pipeline.reading import marks
from pipeline.reading.budgets import MAX_WORDS, Unread
from pipeline.reading.characters import plain_characters

_RUN = re.compile(r"[A-Za-z\u00c0-\u06ff\u4e00-\u9fff]{2,}")
COUNTED = re.compile(r"(?<=[\d)]\s)\(\s*[x×*]\s*[23]\s*\)")
_SAYS_REAL = re.compile(r"(?<![A-Za-z])(?:non)?(?:reals?|imaginary|complex)(?![A-Za-z])", re.I)
_QUIET = {"sqrt", "or", "and", "pi", "xy", "sqr"}


@lru_cache(maxsize=1)
def word_lists() -> dict[str, Any]:
    """Return the lists of words.toml."""
    text = files("pipeline.reading").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def alternation(phrases: list[str]) -> str:
    """Return a pattern for any of the phrases, longer ones first, blanks of any width."""
    ordered = sorted(phrases, key=len, reverse=True)
    return "|".join(re.escape(phrase).replace(r"\ ", r"\s+") for phrase in ordered)


@lru_cache(maxsize=1)
def _signs() -> tuple[re.Pattern[str], dict[str, str]]:
    table = {phrase.lower(): sign for phrase, sign in word_lists()["signs"].items()}
    roots = {"root", "radical", "rad", "square root", "cube root", "half"}
    plain = alternation([phrase for phrase in table if phrase not in roots])
    guarded = alternation(sorted(roots - {"half"}))
    operand = r"\s*(?:[\d√-]|\((?!\d+\)\s*\())"
    pattern = rf"(?<![A-Za-z\\_])(?:(?:{plain})(?![A-Za-z])|(?:{guarded})(?={operand})|half\b)"
    return re.compile(pattern, re.IGNORECASE), table


@lru_cache(maxsize=1)
def _unit_phrase() -> re.Pattern[str]:
    """Units of several words or with signs of their own, behind a number."""
    phrases = [unit for unit in unit_words() if len(unit) > 1 and not unit.isalpha()]
    end = r"(?=\s*(?:$|[,;.)]|and\b|or\b|\n))"
    return re.compile(rf"([\d)\ue002])\s*({alternation(phrases)}){end}", re.IGNORECASE)


@lru_cache(maxsize=1)
def unit_words() -> frozenset[str]:
    """Return the units that may follow a number."""
    return frozenset(word_lists()["units"]["words"])


@lru_cache(maxsize=1)
def short_words() -> frozenset[str]:
    """Return short words that are no product of letters."""
    return frozenset(word_lists()["letters"]["no_products"])


_TENS = re.compile(
    r"\b(twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)[\s-]+"
    r"(one|two|three|four|five|six|seven|eight|nine)\b",
    re.IGNORECASE,
)
_ROMANCE = re.compile(r"(?<=[\d)½¼¾])\s+(?:[oyue]\s+(?=[A-Za-z]\s*=)|o\s+(?=[-+]?\d))")
_WITHOUT_RUN = re.compile(
    rf"[+<>]\s*or|and/or|°|{COUNTED.pattern}|\d\s*[a-z]/[a-z]\b|{_ROMANCE.pattern}"
)
_ORDINAL = re.compile(
    r"\s*\b(?:raised\s+)?to\s+the\s+(\d{1,3})(?:st|nd|rd|th)(?:\s+power)?\b", re.IGNORECASE
)


_BASE = re.compile(
    r"\blog(?:arithm)?,?\s*(?:to\s+)?(?:the\s+)?base[\s-]*(\d+|[A-Za-z](?![A-Za-z]))\s*(?:of\b)?\s*",
    re.IGNORECASE,
)


def _tens(found: re.Match[str]) -> str:
    table = _signs()[1]
    return str(int(table[found[1].lower()]) + int(table[found[2].lower()]))


def needs_words(text: str) -> bool:
    """Whether a text has words beyond the few that the grammar itself knows."""
    if any(found.lower() not in _QUIET for found in _RUN.findall(text)):
        return True
    return _WITHOUT_RUN.search(text) is not None


def refuse_prose(text: str) -> None:
    """Refuse a story before any pattern is tried on its words.

    Raises:
        Unread: more than `MAX_WORDS` words, those for signs not counted.
    """
    if len(text) > 2 * MAX_WORDS:
        words = sum(word.lower() not in _QUIET for word in _RUN.findall(text))
        if words > MAX_WORDS:
            raise Unread("too large: more than 60 words")


def says_real(text: str) -> bool:
    """Whether a text speaks of real numbers, so that its words may not be set aside."""
    return _SAYS_REAL.search(text) is not None


def signs_for_words(text: str, changes: list[str]) -> str:
    """Put signs in place of the words that mean them: `x squared plus three`."""
    pattern, table = _signs()
    text = _BASE.sub(r"log_\1 ", text)
    text = _ROMANCE.sub(" or ", text)
    text = _unit_phrase().sub(lambda found: found[1] + marks.roman(found[2]), text)
    written = _ORDINAL.sub(r"^\1", _TENS.sub(_tens, text))
    written = pattern.sub(lambda found: f" {table[' '.join(found[0].lower().split())]} ", written)
    if written != text:
        changes.append("words read as signs")
        written = plain_characters(written, [])
    return written


_DIVIDED_BY = re.compile(
    r"^\s*(?:divide\s+)?(?P<above>.+?)\s+(?:is\s+)?(?:divided\s+)?by\s+(?P<below>.+?)[\s.?]*$",
    re.IGNORECASE,
)
_NUMBER = r"\d+(?:\.\d+)?|\.\d+"
_PART_OF = re.compile(
    rf"^\s*(?:what\s+is\s+)?(?:(?P<rate>{_NUMBER})\s*(?:%|percent)|(?P<part>\d+\s*/\s*\d+))"
    rf"\s+of\s+(?P<whole>\d+\s*/\s*\d+|{_NUMBER})[\s.?]*$",
    re.IGNORECASE,
)


def with_signs(text: str, task: str) -> str:
    """Return a division as a quotient, a part of an evaluation as a product.

    They are written `A by B`; `15% of 240`, `3/4 of 20`.
    """
    if task == "divide":
        return _DIVIDED_BY.sub(r"(\g<above>) / (\g<below>)", text)
    found = _PART_OF.match(text) if task == "evaluate" else None
    if found is None:
        return text
    part = f"{found['rate']}/100" if found["rate"] else found["part"]
    whole = f"({found['whole']})" if "/" in found["whole"] else found["whole"]
    return f"{part} * {whole}"
