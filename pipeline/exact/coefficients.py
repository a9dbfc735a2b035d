"""Polynomials in one letter as their coefficients: arithmetic, division, exact roots."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import zip_longest
from math import gcd, lcm
from typing import Final, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd

Coefficients: TypeAlias = tuple[Surd, ...]
"""Coefficients by degree, lowest first, without leading zeros; () is the zero polynomial."""
ZERO: Final = Surd.of(0)
MAX_CANDIDATES = 4000
"""Most rational candidates that are tried; textbook polynomials have a few dozen."""
MAX_CONSTANT = 10**7
"""Largest end coefficient whose divisors are looked for."""


def trimmed(numbers: Coefficients) -> Coefficients:
    """Drop leading zeros."""
    while numbers and not numbers[-1]:
        numbers = numbers[:-1]
    return numbers


def value_at(numbers: Coefficients, x: Surd) -> Surd:
    """Evaluate a polynomial."""
    total = ZERO
    for number in reversed(numbers):
        total = total * x + number
    return total


def scaled(numbers: Coefficients, factor: Surd) -> Coefficients:
    """Multiply a polynomial by a number."""
    return trimmed(tuple(number * factor for number in numbers))


def added(first: Coefficients, second: Coefficients) -> Coefficients:
    """Add two polynomials."""
    return trimmed(tuple(a + b for a, b in zip_longest(first, second, fillvalue=ZERO)))


def multiplied(first: Coefficients, second: Coefficients) -> Coefficients:
    """Multiply two polynomials."""
    if not first or not second:
        return ()
    total = [ZERO] * (len(first) + len(second) - 1)
    for i, one in enumerate(first):
        for j, two in enumerate(second):
            total[i + j] = total[i + j] + one * two
    return trimmed(tuple(total))


def quotient_of(upper: Coefficients, lower: Coefficients) -> tuple[Coefficients, Coefficients]:
    """Divide polynomials, the divisor not zero; return quotient and remainder."""
    rest, found = list(upper), [ZERO] * max(len(upper) - len(lower) + 1, 0)
    for shift in range(len(upper) - len(lower), -1, -1):
        factor = rest[shift + len(lower) - 1] / lower[-1]
        found[shift] = factor
        for place, number in enumerate(lower):
            rest[shift + place] = rest[shift + place] - factor * number
    return trimmed(tuple(found)), trimmed(tuple(rest))


def common_divisor(first: Coefficients, second: Coefficients) -> Coefficients:
    """Return the common divisor of largest degree, its leading coefficient 1 (Euclid)."""
    while second:
        first, second = second, quotient_of(first, second)[1]
    return scaled(first, 1 / first[-1])


@lru_cache(maxsize=4096)
def exact_roots(numbers: Coefficients) -> frozenset[Surd] | None:
    """Return all real and complex roots, or None when some of them are no surds.

    Args:
        numbers: coefficients by degree, lowest first, not all zero.
    """
    rest = trimmed(numbers)
    found: set[Surd] = set()
    while len(rest) > 1 and not rest[0]:
        found.add(ZERO)
        rest = rest[1:]
    while len(rest) > 3:
        root = next(_rational_roots(rest), None)
        if root is None:
            break
        found.add(root)
        rest = quotient_of(rest, (-root, Surd.of(1)))[0]
    last = _closed(rest)
    return None if last is None else frozenset(found | last)


def roots_of(numbers: Coefficients) -> frozenset[Surd]:
    """Return all real and complex roots.

    Raises:
        CannotBeWorked: some of them are no surds.
    """
    roots = exact_roots(numbers)
    if roots is None:
        raise CannotBeWorked
    return roots


def real_roots(numbers: Coefficients) -> frozenset[Surd]:
    """Return all real roots.

    Raises:
        CannotBeWorked: some roots are no surds.
    """
    return frozenset(one for one in roots_of(numbers) if one.is_real)


def _closed(numbers: Coefficients) -> set[Surd] | None:
    """Roots of a constant, a linear, a quadratic, or a quadratic in the square."""
    if len(numbers) <= 1:
        return set()
    if len(numbers) == 2:
        return {-numbers[0] / numbers[1]}
    if len(numbers) == 3:
        return _quadratic(numbers)
    if any(numbers[1::2]):
        return None
    squares = exact_roots(numbers[::2])
    if squares is None:
        return None
    found: set[Surd] = set()
    for square in squares:
        root = Surd.root_of(square)
        if root is None:
            return None
        found |= {root, -root}
    return found


def _quadratic(numbers: Coefficients) -> set[Surd] | None:
    c, b, a = numbers
    root = Surd.root_of(b * b - 4 * a * c)
    return None if root is None else {(root - b) / (2 * a), (-root - b) / (2 * a)}


def _rational_roots(numbers: Coefficients) -> Iterator[Surd]:
    """Yield rational roots among the quotients of divisors of the end coefficients."""
    if not all(number.is_rational for number in numbers):
        return
    common = lcm(*(number.denominator for number in numbers))
    whole = [int((number * common).as_fraction()) for number in numbers]
    first, last = abs(whole[0]), abs(whole[-1])
    if max(first, last) > MAX_CONSTANT:
        return
    tried = 0
    for below in _divisors(last):
        for above in _divisors(first):
            if gcd(above, below) > 1:
                continue
            tried += 1
            if tried > MAX_CANDIDATES:
                return
            for sign in (1, -1):
                if _is_root(whole, sign * above, below):
                    yield Surd.of(sign * above) / below


def _is_root(whole: list[int], above: int, below: int) -> bool:
    total, power = 0, 1
    for number in reversed(whole):
        total = total * above + number * power
        power *= below
    return total == 0


def _divisors(number: int) -> list[int]:
    small = [n for n in range(1, int(number**0.5) + 1) if number % n == 0]
    return sorted({*small, *(number // n for n in small)})
