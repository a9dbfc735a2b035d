"""Answers as the standards hold them, in one form: who, to what, what was given, when."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Response:
    """What was given to one response of a question.

    Args:
        identifier: of the response; "" where a standard has one a question.
        values: as given, in their order; none for a blank.
        base_type: such as `string`, `identifier`, `point`; "" where it is not said.
        correct: the key as the source has it; none where it is not said.
    """

    identifier: str
    values: tuple[str, ...]
    base_type: str = ""
    correct: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ItemAnswer:
    """One student's answer to one question at one time.

    Args:
        line: where it stands, from 1.
        student: the only identity that the standard gives; personal.
        item: the question, as the standard names it.
        responses: of the question; one unless it has several boxes.
        answered_at: ISO 8601, with or without zone; "" where there is none.
        attempt: as the source numbers it, from 1; None where it does not.
        score: points given by the source, beside which our own verdict stands.
        points: points that could be had.
        seconds: that the answer took.
        quiz: test or assessment; "" where it is not said.
        section: class section; "" where it is not said.
        templates: values that this student's version of the question had.
        called: the question's text where the record holds it; "" where not.
        note: what is to be known of it, a phrase to be counted; "" for nothing.
        source: under which a later file may speak of it: of a statement, or an attempt; may be
            personal.
    """

    line: int
    student: str
    item: str
    responses: tuple[Response, ...]
    answered_at: str = ""
    attempt: int | None = None
    score: float | None = None
    points: float | None = None
    seconds: float | None = None
    quiz: str = ""
    section: str = ""
    templates: Mapping[str, str] = field(default_factory=dict)
    called: str = ""
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class LaterWord:
    """What a file says that matters to other files; of answers by their `source`.

    Args:
        withdrawn: answers that are taken back.
        grades: points given, and points that could be had.
        addresses: question -> the address by whose end it was told.
    """

    withdrawn: frozenset[str] = frozenset()
    grades: Mapping[str, tuple[float | None, float | None]] = field(default_factory=dict)
    addresses: Mapping[str, str] = field(default_factory=dict)

    def under(self, named: Callable[[str], str]) -> LaterWord:
        """The same under other names of answers."""
        grades = {named(one): told for one, told in self.grades.items()}
        return LaterWord(frozenset(map(named, self.withdrawn)), grades, self.addresses)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Something that stands where an answer could, and is none that can be stored.

    Args:
        line: where it stands, from 1.
        reason: why it is left out, and the way out where there is one.
        needs_look: False for what is left out on purpose.
    """

    line: int
    reason: str
    needs_look: bool = True


# Source of durations: QTI 2.1 Results Reporting (a float number of seconds; samples hold ISO 8601
# with both signs); xAPI 1.0.3 part 2, 4.6; ISO 8601-1:2019, 5.5.2.
MAX_SECONDS = 366 * 86_400.0
"""A longer stay at one question is a clock that was left running."""
_NUMBER = r"(\d{1,12}(?:[.,]\d{1,12})?)"
_PLAIN = re.compile(_NUMBER)
_ISO = re.compile(
    rf"P(?:{_NUMBER}W)?(?:{_NUMBER}D)?(?:T(?:{_NUMBER}H)?(?:{_NUMBER}M)?(?:{_NUMBER}S)?)?", re.I
)
_UNITS = (7 * 86_400, 86_400, 3_600, 60, 1)


def seconds_of(text: str) -> float | None:
    """A duration in seconds; None where the text is none, or longer than a year.

    >>> seconds_of("PT1M32,5S")
    92.5
    """
    bare = text.strip()
    if plain := _PLAIN.fullmatch(bare):
        found = _value(plain[1])
    elif (iso := _ISO.fullmatch(bare)) and any(iso.groups()):
        found = sum(
            unit * _value(part) for unit, part in zip(_UNITS, iso.groups(), strict=True) if part
        )
    else:
        return None
    return found if found <= MAX_SECONDS else None


def _value(number: str) -> float:
    return float(number.replace(",", "."))
