"""Dates whose months are named in any language, made into numbers that begin with the year."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from functools import cache

_LETTERS = r"[A-Za-z\u00c0-\u024f\u0370-\u052f\u1e00-\u1fff]"  # Latin, Greek, Cyrillic
_WORD = rf"(?P<month>{_LETTERS}{{2,}})\.?"
_WEEKDAY = rf"(?:{_LETTERS}+(?:-{_LETTERS}+)?[.,]*\s+)?"
_OF = r"(?:(?:de|del|di|do|of|d['’])\s*)?"
_DAY, _YEAR = r"(?P<day>\d{1,2})", r"(?P<year>20\d\d|\d\d(?!\d))"
_CLOCK = (
    r"(?P<clock>(?:[^\d]{1,9}(?P<hour>\d{1,2})[:.h]\s?(?P<minute>\d\d)(?:[:.](?P<second>\d\d))?"
    r"(?:\s?(?P<half>[ap])\.?\s?m\.?)?)?)(?:\s?(?:Uhr|hod|h|ч|г|klo)\.?)?"
)
_FORMS = tuple(
    re.compile(rf"{form}{_CLOCK}", re.I)
    for form in (
        rf"{_WEEKDAY}{_DAY}(?:\.|er|º|°)?[\s-]*{_OF}{_WORD}[\s,-]*{_OF}{_YEAR}",
        rf"{_WEEKDAY}{_WORD}\s+{_DAY}\.?,?\s+{_YEAR}",
        rf"(?P<year>20\d\d)(?:\.|\s?m\.)?,?\s*{_WORD}\s+{_DAY}(?:\.|\s?d\.)?,?",
    )
)
_AGREED = 0.9
"""Share of languages that must give a month's word one number, where any gives it another."""


def with_month_numbers(texts: Iterable[str]) -> dict[str, str]:
    """Text -> `2026-3-12 14:05`, of texts that are dates with a month in letters.

    A word that means different months to different languages, as `listopad` does, is read where
    the other words tell the language, and else not at all.

    Args:
        texts: of one column.
    """
    found = {text: one for text in texts for form in _FORMS if (one := form.fullmatch(text))}
    words = {_plain(one["month"]) for one in found.values()}
    numbers = _numbers(words, _languages()) if words else {}
    return {
        text: _numeric(one, numbers[word])
        for text, one in found.items()
        if (word := _plain(one["month"])) in numbers
    }


def _numeric(date: re.Match[str], month: int) -> str:
    clock = ":".join(part for part in date.group("hour", "minute", "second") if part)
    half = f" {date['half']}m" if date["half"] else ""
    return f"{int(date['year'][-2:]) + 2000}-{month}-{date['day']} {clock}{half}".strip()


def _plain(word: str) -> str:
    return word.casefold().rstrip(".")


def _numbers(words: Collection[str], languages: Mapping[str, Mapping[str, int]]) -> dict[str, int]:
    """Word -> month, by those languages that know most of the words."""
    known = {name: len(words & months.keys()) for name, months in languages.items()}
    most = max(known.values())
    knowing = [months for name, months in languages.items() if known[name] == most > 0]
    numbers = {}
    for word in words:
        votes = Counter(months[word] for months in knowing if word in months)
        if votes and votes.most_common(1)[0][1] >= _AGREED * votes.total():
            numbers[word] = votes.most_common(1)[0][0]
    return numbers


@cache
def _languages() -> dict[str, dict[str, int]]:
    """Language -> word -> month, of languages that are official somewhere; source: CLDR."""
    # Loaded only where a month is met in letters: no file with numbers pays for it.
    from babel import Locale, localedata
    from babel.languages import get_official_languages

    official = {
        language
        for territory in map(str, Locale("en").territories)
        for language in get_official_languages(territory, regional=True, de_facto=True)
    }
    found: dict[str, dict[str, int]] = defaultdict(dict)
    for name in filter(localedata.exists, sorted(official)):
        for widths in Locale.parse(name).months.values():
            for width in ("wide", "abbreviated"):
                for number, word in widths.get(width, {}).items():
                    found[name].setdefault(_plain(word), number)
    return dict(found)
