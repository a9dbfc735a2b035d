"""Errors in writing sums of logarithms as one, and one as a sum."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Node, Product, Quotient
from pipeline.patterns.logarithmic_equations import (
    coefficient_of_logarithm_as_factor,
    coefficient_of_logarithm_dropped,
)
from pipeline.patterns.logarithms import sum_of_logarithms_as_logarithm_of_sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.functions import tree_of_part
from pipeline.procedures.logarithm_laws import (
    LAWS,
    Factor,
    join_arguments,
    logarithm_of,
    multiple_inside,
    spread,
    sum_of_logarithms,
)
from pipeline.procedures.quantities import Quantity
from pipeline.procedures.solving_for import Part, join, times
from pipeline.procedures.walk import Ending

_SKILL = "logarithms"
_ONE = Polynomial.constant(1)
Factors = tuple[Factor, ...]


@sum_of_logarithms_as_logarithm_of_sum.also(
    join_arguments,
    LAWS,
    shows=(
        "simplify | ln(x) + ln(y) | ln(x + y)",
        "simplify | log_2(x) - log_2(y) | log_2(x - y)",
    ),
    silent=("simplify | ln(x) + ln(y) | ln(xy)", "simplify | ln(x) - ln(y) | ln(x/y)"),
)
def _arguments_added(base: Quantity, first: Part, second: Part, side: int) -> Part:
    return join(first, second, side)


@coefficient_of_logarithm_as_factor.also(
    multiple_inside,
    LAWS,
    shows=("simplify | 2ln(x) + ln(3) | ln(6x)", "simplify | 3log(x) - log(y) | log(3x/y)"),
    silent=("simplify | 2ln(x) + ln(3) | ln(3x^2)",),
)
def _factor_taken_inside(factor: Surd, inside: Part) -> Part:
    return times(inside, (Polynomial.constant(factor), _ONE))


@coefficient_of_logarithm_dropped.also(
    multiple_inside,
    LAWS,
    shows=("simplify | 2ln(x) + ln(3) | ln(3x)", "simplify | 3log(x) - log(y) | log(x/y)"),
    silent=("simplify | 2ln(x) + ln(3) | ln(3x^2)",),
)
def _factor_left_out(factor: Surd, inside: Part) -> Part:
    return inside


@pattern(
    "difference-of-logarithms-as-quotient-of-logarithms",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | ln(x) - ln(y) | ln(x)/ln(y)",
        "simplify | log(x^2) - log(5) | log(x^2)/log(5)",
    ),
    silent=(
        "simplify | ln(x) - ln(y) | ln(x/y)",
        "simplify | ln(x) + ln(y) | ln(x)/ln(y)",
    ),
)
@instead_of(join_arguments, LAWS)
def difference_of_logarithms_as_quotient_of_logarithms(
    base: Quantity, first: Part, second: Part, side: int
) -> Ending | None:
    """Writes a difference of logarithms as a quotient of logarithms."""
    if side > 0:
        return None
    above, below = (logarithm_of(tree_of_part(one), base) for one in (first, second))
    return Ending(Quotient(above, below))


@pattern(
    "sum-of-logarithms-as-product-of-logarithms",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | ln(x) + ln(y) | ln(x)*ln(y)",
        "simplify | log(x) + log(5) | log(x)*log(5)",
    ),
    silent=(
        "simplify | ln(x) + ln(y) | ln(xy)",
        "simplify | ln(x) - ln(y) | ln(x)*ln(y)",
    ),
)
@instead_of(join_arguments, LAWS)
def sum_of_logarithms_as_product_of_logarithms(
    base: Quantity, first: Part, second: Part, side: int
) -> Ending | None:
    """Writes a sum of logarithms as a product of logarithms."""
    if side < 0:
        return None
    one, two = (logarithm_of(tree_of_part(part), base) for part in (first, second))
    return Ending(Product((one, two)))


@pattern(
    "logarithm-of-product-as-product-of-logarithms",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | log(x^2y) | 2log(x)*log(y)",
        "expand | log_2(8x) | 3log_2(x)",
    ),
    silent=(
        "expand | log(x^2y) | 2log(x) + log(y)",
        "expand | ln(x/y) | ln(x)*ln(y)",
    ),
)
@instead_of(spread, LAWS)
def logarithm_of_product_as_product_of_logarithms(base: Quantity, factors: Factors) -> Node | None:
    """Writes the logarithm of a product as a product of logarithms."""
    if len(factors) < 2 or any(one.exponent.real_sign() < 0 for one in factors):
        return None
    return Product(tuple(sum_of_logarithms(base, (one,)) for one in factors))


@pattern(
    "logarithm-of-quotient-as-quotient-of-logarithms",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | ln(x^3/y) | 3ln(x)/ln(y)",
        "expand | log(x/5) | log(x)/log(5)",
    ),
    silent=(
        "expand | ln(x^3/y) | 3ln(x) - ln(y)",
        "expand | ln(x*y) | ln(x)/ln(y)",
    ),
)
@instead_of(spread, LAWS)
def logarithm_of_quotient_as_quotient_of_logarithms(
    base: Quantity, factors: Factors
) -> Node | None:
    """Writes the logarithm of a quotient as a quotient of logarithms."""
    above = tuple(one for one in factors if one.exponent.real_sign() > 0)
    below = tuple(Factor(one, -power) for one, power in factors if power.real_sign() < 0)
    if not above or not below:
        return None
    return Quotient(sum_of_logarithms(base, above), sum_of_logarithms(base, below))


@pattern(
    "exponent-put-before-whole-logarithm",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | log(x^2y) | 2log(x) + 2log(y)",
        "expand | ln(5x^3) | 3ln(5x)",
    ),
    silent=(
        "expand | log(x^2y) | 2log(x) + log(y)",
        "expand | ln((5x)^3) | 3ln(5x)",
    ),
)
@instead_of(spread, LAWS)
def exponent_put_before_whole_logarithm(base: Quantity, factors: Factors) -> Node | None:
    """Puts the exponent of one factor before the logarithm of the whole product."""
    large = [one.exponent for one in factors if one.exponent not in (1, -1)]
    if len(large) != 1 or len(factors) < 2 or large[0].real_sign() < 0:
        return None
    size = large[0]
    spread_out = (
        Factor(inside, power if power == size else power * size) for inside, power in factors
    )
    return sum_of_logarithms(base, tuple(spread_out))


@pattern(
    "minus-before-first-logarithm-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | ln(x/(yz)) | ln(x) - ln(y) + ln(z)",
        "expand | log(x^2/(3y)) | 2log(x) - log(3) + log(y)",
    ),
    silent=(
        "expand | ln(x/(yz)) | ln(x) - ln(y) - ln(z)",
        "expand | ln(xz/y) | ln(x) - ln(y) + ln(z)",
    ),
)
@instead_of(spread, LAWS)
def minus_before_first_logarithm_only(base: Quantity, factors: Factors) -> Node | None:
    """Subtracts the logarithm of the first factor of a denominator and adds those of the others."""
    below = [one for one in factors if one.exponent.real_sign() < 0]
    if len(below) < 2:
        return None
    changed = (Factor(one.inside, -one.exponent) if one in below[1:] else one for one in factors)
    return sum_of_logarithms(base, tuple(changed))
