"""Numbers and counts in the plain words of the pages."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

import pandas as pd

SETTINGS = {
    "practice": "practice questions",
    "quiz": "quizzes",
    "exam": "exams",
}


def missing(value: object) -> bool:
    """Tell whether a cell holds nothing: None, NaN or NaT."""
    return bool(pd.isna(value))  # type: ignore[call-overload]


def percent(value: float | None) -> str:
    """Return a fraction as a percentage: whole from 10 on, else one decimal if it is not whole.

    >>> percent(0.1432), percent(0.0312), percent(0.0396), percent(0.0)
    ('14%', '3.1%', '4.0%', '0%')
    """
    if missing(value):
        return ""
    number = 100 * float(value or 0)
    return f"{number:.0f}%" if abs(number) >= 9.95 or _whole(number) else f"{number:.1f}%"


def points(value: float | None) -> str:
    """Return a difference of two fractions in percentage points, always with its sign.

    Whole points stay whole: the edition for everyone has no others.

    >>> points(-0.042), points(0.151), points(0.05), points(0.01)
    ('−4.2 points', '+15.1 points', '+5 points', '+1 point')
    """
    if missing(value):
        return ""
    number = 100 * float(value or 0)
    size = f"{abs(number):.0f}" if _whole(number) else f"{abs(number):.1f}"
    sign = "±" if not float(size) else "−" if number < 0 else "+"
    return f"{sign}{size} {'point' if size == '1' else 'points'}"


def _whole(number: float) -> bool:
    return math.isclose(number, round(number), abs_tol=1e-9)


def span(low: float | None, high: float | None, target: float | None = None) -> str:
    """Return an interval of fractions in words; empty where there is none.

    No end is rounded to a target that it does not reach.

    >>> span(0.112, 0.181), span(0.643, 0.7493, 0.75)
    ('11% to 18%', '64% to 74.9%')
    """
    if missing(low) or missing(high):
        return ""
    return f"{_beside(low or 0.0, target)} to {_beside(high or 0.0, target)}"


def _beside(value: float, target: float | None) -> str:
    apart = 0.0 if target is None or missing(target) else round(1000 * (value - target), 6)
    if not apart or percent(value) != percent(target):
        return percent(value)
    tenths = math.floor(1000 * value) if apart < 0 else math.ceil(1000 * value)
    return f"{tenths / 10:.1f}%"


def span_of_points(low: float | None, high: float | None) -> str:
    """Return an interval of differences in words, in percentage points.

    >>> span_of_points(-0.08, 0.02)
    '−8 to +2 points'
    """
    if missing(low) or missing(high):
        return ""
    return f"{points(low).split()[0]} to {points(high).split()[0]} points"


def rate_words(
    rate: float, low: float | None, high: float | None, chances: int, of: str = "chances to show it"
) -> str:
    """Return a rate with its count and interval, as a sentence part.

    >>> rate_words(0.21, 0.17, 0.26, 239)
    '21% of 239 chances to show it (likely 17% to 26%)'
    """
    between = span(low, high)
    likely = f" (likely {between})" if between else ""
    return f"{percent(rate)} of {chances:,} {of}{likely}"


def counted(number: float, noun: str, plural: str | None = None) -> str:
    """Return a whole number with its noun, thousands apart.

    >>> counted(1, "student"), counted(1200, "answer"), counted(2, "quiz", "quizzes")
    ('1 student', '1,200 answers', '2 quizzes')
    """
    whole = 0 if math.isnan(number) else round(number)
    return f"{whole:,} {noun if whole == 1 else plural or noun + 's'}"


def quoted(pattern: str) -> str:
    """Return a pattern's name in quotation marks, as a sentence uses it.

    >>> quoted("a-b / c-d"), quoted("a-b / c-d / e-f")
    ('“a b, or c d”', '“a b, or one of 2 that look like it”')
    """
    return f"“{short_label(pattern)}”"


def minus_signs(sentence: str) -> str:
    """Return a sentence with a minus sign where a hyphen stands before a number or letter.

    >>> minus_signs("Uses 1 instead of -1 where non-zero is meant: x = -b/2a or 2x - 7.")
    'Uses 1 instead of −1 where non-zero is meant: x = −b/2a or 2x − 7.'
    """
    return re.sub(r"(?<!\w)-(?=\s?\w)", "−", sentence)


def joined(words: Iterable[str]) -> str:
    """Return words as a list in a sentence.

    >>> joined(["a", "b", "c"])
    'a, b and c'
    """
    *first, last = list(words) or [""]
    return f"{', '.join(first)} and {last}" if first else last


def short_label(pattern: str) -> str:
    """Return a pattern's name for a chart or a sentence: of three or more joint names the first.

    >>> short_label("a-b / c-d / e-f")
    'a b, or one of 2 that look like it'
    """
    first, *others = pattern.split(" / ")
    if len(others) < 2:
        return pattern_label(pattern)
    return f"{pattern_label(first)}, or one of {len(others)} that look like it"


def pattern_label(pattern: str) -> str:
    """Return a pattern's id as words; a joint group keeps all its names.

    >>> pattern_label("half-not-squared / square-means-double")
    'half not squared, or square means double'
    """
    return ", or ".join(name.strip().replace("-", " ") for name in pattern.split(" / "))


def setting_words(setting: str) -> str:
    """Return a setting as a page calls it."""
    return SETTINGS.get(setting, setting)
