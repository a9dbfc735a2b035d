"""Linear equations: what each wrong rule makes of them."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.print_terms import binomial, fraction_text
from synthetic_data.problems import Problem, make_problem
from synthetic_data.values import roots


def linear_two_steps(a: int, b: int, c: int, letter: str = "x") -> Problem:
    """The equation ax + b = c."""
    k = c - b
    wrong = {
        "constant-moved-same-sign": roots(Fraction(c + b, a)),
        "coefficient-subtracted": roots(k - a),
        "divided-upside-down": roots(Fraction(a, k)),
        "divided-one-term-only": roots(Fraction(c, a) - b),
    }
    text = f"{binomial(a, b, letter)} = {c}"
    work = {
        "right": _lines(a, k, Fraction(k, a), letter),
        "constant-moved-same-sign": _lines(a, c + b, Fraction(c + b, a), letter),
        "coefficient-subtracted": _lines(a, k, Fraction(k - a), letter),
        "divided-upside-down": _lines(a, k, Fraction(a, k), letter),
    }
    return make_problem("solve", text, roots(Fraction(k, a)), wrong, letter=letter, work=work)


def _lines(coefficient: int, moved: int, solution: Fraction, letter: str) -> str:
    return f"{coefficient}{letter} = {moved} | {letter} = {fraction_text(solution)}"


def linear_both_sides(a: int, b: int, c: int, d: int) -> Problem:
    """The equation ax + b = cx + d."""
    k = d - b
    wrong = {
        "unknown-terms-added": roots(Fraction(k, a + c)),
        "constant-moved-same-sign": roots(Fraction(d + b, a - c)),
        "coefficient-subtracted": roots(k - (a - c)),
        "divided-upside-down": roots(Fraction(a - c, k)),
    }
    text = f"{binomial(a, b)} = {binomial(c, d)}"
    return make_problem("solve", text, roots(Fraction(k, a - c)), wrong)


def linear_bracket(k: int, p: int, q: int, r: int) -> Problem:
    """The equation k(px + q) = r."""
    wrong = {
        "multiplied-first-term-only": roots(Fraction(r - q, k * p)),
        "constant-moved-same-sign": roots(Fraction(r + k * q, k * p)),
        "coefficient-subtracted": roots(r - k * q - k * p),
        "divided-upside-down": roots(Fraction(k * p, r - k * q)),
    }
    text = f"{k}({binomial(p, q)}) = {r}"
    return make_problem("solve", text, roots(Fraction(r - k * q, k * p)), wrong)
