"""Errors in writing sums of logarithms as one, and one as a sum."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Node, Product, Quotient, Sum, letters
from pipeline.patterns.exponential_equations import quotient_of_logarithms_as_logarithm_of_quotient
from pipeline.patterns.logarithmic_equations import (
    coefficient_of_logarithm_as_factor,
    coefficient_of_logarithm_dropped,
)
from pipeline.patterns.logarithms import sum_of_logarithms_as_logarithm_of_sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Coefficients
from pipeline.procedures.functions import tree_of_part
from pipeline.procedures.logarithm_laws import (
    LAWS,
    Factor,
    factors_inside,
    join_arguments,
    keep_quotient,
    logarithm_of,
    multiple_inside,
    spread,
    sum_of_logarithms,
)
from pipeline.procedures.logarithms import LOGARITHM, Logarithms, combine_logs, evaluate_log
from pipeline.procedures.polynomial_roots import scaled
from pipeline.procedures.quantities import Quantity, quantity_of, settled
from pipeline.procedures.rewriting.terms import signed, terms_of
from pipeline.procedures.solving_for import Part, join, times
from pipeline.procedures.walk import Choices, Ending

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


@pattern(
    "logarithm-spread-over-sum",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students; Schechter 2006",
    shows=(
        "expand | ln(x + y) | ln(x) + ln(y)",
        "expand | log(100 - k) | 2 - log(k)",
        "expand | ln(x^2 + y^2) | 2ln(x) + 2ln(y)",
    ),
    silent=(
        "expand | ln(x*y) | ln(x) + ln(y)",
        "expand | ln(x + y) | ln(x)*ln(y)",
        "expand | ln(p - q) | ln(q) - ln(p)",
    ),
)
@instead_of(spread, LAWS)
def logarithm_spread_over_sum(base: Quantity, factors: Factors) -> Node | None:
    """Writes the logarithm of a sum as the sum of the logarithms."""
    if not any(isinstance(one.inside, Sum) for one in factors):
        return None
    terms: list[Factor] = []
    for inside, exponent in factors:
        for sign, term in map(signed, terms_of(inside)):
            terms += factors_inside(term, exponent if sign > 0 else -exponent)
    return sum_of_logarithms(base, tuple(terms))


@logarithm_spread_over_sum.also(
    combine_logs,
    LOGARITHM,
    shows=("logarithm | log(x + 3) = 2 | 100/3", "logarithm | log_2(x - 5) = 3 | 40"),
    silent=("logarithm | log(x + 3) = 2 | 97", "logarithm | log(x + 3) = 2 | 103"),
)
def _spread_in_equation(start: Logarithms) -> tuple[Coefficients, Coefficients] | None:
    """Writes the logarithm of a sum as the sum of the logarithms."""
    if start.second or len(start.first) != 2 or not start.first[0]:
        return None
    constant, factor = start.first
    term = (Surd.of(0), factor)
    if constant.real_sign() < 0:
        return term, (-constant,)
    return scaled(term, constant), (Surd.of(1),)


@quotient_of_logarithms_as_logarithm_of_quotient.also(
    keep_quotient,
    LAWS,
    shows=("simplify | ln(x)/ln(y) | ln(x/y)", "evaluate | log_2(32)/log_2(4) | 3"),
    silent=("simplify | ln(x)/ln(y) | ln(x)*ln(y)", "evaluate | log_2(32)/log_2(4) | 5/2"),
)
def _quotient_taken_inside(base: Quantity, above: Node, below: Node) -> Choices:
    """Writes the quotient of two logarithms as the logarithm of the quotient."""
    inside = Quotient(above, below)
    if not letters(inside):
        value = evaluate_log(base, quantity_of(inside))
        return Choices((Ending(value if isinstance(value, str) else settled(value)),))
    spread_out = sum_of_logarithms(base, tuple(factors_inside(inside, Surd.of(1))))
    return Choices((logarithm_of(inside, base), spread_out))


@pattern(
    "logarithms-cancelled-in-quotient",
    skill=_SKILL,
    source="T. L. Scofield 2003 (cancelling what is no factor); common practice",
    shows=(
        "simplify | log(6)/log(2) | 3",
        "simplify | ln(x)/ln(y) | x/y",
    ),
    silent=(
        "simplify | log(8)/log(2) | 3",
        "simplify | ln(x)/ln(y) | y/x",
    ),
)
@instead_of(keep_quotient, LAWS)
def logarithms_cancelled_in_quotient(base: Quantity, above: Node, below: Node) -> Node:
    """Crosses the signs of two logarithms out of a fraction, as if they were factors."""
    return Quotient(above, below)
