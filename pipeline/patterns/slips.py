"""General slips, which fit any step: they come last, weigh little, and explain alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Equation, Linear
from pipeline.procedures.walk import Choices, any_result, copied

_SOURCE = "Payne and Squibb 1990: no clear line between slips and mistakes"


def _changed(result: Any, change: Callable[[Surd], tuple[Surd, ...]]) -> Choices:
    """Change a number, or one number of a solution set."""
    if isinstance(result, Surd):
        return Choices(change(result))
    members = result if isinstance(result, frozenset) else ()
    return Choices((result - {one}) | {other} for one in members for other in change(one))


def shifted(number: Surd, by: int) -> tuple[Surd, ...]:
    """Return a number shifted up and down; 5 for -5 is a slip of the sign, not one by ten."""
    return tuple(other for other in (number + by, number - by) if other != -number)


@pattern(
    "slip-sign",
    skill="slips",
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, -3",
        "solve | 4x = 12 | -3",
    ),
    silent=(
        "solve | 4x = 12 | 3",
        "solve | 4x = 12 | 31",
    ),
)
@instead_of(any_result)
def slip_sign(result: Any) -> Choices:
    """Loses or gains a minus sign in one step."""
    return _changed(result, lambda one: (-one,))


@pattern(
    "slip-copied",
    skill="slips",
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 6, -1",
        "solve | 3x = 21 | 4",
    ),
    silent=(
        "solve | x^2 - 5x + 6 = 0 | 2, 3",
        "solve | x^2 - 5x + 6 = 0 | 17, 40",
    ),
)
@instead_of(copied)
def slip_copied(equation: Any) -> Choices | None:
    """Copies one number of the question wrongly: its sign, or its digits in another order."""
    return Choices(_miscopies(equation)) if isinstance(equation, Equation) else None


def _miscopies(equation: Equation) -> list[Equation]:
    if equation.factors:
        first, second = equation.factors
        return [
            *(_from_factors(equation, first._replace(q=q), second) for q in _miscopied(first.q)),
            *(_from_factors(equation, first, second._replace(q=q)) for q in _miscopied(second.q)),
        ]
    six = (*equation.left, *equation.right)
    changed = [
        (*six[:place], wrong, *six[place + 1 :])
        for place, number in enumerate(six)
        for wrong in _miscopied(number)
    ]
    return [Equation((a, b, c), (d, e, f)) for a, b, c, d, e, f in changed]


def _from_factors(equation: Equation, first: Linear, second: Linear) -> Equation:
    whole = (first.p * second.p, first.p * second.q + first.q * second.p, first.q * second.q)
    left = tuple(equation.scale * number for number in whole)
    return Equation((left[0], left[1], left[2]), equation.right, equation.scale, (first, second))


def _miscopied(number: Surd) -> list[Surd]:
    if not number:
        return []
    turned = []
    if number.is_integer and abs(number.as_fraction()) > 10 and number.as_fraction() % 10:
        size = int(abs(number.as_fraction()))
        turned = [Surd.of(int(str(size)[::-1])) * (number / size)]
    return [-number, *turned]


@pattern(
    "slip-by-one",
    skill="slips",
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, 4",
        "solve | 4x = 12 | 4",
    ),
    silent=(
        "solve | 4x = 12 | 3",
        "solve | 4x = 12 | 31",
    ),
)
@instead_of(any_result)
def slip_by_one(result: Any) -> Choices:
    """Misses a whole number by one in one step."""
    return _changed(result, lambda one: shifted(one, 1))


@pattern(
    "slip-by-ten",
    skill="slips",
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, 13",
        "solve | 4x = 92 | 13",
    ),
    silent=(
        "solve | 4x = 92 | 23",
        "solve | 4x = 92 | 32",
    ),
)
@instead_of(any_result)
def slip_by_ten(result: Any) -> Choices:
    """Misses a number by ten in one step."""
    return _changed(result, lambda one: shifted(one, 10))
