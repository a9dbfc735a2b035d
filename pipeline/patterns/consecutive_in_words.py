"""Errors about the quantities that words name: numbers that follow one another."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Letter,
    Node,
    Product,
    Sum,
    letters,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    number,
    product_of,
    sum_of,
)
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    put_product,
    put_sum,
)

_SKILL = "translating words"
_NUMBERS = "OpenStax Elementary Algebra 2e, 3.1 (consecutive integers); common practice"
_AREAS = "OpenStax Elementary Algebra 2e, 3.4 (triangles and rectangles); common practice"


def _steps(parts: tuple[Node, ...]) -> tuple[Letter, list[Fraction]] | None:
    """See n, n + d, n + 2d, ... with d of 1 or 2, side by side; None when they are not."""
    opened = [polynomial_of(part) for part in parts]
    names = frozenset().union(*map(letters, parts))
    if len(parts) < 2 or len(names) != 1 or None in opened:
        return None
    name = next(iter(names))
    shifts: list[Fraction] = []
    for one in opened:
        found = one.coefficients(name) if one is not None else []
        if len(found) != 2 or found[1] != 1 or not found[0].is_rational:
            return None
        shifts.append(found[0].as_fraction())
    step = shifts[1] - shifts[0]
    even = all(b - a == step for a, b in pairwise(shifts))
    return (Letter(name), shifts) if even and step in (1, 2) else None


def _shifted(letter: Letter, by: Fraction) -> Node:
    return sum_of(letter, number(by)) if by else letter


def _respaced(parts: tuple[Node, ...]) -> Iterator[list[Node]]:
    found = _steps(parts)
    if found is None:
        return
    letter, shifts = found
    start, step = shifts[0], shifts[1] - shifts[0]
    count = range(len(shifts))
    yield [_shifted(letter, start + (3 - step) * index) for index in count]
    if step == 2:
        odd = [start, *(start + 2 * index - 1 for index in count[1:])]
        yield [_shifted(letter, one) for one in odd]


@pattern(
    "consecutive-step-mistaken",
    skill=_SKILL,
    source=_NUMBERS,
    shows=(
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "n + (n + 1) = 46",
        "translate | the sum of three consecutive odd integers is 63: n + (n + 2) + (n + 4) = 63 | "
        "n + (n + 1) + (n + 3) = 63",
    ),
    silent=(
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "2x + 2 = 46",
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "(n - 2) + n = 46",
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | n = 22",
    ),
)
@instead_of(put_sum)
def consecutive_step_mistaken(place: Sum) -> Choices:
    """Steps by 1 where the words name even or odd numbers, or by 2 where they name any."""
    return Choices(sum_of(*parts) for parts in _respaced(place.terms))


@consecutive_step_mistaken.also(put_product)
def _factors_respaced(place: Product) -> Choices:
    return Choices(product_of(*parts) for parts in _respaced(place.factors))


@pattern(
    "consecutive-as-multiples",
    skill=_SKILL,
    source=_NUMBERS,
    shows=(
        "translate | the sum of three consecutive odd integers is 63: n + (n + 2) + (n + 4) = 63 | "
        "n + 2n + 4n = 63",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "x + 2x + 3x = 75",
    ),
    silent=(
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "3n + 3 = 75",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "(n - 1) + n + (n + 1) = 75",
    ),
)
@instead_of(put_sum)
def consecutive_as_multiples(place: Sum) -> Choices | None:
    """Takes multiples of the first number for the numbers that follow it."""
    found = _steps(place.terms)
    if found is None or found[1][0]:
        return None
    letter, shifts = found
    step = shifts[1]
    doubled = [product_of(number(shift or 1), letter) for shift in shifts]
    counted = [product_of(number(shift / step + 1), letter) for shift in shifts]
    return Choices((sum_of(*doubled), sum_of(*counted)))


@pattern(
    "consecutive-taken-as-equal",
    skill=_SKILL,
    source=_NUMBERS,
    shows=(
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n + n = 41",
        "translate | the product of two consecutive integers is 56: n(n + 1) = 56 | n^2 = 56",
    ),
    silent=(
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n + n + 1 = 41",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "n + n + n = 75",
        "translate | the product of two consecutive integers is 56: n(n + 1) = 56 | n(n - 1) = 56",
    ),
)
@instead_of(put_sum)
def consecutive_taken_as_equal(place: Sum) -> Node | None:
    """Writes the same letter for each of several numbers that follow one another."""
    found = _steps(place.terms)
    return sum_of(*[found[0]] * len(place.terms)) if found else None


@consecutive_taken_as_equal.also(put_product)
def _factors_taken_as_equal(place: Product) -> Node | None:
    found = _steps(place.factors)
    return product_of(*[found[0]] * len(place.factors)) if found else None
