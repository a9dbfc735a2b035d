"""Simplifying: powers, radicals, fractions, products of complex numbers."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.print_terms import fraction_text
from synthetic_data.problems import Problem, make_problem
from synthetic_data.surds import Surd, root
from synthetic_data.values import Power, single


def _power(exponent: int | Fraction, coefficient: int = 1) -> Power:
    return Power(Fraction(coefficient), Fraction(exponent))


def power_product(m: int, n: int, letter: str = "x") -> Problem:
    """The product x^m * x^n."""
    wrong = {"exponents-multiplied-in-product": _power(m * n)}
    text = f"{letter}^{m} * {letter}^{n}"
    return make_problem("simplify", text, _power(m + n), wrong, letter=letter)


def power_of_power(k: int, m: int, n: int, letter: str = "x") -> Problem:
    """The power (kx^m)^n."""
    right = _power(m * n, k**n)
    if k == 1:
        wrong = {"exponents-added-in-power": _power(m + n)}
    else:
        wrong = {"coefficient-left-out-of-power": _power(m * n, k)}
    front = "" if k == 1 else str(k)
    text = f"({front}{letter}^{m})^{n}"
    return make_problem("simplify", text, right, wrong, letter=letter)


def power_quotient(m: int, n: int, letter: str = "x") -> Problem:
    """The quotient x^m / x^n, m a multiple of n."""
    wrong = {"exponents-divided-in-quotient": _power(Fraction(m, n))}
    text = f"{letter}^{m} / {letter}^{n}"
    return make_problem("simplify", text, _power(m - n), wrong, letter=letter)


def negative_power(k: int, n: int) -> Problem:
    """The power k^(-n)."""
    wrong = {"negative-exponent-as-negative": single(-(k**n))}
    return make_problem("simplify", f"{k}^(-{n})", single(Fraction(1, k**n)), wrong)


def zero_power(k: int) -> Problem:
    """The power k^0."""
    return make_problem("simplify", f"{k}^0", single(1), {"zero-exponent-as-zero": single(0)})


def radical(s: int, t: int) -> Problem:
    """The root of s^2 t, t squarefree."""
    n = s * s * t
    wrong = {
        "square-factor-left-unrooted": single(root(t, part=s * s)),
        "radical-inside-outside-swapped": single(root(s, part=t)),
        "halved-instead-of-rooted": single(Fraction(n, 2)),
    }
    forms = (f"sqrt({n})", f"sqrt({s * s})*sqrt({t})")
    return make_problem("simplify", f"sqrt({n})", single(root(n)), wrong, other_forms=forms)


def radical_sum(p: int, q: int, t: int) -> Problem:
    """The sum sqrt(p^2 t) + sqrt(q^2 t)."""
    m, n = p * p * t, q * q * t
    wrong = {
        "roots-added-under-one-root": single(root(m + n)),
        "square-factor-left-unrooted": single(root(t, part=p * p + q * q)),
    }
    text = f"sqrt({m}) + sqrt({n})"
    return make_problem("simplify", text, single(root(t, part=p + q)), wrong)


def root_of_squares(m: int, n: int) -> Problem:
    """The root of a sum of two squares, sqrt(m^2 + n^2)."""
    total = m * m + n * n
    wrong = {"rooted-term-by-term": single(m + n)}
    return make_problem("simplify", f"sqrt({m * m} + {n * n})", single(root(total)), wrong)


def fraction_sum(p: int, q: int, r: int, s: int) -> Problem:
    """The sum p/q + r/s."""
    right = Fraction(p, q) + Fraction(r, s)
    wrong = {"fractions-added-across": single(Fraction(p + r, q + s))}
    return make_problem("simplify", f"{p}/{q} + {r}/{s}", single(right), wrong)


def fraction_quotient(p: int, q: int, r: int, s: int) -> Problem:
    """The quotient (p/q) / (r/s)."""
    first, second = Fraction(p, q), Fraction(r, s)
    wrong = {
        "divided-without-inverting": single(first * second),
        "wrong-fraction-inverted": single(second / first),
    }
    text = f"({fraction_text(first)}) / ({fraction_text(second)})"
    return make_problem("simplify", text, single(first / second), wrong)


def complex_product(p: int, q: int, r: int, s: int) -> Problem:
    """The product (p + qi)(r + si)."""
    imaginary = Fraction(p * s + q * r)
    right = Surd(Fraction(p * r - q * s), imaginary, -1)
    wrong = {"i-squared-as-plus-one": single(Surd(Fraction(p * r + q * s), imaginary, -1))}
    text = f"({_complex_text(p, q)})({_complex_text(r, s)})"
    return make_problem("simplify", text, single(right), wrong, letter="i")


def _complex_text(real: int, imaginary: int) -> str:
    size = "" if abs(imaginary) == 1 else str(abs(imaginary))
    return f"{real} {'-' if imaginary < 0 else '+'} {size}i"
