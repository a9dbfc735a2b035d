"""Values to fifty digits, for numbers and expressions beyond exact arithmetic.

mpmath is loaded on first use, so that the ordinary path starts without it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from pipeline.errors import BudgetExceeded
from pipeline.exact.trees import (
    KNOWN_FUNCTIONS,
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    children,
    letters,
)

if TYPE_CHECKING:
    from types import ModuleType

from pipeline.exact.coefficients import exact_roots, trimmed
from pipeline.exact.numbers import Surd

_DIGITS = 50
"""Digits to which values are compared."""
_WORKING = 65
_MAX_LOG = 5000
"""Largest number of digits of an intermediate value."""


class NotNumeric(Exception):
    """A tree that has no value at a point: a relation, an unknown function, a division by zero."""


@lru_cache(maxsize=1)
def _multiple_precision() -> ModuleType:
    """Return mpmath, set to the working digits."""
    import mpmath

    mpmath.mp.dps = _WORKING
    module: ModuleType = mpmath
    return module


def numeric_value(node: Node, point: Mapping[str, Any] | None = None) -> Any:
    """Return a tree's value as an mpmath number of 65 working digits.

    Args:
        node: the tree.
        point: value of each letter.

    Raises:
        NotNumeric: there is no value.
        BudgetExceeded: a power is too large.
    """
    mp = _multiple_precision().mp
    try:
        value = _evaluate(node, point or {}, mp)
    except (ZeroDivisionError, ValueError, OverflowError) as error:
        raise NotNumeric(str(error)) from error
    if not mp.isfinite(value):
        raise NotNumeric("not finite")
    return value


def _evaluate(node: Node, point: Mapping[str, Any], mp: Any) -> Any:  # noqa: PLR0911, PLR0912, C901 - one a kind
    match node:
        case Numeral(number):
            return mp.mpf(number.numerator) / number.denominator
        case Letter(name) if name in point:
            return point[name]
        case Constant(name) if name in _CONSTANTS:
            return _constant(name, mp)
        case Negation(part):
            return -_evaluate(part, point, mp)
        case Sum(parts):
            return sum((_evaluate(part, point, mp) for part in parts), mp.mpf(0))
        case Product(parts):
            total = mp.mpf(1)
            for part in parts:
                total = total * _evaluate(part, point, mp)
            return total
        case Quotient(upper, lower):
            return _evaluate(upper, point, mp) / _evaluate(lower, point, mp)
        case Power(base, exponent):
            value, power = _evaluate(base, point, mp), _evaluate(exponent, point, mp)
            if point and not mp.isint(power):
                _stay_real(value, base, point, mp)
            return _power(value, power, mp)
        case Root(radicand, index):
            value = _evaluate(radicand, point, mp)
            is_even = isinstance(index, Numeral) and index.value % 2 == 0
            if is_even and point and letters(radicand) and not mp.im(value) and mp.re(value) < 0:
                raise NotNumeric("an even root of letters is compared only where it is real")
            return _root(value, _evaluate(index, point, mp), mp)
        case Absolute(part):
            return abs(_evaluate(part, point, mp))
        case Call(name, arguments, base) if len(arguments) == 1 and name in KNOWN_FUNCTIONS:
            inner = _evaluate(arguments[0], point, mp)
            if name in _LOGARITHMS and letters(arguments[0]):
                _stay_real(inner, arguments[0], point if _is_one_term(arguments[0]) else {}, mp)
            value = getattr(mp, name)(inner)
            if name != "log":
                return value
            return value / mp.log(10 if base is None else _evaluate(base, point, mp))
    raise NotNumeric("no value")


_CONSTANTS = frozenset({"i", "pi", "e"})
_LOGARITHMS = frozenset({"ln", "log"})


def _constant(name: str, mp: Any) -> Any:
    return mp.mpc(0, 1) if name == "i" else +mp.pi if name == "pi" else +mp.e


def _power(base: Any, exponent: Any, mp: Any) -> Any:
    if base and abs(mp.log10(abs(base)) * abs(exponent)) > _MAX_LOG:
        raise BudgetExceeded("the power is too large")
    if not base and mp.re(exponent) <= 0:
        raise NotNumeric("zero to a power of zero or less")
    return base**exponent


def _stay_real(value: Any, base: Node, point: Mapping[str, Any], mp: Any) -> None:
    """Compare fractional powers and logarithms only where they are real.

    Fractional powers of letters, and logarithms of products and quotients of them, are compared at
    positive numbers alone: that letters stand for these is what textbooks say of them (OpenStax
    Intermediate Algebra 2e, 8.3, 10.4).
    """
    if not mp.im(value) and mp.re(value) <= 0:
        raise NotNumeric("not real here")
    if any(mp.re(point[name]) < 0 for name in letters(base) if name in point):
        raise NotNumeric("letters under a fractional power are positive")


def _is_one_term(node: Node) -> bool:
    parts = children(node)
    return not isinstance(node, Sum | Negation) and all(_is_one_term(part) for part in parts)


def _root(radicand: Any, index: Any, mp: Any) -> Any:
    if mp.im(index) or index != int(mp.re(index)) or not index:
        raise NotNumeric("no such root")
    if not mp.im(radicand) and mp.re(radicand) < 0 and int(index) % 2:
        return -((-radicand) ** (1 / index))
    return radicand ** (1 / mp.mpf(index))


def sample_points(
    names: frozenset[str], positive: bool = True, turned: bool = False, large: str = ""
) -> list[dict[str, Any]]:
    """Return fixed points at which expressions in these letters are compared.

    Each letter has its own irrational values, the same in every call. Where `turned`, they are the
    reciprocals, so that of two letters the other one is larger: sqrt(r^2 - x^2) is real at one.
    The one that is `large` outweighs products of the others, as b has to in sqrt(b^2 - 4ac).
    """
    mp = _multiple_precision().mp
    points = []
    for shift in (3, 11, 29):
        point = {}
        for name in names:
            number = sum((place + 1) * ord(letter) for place, letter in enumerate(name)) % 9973
            value = mp.sqrt(number + shift) / 7 + mp.mpf(1) / 3
            value = 1 / value if turned else value * 16 if name == large else value
            point[name] = value if positive else -value
        points.append(point)
    return points


def agree(first: Node, second: Node) -> bool | None:
    """Whether two trees have the same value, to fifty digits, at every point where both have one.

    Returns:
        None where no point gives both a value.
    """
    names = letters(first) | letters(second)
    kinds = ((True, False), (False, False), (True, True))
    points = [point for kind in kinds for point in sample_points(names, *kind)]
    seen = _agree_at(first, second, points[: None if names else 1])
    for name in sorted(names) if seen is None else ():
        seen = _agree_at(first, second, sample_points(names, large=name)) if seen is None else seen
    return seen


def _agree_at(first: Node, second: Node, points: Sequence[Mapping[str, Any]]) -> bool | None:
    seen = None
    for point in points:
        try:
            left, right = numeric_value(first, point), numeric_value(second, point)
        except (NotNumeric, BudgetExceeded):
            continue
        if not close(left, right):
            return False
        seen = True
    return seen


def close(left: Any, right: Any) -> bool:
    """Whether two values agree to fifty digits."""
    mp = _multiple_precision().mp
    size = max(abs(left), abs(right), mp.mpf(1))
    return bool(abs(left - right) <= size * mp.mpf(10) ** -_DIGITS)


def fingerprint(node: Node) -> str | None:
    """Return text that equal expressions share: their rounded values at fixed points."""
    mp, names = _multiple_precision().mp, letters(node)
    values = _real_values(node, names, 2 if names else 1)
    if values is None:
        return None
    pieces = [_digits(value, mp) for value in values]
    for point in sample_points(names, positive=False)[:1] if names else ():
        try:
            value = numeric_value(node, point)
        except (NotNumeric, BudgetExceeded):
            pieces.append("u")
        else:
            pieces.append(_digits(value, mp))
    return ",".join(pieces)


def _real_values(node: Node, names: frozenset[str], count: int) -> list[Any] | None:
    """Values at the first points, or at others where the first give none."""
    for turned, large in ((False, ""), (True, ""), *((False, name) for name in sorted(names))):
        try:
            points = sample_points(names, turned=turned, large=large)[:count]
            return [numeric_value(node, point) for point in points]
        except (NotNumeric, BudgetExceeded):
            continue
    return None


def _digits(value: Any, mp: Any) -> str:
    real, imaginary = (
        "" if abs(part) < mp.mpf(10) ** -45 else str(mp.nstr(part, 40))
        for part in (mp.re(value), mp.im(value))
    )
    return (real or "0") + (f"{imaginary}i" if imaginary else "")


def ratios(node: Node) -> str | None:
    """Return a fingerprint that a constant factor does not change."""
    mp, names = _multiple_precision().mp, letters(node)
    values = _real_values(node, names, 3)
    if not values or not values[0]:
        return None
    return ",".join(_digits(value / values[0], mp) for value in values[1:])


@lru_cache(maxsize=1024)
def recognized(node: Node) -> Surd | None:
    """Return the number a + b*sqrt(d) that a tree without letters equals to fifty digits, if any.

    Only small coefficients are looked for: disguised roots such as the cube root of 7 + 5*sqrt(2).
    """
    module = _multiple_precision()
    mp = module.mp
    try:
        value = numeric_value(node)
    except (NotNumeric, BudgetExceeded):
        return None
    if mp.im(value):
        return None
    found = module.findpoly(mp.re(value), 2, maxcoeff=100_000, tol=mp.mpf(10) ** -_DIGITS)
    if not found or len(found) < 2:
        return None
    numbers = trimmed(tuple(Surd.of(int(number)) for number in reversed(found)))
    roots = (exact_roots(numbers) if len(numbers) > 1 else None) or ()
    return min(roots, key=lambda one: abs(one.approximate() - complex(value)), default=None)
