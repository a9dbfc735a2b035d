"""Errors that work an expression as if it were an equation."""

from __future__ import annotations

from math import lcm

from pipeline.exact.monomials import Polynomial
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Node, letters
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.polynomial_roots import exact_roots
from pipeline.procedures.rewriting.factoring import PLACE as FACTORING
from pipeline.procedures.rewriting.factoring import take_out_common_factor
from pipeline.procedures.rewriting.operations import copy_expression
from pipeline.procedures.rewriting.terms import (
    ONE,
    as_fraction,
    number,
    product_of,
    terms_of,
    whole,
)
from pipeline.procedures.walk import Ending

_SKILL = "rational expressions"


@pattern(
    "expression-multiplied-by-denominator",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students (code EPE)",
    shows=(
        "simplify | x/2 + x/3 | 5x",
        "simplify | 1/x + 1/3 | x + 3",
        "simplify | (x + 1)/4 - x/6 | x + 3",
    ),
    silent=(
        "simplify | x/2 + x/3 | 5x/6",
        "simplify | x/2 + x/3 | 2x/5",
        "solve | x/2 + x/3 = 5 | 6",
    ),
)
@instead_of(copy_expression, "simplify")
def expression_multiplied_by_denominator(whole_tree: Node) -> Node | None:
    """Multiplies an expression by the common denominator, as if it were a side of an equation."""
    parts = [as_fraction(term) for term in terms_of(whole_tree)]
    below = [lower for _, lower in parts if lower != ONE]
    if len(parts) < 2 or not below or not letters(whole_tree):
        return None
    sizes = [size for lower in below if (size := whole(lower)) is not None]
    others = dict.fromkeys(lower for lower in below if whole(lower) is None)
    return product_of(number(lcm(*sizes)), *others, whole_tree)


@pattern(
    "expression-set-to-zero",
    skill="factoring",
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students (code EPE)",
    shows=(
        "factor | x^2 - 5x + 6 | x = 2, x = 3",
        "expand | (x + 3)(x - 5) | x = -3 or x = 5",
        "simplify | 5x - 2x + 12 | x = -4",
    ),
    silent=(
        "factor | x^2 - 5x + 6 | (x - 2)(x - 3)",
        "factor | x^2 - 5x + 6 | x = -2, x = -3",
        "solve | x^2 - 5x + 6 = 0 | 2, 3",
    ),
)
@instead_of(take_out_common_factor, FACTORING)
def expression_set_to_zero(polynomial: Polynomial) -> Ending | None:
    """Sets an expression equal to zero and solves, where there is no equation."""
    names = sorted(polynomial.letters)
    if len(names) != 1 or not 1 <= polynomial.degree() <= 3:
        return None
    roots = exact_roots(tuple(polynomial.coefficients(names[0])))
    real = frozenset(one for one in roots or () if one.is_real)
    return Ending(real) if real else None


@expression_set_to_zero.also(copy_expression, "simplify", "expand")
def _solved(tree: Node) -> Ending | None:
    polynomial = polynomial_of(tree)
    version = expression_set_to_zero.moves[0].version
    found: Ending | None = None if polynomial is None else version(polynomial)
    return found
