"""What the trade calls the columns of an export: headers told by their words."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from pipeline.course import EXPORT_FIELDS

__all__ = [
    "EXPORT_FIELDS",
    "OTHER",
    "header_words",
    "is_row_of_points",
    "is_totals",
    "is_unanswered",
    "meanings",
    "standard_field",
    "sums_in",
]

OTHER = "other"
"""Not a field: what columns of exports hold that no answer needs."""
_SMALL_WORDS = {
    "the", "a", "an", "of", "der", "die", "das", "des", "am", "de", "del", "el", "la", "los", "las",
    "le", "les", "l", "d", "du", "s",
}  # fmt: skip
_PATH = re.compile(r"\S*[^\W_]\.([^\W\d_]\S+)")
"""A place in nested data, `answers.correct`: what it is called there says what it is."""
_VOWELS = re.compile("[aeiouy]")
_INSIDE = 5  # letters that a word needs to be looked for inside a compound, as in German


@cache
def _file() -> dict[str, Any]:
    return tomllib.loads(files("pipeline.ingest").joinpath("column_words.toml").read_text("utf-8"))


@cache
def _words() -> dict[str, tuple[tuple[str, ...], ...]]:
    """Field -> phrases, each a tuple of stems."""
    return {
        field: tuple(tuple(_folded(phrase).split()) for phrase in phrases)
        for field, phrases in _file()["columns"].items()
    }


def sets_of_questions() -> dict[str, list[str]]:
    """Kind of a set of questions -> words for it, in ids such as `Homework 5 #2`."""
    sets: dict[str, list[str]] = _file()["sets"]
    return sets


@cache
def verdict_words() -> dict[str, float]:
    """Words that stand in place of a score -> share of the points, 1 or 0."""
    said = _file()["verdicts"]
    return dict.fromkeys(said["right"], 1.0) | dict.fromkeys(said["wrong"], 0.0)


def yes_or_no(text: str) -> bool | None:
    """What a text says by a word of several languages for yes or no; None for another text."""
    said, word = _file()["verdicts"], text.strip().casefold()
    return word in said["yes"] if word in said["yes"] or word in said["no"] else None


def header_words(header: str) -> str:
    """A header in lower case, its words parted by single blanks."""
    folded = unicodedata.normalize("NFKC", header).casefold()
    return " ".join(re.findall(r"[^\W_]+", folded))


@lru_cache(20_000)
def standard_field(header: str) -> str | None:
    """The field whose own name the header is, `Answered At` included; else None."""
    name = header_words(header).replace(" ", "_")
    return name if name in EXPORT_FIELDS else None


@cache
def meanings(header: str) -> dict[str, float]:
    """What the words of a header speak for.

    Returns:
        Field, or `other`, -> share of the words that mean it, at most 1; the fields' own names and
        whole phrases mean it most.
    """
    if own := standard_field(header):
        return {own: 1.0}
    if (path := _PATH.fullmatch(header)) and (inner := meanings(path[1])):
        return inner
    apart = re.sub(r"(?<=[^\W\d_A-Z]{2})(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])", " ", header)
    words = [one for one in re.findall(r"[^\W\d_]+\.?", _folded(apart))
             if one.rstrip(".") not in _SMALL_WORDS]  # fmt: skip
    stems = {word: _stems(word) for word in words}
    every = frozenset().union(*stems.values())
    found: dict[str, float] = {}
    for field, phrases in _words().items() if every else ():
        for phrase in phrases:
            if every.issuperset(phrase):
                covered = sum(not stems[word].isdisjoint(phrase) for word in words)
                share = 0.3 + 0.7 * min(covered, len(phrase)) / len(words)
                found[field] = max(found.get(field, 0.0), share)
    return found


@cache
def _stems(word: str) -> frozenset[str]:
    """The stems of our words that a word of a header has."""
    every = {stem for phrases in _words().values() for phrase in phrases for stem in phrase}
    return frozenset(stem for stem in every if _means(stem, word))


def _folded(text: str) -> str:
    """Lower case without accents: `numero` and `número` are one word."""
    apart = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def _means(stem: str, word: str) -> bool:
    if word.endswith("."):  # an abbreviation, such as `Sect.`
        word = word[:-1]
        if len(word) > 2 and stem.startswith(word):
            return True
    if stem.endswith("."):
        return word == stem[:-1]
    if word.startswith(stem) or (len(stem) >= _INSIDE and stem in word):
        return True
    # Written without its vowels, as many abbreviations are: `grp`, `stdnt`.
    return len(word) > 2 and word == _VOWELS.sub("", re.sub(r"(.)\1", r"\1", stem))


def is_totals(text: str, more: tuple[str, ...] = ()) -> bool:
    """Whether the first text of a row says that it sums up a column and is no student."""
    word = text.strip().rstrip(":").casefold()
    if word in {one.casefold() for one in more}:
        return True
    known = {*_file()["totals"]["sums"], *_file()["totals"]["beside"]}
    return sums_in(word) and known.issuperset(_words_of(word))


def sums_in(text: str) -> bool:
    """Whether a text without a number holds a word for a sum, whatever stands around it."""
    return not re.search(r"\d", text) and not _words_of(text).isdisjoint(_file()["totals"]["sums"])


def _words_of(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]+|%", _folded(text)))


def is_row_of_points(text: str) -> bool:
    """Whether the first text of a row says that it holds the points possible."""
    said = meanings(text)
    others = max(0.5, said.get("score", 0) - 0.01, said.get(OTHER, 0))
    return is_totals(text) and said.get("points", 0) > others


def is_unanswered(text: str) -> bool:
    """Whether a cell says that there is no answer: dashes alone, `absent`, or `(not answered)`."""
    said = text.strip().casefold()
    bare = said.strip("()[]<>{}*\"' ")
    words = frozenset(_file()["unanswered"]["words"])
    return bool(said) and (not said.strip("-–—−") or not words.isdisjoint((said, bare)))
