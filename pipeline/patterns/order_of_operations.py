"""Errors in the order of operations."""

from __future__ import annotations

from pipeline.exact.trees import Negation, Node, Power, Product, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, drop_minus, multiply, raise_to_power
from pipeline.procedures.rewriting.terms import (
    Monomial,
    factors_of,
    monomial,
    negative,
    number,
    product_of,
    rational,
    signed,
    sum_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import Choices

_SKILL = "order of operations"


@pattern(
    "worked-left-to-right",
    skill=_SKILL,
    source="Linchevski and Livneh 1999",
    shows=(
        "evaluate | 5 + 3*4 | 32",
        "evaluate | 20 - 12/4 | 2",
        "evaluate | 2 + 3^2 | 25",
    ),
    silent=(
        "evaluate | 5 + 3*4 | 17",
        "evaluate | 3*4 + 5 | 27",
    ),
)
@instead_of(add)
def worked_left_to_right(place: Sum) -> Choices | None:
    """Adds or subtracts first, because it stands further left than a product or a power."""
    return Choices(_joined_first(place, numbers_only=True))


def _joined_first(place: Sum, numbers_only: bool) -> list[Node]:
    found: list[Node] = []
    for index in range(1, min(len(place.terms), 6)):
        before, term, after = place.terms[:index], place.terms[index], place.terms[index + 1 :]
        sign, body = signed(term)
        if numbers_only != all(value_of(part) is not None for part in (*before, body)):
            continue
        if isinstance(body, Product) and not isinstance(body.factors[0], Negation):
            start = body.factors[0] if sign == 1 else Negation(body.factors[0])
            rest = body.factors[1:]
            if value_of(start) is None or any(value_of(part) is None for part in before):
                continue
            found.append(sum_of(Product((sum_of(*before, start), *rest)), *after))
        elif isinstance(body, Power) and numbers_only and whole(body.base) is not None:
            start = body.base if sign == 1 else Negation(body.base)
            found.append(sum_of(Power(sum_of(*before, start), body.exponent), *after))
        elif isinstance(body, Quotient) and numbers_only and not isinstance(body.numerator, Sum):
            start = body.numerator if sign == 1 else Negation(body.numerator)
            found.append(sum_of(Quotient(sum_of(*before, start), body.denominator), *after))
    return found


@pattern(
    "subtracted-before-multiplying",
    skill=_SKILL,
    source="Theba, Pournara and Takker 2024; Linchevski and Livneh 1999",
    shows=(
        "simplify | 8 - 3(x + 2) | 5x + 10",
        "simplify | 2 + 5(x - 1) | 7x - 7",
    ),
    silent=(
        "simplify | 8 - 3(x + 2) | 2 - 3x",
        "simplify | 8 - 3(x + 2) | 10 - 3x",
    ),
)
@instead_of(add)
def subtracted_before_multiplying(place: Sum) -> Choices | None:
    """Joins the number in front with the multiplier of a bracket before multiplying it out."""
    return Choices(
        joined
        for joined in _joined_first(place, numbers_only=False)
        if any(isinstance(factor, Sum | Power) for factor in _second_factors(joined))
    )


def _second_factors(node: Node) -> tuple[Node, ...]:
    first = node.terms[0] if isinstance(node, Sum) else node
    return first.factors[1:] if isinstance(first, Product) else ()


@pattern(
    "coefficient-raised-too",
    skill=_SKILL,
    source="a teacher's list of errors, 2015",
    shows=(
        "evaluate | 2x^2 at x=5 | 100",
        "evaluate | 3*2^3 | 216",
    ),
    silent=(
        "evaluate | 2x^2 at x=5 | 50",
        "evaluate | 2x^2 at x=5 | 20",
    ),
)
@instead_of(multiply)
def coefficient_raised_too(place: Product) -> Node | None:
    """Multiplies by the number in front before the power is taken."""
    factors = factors_of(place)
    last = factors[-1]
    if len(factors) != 2 or not isinstance(last, Power) or value_of(factors[0]) is None:
        return None
    if isinstance(last.base, Sum) or isinstance(factors[0], Power):
        return None
    exponent = whole(last.exponent)
    if exponent is None or exponent < 2 or value_of(last.base) is None:
        return None
    return Power(Product((factors[0], last.base)), last.exponent)


@pattern(
    "exponent-as-multiplier",
    skill="exponents",
    source="Slavit 2006; Robinson 2013 (96 answers on powers)",
    shows=(
        "evaluate | 2^5 | 10",
        "evaluate | 4^(-2) | -8",
    ),
    silent=(
        "evaluate | 2^5 | 32",
        "evaluate | 2^5 | 25",
    ),
)
@instead_of(raise_to_power)
def exponent_as_multiplier(place: Power) -> Node | None:
    """Multiplies the base by the exponent."""
    exponent, base = rational(place.exponent), rational(place.base)
    if base is None or exponent is None or exponent in (0, 1, 2) or exponent.denominator != 1:
        return None
    return product_of(place.base, number(exponent))


@pattern(
    "minus-taken-into-power",
    skill=_SKILL,
    source="Cangelosi et al. 2013; OpenStax Elementary Algebra 2e, 6.7",
    shows=(
        "evaluate | -6^2 | 36",
        "evaluate | 5 - 3^2 | 14",
    ),
    silent=(
        "evaluate | -6^2 | -36",
        "evaluate | (-6)^2 | 36",
    ),
)
@instead_of(drop_minus)
def minus_taken_into_power(place: Negation) -> Node | None:
    """Raises a number together with the minus sign before it."""
    body = place.argument
    if isinstance(body, Power):
        return Power(negative(body.base), body.exponent)
    factors = factors_of(body)
    if isinstance(body, Product) and isinstance(factors[0], Power):
        first = factors[0]
        return Product((Power(negative(first.base), first.exponent), *factors[1:]))
    return None


@pattern(
    "power-of-letter-only",
    skill="exponents",
    source="Dawkins 2006; Scofield 2003",
    shows=(
        "simplify | (5xy^2)^3 | 125xy^6",
        "simplify | (ab^3)^2 | ab^6",
    ),
    silent=(
        "simplify | (5xy^2)^3 | 125x^3y^6",
        "simplify | (5xy^2)^3 | 5x^3y^6",
    ),
)
@instead_of(raise_to_power)
def power_of_letter_only(place: Power) -> Choices | None:
    """Raises one letter of a product to the power and leaves another one as it is."""
    exponent, inside = whole(place.exponent), monomial(place.base)
    if exponent is None or inside is None or not 2 <= len(inside.powers) <= 4:
        return None
    return Choices(
        Monomial(
            inside.coefficient**exponent,
            tuple(
                (base, power if index == left else power * exponent)
                for index, (base, power) in enumerate(inside.powers)
            ),
        ).tree()
        for left in range(len(inside.powers))
    )
