"""Words that stand for signs, words that carry no value, and units; the lists are words.toml.

Here stand, too, the texts that are no answer by their whole look, such as dates and error cells,
and sentences about numbers: `between -2 and 3`, `all reals except 5`.
"""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pipeline.reading import marks
from pipeline.reading.characters import plain_characters
from pipeline.reading.records import MAX_WORDS, ReadingContext, Unread

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


_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_REFUSED: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), reason)
    for pattern, reason in (
        (rf"\d{{1,4}}[-/ .]{_MONTH}(?:[-/ .,]+\d{{2,4}})?", "a date made by a spreadsheet"),
        (rf"{_MONTH}[-/ .]\d{{1,4}}(?:[-/ .,]+\d{{2,4}})?", "a date made by a spreadsheet"),
        (r"\d{4}-\d{1,2}-\d{1,2}(?:[ T].*)?", "a date"),
        (r"\d{1,2}/\d{1,2}/(?:19|20)\d\d(?: .*)?", "a date"),
        (r"\d{1,2}:\d\d:\d\d.*", "a time of day"),
        (
            r"#(?:DIV/0|N/A|VALUE|REF|NAME|NUM|NULL|ERROR|SPILL|CALC)[!?]?",
            "an error of a spreadsheet",
        ),
        (r"\(?[a-e]\s*[).]|[A-E]|option\s+[a-e]|choice\s+[a-e]|answer\s+[a-e]", "a choice letter"),
        (r"\([a-e]\)", "a choice letter"),
        (r"[+-]?0[xbo][0-9a-f]+", "a number in a programming notation"),
        (r"true", "a truth value"),
        (r"=\s*(?!sqrt|abs|cbrt|root)[A-Za-z]{2,}\s*\(.*\)", "a formula of a spreadsheet"),
        (r"(?:math|syntax|domain|stack|ma|dimension)\s*error", "an error of a calculator"),
        (r"(?:err(?:or)?)\s*:?\s*(?:domain|syntax|divide by 0)?", "an error of a calculator"),
    )
)


def refuse_non_answers(text: str, context: ReadingContext) -> None:
    """Refuse a text that cannot be an answer.

    Raises:
        Unread: the text is a date, an error cell, a formula or the letter of a choice.
    """
    for pattern, reason in _REFUSED:
        euler = text == "e" and context.functions
        if pattern.fullmatch(text) and text.strip("().") not in context.letters and not euler:
            raise Unread(reason)


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
    r"(?<![A-Za-z])([A-Za-z])\s+(?:(?:(?:is|are|in)\s+)?(?:an?\s+|any\s+|all\s+)?reals?"
    r"(?:\s+numbers?)?|in\s+[Rℝ])\b",
    re.IGNORECASE,
)
_ALL_BUT = re.compile(
    r"^\s*all\s+real(?:s|\s+numbers?)?\s*[,;:]?\s*(?=[a-z]\s*(?:!=|≠|is\s+not|cannot))",
    re.IGNORECASE,
)
_REPEATS = r"(?:repeating|recurring|bar|rep\.?)(?![A-Za-z])"
_REPEATING = re.compile(
    rf"(\d*)\.(\d+)\s*(?:\(\s*(?:(\d+)\s*)?{_REPEATS}\s*\)|{_REPEATS}(?:\s+(\d+)\b)?)",
    re.IGNORECASE,
)
_LAST_OF_CYCLE = re.compile(rf"{marks.REPEATING}(\d+)(\d){marks.END_REPEATING}")
_UPWARD = {"rise": 1, "up": 1, "down": -1}
_ALONG = {"run": 1, "right": 1, "over": 1, "across": 1, "left": -1}
_WAY = rf"\b({'|'.join([*_UPWARD, *_ALONG])})\b"
_MOVED = (
    rf"({_WAY}(?:\s*[:=]|\s+(?:of|by))?\s*-?\d+(?:\.\d+)?(?:\s*units?)?"
    rf"|-?\d+(?:\.\d+)?\s*(?:units?\s+)?(?:to\s+the\s+)?{_WAY})"
)
_TWO_MOVES = re.compile(
    rf"^\s*{_MOVED}[\s,;/]*(?:(?:and|then|to\s+the|for\s+every|for\s+each)\s+)*{_MOVED}[\s.]*$",
    re.IGNORECASE,
)
NUMBER = r"\d+(?:\.\d+)?|\.\d+"
"""A pattern of a plain number, with or without decimals."""
_TAKEN_AT = re.compile(
    rf"^\s*(?:an?\s+)?(?:(?:min|max)(?:imum)?\b\.?\s*)?(?:value\s*)?(?:of|is|=|:)?\s*"
    rf"([-+−]?(?:{NUMBER}|\d+\s*/\s*\d+))\s*,?\s*(?:at|when|where|for|if)\s+"
    rf"[A-Za-z]\s*=\s*([-+−]?[\d./]+)\s*$",
    re.IGNORECASE,
)
_LETTER, _WHOLE = r"(?<![A-Za-z])([A-Za-z])(?![A-Za-z])", r"-?\d+(?:[./]\d+)?"
_NAMED_TOGETHER = re.compile(
    rf"^\s*{_LETTER}\s*(?:,|and|&)\s*{_LETTER}\s*(?:=|is|are)\s*"
    rf"({_WHOLE})\s*(?:,|and|&)\s*({_WHOLE})\s*$",
    re.IGNORECASE,
)
_NAMED_BEHIND = re.compile(
    rf"(?<![\w.])({_WHOLE})\s+for\s+{_LETTER}(?=\s*(?:[,;]|and\b|$))", re.IGNORECASE
)
_NOT_NUMBERS = re.compile(r"^\s*not\s+(?=[-+±√\d])", re.IGNORECASE)
_EXCLUDING = re.compile(r"(?<![a-z])for\s+(?:all\s+)?(?=[a-z]\s*(?:≠|!=))", re.IGNORECASE)
_DIMENSIONS = re.compile(r"(?<=[\d)a-z])\s+by\s+(?=\d)")
_BETWEEN = re.compile(r"^\s*(?:x\s+(?:is\s+)?)?between\s+(.+?)\s+and\s+(.+)$", re.IGNORECASE)
_RANGE = re.compile(
    r"(?<=[\d)∞\ue002])\s+(?:to|through|thru)\s+(?=[-+−\d(√∞\ue000])", re.IGNORECASE
)


