"""Matching: which predictions an answer's readings fit, and what share each of them gets."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from fractions import Fraction
from typing import Final

from pipeline.exact.numbers import Surd
from pipeline.exact.radicals import machine_number
from pipeline.exact.trees import Letter, letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Value,
    number_of,
)
from pipeline.patterns.catalogue import pattern_of
from pipeline.procedures.endings import comparable_value, is_real_set
from pipeline.procedures.walk import Faults
from pipeline.records import Candidate
from pipeline.tagging.predict import Predictions
from pipeline.tagging.priors import (
    CROWDED,
    UNEXPLAINED,
    UNEXPLAINED_LONE_BOUNDARY,
    UNEXPLAINED_SMALL_INTEGERS,
    catalogue_order,
)
from pipeline.tagging.rounded_values import numbers_behind

__all__ = [
    "FEWEST_PLACES",
    "candidates",
    "chance_weight",
    "decimal_fits",
    "endings_of",
    "numbers_in",
    "unexplained_weight",
]

FEWEST_PLACES: Final = 2
"""Decimals below which a rounded number fits no prediction: too many numbers round to it."""
_MACHINE: Final = 1e-12
"""How far machine numbers may be off, as a share of their size."""
_APART: Final = 1.02 / 10**FEWEST_PLACES
"""No number rounded or cut after so many places lies further from what it stands for."""


def candidates(
    found: Predictions, values: Iterable[Value], task: str, min_places: int = FEWEST_PLACES
) -> tuple[tuple[Candidate, ...], float]:
    """Return the sets of faults that explain an answer, most likely first, and the rest.

    Args:
        found: the predictions of the problem.
        values: all legitimate readings of the answer, first the one used.
        task: the task of the problem, for the sentences.
        min_places: fewest decimals by which a rounded number is matched.

    Returns:
        Candidates with shares, and the share that no known pattern explains; together 1.
    """
    readings = list(values)
    stated = [one for value in readings if (one := _right_side(value)) is not None]
    weights: dict[frozenset[str], tuple[Faults, float]] = {}
    for value in (*readings, *stated):
        for ending in endings_of(found, value, min_places):
            for faults, weight in found.weights(ending):
                known = weights.get(frozenset(faults), (faults, 0.0))
                weights[frozenset(faults)] = (known[0], max(known[1], weight))
    rest = chance_weight(found, readings[0], task) if readings else UNEXPLAINED
    return shared(weights.values(), task, rest)


def chance_weight(found: Predictions, value: Value, task: str) -> float:
    """Return the weight of "no known pattern" for an answer to a problem."""
    return CROWDED if found.is_crowded(value) else unexplained_weight(value, task)


def _right_side(value: Value) -> Value | None:
    """What `y = 7x` states of the question's expression."""
    if not isinstance(value, Equation) or value.relation.signs != ("=",):
        return None
    left, right = value.relation.sides
    if not isinstance(left, Letter) or left.name in letters(right):
        return None
    return Expression(right) if letters(right) else number_of(right)


def shared(
    weighted: Iterable[tuple[Faults, float]], task: str, rest: float
) -> tuple[tuple[Candidate, ...], float]:
    """Turn weights into shares, sorted by share and then in the order of the catalogue."""
    entries = list(weighted)
    total = rest + sum(weight for _, weight in entries)
    entries.sort(key=lambda entry: (-round(entry[1] / total, 9), catalogue_order(entry[0])))
    return tuple(
        Candidate(faults[0], faults, weight, weight / total, _says(faults, task))
        for faults, weight in entries
    ), rest / total


def _says(faults: Faults, task: str) -> str:
    return " Then: ".join(pattern_of(one).says(task) for one in faults)


def unexplained_weight(value: Value, task: str = "") -> float:
    """Return the weight of "no known pattern", which is larger for small whole numbers."""
    numbers = numbers_in(value)
    if not numbers or not all(_is_small_integer(number) for number in numbers):
        return UNEXPLAINED
    if task == "domain" and isinstance(value, Region) and len({one.surd for one in numbers}) == 1:
        return UNEXPLAINED_LONE_BOUNDARY
    return UNEXPLAINED_SMALL_INTEGERS


