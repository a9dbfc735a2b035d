"""What one column looks like, told from the distinct texts of all sampled rows and its header."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from itertools import islice

import pandas as pd

from pipeline.ingest.columns import OTHER, meanings
from pipeline.ingest.dates import BASIC_DAY, COMPACT, EPOCH, extended_days, parse_times
from pipeline.ingest.facts import PERCENT, attempt_of, flag_of, told_score

_LEAST_DAY = 20_000
"""Days are counted from 1900 in workbooks, and written 20260131; seconds of work are fewer."""
_MOST_DISTINCT = 300
_FIRST_YEAR = pd.Timestamp("2005-01-01")
_NO_TIMES = pd.Series(dtype="float64")
_MONTH = (
    r"\b(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b"
)
_DATE = re.compile(
    rf"\d{{1,4}}[-/.] ?\d{{1,2}}[-/.] ?\d{{1,4}}(?:\b|T)|\d\d? \d\d? 20\d\d\b|"
    rf"\d.*{_MONTH}|.*{_MONTH}[a-z.]*\s+\d",
    re.I,
)
_WORDED_TIME = re.compile(
    r"(?:[^\W\d_]+[.,]*\s+)?(?:\d{1,2}\W{0,3}\s*(?:de |den |di )?[^\W\d_]{2,12}|"
    rf"[^\W\d_]{{3,12}}\.?\s+\d{{1,2}}),?\W{{0,3}}(?:de |del )?(?:20)?\d\d\b.{{0,20}}|"
    rf"20\d\d\.?\s(?:m\. )?[^\W\d_]{{3,12}}\.?\s+\d{{1,2}}\b.{{0,20}}|{EPOCH}|{COMPACT}"
)
_ADDRESS = re.compile(
    r"[^@\s]+@[^@\s]+|\d{1,3}(?:\.\d{1,3}){3}|[0-9a-f]{0,4}(?::[0-9a-f]{0,4}){3,}"
)


class Column:
    """One column below its header.

    Args:
        place: of the column, from 0.
        name: its header.
        texts: its cells, "" for an empty one.
    """

    def __init__(self, place: int, name: str, texts: Sequence[str]) -> None:
        self.place = place
        self.name = name
        self.texts = texts

    @cached_property
    def counts(self) -> Counter[str]:
        """How often each text stands there, empty cells apart."""
        found = Counter(self.texts)
        del found[""]
        return found

    @cached_property
    def filled(self) -> int:
        """Cells that are not empty."""
        return self.counts.total()

    def share(self, holds: Callable[[str], object]) -> float:
        """Share of the filled cells of which something holds, by the commonest texts."""
        common = self.counts.most_common(_MOST_DISTINCT)
        cells = sum(count for _, count in common)
        return sum(count for text, count in common if holds(text)) / cells if cells else 0.0

    def says(self, field: str) -> float:
        """How much the header's words speak for a field."""
        return meanings(self.name).get(field, 0.0)

    @property
    def says_other(self) -> float:
        """How much the header's words speak for something that no answer needs."""
        return self.says(OTHER)

    @cached_property
    def times(self) -> pd.Series[float]:
        """Text -> day since 1970, of texts that are dates; the order of day and month aside."""
        named = self.says("answered_at") > 0
        texts = [
            text
            for text in islice(self.counts, _MOST_DISTINCT)
            if _DATE.search(text)
            or (_WORDED_TIME.fullmatch(text) and (named or not re.fullmatch(EPOCH, text)))
            or (named and re.fullmatch(BASIC_DAY, text))
        ]
        if len(texts) * 2 < min(len(self.counts), _MOST_DISTINCT):
            return _NO_TIMES
        column = extended_days(pd.Series(texts, index=texts, dtype="str"))
        found = parse_times(column, "DMY", "UTC")
        found = found.fillna(parse_times(column, "MDY", "UTC")).dropna()
        found = found[found >= _FIRST_YEAR]  # 14.05.00 is a time of day
        return (found - pd.Timestamp(0)) / pd.Timedelta(days=1)

    @cached_property
    def dates(self) -> float:
        """Share of the distinct texts that are dates."""
        looked_at = min(len(self.counts), _MOST_DISTINCT)
        return len(self.times) / looked_at if looked_at else 0.0

    @property
    def looks_timed(self) -> bool:
        """Whether most cells have the look of a time in whatever language, be it read or not."""
        days = self.share(re.compile(BASIC_DAY).fullmatch) == 1
        return self.dates >= 0.8 or self.share(_WORDED_TIME.fullmatch) > 0.8 or days

    @cached_property
    def seconds(self) -> list[int]:
        """Its numbers, where each can be a time in seconds, or in ms, since 1970; else none."""
        whole = len(self.counts) > 1 and self.share(re.compile(EPOCH).fullmatch) == 1
        return [int(text[:10]) for text in self.counts] if whole else []

    @cached_property
    def values(self) -> dict[str, float]:
        """Distinct texts that can be a score, and their numbers."""
        texts = list(islice(self.counts, 4 * _MOST_DISTINCT))
        comma = any("," in text for text in texts)
        read = ((text, told_score(text, comma)[0]) for text in texts)
        return {text: value for text, value in read if value is not None}

    @cached_property
    def verdicts(self) -> Mapping[str, float]:
        """Distinct texts that can mark an answer, and how high: numbers, or words for yes and no.

        None where other words may, such as three for right, wrong and nearly right.
        """
        if not self.values and self.is_flag:
            return {text: float(flag_of(text) or 0) for text in self.counts}
        return self.values

    @cached_property
    def numbers(self) -> float:
        """Share of the filled cells that can be a score."""
        return sum(self.counts[text] for text in self.values) / self.filled if self.filled else 0.0

    @cached_property
    def is_percentage(self) -> bool:
        """Whether the numbers are shares of a hundred, and no points."""
        return bool(PERCENT.search(self.name)) or self.share(lambda text: text.endswith("%")) > 0.5

    @cached_property
    def tries(self) -> dict[str, int]:
        """Distinct texts that can number an attempt, and their numbers from 1; else none."""
        if not 0 < len(self.counts) <= _MOST_DISTINCT:
            return {}
        read = {text: attempt_of(text) for text in self.counts}
        found = [number for number in read.values() if number is not None]
        if len(found) < len(read):
            return {}
        nought = min(found) == 0
        return {text: number + nought for text, number in zip(read, found, strict=True)}

    @property
    def looks_dated(self) -> float:
        """Share of the filled cells that have the look of a date, be it one or not."""
        return self.share(_DATE.match)

    @cached_property
    def addresses(self) -> float:
        """Share of the filled cells that are an address of mail or of a machine."""
        return self.share(_ADDRESS.fullmatch)

    @cached_property
    def is_numbering(self) -> bool:
        """Whether the rows are numbered here one after the other, up or down."""
        if len(self.counts) < 2 or len(self.counts) != self.filled:
            return False
        if not all(text.isdecimal() and len(text) < 8 for text in self.counts):
            return False
        numbers = sorted(map(int, self.counts))
        return numbers[-1] - numbers[0] == len(numbers) - 1 and numbers[0] in (0, 1)

    @cached_property
    def looks_coded(self) -> float:
        """Whether the texts look like codes of people rather than names or amounts."""
        return self.share(lambda text: " " not in text and any(map(str.isdigit, text)))

    @property
    def is_of_small_numbers(self) -> bool:
        """Whether no number is as large as that of a day, so that they may be seconds."""
        return self.numbers > 0.95 and max(self.values.values(), default=0.0) < _LEAST_DAY

    @cached_property
    def is_of_names(self) -> bool:
        """Whether the texts look like whole names of people: words without a digit."""
        return self.share(lambda text: " " in text and not any(map(str.isdigit, text))) > 0.7

    @property
    def is_headless(self) -> bool:
        """Whether the header is a code built like those below it, so that it is one of them."""
        mine = _built(self.name)
        return "9" in mine and self.share(lambda text: _built(text) == mine) > 0.9

    @cached_property
    def is_flag(self) -> bool:
        """Whether the cells say yes or no."""
        return 0 < len(self.counts) <= 4 and all(flag_of(text) is not None for text in self.counts)

    @property
    def is_machine(self) -> bool:
        """Whether the texts are addresses of machines, which several people share."""
        return self.addresses > 0.5 and "@" not in next(iter(self.counts))

    @property
    def person_score(self) -> float:
        """What header and form of the texts say for people: codes before names, no numbering."""
        name = self.says("student")
        score = 0.45 * name - 0.5 * max(0.0, self.says_other - 0.6 * name)
        coded = (0.2 if name > 0.5 else 0.1) * self.looks_coded  # a name is not as much one's own
        return score + coded - 0.4 * (1 - name) * self.is_numbering

    @property
    def date_score(self) -> float:
        """What speaks for the time of an answer: dates, and a name that is not that of a start."""
        if self.dates < 0.8:
            return 0.0
        name = self.says("answered_at")
        other = max(self.says_other, self.says("score"))  # when it was marked, too
        return 0.5 + 0.4 * name - 0.6 * max(0.0, other - name / 2)


def _built(text: str) -> str:
    """How a code is built: `b99` of `Q17`."""
    return re.sub(r"[^\W\d_]", "b", re.sub(r"\d", "9", text))


def reasons(*parts: object) -> str:
    """The parts that hold, as one reason."""
    return "; ".join(part for part in parts if isinstance(part, str) and part)
