"""Small facts beside an answer: scores, attempts, yes and no, the setting."""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import cache
from typing import Any

import pandas as pd

from pipeline.ingest.columns import verdict_words, yes_or_no
from pipeline.ingest.distinct import per_distinct, values_of, where_text

_NO_SCORE = {
    "",
    "-",
    "--",
    "–",
    "n/a",
    "na",
    "none",
    "null",
    "not graded",
    "needs grading",
    "excused",
}
_NUMBER = re.compile(r"[-+]?(?:\d{1,5}(?:\.\d*)?|\.\d+)")  # a longer one may be a student number
_DECIMAL = re.compile(r"(?<=\d),(?=\d{1,2}(?!\d))")  # no thousands: these have three digits
POINTS = (
    r"(?:points?|pts?|ptn|pkte?|punkte?|puntos?|punten|punti|pontos?|marks?|puan|"
    r"punkt(?:y|ów)|poäng|poeng|pistettä)"
)
OUT_OF = r"(?:/\s*|(?:out of|of|von|de|di|sur|van|su|z|ze|av|af)\s+|max(?:imum)?\.?:?\s*)"
"""What stands between points earned and possible, or before those possible, in many languages; a
word with the blank behind it."""
PERCENT = re.compile(r"%|\bper ?c|prozent|\bp(?:or|our|ro)cen|\bpct\b", re.I)
"""What a header says where scores below it are of a hundred."""
_UNIT = re.compile(rf"(?<=\d)\s*{POINTS}\.?$", re.I)
_BETWEEN = re.compile(rf"\s*/\s*|\s+{OUT_OF}", re.I)
_ATTEMPT_WORDS, _ATTEMPT_DIGITS = "attempt|try|submission", 3
_FLAGS = {"true": True, "1": True, "x": True, "on": True, "false": False, "0": False, "off": False}
"""What stands for yes and no besides these words themselves."""
# Source: common practice in the names of graded work.
ANOTHER = "another setting"
"""What stands for every setting that an export names in words of its own."""

_SETTINGS = {
    "practice": "practice", "homework": "practice", "exercise": "practice", "hw": "practice",
    "quiz": "quiz", "exam": "exam", "test": "exam", "midterm": "exam", "final": "exam",
    "final exam": "exam", "midterm exam": "exam",
}  # fmt: skip


def scores(
    texts: pd.Series[Any], *, decimal_comma: bool, right: Collection[str] = ()
) -> tuple[pd.Series[Any], pd.Series[Any], pd.Series[bool]]:
    """Scores of a column such as `1`, `0.5`, `8/10`, `80%`, `correct`, `-`, or all `yes` and `no`.

    Args:
        texts: of the column.
        decimal_comma: whether a comma stands before the decimals.
        right: words of a right answer, where any other word is one of a wrong answer.

    Returns:
        Score, points where the text names them, and where a text is no score at all.
    """
    words = {text for text in texts.unique() if text.strip()}
    if right or all(yes_or_no(text) is not None for text in words):
        best = {word.casefold() for word in right}
        share = {text: float(text.strip().casefold() in best if right else yes_or_no(text) or 0)
                 for text in words}  # fmt: skip
        score = values_of(texts, share.get, "float64")
        return score, score.notna().astype("float64").where(score.notna()), score.notna() & False
    score = values_of(texts, lambda text: told_score(text, decimal_comma)[0], "float64")
    points = values_of(texts, lambda text: told_score(text, decimal_comma)[1], "float64")
    bad = score.isna() & ~where_text(texts, lambda text: text.strip().casefold() in _NO_SCORE)
    return score, points, bad


def told_score(text: str, decimal_comma: bool) -> tuple[float | None, float | None]:
    """Score in numbers or in a word for right or wrong, and points where the text names them."""
    share = verdict_words().get(text.strip().casefold())
    return score_of(text, decimal_comma) if share is None else (share, 1.0)


def score_of(text: str, decimal_comma: bool) -> tuple[float | None, float | None]:
    """Score in numbers, and points where the text names them; None for what is not there."""
    bare = _UNIT.sub("", text.strip())
    bare = bare.replace(",", ".") if decimal_comma else _DECIMAL.sub(".", bare)
    if bare.endswith("%") and _NUMBER.fullmatch(bare[:-1].strip()):
        return float(bare[:-1]) / 100, 1.0
    parts = [part.strip() for part in _BETWEEN.split(bare, maxsplit=1)]
    if not all(map(_NUMBER.fullmatch, parts)):
        return None, None
    return float(parts[0]), float(parts[1]) if len(parts) > 1 else None


def whole_numbers(texts: pd.Series[Any], words: str = "", digits: int = 6) -> pd.Series[Any]:
    """Whole numbers from 1, `2.0` included, one of these words in front allowed; else missing.

    More digits than a count can have may be a student number in the wrong column.
    """
    form = _whole_number(words, digits)

    def number(text: str) -> int | None:
        found = form.fullmatch(text.strip())
        return int(found[1]) if found else None

    return values_of(texts, number, "Int64")


@cache
def _whole_number(words: str, digits: int) -> re.Pattern[str]:
    front = rf"(?:{words})?[ #]*" if words else ""
    # `2nd`, `2ª`, and `2 of 3` in whatever language.
    behind = (
        r"(?:st|nd|rd|th|\.?[ªº°]|[.]|er|e|a)?(?:\s*(?:/|\b[^\W\d_]{1,4}\b)\s*\d{1,3})?"
        if words
        else ""
    )
    return re.compile(rf"{front}0*([1-9]\d{{0,{digits - 1}}})(?:\.0+)?{behind}", re.I)


def attempts(texts: pd.Series[Any], first: int = 1) -> pd.Series[Any]:
    """Attempt numbers from 1, from `2`, `Attempt 2` or `Try #2`; of the first one, 0 or 1."""

    def number(text: str) -> int | None:
        found = attempt_of(text)
        return None if found is None or found < first else found + 1 - first

    return values_of(texts, number, "Int64")


def attempt_of(text: str) -> int | None:
    """The number of an attempt that a text gives, 0 included; None for another text."""
    if text.strip().lstrip("0") in ("", ".0") and text.strip():
        return 0
    found = _whole_number(_ATTEMPT_WORDS, _ATTEMPT_DIGITS).fullmatch(text.strip())
    return int(found[1]) if found else None


def flags(texts: pd.Series[Any]) -> tuple[pd.Series[Any], pd.Series[bool]]:
    """Yes and no as booleans, and where a text is neither."""
    words = _words(texts)
    found = values_of(words, flag_of, "boolean")
    return found, found.isna() & (words != "")


def flag_of(text: str) -> bool | None:
    """What a text says of yes and no; None for another text."""
    said = yes_or_no(text)
    return _FLAGS.get(text.strip().casefold()) if said is None else said


def settings(texts: pd.Series[Any]) -> tuple[pd.Series[Any], pd.Series[bool]]:
    """Settings in the course's three words; any other text is another setting, and is told."""
    words = _words(texts)
    found = per_distinct(words, lambda word: _SETTINGS.get(word, ANOTHER) if word else None)
    return found, where_text(words, lambda word: word != "" and word not in _SETTINGS)


def is_setting(text: str) -> bool:
    """Whether a text is a word for practice, quiz or exam."""
    return text.strip().casefold() in _SETTINGS


def _words(texts: pd.Series[Any]) -> pd.Series[Any]:
    return per_distinct(texts, lambda text: text.strip().casefold())
