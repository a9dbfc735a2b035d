"""Errors with polynomial equations of higher degree and with equations in quadratic form."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients
from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.exponential_equations import undo_substitution
from pipeline.procedures.operations import Roots
from pipeline.procedures.polynomial_equations import substitute_back
from pipeline.procedures.quantities import Quantity
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="common practice",
    shows=(
        "solve | x^4 - 6x^2 + 8 = 0 | 2, 4",
        "solve | x^(2/3) - 5x^(1/3) - 14 = 0 | 7, -2",
        "solve | (x - 5)^2 + 6(x - 5) + 8 = 0 | -2, -4",
    ),
    silent=(
        "solve | x^4 - 6x^2 + 8 = 0 | 2, -2, sqrt(2), -sqrt(2)",
        "solve | x^4 - 6x^2 + 8 = 0 | -2, -4",
    ),
)
@instead_of(substitute_back, Place.QUADRATIC_FORM)
def stopped_at_substitute(values: Roots, power: int, inner: Coefficients) -> Choices:
    """Gives the values of the substitute, or both signs of them, and does not go back."""
    both = frozenset(one * sign for one in values for sign in (1, -1))
    return Choices((values, both) if power == 2 and not inner else (values,))


@stopped_at_substitute.also(
    undo_substitution,
    Place.LOGARITHM,
    shows=(
        "logarithm | 4^x - 2^x - 12 = 0 | 4, -3",
        "logarithm | 9^x - 4*3^x + 3 = 0 | 1, 3",
    ),
    silent=("logarithm | 4^x - 2^x - 12 = 0 | 2", "logarithm | 9^x - 4*3^x + 3 = 0 | 0, 1"),
)
def _values_of_the_power_given(base: Quantity, roots: Roots) -> Roots:
    return roots


@pattern(
    source="common practice",
    shows=(
        "solve | x^4 - 13x^2 + 36 = 0 | 16, 81",
        "solve | x - 7sqrt(x) + 12 = 0 | sqrt(3), 2",
    ),
    silent=(
        "solve | x^4 - 13x^2 + 36 = 0 | 2, -2, 3, -3",
        "solve | x - 7sqrt(x) + 12 = 0 | 9, 16",
    ),
)
@instead_of(substitute_back, Place.QUADRATIC_FORM)
def substitute_undone_the_wrong_way(values: Roots, power: int, inner: Coefficients) -> Roots | None:
    """Squares the values of the substitute where a root is to be taken, or the reverse."""
    if inner or power not in (2, 0):
        return None
    if power == 2:
        return frozenset(value * value for value in values)
    found = [Surd.root_of(value) for value in values]
    return frozenset(one for one in found if one is not None)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 9.4 (related: quadratic in form); common practice",
    shows=(
        "solve | x + 6sqrt(x) - 16 = 0 | 4, 64",
        "solve | x - sqrt(x) - 6 = 0 | 9, 4",
    ),
    silent=(
        "solve | x + 6sqrt(x) - 16 = 0 | 4",
        "solve | x - 7sqrt(x) + 12 = 0 | 9, 16",
    ),
)
@instead_of(substitute_back, Place.QUADRATIC_FORM)
def negative_square_root_value_kept(values: Roots, power: int, inner: Coefficients) -> Roots | None:
    """Squares a negative value of a square root and keeps what comes out."""
    return frozenset(value * value for value in values) if power == 0 and not inner else None
