"""The verdict on a typed answer: by value, then by form."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.exact.trees import Letter, Relation, letters
from pipeline.exact.values import (
    Equation,
    Number,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.equality import Match, Matched, compare_values
from pipeline.reading.forms import missing_form
from pipeline.reading.records import ReadAnswer, Reading, ReadingContext
from pipeline.records import Numbers, Verdict

__all__ = ["Judgement", "RightAnswer", "judge", "read_key"]

_BLANK = frozenset({StatementCode.EMPTY, StatementCode.DONT_KNOW})
_NO_ROOTS = frozenset({StatementCode.NO_REAL, StatementCode.NO_SOLUTION})


@dataclass(frozen=True, slots=True)
class RightAnswer:
    """What is right.

    Args:
        value: the right answer.
        also: other values that are as right.
        other_form: values that are right in another form than the one asked for.
    """

    value: Value
    also: tuple[Value, ...] = ()
    other_form: tuple[Value, ...] = ()


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict, the reading that it rests on, and what to say about it."""

    verdict: Verdict
    used: Reading | None
    reason: str | None = None


_RANK = {
    Verdict.RIGHT: 3,
    Verdict.RIGHT_OTHER_FORM: 2,
    Verdict.TOO_COARSE: 1,
    Verdict.WRONG: 0,
}


def judge(
    read: ReadAnswer,
    right: RightAnswer,
    form: str | None = None,
    numbers: Numbers = "real",
    min_places: int = 2,
) -> Judgement:
    """Judge an answer by the reading that helps the student most, and say which one that was.

    Args:
        read: the answer as read.
        right: what is right.
        form: the form asked for, `any` or a `+`-joined list; None is `any`.
        numbers: the number domain of the question.
        min_places: fewest decimals that prove anything.

    Raises:
        UsageError: an unknown form.
    """
    if not read.readings:
        return Judgement(Verdict.UNREADABLE, None, read.reason)
    first = read.readings[0]
    if isinstance(first.value, Statement) and first.value.code in _BLANK:
        if all(compare_values(first.value, other).match < Match.EQUAL for other in _all(right)):
            return Judgement(Verdict.BLANK, first, first.remarks[0] if first.remarks else None)
    best: Judgement | None = None
    for reading in read.readings:
        found = _one(reading, right, form, numbers, min_places)
        if best is None or _RANK[found.verdict] > _RANK[best.verdict]:
            best = found
        if best.verdict is Verdict.RIGHT:
            break
    return best or Judgement(Verdict.WRONG, first)


def _all(right: RightAnswer) -> tuple[Value, ...]:
    return (right.value, *right.also)


def _one(
    reading: Reading, right: RightAnswer, form: str | None, numbers: Numbers, min_places: int
) -> Judgement:
    found = _best(reading.value, _all(right), min_places)
    domain = _domain(reading.value, right, numbers)
    told = _told(reading, found)
    if found.match is Match.EQUAL or domain is Match.EQUAL:
        expected = missing_form(reading.value, form)
        if expected is not None:
            return Judgement(Verdict.RIGHT_OTHER_FORM, reading, expected)
        return Judgement(Verdict.RIGHT, reading, told or _renamed(reading.value, right.value))
    other = _best(reading.value, right.other_form, min_places)
    if other.match is Match.EQUAL:
        return Judgement(Verdict.RIGHT_OTHER_FORM, reading, _other_form(right.value))
    if found.match is Match.TOO_COARSE:
        return Judgement(Verdict.TOO_COARSE, reading, "rounded too far to prove anything")
    return Judgement(Verdict.WRONG, reading, told)


def _best(value: Value, others: tuple[Value, ...], min_places: int) -> Matched:
    found = [compare_values(value, other, min_places) for other in others]
    return max(found, key=lambda one: one.match, default=Matched(Match.DIFFERENT))


def _domain(value: Value, right: RightAnswer, numbers: Numbers) -> Match:
    """Over the reals, "no real solution" and "no solution" say the same of an equation."""
    if numbers != "real" or not isinstance(value, Statement) or value.code not in _NO_ROOTS:
        return Match.DIFFERENT
    for other in _all(right):
        if isinstance(other, Statement) and other.code in _NO_ROOTS:
            return Match.EQUAL
        if isinstance(other, Region) and not other.parts:
            return Match.EQUAL
        if isinstance(other, Roots) and other.members and not any(map(_is_real, other.members)):
            return Match.EQUAL
    return Match.DIFFERENT


def _is_real(number: Number) -> bool:
    return number.surd is None or number.surd.is_real


def _told(reading: Reading, found: Matched) -> str | None:
    """What to know of the verdict: a second reading first, then decimals, then remarks."""
    if reading.convention and reading.remarks:
        return f"read as meant: {reading.remarks[0]}"
    if found.match is Match.EQUAL and found.remark:
        return found.remark
    return None


def _renamed(value: Value, right: Value) -> str | None:
    return "another letter for the unknown" if _letters_of(value) - _letters_of(right) else None


def _letters_of(value: Value) -> frozenset[str]:
    if isinstance(value, Equation):
        return letters(value.relation)
    return frozenset()


def _other_form(right: Value) -> str:
    if isinstance(right, Statement):
        return "over the real numbers there is no solution; this is the complex one"
    return "another form was expected"


def read_key(key: str, context: ReadingContext = ReadingContext()) -> RightAnswer | str:  # noqa: B008 - frozen
    """Read a course's right answer: typed notation or sympy source.

    Brackets that can be a list, a point or an interval stay open: the answer decides. A form that
    is only ambiguous to a student's pen is read by the usual convention.

    Returns:
        The right answer, or the reason why the key cannot be read.
    """
    read = read_answer(key, context)
    if not read.readings:
        return read.reason or "no reading"
    open_forms = {"bracket-pair", "f", "statement", "zero-product"}
    also = tuple(reading.value for reading in read.readings if reading.convention in open_forms)
    value = read.readings[0].value
    if isinstance(value, Statement) and value.code in _BLANK:
        return "the key is blank"
    return RightAnswer(value, also)


def is_label(relation: Relation) -> bool:
    """Whether a relation only names a value."""
    return isinstance(relation.sides[0], Letter) and relation.signs == ("=",)