def numbers_in(value: Value) -> tuple[Number, ...]:
    """Return the numbers typed; of a region its ends."""
    match value:
        case Number():
            return (value,)
        case Roots(members) | Point(members):
            return members
        case Points(members):
            return tuple(number for point in members for number in point.coordinates)
        case Region(parts):
            return tuple(end for part in parts for end in (part.low, part.high) if end is not None)
        case _:
            return ()


def _is_small_integer(number: Number) -> bool:
    surd = number.surd
    return surd is not None and surd.is_integer and abs(surd.as_fraction()) <= 99


def endings_of(found: Predictions, value: Value, min_places: int) -> Iterator[Hashable]:
    """Yield the predicted endings that a value equals, exactly or as rounded."""
    exact = comparable_value(value)
    if exact is not None and exact in found.by_value:
        yield exact
    if not any(_is_rounded(number, min_places) for number in numbers_in(value)):
        return
    if isinstance(value, Region):
        for ending, region in found.regions.items():
            if ending != exact and _fits_region(region, value, min_places):
                yield ending
    else:
        for ending in _near(found, value):
            if ending != exact and _fits(ending, value, min_places):
                yield ending
        for ending, number, digits in numbers_behind(found.by_value, value):
            if ending != exact and _equals(number, digits, min_places):
                yield ending


def _near(found: Predictions, value: Value) -> Iterable[Hashable]:
    """Endings that a rounded value may fit: all but sets of numbers that are plainly others."""
    if isinstance(value, Point):
        return found.by_value
    typed = {number.surd for number in numbers_in(value) if number.surd is not None}
    if not all(surd.is_real for surd in typed):
        return ()
    sizes = sorted(surd.approximate().real for surd in typed)
    return [
        ending
        for ending, others in found.real_sets().get(len(sizes), ())
        if all(abs(a - b) <= _APART + 1e-9 * abs(a) for a, b in zip(sizes, others, strict=True))
    ]


def _is_rounded(number: Number, min_places: int) -> bool:
    return number.places is not None and number.places >= max(FEWEST_PLACES, min_places)


def _fits(ending: Hashable, value: Value, min_places: int) -> bool:
    if isinstance(value, Point):
        if not isinstance(ending, tuple) or len(ending) != len(value.coordinates):
            return False
        pairs = zip(value.coordinates, ending, strict=True)
        return all(_equals(number, one, min_places) for number, one in pairs)
    if not isinstance(ending, frozenset) or not is_real_set(ending):
        return False
    typed = {number.surd: number for number in numbers_in(value) if number.surd is not None}
    if len(typed) != len(ending) or not all(surd.is_real for surd in typed):
        return False
    ordered = sorted(typed.items(), key=lambda item: item[0].approximate().real)
    expected = sorted(ending, key=lambda one: one.approximate().real)
    return all(
        _equals(number, one, min_places) for (_, number), one in zip(ordered, expected, strict=True)
    )


def _fits_region(expected: Region, value: Region, min_places: int) -> bool:
    if len(expected.parts) != len(value.parts):
        return False
    pairs = zip(value.parts, expected.parts, strict=True)
    return all(_fits_interval(part, other, min_places) for part, other in pairs)


def _fits_interval(typed: Interval, expected: Interval, min_places: int) -> bool:
    if (typed.left_open, typed.right_open) != (expected.left_open, expected.right_open):
        return False
    return _fits_end(typed.low, expected.low, min_places) and _fits_end(
        typed.high, expected.high, min_places
    )


def _fits_end(typed: Number | None, expected: Number | None, min_places: int) -> bool:
    if typed is None or expected is None or expected.surd is None:
        return typed is expected
    return _equals(typed, expected.surd, min_places)


def _equals(number: Number, expected: Surd, min_places: int) -> bool:
    if number.surd == expected:
        return True
    if number.surd is None or not number.surd.is_rational or not _is_rounded(number, min_places):
        return False
    return decimal_fits(number.surd.as_fraction(), number.places or 0, expected)


def decimal_fits(typed: Fraction, places: int, expected: Surd) -> bool:
    """Whether a typed decimal is a real number rounded to its places, or cut after them."""
    unit = Fraction(1, 10**places)
    near = expected.approximate().real
    if abs(machine_number(typed) - near) > 1.01 * machine_number(unit) + _MACHINE * abs(near):
        return False
    difference = expected - typed
    size = -difference if difference.real_sign() < 0 else difference
    if size <= unit / 2:
        return True
    toward_zero = difference.real_sign() == (1 if typed >= 0 else -1)
    return toward_zero and size < unit
