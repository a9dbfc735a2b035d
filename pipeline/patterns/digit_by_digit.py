"""Errors in written arithmetic, digit by digit."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Negation, Node, Numeral, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, multiply
from pipeline.procedures.rewriting.terms import factors_of, number

_SKILL = "decimals"


def _difference(place: Sum) -> tuple[Numeral, Numeral] | None:
    """Both numbers of a difference as typed."""
    match place.terms:
        case (Numeral() as first, Negation(Numeral() as second)):
            return first, second
    return None


@pattern(
    "smaller-digit-from-larger",
    skill="whole numbers",
    source="Ashlock 2006, label 21 of Otero, Druga and Lan 2024; Brown and Burton 1978",
    shows=(
        "evaluate | 362 - 185 | 223",
        "evaluate | 200 - 30 | 230",
    ),
    silent=(
        "evaluate | 362 - 185 | 177",
        "evaluate | 385 - 162 | 177",
    ),
)
@instead_of(add)
def smaller_digit_from_larger(place: Sum) -> Node | None:
    """Takes the smaller digit from the larger in each column, whichever stands on top."""
    found = _difference(place)
    if found is None or any(one.places for one in found) or found[0].value < 10:
        return None
    top, below = (str(int(one.value)) for one in found)
    if len(below) > len(top):
        return None
    columns = zip(top, below.zfill(len(top)), strict=True)
    return number(int("".join(str(abs(int(one) - int(two))) for one, two in columns)))


@pattern(
    "digits-without-partner-kept",
    skill=_SKILL,
    source="Ashlock 2006, label 17 of Otero, Druga and Lan 2024",
    shows=(
        "evaluate | 50 - 2.45 | 48.45",
        "evaluate | 13.6 - 1.24 | 12.44",
    ),
    silent=(
        "evaluate | 50 - 2.45 | 47.55",
        "evaluate | 50 + 2.45 | 52.45",
    ),
)
@instead_of(add)
def digits_without_partner_kept(place: Sum) -> Node | None:
    """Writes down the decimals of the second number that have no digit above them."""
    found = _difference(place)
    if found is None or (found[0].places or 0) >= (found[1].places or 0):
        return None
    scale = 10 ** (found[0].places or 0)
    paired = Fraction(int(found[1].value * scale), scale)
    return number(found[0].value - paired + (found[1].value - paired))


@pattern(
    "point-counted-from-the-left",
    skill=_SKILL,
    source="Ashlock 2006, label 20 of Otero, Druga and Lan 2024",
    shows=(
        "evaluate | 7.4 * 3 | 2.22",
        "evaluate | 3.21 * 4.2 | 134.82",
    ),
    silent=(
        "evaluate | 7.4 * 3 | 22.2",
        "evaluate | 7 * 3 | 2.1",
    ),
)
@instead_of(multiply)
def point_counted_from_the_left(place: Product) -> Node | None:
    """Counts the decimals of a product off from the left instead of from the right."""
    found = [one for one in factors_of(place) if isinstance(one, Numeral)]
    if len(found) != 2 or len(place.factors) != 2:
        return None
    decimals = sum(one.places or 0 for one in found)
    digits = 1
    for one in found:
        digits *= int(one.value * 10 ** (one.places or 0))
    before = len(str(digits)) - decimals
    return number(Fraction(digits, 10**before)) if decimals and before >= 0 else None
