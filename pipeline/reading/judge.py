"""The verdict on a typed answer: by value, then by form."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.exact.values import (
    Number,
    Point,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.decimals import CUT, ROUNDED
from pipeline.reading.equality import Match, Matched, compare_values, same_letters
from pipeline.reading.forms import EXPECTED, missing_form, parts_of_form
from pipeline.reading.notations import has_percent_sign
from pipeline.reading.records import NO_CONTEXT, ReadAnswer, Reading, ReadingContext
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
        without_percent: likewise, unless a percent sign is typed with them: 0.35 where 35% is
            asked for says the same, 0.35% does not.
    """

    value: Value
    also: tuple[Value, ...] = ()
    other_form: tuple[Value, ...] = ()
    without_percent: tuple[Value, ...] = ()


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

    "No answer" is blank whatever is right: many exports write so where nothing was typed.

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
        return Judgement(Verdict.BLANK, first, first.remarks[0] if first.remarks else None)
    best: Judgement | None = None
    for reading in read.readings:
        found = _one(reading, right, form, numbers, min_places, read.raw)
        if best is None or _RANK[found.verdict] > _RANK[best.verdict]:
            best = found
        if best.verdict is Verdict.RIGHT:
            break
    return best or Judgement(Verdict.WRONG, first)


def _all(right: RightAnswer) -> tuple[Value, ...]:
    return (right.value, *right.also)


def _one(
    reading: Reading,
    right: RightAnswer,
    form: str | None,
    numbers: Numbers,
    min_places: int,
    typed: str,
) -> Judgement:
    value, told = reading.value, None
    found = _best(value, _all(right), min_places)
    if found.match is Match.DIFFERENT and _domain(value, right, numbers):
        found = Matched(Match.EQUAL)
    if found.match is Match.DIFFERENT:
        found, told = _with_other_letters(value, right, min_places)
    told = told or _told(reading, found)
    if found.match is Match.EQUAL:
        return _by_form(reading, found, form, told, typed)
    other = _best(value, right.other_form, min_places)
    if other.match is Match.EQUAL:
        return Judgement(Verdict.RIGHT_OTHER_FORM, reading, _other_form(right.value))
    if not has_percent_sign(typed):
        other = _best(value, right.without_percent, min_places)
        if other.match is Match.EQUAL:
            return Judgement(Verdict.RIGHT_OTHER_FORM, reading, EXPECTED["percent"])
    if found.match is Match.TOO_COARSE:
        return Judgement(Verdict.TOO_COARSE, reading, "rounded too far to prove anything")
    return Judgement(Verdict.WRONG, reading, told)


def _with_other_letters(
    value: Value, right: RightAnswer, min_places: int
) -> tuple[Matched, str | None]:
    """Another letter for the unknown is right; the remark says so."""
    for other in _all(right):
        renamed = same_letters(value, other)
        if renamed is not None:
            found = compare_values(renamed, other, min_places)
            if found.match is Match.EQUAL:
                return found, "another letter for the unknown"
    return Matched(Match.DIFFERENT), None


def _by_form(
    reading: Reading, found: Matched, form: str | None, told: str | None, typed: str
) -> Judgement:
    """A decimal that is exactly right is exact; only a rounding is not, and is not simplified."""
    parts = parts_of_form(form)
    if found.remark in {ROUNDED, CUT} and {"simplified", "reduced"} & set(parts):
        parts = ("exact", *parts)
    if found.remark is None:
        parts = tuple(part for part in parts if part != "exact") or ("any",)
    expected = missing_form(reading.value, "+".join(parts), typed)
    if expected is not None:
        return Judgement(Verdict.RIGHT_OTHER_FORM, reading, expected)
    return Judgement(Verdict.RIGHT, reading, told)


def _best(value: Value, others: tuple[Value, ...], min_places: int) -> Matched:
    found = [compare_values(value, other, min_places) for other in others]
    return max(found, key=lambda one: one.match, default=Matched(Match.DIFFERENT))


def _domain(value: Value, right: RightAnswer, numbers: Numbers) -> bool:
    """Over the reals, "no real solution" and "no solution" say the same of an equation."""
    if numbers != "real" or not isinstance(value, Statement) or value.code not in _NO_ROOTS:
        return False
    return any(_has_no_real_root(other) for other in _all(right))


def _has_no_real_root(value: Value) -> bool:
    if isinstance(value, Statement):
        return value.code in _NO_ROOTS
    if isinstance(value, Region):
        return not value.parts
    return (
        isinstance(value, Roots) and bool(value.members) and not any(map(_is_real, value.members))
    )


def _is_real(number: Number) -> bool:
    return number.surd is None or number.surd.is_real


def _told(reading: Reading, found: Matched) -> str | None:
    """What to know of the verdict: a second reading first, then decimals, then remarks."""
    if reading.convention and reading.remarks:
        return f"read as meant: {reading.remarks[0]}"
    if found.match is Match.EQUAL and found.remark:
        return found.remark
    return None


def _other_form(right: Value) -> str:
    if isinstance(right, Statement):
        return "over the real numbers there is no solution; this is the complex one"
    return "another form was expected"


def read_key(key: str, context: ReadingContext = NO_CONTEXT) -> RightAnswer | str:
    """Read a course's right answer: typed notation or sympy source.

    Brackets that can be a list, a point or an interval stay open: the answer decides. A form that
    is only ambiguous to a student's pen is read by the usual convention.

    Returns:
        The right answer, or the reason why the key cannot be read.
    """
    read = read_answer(key, replace(context, functions=True))
    if not read.readings:
        return read.reason or "no reading"
    value = read.readings[0].value
    open_forms = {"bracket-pair", "f", "statement", "zero-product"}
    others = [reading.value for reading in read.readings if reading.convention in open_forms]
    if isinstance(value, Point):
        others = [other for other in others if not isinstance(other, Roots)]
    also = tuple(others)
    if isinstance(value, Statement) and value.code in _BLANK:
        return "the key is blank"
    return RightAnswer(value, also)
