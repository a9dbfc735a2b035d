"""Errors in dividing powers."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Constant, Node, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import divide
from pipeline.procedures.rewriting.terms import (
    Monomial,
    monomial,
    number,
    over,
    product_of,
)

_SKILL = "exponents"
_NONE = Fraction(0)


def _divided_powers(place: Quotient) -> tuple[Monomial, Monomial] | None:
    above, below = monomial(place.numerator), monomial(place.denominator)
    if above is None or below is None or not below.coefficient:
        return None
    shared = {base for base, _ in above.powers} & {base for base, _ in below.powers}
    letters = {base for base in shared if not isinstance(base, Constant)}
    return (above, below) if letters else None


@pattern(
    "exponents-divided-in-quotient",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 6.5",
    shows=(
        "simplify | x^12 / x^4 | x^3",
        "simplify | (6x^8)/(2x^2) | 3x^4",
    ),
    silent=(
        "simplify | x^12 / x^4 | x^8",
        "simplify | x^4 / x^2 | x^2",
    ),
)
@instead_of(divide)
def exponents_divided_in_quotient(place: Quotient) -> Node | None:
    """Divides the exponents when powers of one base are divided."""
    found = _divided_powers(place)
    if found is None:
        return None
    above, below = found
    powers, lower = dict(above.powers), dict(below.powers)
    if any(not exponent for exponent in lower.values()):
        return None
    result = tuple((base, power / lower.get(base, Fraction(1))) for base, power in powers.items())
    left = tuple((base, power) for base, power in lower.items() if base not in powers)
    top = Monomial(above.coefficient / below.coefficient, result).tree()
    return over(top, Monomial(Surd.of(1), left).tree())


@pattern(
    "coefficients-subtracted-in-quotient",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | (8x^5)/(2x^2) | 6x^3",
        "simplify | (9a^4)/(3a) | 6a^3",
    ),
    silent=(
        "simplify | (8x^5)/(2x^2) | 4x^3",
        "simplify | x^5/x^2 | x^3",
    ),
)
@instead_of(divide)
def coefficients_subtracted_in_quotient(place: Quotient) -> Node | None:
    """Subtracts the coefficients along with the exponents when powers are divided."""
    found = _divided_powers(place)
    if found is None or found[1].coefficient == 1:
        return None
    above, below = found
    left = above.coefficient - below.coefficient
    bare = Quotient(
        above._replace(coefficient=Surd.of(1)).tree(),
        below._replace(coefficient=Surd.of(1)).tree(),
    )
    return product_of(number(left), bare)


@pattern(
    "quotient-turned-round",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | (x^18)/(x^22) | x^4",
        "simplify | (m^7)/(m^15) | m^8",
        "simplify | 6/(6x) | x",
        "simplify | (2x)/(6x) | 3",
    ),
    silent=(
        "simplify | (x^18)/(x^22) | 1/x^4",
        "simplify | (x^22)/(x^18) | x^4",
    ),
)
@instead_of(divide)
def quotient_turned_round(place: Quotient) -> Node | None:
    """Leaves in the numerator what belongs in the denominator."""
    above, below = monomial(place.numerator), monomial(place.denominator)
    if above is None or below is None or not below.coefficient or not below.powers:
        return None
    upper, lower = dict(above.powers), dict(below.powers)
    left = {base: upper.get(base, _NONE) - lower.get(base, _NONE) for base in {**upper, **lower}}
    ratio = above.coefficient / below.coefficient
    over_one = ratio.is_rational and ratio and (1 / ratio).is_integer
    if over_one and all(power <= 0 for power in left.values()):
        ratio = 1 / ratio
    elif not any(base in upper and power < 0 for base, power in left.items()):
        return None
    return Monomial(
        ratio, tuple((base, abs(power)) for base, power in left.items() if power)
    ).tree()
