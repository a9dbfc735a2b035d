"""The verdict on a typed answer: by value, then by form."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.exact.values import (
    Point,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    value_words,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.conventions import BY_NAME, PRODUCT_OF_MIXED, WITH_BRACKETS
from pipeline.reading.equality import CUT, ROUNDED, Match, Matched, compare_values, same_letters
from pipeline.reading.forms import (
    EXPECTED,
    has_percent_sign,
    missing_form,
    parts_of_form,
    places_of_form,
)
from pipeline.reading.records import NO_CONTEXT, ReadAnswer, Reading, ReadingContext
from pipeline.reading.relations import IMPOSSIBLE_CHAIN
from pipeline.records import MissingBrackets, Numbers, Verdict

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
    """A verdict, the reading that it rests on, and what to say about it.

    Args:
        verdict: how the answer stands.
        used: the reading that it rests on.
        reason: what to say about it.
        brackets: the convention by which brackets that were not typed would make it right, where
            it was judged without them.
    """

    verdict: Verdict
    used: Reading | None
    reason: str | None = None
    brackets: str | None = None


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
    missing_brackets: MissingBrackets = "apart",
) -> Judgement:
    """Judge an answer by the reading that helps the student most, and say which one that was.

    Brackets that were not typed are no such help: what is right with them and wrong without is
    right if they were meant.

    "No answer" is blank whatever is right: many exports write so where nothing was typed.

    Args:
        read: the answer as read.
        right: what is right.
        form: the form asked for, `any` or a `+`-joined list; None is `any`.
        numbers: the number domain of the question.
        min_places: fewest decimals that prove anything; a form that asks for fewer is content.
        missing_brackets: what becomes of an answer that is right only with such brackets.

    Raises:
        UsageError: an unknown form.
    """
    if not read.readings:
        return Judgement(Verdict.UNREADABLE, None, read.reason)
    first = read.readings[0]
    min_places = min([min_places, *places_of_form(form)])
    if isinstance(first.value, Statement) and first.value.code in _BLANK:
        return Judgement(Verdict.BLANK, first, first.remarks[0] if first.remarks else None)
    best, meant = Judgement(Verdict.WRONG, first), None
    for reading in read.readings:
        if reading.convention in (IMPOSSIBLE_CHAIN, PRODUCT_OF_MIXED):
            continue
        percent = bool(right.without_percent) and reading.convention == "percent"
        places = max(min_places - 2, 0) if percent else min_places  # 67% is as exact as 0.67
        found = _one(reading, right, form, numbers, places, read.raw)
        if reading.convention in WITH_BRACKETS and missing_brackets != "meant":
            meant = found if meant is None or _is_better(found, meant) else meant
        elif reading is first or _is_better(found, best):
            best = found
        if best.verdict is Verdict.RIGHT:
            break
    return best if meant is None else _with_brackets(best, meant, missing_brackets)


def _is_better(found: Judgement, other: Judgement) -> bool:
    return _RANK[found.verdict] > _RANK[other.verdict]


def _with_brackets(
    typed: Judgement, meant: Judgement, missing_brackets: MissingBrackets
) -> Judgement:
    """Weigh an answer as typed against the same with brackets that are missing."""
    if not _is_better(meant, typed):
        return typed
    if typed.verdict is not Verdict.WRONG or meant.verdict is Verdict.TOO_COARSE:
        return meant
    if meant.used is None:
        return typed
    typed = replace(typed, brackets=meant.used.convention)
    if missing_brackets == "literal":
        return typed
    wider = BY_NAME[meant.used.convention].remark
    reason = f"right if {value_words(meant.used.value)} was meant: {wider}"
    if meant.verdict is Verdict.RIGHT_OTHER_FORM and meant.reason:
        reason = f"{reason}; {meant.reason}"
    return replace(typed, verdict=Verdict.RIGHT_IF_MEANT, reason=reason)


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
    members = value.members if isinstance(value, Roots) else ()
    return bool(members) and not any(one.surd is None or one.surd.is_real for one in members)


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
