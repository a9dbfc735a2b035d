"""How a typed number compares with a right one; decimals are judged by the places given."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction

from pipeline.errors import BudgetExceeded
from pipeline.exact.building import tree_of_surd
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.shapes import complex_places
from pipeline.exact.trees import Node, Numeral, changed, children, letters
from pipeline.exact.values import Number, value_key

NUMERIC = "equal to 50 digits; not proved exactly"
CUT = "a decimal that was cut off, not rounded"
ROUNDED = "a rounded decimal"


class Match(IntEnum):
    """How near a value comes to the right one, best last."""

    DIFFERENT = 0
    TOO_COARSE = 1
    EQUAL = 2


@dataclass(frozen=True, slots=True)
class Matched:
    """The outcome of one comparison and what to say about it."""

    match: Match
    remark: str | None = None


SAME = Matched(Match.EQUAL)
DIFFERENT = Matched(Match.DIFFERENT)


def _decimals(typed: Number, right: Number, min_places: int) -> Matched:
    """Judge a typed decimal by the places given."""
    difference = _difference(typed, right)
    if difference is None or typed.places is None or typed.surd is None:
        return DIFFERENT
    gap = -difference if difference.real_sign() < 0 else difference
    unit = Fraction(1, 10**typed.places)
    if typed.places < min_places:
        return Matched(Match.TOO_COARSE) if gap <= unit / 2 else DIFFERENT
    if gap <= unit / 2:
        return Matched(Match.EQUAL, ROUNDED)
    cut = gap < unit and difference.real_sign() == (-1 if typed.surd.real_sign() >= 0 else 1)
    return Matched(Match.EQUAL, CUT) if cut else DIFFERENT


def _complex_decimals(typed: Number, right: Number, min_places: int) -> Matched:
    """Judge the real and the imaginary part of `-1 + 1.41i`, each by the places given."""
    if typed.surd is None or right.surd is None or typed.surd.is_real:
        return DIFFERENT
    parts = complex_places(typed.tree)
    if parts is None:
        return DIFFERENT
    pairs = zip(_parts_of(typed.surd), _parts_of(right.surd), parts, strict=True)
    found = [_part(mine, other, places, min_places) for mine, other, places in pairs]
    remark = next((one.remark for one in found if one.remark), None)
    return Matched(min(one.match for one in found), remark)


def _worked_out(typed: Number, right: Number, min_places: int) -> Matched | None:
    """Judge `(-1 + 1.414)/2` by what its one decimal may have been rounded or cut from.

    Returns None where no decimal, or more than one, stands inside.
    """
    decimals = list(_decimals_in(typed.tree))
    exact = right.surd
    if len(decimals) != 1 or exact is None or not exact.is_real or letters(typed.tree):
        return None
    (decimal,) = decimals
    unit = Fraction(1, 10 ** (decimal.places or 0))
    shifts = (-unit / 2, unit / 2, Fraction(0), unit)
    low, high, here, cut = (surd_of(_shifted(typed.tree, decimal, shift)) for shift in shifts)
    if _is_between(exact, low, high):
        coarse = (decimal.places or 0) < min_places
        return Matched(Match.TOO_COARSE) if coarse else Matched(Match.EQUAL, ROUNDED)
    is_cut = (decimal.places or 0) >= min_places and cut != exact and _is_between(exact, here, cut)
    return Matched(Match.EQUAL, CUT) if is_cut else DIFFERENT


def _decimals_in(tree: Node) -> Iterator[Numeral]:
    if isinstance(tree, Numeral):
        if tree.places is not None:
            yield tree
        return
    for part in children(tree):
        yield from _decimals_in(part)


def _shifted(tree: Node, decimal: Numeral, by: Fraction) -> Node:
    other = Numeral(decimal.value + by, decimal.places)
    return changed(tree, lambda part: other if part is decimal else None)


def _is_between(value: Surd, first: Surd | None, second: Surd | None) -> bool:
    if first is None or second is None or not (first.is_real and second.is_real):
        return False
    return (value - first).real_sign() * (value - second).real_sign() <= 0


def _parts_of(value: Surd) -> tuple[Surd, Surd]:
    """The real and the imaginary part of a number."""
    real = [(radicand, factor) for radicand, factor in value.terms if radicand > 0]
    imaginary = [(-radicand, factor) for radicand, factor in value.terms if radicand < 0]
    return Surd(real, value.denominator), Surd(imaginary, value.denominator)


def _part(mine: Surd, other: Surd, places: int | None, min_places: int) -> Matched:
    if mine == other:
        return SAME
    if places is None:
        return DIFFERENT
    typed = Number(mine, tree_of_surd(mine), places)
    return _decimals(typed, Number.exactly(other), min_places)


def _difference(typed: Number, right: Number) -> Surd | None:
    """The difference of two real numbers, exactly or to forty digits."""
    first, second = _real(typed), _real(right)
    if first is None or second is None:
        return None
    return first - second


def _real(number: Number) -> Surd | None:
    if number.surd is not None:
        return number.surd if number.surd.is_real else None
    from pipeline.exact.numeric import NotNumeric, numeric_value

    try:
        value = numeric_value(number.tree)
    except (NotNumeric, BudgetExceeded):
        return None
    if abs(getattr(value, "imag", 0)) > 0:
        return None
    return Surd.of(Fraction(int(value * 10**40), 10**40))


def compare_by_digits(first: Node, second: Node) -> Matched:
    """Compare two trees by fifty digits at several points."""
    from pipeline.exact.numeric import agree

    return Matched(Match.EQUAL, NUMERIC) if agree(first, second) else DIFFERENT


def compare_numbers(typed: Number, right: Number, min_places: int) -> Matched:
    """Compare a typed number with a right one."""
    if value_key(typed) == value_key(right):
        return SAME
    if typed.places is not None and not letters(right.tree):
        return _decimals(typed, right, min_places)
    worked_out = _worked_out(typed, right, min_places)
    if worked_out is not None:
        return worked_out
    if typed.surd is None or right.surd is None:
        return compare_by_digits(typed.tree, right.tree)
    return _complex_decimals(typed, right, min_places)
