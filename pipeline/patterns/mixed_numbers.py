"""Errors in subtracting mixed numbers."""

from __future__ import annotations

from pipeline.exact.trees import MixedNumber, Node, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add
from pipeline.procedures.rewriting.terms import fraction_parts, number, signed, sum_of, whole

_SKILL = "fractions"


def _parts(node: Node) -> tuple[int, int, int] | None:
    """A whole number with a fraction behind it, as whole, numerator and denominator."""
    if isinstance(node, MixedNumber):
        before, behind = node.terms
    elif isinstance(node, Quotient):
        before, behind = number(0), node
    else:
        return None
    found = fraction_parts(behind)
    if found is None:
        return None
    parts = whole(before), whole(found[0]), whole(found[1])
    return parts if all(part is not None for part in parts) else None  # type: ignore[return-value]


def _subtracted(place: Sum) -> tuple[Node, Node] | None:
    """Both numbers of a difference."""
    if len(place.terms) != 2:
        return None
    (sign, first), (minus, second) = (signed(term) for term in place.terms)
    return (first, second) if (sign, minus) == (1, -1) else None


@pattern(
    "mixed-number-subtracted-part-by-part",
    skill=_SKILL,
    source="Ashlock 2006, label 11 of Otero, Druga and Lan 2024",
    shows=(
        "evaluate | 5 3/4 - 2 1/2 | 4",
        "evaluate | 9 1/6 - 3 5/8 | 8",
    ),
    silent=(
        "evaluate | 5 3/4 - 2 1/2 | 3 1/4",
        "evaluate | 5 3/4 + 2 1/2 | 9",
    ),
)
@instead_of(add)
def mixed_number_subtracted_part_by_part(place: Sum) -> Node | None:
    """Subtracts wholes, numerators and denominators apart, each smaller number from the larger."""
    found = _subtracted(place)
    first, second = (_parts(node) for node in found) if found else (None, None)
    if not first or not second or first[2] == second[2] or not (first[0] and second[0]):
        return None
    before, top, below = (abs(one - two) for one, two in zip(first, second, strict=True))
    return sum_of(number(before), Quotient(number(top), number(below)))


@pattern(
    "smaller-fraction-from-larger",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | 8 1/3 - 2 2/3 | 6 1/3",
        "evaluate | 6 1/5 - 3/5 | 6 2/5",
    ),
    silent=(
        "evaluate | 8 1/3 - 2 2/3 | 5 2/3",
        "evaluate | 8 2/3 - 2 1/3 | 6 2/3",
    ),
)
@instead_of(add)
def smaller_fraction_from_larger(place: Sum) -> Node | None:
    """Takes the smaller fraction of two mixed numbers from the larger, whichever stands first."""
    found = _subtracted(place)
    first, second = (_parts(node) for node in found) if found else (None, None)
    if not first or not second or not first[0]:
        return None
    turned = second[1] * first[2] - first[1] * second[2]
    if turned <= 0:
        return None
    behind = Quotient(number(turned), number(first[2] * second[2]))
    return sum_of(number(first[0] - second[0]), behind)


@pattern(
    "fraction-carried-over-in-difference",
    skill=_SKILL,
    source="Ashlock 2006, label 10 of Otero, Druga and Lan 2024",
    shows=(
        "evaluate | 7 - 2 1/3 | 5 1/3",
        "evaluate | 4 - 3/8 | 4 3/8",
    ),
    silent=(
        "evaluate | 7 - 2 1/3 | 4 2/3",
        "evaluate | 7 + 2 1/3 | 9 1/3",
    ),
)
@instead_of(add)
def fraction_carried_over_in_difference(place: Sum) -> Node | None:
    """Subtracts the wholes and writes the fraction down that had no partner."""
    found = _subtracted(place)
    if not found:
        return None
    minuend, parts = whole(found[0]), _parts(found[1])
    if not minuend or not parts:
        return None
    return sum_of(number(minuend - parts[0]), Quotient(number(parts[1]), number(parts[2])))
