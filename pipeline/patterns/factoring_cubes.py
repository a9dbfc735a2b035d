"""Errors in factoring sums and differences of cubes."""

from __future__ import annotations

from pipeline.exact.monomials import Polynomial
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.factoring import Cubes, factors_of_cubes
from pipeline.procedures.walk import Choices

_SKILL = "factoring"
_Factors = tuple[Polynomial, ...]


@pattern(
    "difference-of-cubes-as-cube",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)^3",
        "factor | 27a^3 + 64 | (3a + 4)^3",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x + 2)^2",
    ),
)
@instead_of(factors_of_cubes)
def difference_of_cubes_as_cube(cubes: Cubes) -> _Factors:
    """Factors a sum or difference of cubes as the cube of the binomial."""
    one = cubes.first + cubes.second * cubes.sign
    return one, one, one


@pattern(
    "cube-factor-middle-term-doubled",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 4x + 4)",
        "factor | y^3 + 27 | (y + 3)(y^2 - 6y + 9)",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x^2 - 2x + 4)",
    ),
)
@instead_of(factors_of_cubes)
def cube_factor_middle_term_doubled(cubes: Cubes) -> _Factors:
    """Doubles the middle term of the trinomial, as in a perfect square."""
    u, v = cubes.first, cubes.second * cubes.sign
    return u + v, u * u - u * v * 2 + v * v


@pattern(
    "cube-factor-signs-wrong",
    skill=_SKILL,
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)(x^2 - 2x + 4)",
        "factor | y^3 + 27 | (y - 3)(y^2 + 3y - 9)",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x^2 + 4x + 4)",
    ),
)
@instead_of(factors_of_cubes)
def cube_factor_signs_wrong(cubes: Cubes) -> Choices:
    """Finds the right terms for a sum or difference of cubes and gives some the wrong sign."""
    u, v = cubes.first, cubes.second * cubes.sign
    return Choices(
        (u + v * first, u * u + u * v * second + v * v * third)
        for first, second, third in ((1, 1, 1), (1, -1, -1), (1, 1, -1), (-1, -1, 1), (-1, 1, -1))
    )
