"""Errors in factoring an expression."""

from __future__ import annotations

from pipeline.exact.monomials import Polynomial
from pipeline.exact.numbers import Surd
from pipeline.patterns.factoring import factor_pair_misses_sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Linear
from pipeline.procedures.operations import pair_of_factors
from pipeline.procedures.rewriting.factoring import (
    Trinomial,
    factors_of_trinomial,
    join_factors,
    take_out_common_factor,
)
from pipeline.procedures.walk import Choices, Ending

_SKILL = "factoring"
_LARGEST_SUM = 40
_PRIME = "PRIME"

_Pairs = tuple[Linear, ...]


@pattern(
    "factor-signs-swapped",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 7.2",
    shows=(
        "factor | x^2 - 5x + 6 | (x + 3)(x + 2)",
        "factor | x^2 + 11xy + 28y^2 | (x - 4y)(x - 7y)",
        "factor | x^2 - 10x + 25 | (x + 5)^2",
    ),
    silent=(
        "factor | x^2 - 5x + 6 | (x - 3)(x - 2)",
        "factor | x^2 - 5x + 6 | (x - 3)(x + 2)",
    ),
)
@instead_of(factors_of_trinomial)
def factor_signs_swapped(trinomial: Trinomial) -> _Pairs:
    """Finds the right numbers and gives both the opposite sign."""
    return tuple(one._replace(q=-one.q) for one in _pairs(trinomial))


def _pairs(trinomial: Trinomial) -> _Pairs:
    return pair_of_factors(trinomial.a, trinomial.b, trinomial.c)


@pattern(
    "perfect-square-as-conjugates",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | x^2 - 10x + 25 | (x - 5)(x + 5)",
        "factor | 4x^2 + 12x + 9 | (2x - 3)(2x + 3)",
    ),
    silent=(
        "factor | x^2 - 10x + 25 | (x - 5)^2",
        "factor | x^2 - 25 | (x - 5)(x + 5)",
        "factor | x^2 - 10x + 25 | (x + 5)^2",
    ),
)
@instead_of(factors_of_trinomial)
def perfect_square_as_conjugates(trinomial: Trinomial) -> _Pairs | None:
    """Factors a perfect-square trinomial as if it were a difference of squares."""
    one, *others = dict.fromkeys(_pairs(trinomial))
    return None if others else (one, one._replace(q=-one.q))


@factor_pair_misses_sum.also(
    factors_of_trinomial,
    shows=("factor | x^2 + x - 6 | (x - 1)(x + 6)", "factor | x^2 + 8x + 12 | (x + 3)(x + 4)"),
    silent=("factor | x^2 + x - 6 | (x - 2)(x + 3)", "factor | x^2 + x - 6 | (x - 2)(x + 4)"),
)
def _pair_misses_sum(trinomial: Trinomial) -> Choices | None:
    """Picks two numbers with the right product but the wrong sum."""
    version = factor_pair_misses_sum.moves[0].version
    found: Choices | None = version(trinomial.a, trinomial.b, trinomial.c)
    if found is None:
        return None
    return Choices(pair * 2 if len(pair) == 1 else pair for pair in found)


