"""Errors with decimals."""

from __future__ import annotations

from fractions import Fraction

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Numeral, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import line_up_points
from pipeline.procedures.rewriting.operations import add, multiply
from pipeline.procedures.rewriting.terms import (
    difference,
    factors_of,
    number,
    rational,
    signed,
    terms_of,
)
from pipeline.procedures.walk import Place


def _decimals(nodes: tuple[Node, ...]) -> list[Numeral] | None:
    """Positive numbers of which one at least was typed as a decimal."""
    if not all(isinstance(node, Numeral) for node in nodes):
        return None
    found = [node for node in nodes if isinstance(node, Numeral)]
    return found if any(node.places for node in found) else None


@pattern(
    source="Otero, Druga and Lan 2024 (label 16)",
    shows=(
        "evaluate | 3.5 + 2.7 | 5.12",
        "evaluate | 0.8 + 0.6 | 0.14",
    ),
    silent=(
        "evaluate | 3.5 + 2.7 | 6.2",
        "evaluate | 3.5 + 2.4 | 5.9",
    ),
)
@instead_of(add)
def decimal_parts_added_apart(place: Sum) -> Node | None:
    """Adds what stands after the decimal points as if it were a number of its own."""
    found = _decimals(terms_of(place))
    if found is None or len({node.places for node in found}) != 1:
        return None
    scale = 10 ** (found[0].places or 0)
    wholes = sum(int(node.value) for node in found)
    after = sum(int(node.value * scale) % scale for node in found)
    return number(Fraction(f"{wholes}.{after}"))


@pattern(
    source="common practice",
    shows=(
        "evaluate | 4.5 + 0.25 | 0.7",
        "evaluate | 12 + 3.4 | 4.6",
    ),
    silent=(
        "evaluate | 4.5 + 0.25 | 4.75",
        "evaluate | 4.5 + 2.5 | 7",
    ),
)
@instead_of(add)
def decimals_lined_up_at_the_right(place: Sum) -> Node | None:
    """Lines numbers up at their last digits, not at the decimal point, before adding."""
    terms = terms_of(place)
    found = _decimals(tuple(signed(term)[1] for term in terms))
    if found is None or len({node.places or 0 for node in found}) == 1:
        return None
    most = max(node.places or 0 for node in found)
    total = sum(
        signed(term)[0] * int(node.value * 10 ** (node.places or 0))
        for term, node in zip(terms, found, strict=True)
    )
    return number(Fraction(total, 10**most))


@decimals_lined_up_at_the_right.also(
    line_up_points,
    Place.LINEAR,
    shows=("solve | 0.3x - 0.12 = 0.6 | 0.6", "solve | x + 0.25 = 1.5 | -0.1"),
    silent=("solve | 0.3x - 0.12 = 0.6 | 2.4", "solve | x - 1/4 = 3/2 | 4"),
)
def _carried_at_the_right(total: Surd, here: Surd, there: Surd) -> Surd | None:
    if total != here - there:
        return None  # another fault was made, whatever this one adds to it
    lined_up = decimals_lined_up_at_the_right.moves[0].version
    found = lined_up(difference(_as_typed(here), _as_typed(there)))
    value = None if found is None else rational(found)
    return None if value is None else Surd.of(value)


def _as_typed(value: Surd) -> Numeral:
    """A number as a decimal with no zero at its end.

    Raises:
        CannotBeWorked: it has more than six decimals.
    """
    scale = next((n for n in range(7) if (value * 10**n).is_integer), None)
    if scale is None:
        raise CannotBeWorked
    return Numeral(value.as_fraction(), scale)


@pattern(
    source="common practice",
    shows=(
        "evaluate | 0.3 * 0.2 | 0.6",
        "evaluate | 1.2 * 0.4 | 4.8",
    ),
    silent=(
        "evaluate | 0.3 * 0.2 | 0.06",
        "evaluate | 0.3 * 2 | 0.6",
    ),
)
@instead_of(multiply)
def point_of_factor_kept_in_product(place: Product) -> Node | None:
    """Gives a product of decimals as many decimals as one factor has."""
    found = _decimals(factors_of(place))
    if found is None or len(found) != 2 or not all(node.places for node in found):
        return None
    digits = int(found[0].value * 10 ** (found[0].places or 0))
    digits *= int(found[1].value * 10 ** (found[1].places or 0))
    return number(Fraction(digits, 10 ** max(node.places or 0 for node in found)))


def digit_differences(place: Sum) -> tuple[Numeral, Numeral] | None:
    """Both numbers of a difference as typed."""
    match place.terms:
        case (Numeral() as first, Negation(Numeral() as second)):
            return first, second
    return None


@pattern(
    source="Ashlock 2006 (label 17 of Otero, Druga and Lan 2024)",
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
    found = digit_differences(place)
    if found is None or (found[0].places or 0) >= (found[1].places or 0):
        return None
    scale = 10 ** (found[0].places or 0)
    paired = Fraction(int(found[1].value * scale), scale)
    return number(found[0].value - paired + (found[1].value - paired))


@pattern(
    source="Ashlock 2006 (label 20 of Otero, Druga and Lan 2024)",
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
