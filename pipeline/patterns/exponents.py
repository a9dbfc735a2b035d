"""Errors with the rules for products, powers and quotients of powers."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Numeral, Power, Product
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import multiply, raise_to_power
from pipeline.procedures.rewriting.terms import (
    ONE,
    Monomial,
    factors_of,
    monomial,
    number,
    power,
    product_of,
    rational,
    signed,
    sum_of,
    value_of,
)

_SKILL = "exponents"


def _grouped(one: Monomial) -> dict[Node, list[Fraction]]:
    found: dict[Node, list[Fraction]] = {}
    for base, exponent in one.powers:
        found.setdefault(base, []).append(exponent)
    return found


@pattern(
    "exponents-multiplied-in-product",
    skill=_SKILL,
    source="Scofield 2003; OpenStax College Algebra 2e, 1.2",
    shows=(
        "simplify | x^4 * x^7 | x^28",
        "simplify | (2a^3)(5a^4) | 10a^12",
    ),
    silent=(
        "simplify | x^4 * x^7 | x^11",
        "simplify | (x^4)^7 | x^28",
    ),
)
@instead_of(multiply)
def exponents_multiplied_in_product(place: Product) -> Node | None:
    """Multiplies the exponents when powers of one base are multiplied."""
    found = monomial(place)
    if found is None:
        return None
    groups = _grouped(found)
    if all(len(exponents) < 2 for exponents in groups.values()):
        return None
    powers = []
    for base, exponents in groups.items():
        total = Fraction(1)
        for exponent in exponents:
            total *= exponent
        powers.append((base, total))
    return Monomial(found.coefficient, tuple(powers)).tree()


@pattern(
    "bases-multiplied-too",
    skill=_SKILL,
    source="Matz 1980, from memory",
    shows=(
        "evaluate | 2^3 * 2^4 | 16384",
        "simplify | 3^2 * 3^5 | 9^7",
        "evaluate | 3 * 3^2 | 729",
    ),
    silent=(
        "evaluate | 2^3 * 2^4 | 128",
        "evaluate | 2^3 * 2^4 | 4096",
    ),
)
@instead_of(multiply)
def bases_multiplied_too(place: Product) -> Node | None:
    """Multiplies the bases as well as adding the exponents."""
    factors = factors_of(place)
    powers = [one if isinstance(one, Power) else Power(one, ONE) for one in factors]
    bases = [rational(one.base) for one in powers]
    exponents = [rational(one.exponent) for one in powers]
    if len(powers) != 2 or bases[0] != bases[1] or exponents == [1, 1]:
        return None
    if bases[0] is None or exponents[0] is None or exponents[1] is None:
        return None
    return power(number(bases[0] * bases[0]), exponents[0] + exponents[1])


@pattern(
    "exponents-added-in-power",
    skill=_SKILL,
    source="Scofield 2003; OpenStax College Algebra 2e, 1.2",
    shows=(
        "simplify | (x^2)^7 | x^9",
        "simplify | (2x^4)^3 | 8x^7",
    ),
    silent=(
        "simplify | (x^2)^7 | x^14",
        "simplify | x^2 * x^7 | x^9",
    ),
)
@instead_of(raise_to_power)
def exponents_added_in_power(place: Power) -> Node | None:
    """Adds the exponents when a power is raised to a power."""
    exponent, inside = rational(place.exponent), monomial(place.base)
    if exponent is None or exponent.denominator != 1 or inside is None or not inside.powers:
        return None
    if len(inside.powers) == 1 and inside.powers[0][1] == 1 and inside.coefficient == 1:
        return None
    powers = tuple((base, inner + exponent) for base, inner in inside.powers)
    return Monomial(inside.coefficient ** int(exponent), powers).tree()


def _with_number(place: Power) -> tuple[Node, Node] | None:
    """The number and the rest of a product that is raised to a power."""
    factors = factors_of(place.base)
    numbers = [one for one in factors if isinstance(signed(one)[1], Numeral)]
    others = [one for one in factors if not isinstance(signed(one)[1], Numeral)]
    sign, body = signed(place.base)
    if sign < 0:
        numbers = [one for one in factors_of(body) if isinstance(one, Numeral)]
        others = [one for one in factors_of(body) if not isinstance(one, Numeral)]
        numbers = [number(Surd.of(-1)), *numbers] if numbers else []
    return (product_of(*numbers), product_of(*others)) if numbers and others else None


@pattern(
    "coefficient-left-out-of-power",
    skill=_SKILL,
    source="Scofield 2003; Dawkins 2006; OpenStax Intermediate Algebra 2e, 8.6",
    shows=(
        "simplify | (2x^4)^2 | 2x^8",
        "simplify | (4x)^2 | 4x^2",
        "simplify | (3sqrt(5))^2 | 15",
    ),
    silent=(
        "simplify | (2x^4)^2 | 4x^8",
        "simplify | (x^4)^2 | x^8",
    ),
)
@instead_of(raise_to_power)
def coefficient_left_out_of_power(place: Power) -> Node | None:
    """Raises the letters of a product to the power and leaves the number as it is."""
    parts = _with_number(place)
    if parts is None or rational(place.exponent) is None:
        return None
    return product_of(parts[0], Power(parts[1], place.exponent))


@pattern(
    "coefficient-times-exponent",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | (3x^5)^3 | 9x^15",
        "simplify | (5a^2)^2 | 10a^4",
    ),
    silent=(
        "simplify | (3x^5)^3 | 27x^15",
        "simplify | (2a^2)^2 | 4a^4",
    ),
)
@instead_of(raise_to_power)
def coefficient_times_exponent(place: Power) -> Node | None:
    """Multiplies the number of a product by the exponent instead of raising it."""
    parts, exponent = _with_number(place), rational(place.exponent)
    if parts is None or exponent is None or exponent.denominator != 1:
        return None
    return product_of(parts[0], number(exponent), Power(parts[1], place.exponent))


@pattern(
    "like-bases-added-in-product",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | x^3 * x^3 | 2x^3",
        "simplify | a * a | 2a",
    ),
    silent=(
        "simplify | x^3 * x^3 | x^6",
        "simplify | x^3 + x^3 | 2x^3",
    ),
)
@instead_of(multiply)
def like_bases_added_in_product(place: Product) -> Node | None:
    """Adds equal powers that are to be multiplied."""
    factors = factors_of(place)
    if len(factors) != 2 or factors[0] != factors[1] or value_of(factors[0]) is not None:
        return None
    return sum_of(*factors) if monomial(factors[0]) is not None else None