_EXCEPTIONS = re.compile(
    r"^\s*(?:x\s*(?:=|is|can be)\s*)?(?:anything|everything|[Rℝ]|"
    r"(?:(?:all|any|every|each)\b\s*)?(?:real\s+)?(?:numbers?|#s|reals?|values?|x)?)(?<=\S),?\s*"
    r"\b(?:except(?:\s+for)?|but(?:\s+not)?|besides|excluding|other than|apart from|where|"
    r"such that|with|not (?:including|equal to))(?![A-Za-z])",
    re.IGNORECASE,
)
"""`all numbers except` and its kin: the number line without what follows."""


def _repeating(found: re.Match[str]) -> str:
    decimals, cycle = found[2], found[3] or found[4]
    return f"{found[1] or 0}.{decimals if cycle else ''}{marks.repeating(cycle or decimals)}"


def with_last_repeating(text: str, typed: str) -> list[tuple[str, str]]:
    """Return `0.83 repeating` with the last decimal alone repeating, and the convention."""
    if not (_LAST_OF_CYCLE.search(text) and re.search(_REPEATS, typed, re.IGNORECASE)):
        return []
    last = rf"\1{marks.REPEATING}\2{marks.END_REPEATING}"
    return [(_LAST_OF_CYCLE.sub(last, text), "repeating-in-words")]


def _moved(found: re.Match[str], kind: str | None) -> str:
    """Two moves, up and along, as the slope of the two or as the point that they lead to."""
    moves: dict[bool, str] = {}
    ways = {(found[one] or found[one + 1]).lower() for one in (2, 5)}
    for part in found.group(1, 4):
        way = re.search(_WAY, part, re.IGNORECASE)[0].lower()  # type: ignore[index]  # a move
        number = re.search(r"-?\d+(?:\.\d+)?", part)[0]  # type: ignore[index]  # has a number
        sign = "-" if {**_UPWARD, **_ALONG}[way] < 0 else ""
        moves[way in _UPWARD] = f"{sign}({number})"
    if len(moves) < 2:
        return found[0]
    slope = kind not in {"point", None} or not ways.isdisjoint({"rise", "run"})
    return f"({moves[True]})/({moves[False]})" if slope else f"({moves[False]}, {moves[True]})"


def ranges_in_words(text: str, kind: str | None, changes: list[str]) -> str:
    """Rewrite ranges, moves and places told in words with signs.

    Such are `all reals except 3`, `between -2 and 3`, `-2 to 3`, `up 2 right 3`, `5 at x = 3`.
    """
    if kind == "region":
        text = _NOT_NUMBERS.sub("all but ", text)
    written = _EXCEPTIONS.sub(r" ℝ \\ ", _EXCLUDING.sub(", ", text))
    written = _TWO_MOVES.sub(lambda found: _moved(found, kind), written)
    written = _NAMED_BEHIND.sub(r"\2 = \1", _NAMED_TOGETHER.sub(r"(\1, \2) = (\3, \4)", written))
    written = _TAKEN_AT.sub(r"f(\2) = \1", written)
    written = _REAL_LETTER.sub(r"\1 ∈ ℝ", written)
    written = _ALL_BUT.sub("", written)
    written = _IS.sub(r"\1 = ", written)
    written = _REPEATING.sub(_repeating, written)
    written = _ALL_THAT.sub("x ", written)
    written = _BETWEEN.sub(r"\1 -> \2", written)
    written = re.sub(r"^\s*from\s+", "", written, flags=re.IGNORECASE)
    written = _DIMENSIONS.sub(" and ", _RANGE.sub(" -> ", written))
    if written != text:
        changes.append("words read as signs")
    return written
