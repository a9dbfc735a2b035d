"""Expanding: squares of binomials, products, brackets with a number in front."""

from __future__ import annotations

from synthetic_data.print_terms import binomial
from synthetic_data.problems import Problem, make_problem
from synthetic_data.values import polynomial


def expand_square(p: int, q: int, letter: str = "x") -> Problem:
    """The square (px + q)^2."""
    wrong = {
        "square-spread-over-sum": polynomial({2: p * p, 0: q * q}),
        "middle-term-not-doubled": polynomial({2: p * p, 1: p * q, 0: q * q}),
        "coefficient-not-squared": polynomial({2: p, 1: 2 * p * q, 0: q * q}),
        "square-means-double": polynomial({1: 2 * p, 0: 2 * q}),
    }
    if q < 0:
        wrong["square-keeps-minus"] = polynomial({2: p * p, 1: 2 * p * q, 0: -q * q})
    right = polynomial({2: p * p, 1: 2 * p * q, 0: q * q})
    return make_problem("expand", f"({binomial(p, q, letter)})^2", right, wrong, letter=letter)


def expand_product(p: int, q: int, r: int, s: int) -> Problem:
    """The product (px + q)(rx + s)."""
    right = polynomial({2: p * r, 1: p * s + q * r, 0: q * s})
    wrong = {"first-and-last-only": polynomial({2: p * r, 0: q * s})}
    return make_problem("expand", f"({binomial(p, q)})({binomial(r, s)})", right, wrong)


def expand_bracket(k: int, p: int, q: int) -> Problem:
    """The product k(px + q)."""
    wrong = {"multiplied-first-term-only": polynomial({1: k * p, 0: q})}
    if k < 0:
        wrong["minus-not-carried-through"] = polynomial({1: k * p, 0: -k * q})
    right = polynomial({1: k * p, 0: k * q})
    return make_problem("expand", f"{k}({binomial(p, q)})", right, wrong)
