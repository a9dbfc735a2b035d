"""Matching: which predictions an answer's readings fit, and what share each of them gets."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from pipeline.exact.trees import Letter, letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Region,
    Roots,
    Value,
    number_of,
    numbers_of,
)
from pipeline.procedures.endings import comparable_value, value_of
from pipeline.procedures.walk import Faults
from pipeline.reading.equality import Match, compare_values
from pipeline.records import Candidate
from pipeline.tagging.predict import Predictions
from pipeline.tagging.priors import (
    CROWDED,
    UNEXPLAINED,
    UNEXPLAINED_LONE_BOUNDARY,
    UNEXPLAINED_SMALL_INTEGERS,
    catalogue_order,
)
from pipeline.tasks.catalogue import TASKS

FEWEST_PLACES: Final = 2
"""Decimals below which a rounded number fits no prediction: too many numbers round to it."""
_APART: Final = 1.02 / 10**FEWEST_PLACES
"""No number rounded or cut after so many places lies further from what it stands for."""


def candidates(
    found: Predictions, values: Iterable[Value], task: str, min_places: int = FEWEST_PLACES
) -> tuple[tuple[Candidate, ...], float]:
    """Return the sets of faults that explain an answer, most likely first, and the rest.

    Args:
        found: the predictions of the problem.
        values: all legitimate readings of the answer, first the one used.
        task: the task of the problem.
        min_places: fewest decimals by which a rounded number is matched.

    Returns:
        Candidates with shares, and the share that no known pattern explains; together 1.
    """
    readings = list(values)
    if readings and isinstance(readings[0], Point):  # `(2, 2)` is not the one number 2
        readings = [one for one in readings if not isinstance(one, Roots)]
    stated = [one for value in readings if (one := _right_side(value)) is not None]
    weights: dict[frozenset[str], tuple[Faults, float]] = {}
    for value in (*readings, *stated):
        for ending in endings_of(found, value, min_places):
            for faults, weight in found.weights(ending):
                made = frozenset(one.id for one in faults)
                known = weights.get(made, (faults, 0.0))
                weights[made] = (known[0], max(known[1], weight))
    rest = chance_weight(found, readings[0], task) if readings else UNEXPLAINED
    return shared((candidate(*one) for one in weights.values()), rest)


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


def candidate(faults: Faults, weight: float) -> Candidate:
    """Return a set of faults as a candidate that has no share yet."""
    ids = tuple(one.id for one in faults)
    return Candidate(ids[0], ids, weight, 0.0, " Then: ".join(one.says for one in faults))


def shared(entries: Iterable[Candidate], rest: float) -> tuple[tuple[Candidate, ...], float]:
    """Turn weights into shares, sorted by share and then in the order of the catalogue."""
    entries = list(entries)
    total = rest + sum(one.weight for one in entries)
    entries.sort(key=lambda one: (-round(one.weight / total, 9), catalogue_order(one.faults)))
    return tuple(replace(one, share=one.weight / total) for one in entries), rest / total


def unexplained_weight(value: Value, task: str = "") -> float:
    """Return the weight of "no known pattern", which is larger for small whole numbers."""
    numbers = numbers_of(value)
    if not numbers or not all(_is_small_integer(number) for number in numbers):
        return UNEXPLAINED
    is_region = isinstance(value, Region) and task in TASKS and TASKS[task].of_region
    if is_region and len({one.surd for one in numbers}) == 1:
        return UNEXPLAINED_LONE_BOUNDARY
    return UNEXPLAINED_SMALL_INTEGERS


def _is_small_integer(number: Number) -> bool:
    surd = number.surd
    return surd is not None and surd.is_integer and abs(surd.as_fraction()) <= 99


def endings_of(found: Predictions, value: Value, min_places: int) -> Iterator[Hashable]:
    """Yield the predicted endings that a value equals, exactly or as rounded."""
    exact = comparable_value(value)
    if exact is not None and exact in found.by_value:
        yield exact
    places = max(FEWEST_PLACES, min_places)
    if not any((number.places or 0) >= places for number in numbers_of(value)):
        return
    for ending, expected in _near(found, value):
        if ending != exact and compare_values(value, expected, places).match is Match.EQUAL:
            yield ending


def _near(found: Predictions, value: Value) -> Iterator[tuple[Hashable, Value]]:
    """Yield the endings that a rounded value may fit, of numbers only those of nearly its size."""
    if isinstance(value, Region):
        yield from found.regions.items()
        return
    if isinstance(value, Point):
        points = (one for one in found.by_value if isinstance(one, tuple) and None not in one)
        yield from ((one, value_of(one)) for one in points)
        return
    typed = {number.surd for number in numbers_of(value) if number.surd is not None}
    if not all(surd.is_real for surd in typed):
        return
    sizes = sorted(surd.approximate().real for surd in typed)
    for ending, others in found.real_sets().get(len(sizes), ()):
        if all(abs(a - b) <= _APART + 1e-9 * abs(a) for a, b in zip(sizes, others, strict=True)):
            digits = ending[1:] if isinstance(ending, str) else None
            yield ending, Number.exactly(Fraction(digits)) if digits else value_of(ending)