@pattern(
    "factor-pair-misses-product",
    skill=_SKILL,
    source="from memory",
    shows=(
        "factor | x^2 + 8x + 12 | (x + 4)(x + 4)",
        "factor | x^2 - 9x + 20 | (x - 3)(x - 6)",
    ),
    silent=(
        "factor | x^2 + 8x + 12 | (x + 2)(x + 6)",
        "factor | x^2 + 8x + 12 | (x + 3)(x + 4)",
    ),
)
@instead_of(factors_of_trinomial)
def factor_pair_misses_product(trinomial: Trinomial) -> Choices | None:
    """Picks two numbers with the right sum but the wrong product."""
    if trinomial.a != 1 or not trinomial.b.is_integer:
        return None
    whole = int(trinomial.b.as_fraction())
    if not 2 <= abs(whole) <= _LARGEST_SUM:
        return None
    sign = 1 if whole > 0 else -1
    return Choices(
        (Linear(Surd.of(1), Surd.of(sign * one)), Linear(Surd.of(1), Surd.of(whole - sign * one)))
        for one in range(1, abs(whole) // 2 + 1)
        if trinomial.c != one * (abs(whole) - one)
    )


@pattern(
    "numbers-in-wrong-brackets",
    skill=_SKILL,
    source="Didis, Bas and Erbas 2011; Kotsopoulos 2007",
    shows=(
        "factor | 2x^2 + 7x + 3 | (2x + 3)(x + 1)",
        "factor | 8x^2 - 14x + 3 | (2x - 1)(4x - 3)",
    ),
    silent=(
        "factor | 2x^2 + 7x + 3 | (2x + 1)(x + 3)",
        "factor | x^2 + 7x + 12 | (x + 2)(x + 6)",
    ),
)
@instead_of(factors_of_trinomial)
def numbers_in_wrong_brackets(trinomial: Trinomial) -> _Pairs | None:
    """Finds the right numbers and puts each of the last ones into the other bracket."""
    first, second = _pairs(trinomial)
    if first.p == second.p or first.q == second.q:
        return None
    return first._replace(q=second.q), second._replace(q=first.q)


@pattern(
    "factorable-called-prime",
    skill=_SKILL,
    source="from memory",
    shows=(
        "factor | x^2 - 2x - 35 | prime",
        "factor | 6x^2 + 13x + 2 | prime",
    ),
    silent=(
        "factor | x^2 - 2x - 35 | (x - 7)(x + 5)",
        "factor | x^2 + 4x + 18 | prime",
    ),
)
@instead_of(take_out_common_factor)
def factorable_called_prime(whole: Polynomial) -> Ending:
    """Says that an expression cannot be factored although it can."""
    return Ending(_PRIME)


@pattern(
    "common-factor-lost",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 7.3",
    shows=(
        "factor | 2x^2 - 20x + 18 | (x - 9)(x - 1)",
        "factor | 6a + 24 | a + 4",
    ),
    silent=(
        "factor | 2x^2 - 20x + 18 | 2(x - 9)(x - 1)",
        "factor | x^2 - 10x + 9 | (x - 9)(x - 1)",
    ),
)
@instead_of(join_factors)
def common_factor_lost(outside: Polynomial, factors: tuple[Polynomial, ...]) -> Polynomial | None:
    """Takes out a common factor and leaves it out of the answer."""
    if outside == Polynomial.constant(1):
        return None
    return join_factors(Polynomial.constant(1), factors)


@pattern(
    "one-not-left-behind",
    skill=_SKILL,
    source="from memory",
    shows=(
        "factor | 4x^2 + 4x | 4x(x)",
        "factor | 14x + 14 | 14x",
    ),
    silent=(
        "factor | 4x^2 + 4x | 4x(x + 1)",
        "factor | 4x^2 + 8x | 4x(x)",
    ),
)
@instead_of(take_out_common_factor)
def one_not_left_behind(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Leaves nothing where a whole term is taken out, instead of 1."""
    outside, rest = take_out_common_factor(whole)
    if abs(rest.constant_term.as_fraction() if rest.constant_term.is_rational else 0) != 1:
        return None
    if outside in (Polynomial.constant(1), Polynomial.constant(-1)):
        return None
    return outside, Polynomial({one: value for one, value in rest.terms.items() if one})


@pattern(
    "factor-taken-from-one-term",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | 6a + 24 | 6(a + 24)",
        "factor | 5x^2 - 25x + 15 | 5(x^2 - 25x + 15)",
    ),
    silent=(
        "factor | 6a + 24 | 6(a + 4)",
        "factor | 6a + 24 | a + 4",
    ),
)
@instead_of(take_out_common_factor)
def factor_taken_from_one_term(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Divides the first term by the common factor and leaves the other terms undivided."""
    outside, _ = take_out_common_factor(whole)
    number = Polynomial.constant(next(iter(outside.terms.values())))
    if number == Polynomial.constant(1) or len(outside.letters) > 0:
        return None
    first, *rest = whole.ordered()
    divided = {first[0]: first[1] / number.constant_term, **dict(rest)}
    return number, Polynomial(divided)


@pattern(
    "negative-factor-signs-kept",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | -2x - 6 | -2(x - 3)",
        "factor | -5x^2 + 10x | -5x(x + 2)",
    ),
    silent=(
        "factor | -2x - 6 | -2(x + 3)",
        "factor | 2x - 6 | 2(x + 3)",
    ),
)
@instead_of(take_out_common_factor)
def negative_factor_signs_kept(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Takes out a negative factor and changes the sign of the first term only."""
    outside, rest = take_out_common_factor(whole)
    if next(iter(outside.terms.values())).real_sign() > 0:
        return None
    first, *others = rest.ordered()
    return outside, Polynomial({first[0]: first[1], **{name: -one for name, one in others}})
