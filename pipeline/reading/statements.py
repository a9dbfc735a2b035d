"""Answers in words: no real solution, no solution, all real numbers, do not know, blank, prime.

Words are compared after lower-casing, without filler words, in the singular; in words of six
letters or more one edit or one swap of neighbours is allowed. The word lists are statements.toml.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from pipeline.exact.values import Statement, StatementCode
from pipeline.reading.records import Reading

_MIN_FUZZY = 6
_MIN_SWAPPED = 4
_MAX_WORDS = 14
_MAX_STATEMENT = 300
_APART = re.compile(r"[!?.,;:()\"*~]+")


@dataclass(frozen=True, slots=True)
class _Lists:
    codes: dict[str, StatementCode]
    filler: frozenset[str]
    singular: dict[str, str]
    flagged: frozenset[str]
    second: dict[str, StatementCode]
    words: dict[int, tuple[str, ...]]


@lru_cache(maxsize=1)
def _lists() -> _Lists:
    text = files("pipeline.reading").joinpath("statements.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    filler, singular = frozenset(data["filler"]), data["singular"]
    codes: dict[str, StatementCode] = {}
    listed = [(p.lower(), name) for name, ps in data["phrases"].items() for p in ps]
    for phrase, name in listed:
        codes.setdefault(phrase, StatementCode(name))
    for phrase, name in listed:
        if len(_reduced(phrase, filler, singular)) < 2:
            continue
        codes.setdefault(_reduced(phrase, filler, singular), StatementCode(name))
    codes.pop("", None)
    by_length: dict[int, set[str]] = {}
    for word in {word for phrase in codes for word in phrase.split()} | set(singular) | filler:
        by_length.setdefault(len(word), set()).add(word)
    return _Lists(
        codes,
        filler,
        singular,
        frozenset(data["flagged"]["phrases"]),
        {phrase: StatementCode(code) for phrase, code in data["second"].items()},
        {length: tuple(sorted(words)) for length, words in by_length.items()},
    )


def _reduced(text: str, filler: frozenset[str], singular: dict[str, str]) -> str:
    text = text.replace("can not", "cannot")
    words = [singular.get(word, word) for word in text.split()]
    words = [word for word in " ".join(words).split() if word not in filler]
    return " ".join(words)


_NOT_KNOWN = re.compile(
    r"(?!.*\b(?:but|solutions?|reals?|roots?|none|prime|undefined|imaginary|infinite(?:ly)?)\b)"
    r"(?:sorry|i|im|i'm|am|really|just|have|honestly|pls|please|lol|ok|so|totally|we|was|kinda|"
    r"ngl|tbh|man|bro|oops|my|brain|mind|ugh|hmm| )*\b"
    r"(?:idk|idek|(?:do not|don'?t|did not|didn'?t|never) (?:really |even )?"
    r"(?:know|kno|understand|remember|get|learn|learned|finish)|no idea|no clue|not sure|unsure|"
    r"forgot|forget|help|lost|stuck|confused|clueless|blanked|ran out of|out of time|no time|"
    r"gave up|give up|can'?t (?:do|figure|remember|solve))\b[a-z' ]{0,40}"
)
_HEDGES = re.compile(
    r"\b(?:i(?:'?m| am)? (?:think|believe|guess(?:ing)?|got|get)|maybe|probably|lol|sorry|ok|"
    r"(?:i'?m )?(?:pretty|not) sure(?: but)?|idk but|(?:my |the |final )*answer(?: is|:)?|just|"
    r"tbh|ngl|right|i said|i say|guess)(?![a-z'])|\?+$"
)
_GROUNDS = re.compile(
    r"[(,;]?\s*\b(?:the )?(?:discriminant|discrim|disc|d|b\^2 ?- ?4ac)\b ?[^a-z()]*"
    r"(?:is |was |a )*(?:negative|less than (?:0|zero))?[^a-z()]*\)?$"
)
_IN_BRACKETS = re.compile(
    r"\(?(?![^()]*\b(?:except|but|not (?:equal|in))\b)[^()]*\b(?:divid\w*|zero|parallel|negative|"
    r"extraneous|checks?|rejected|identity|contradiction|discriminant|same)\b[^()]*\)$"
)
_NAMED = re.compile(
    r"^(?:[a-z]|domain|range|(?:the )?(?:solution(?: set)?|solutions|answer|roots?)) ?"
    r"(?:=|:| is | are |∈) ?(?=[a-z?])|^\{ ?(?=[a-z][a-z ]+\}$)"
)
_NOUNS = frozenset({"real", "number", "value", "solution", "root", "answer", "x"})
_BESIDE = _NOUNS | {"possible", "work", "works", "valid", "y", "here", "at", "all", "solve", "true"}
_REASON = re.compile(r"\b(?:because|since|as|due to|bc|cuz)\b.*$")
_PIECES = re.compile(r"[,;:()]|\bso\b|\btherefore\b|\bthus\b|\band\b")
_EQUATION_FIRST = re.compile(r"^(\s*-?\d+\s*!?=\s*-?\d+)\s+(?=[a-z])")
_SAME = re.compile(r"\s*([-+a-z\d]*[a-z][-+a-z\d]*)\s*=\s*\1\s*")
_NUMERIC = re.compile(r"\s*(-?\d+)\s*(=|!=)\s*(-?\d+)\s*")


def stated(text: str) -> tuple[Reading, ...]:
    """Return the statement that a whole text makes, and a second one where its words allow it.

    Nothing is returned where it makes none.
    A reason behind `because` is set aside; several statements must say the same.
    """
    if len(text) > _MAX_STATEMENT:
        return ()
    whole = " ".join(text.lower().replace("’", "'").split())
    found = _one_statement(whole)
    if found or not _REASON.sub("", whole).strip():
        return found
    plain = _IN_BRACKETS.sub("", _GROUNDS.sub("", _HEDGES.sub(" ", whole)))
    plain = " ".join(plain.split())
    if plain.strip(" -,;:") and plain != whole:
        found = _one_statement(plain.strip(" ,;:"))
        if found:
            return found
    if _NOT_KNOWN.fullmatch(whole.strip(" .!?")):
        return (Reading(Statement(StatementCode.DONT_KNOW)),)
    named = _NAMED.sub("", whole).strip("}")
    found = _one_statement(named) if named != whole else ()
    return found or _agreeing(_REASON.sub("", whole))


def _agreeing(text: str) -> tuple[Reading, ...]:
    """Several statements, or a statement beside the equation that it rests on."""
    text = _EQUATION_FIRST.sub(r"\1, ", text)
    pieces = [piece for piece in _PIECES.split(text) if piece.strip(" .!")]
    said = [piece for piece in pieces if not (_NUMERIC.fullmatch(piece) or _SAME.fullmatch(piece))]
    found = [_one_statement(piece.strip()) for piece in said]
    if not found or not all(found) or len(found) > 4:
        return ()
    values = {one[0].value for one in found}
    for equation in filter(None, (_NUMERIC.fullmatch(piece) for piece in pieces)):
        equal = int(equation[1]) == int(equation[3])
        values.add(Statement(StatementCode.ALL_REAL if equal else StatementCode.NO_SOLUTION))
    if any(_SAME.fullmatch(piece) for piece in pieces):
        values.add(Statement(StatementCode.ALL_REAL))
    no_real = Statement(StatementCode.NO_REAL)
    if values == {Statement(StatementCode.NO_SOLUTION), no_real}:
        return next(one for one in found if one[0].value == no_real)
    return found[0] if len(values) == 1 else ()


def _one_statement(whole: str) -> tuple[Reading, ...]:
    lists = _lists()
    if whole and not whole.strip("?! "):
        return _found(StatementCode.DONT_KNOW, whole, ())
    if whole in lists.codes:
        return _found(lists.codes[whole], whole, ())
    cleaned = " ".join(_APART.sub(" ", whole).replace("’", "'").split())
    if not cleaned or not _wordy(cleaned):
        return ()
    return _lookup(cleaned)


def _wordy(text: str) -> bool:
    letters = sum(character.isalpha() or character in " '∅∈ℝ#∞∝-/" for character in text)
    return letters >= len(text) - 2 and len(text.split()) <= _MAX_WORDS


def _lookup(cleaned: str) -> tuple[Reading, ...]:
    lists = _lists()
    if cleaned in lists.codes:
        return _found(lists.codes[cleaned], cleaned, ())
    for text in (cleaned, cleaned.replace("-", " ")):
        reduced = _reduced(text, lists.filler, lists.singular)
        if reduced in lists.codes:
            return _found(lists.codes[reduced], reduced, ())
    mended = " ".join(_mended(word) for word in cleaned.replace("-", " ").split())
    reduced = _reduced(mended, lists.filler, lists.singular)
    code = lists.codes.get(mended) or lists.codes.get(reduced) or _composed(reduced)
    misspelt = mended != cleaned.replace("-", " ")
    told = (f"misspelling read as {mended}",) if misspelt else ()
    return () if code is None else _found(code, reduced, told)


def _composed(reduced: str) -> StatementCode | None:
    """`no real value of x works`, `every number works`: one determiner and nouns of solutions."""
    first, *rest = reduced.split() or [""]
    if len(first) == 1 and first.isalpha() and first not in "ia" and rest:
        first, *rest = rest
    if not rest or not set(rest) <= _BESIDE or not set(rest) & _NOUNS:
        return None
    if first in {"all", "every", "any", "each"}:
        return StatementCode.ALL_REAL
    if first != "no":
        return None
    return StatementCode.NO_REAL if "real" in rest else StatementCode.NO_SOLUTION


def _found(code: StatementCode, phrase: str, remarks: tuple[str, ...]) -> tuple[Reading, ...]:
    lists = _lists()
    if phrase in lists.flagged:
        remarks = (*remarks, f"“{phrase}” is used for other things too")
    second = lists.second.get(phrase)
    other = () if second is None else (Reading(Statement(second), remarks, "statement"),)
    return (Reading(Statement(code), remarks), *other)


@lru_cache(maxsize=4096)
def _mended(word: str) -> str:
    if len(word) < _MIN_SWAPPED or not word.isalpha():
        return word
    words = _lists().words
    if word in words.get(len(word), ()):
        return word
    if len(word) < _MIN_FUZZY:
        return next((known for known in words[len(word)] if _swapped(word, known)), word)
    for length in (len(word), len(word) + 1, len(word) - 1):
        for known in words.get(length, ()):
            if len(known) >= _MIN_FUZZY - 1 and _one_edit(word, known):
                return known
    return word


def _swapped(word: str, known: str) -> bool:
    """Whether two neighbors changed places: `rael` for real."""
    return sorted(word) == sorted(known) and _one_edit(word, known)


def _one_edit(word: str, known: str) -> bool:
    """Whether one letter was added, lost or changed, or two neighbours were swapped."""
    start = 0
    while start < min(len(word), len(known)) and word[start] == known[start]:
        start += 1
    left, right = word[start:], known[start:]
    if len(word) == len(known):
        swapped = len(left) > 1 and left[0] == right[1] and left[1] == right[0]
        return left[1:] == right[1:] or (swapped and left[2:] == right[2:])
    return left[1:] == right if len(word) > len(known) else left == right[1:]
