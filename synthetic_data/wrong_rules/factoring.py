"""Factoring, and equations solved by the zero product property."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.print_terms import binomial, polynomial_text, quadratic_text
from synthetic_data.problems import Problem, make_problem
from synthetic_data.surds import pair
from synthetic_data.values import NO_REAL, PRIME, Factors, Value, polynomial, roots


def _pairs(product: int) -> list[tuple[int, int]]:
    """The integer pairs with a given product, the smaller number first."""
    size = abs(product)
    found = set()
    for small in range(1, size + 1):
        if size % small == 0:
            for one in (small, -small):
                found.add(tuple(sorted((one, product // one))))
    return sorted((low, high) for low, high in found)


def _wrong_pairs(m: int, n: int) -> list[tuple[int, int]]:
    """Pairs with the product mn whose sum is neither m + n nor its opposite."""
    return [one for one in _pairs(m * n) if abs(sum(one)) != abs(m + n)]


def factor_trinomial(m: int, n: int, letter: str = "x") -> Problem:
    """The trinomial whose factors are (x + m)(x + n)."""
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "factor-signs-swapped": Factors(1, ((1, -m), (1, -n))),
        "factor-pair-misses-sum": tuple(
            Factors(1, ((1, one), (1, two))) for one, two in _wrong_pairs(m, n)
        ),
    }
    right = Factors(1, ((1, m), (1, n)))
    text = quadratic_text(1, m + n, m * n, letter)
    return make_problem("factor", text, right, wrong, letter=letter)


def factor_difference(m: int) -> Problem:
    """The difference of squares x^2 - m^2."""
    right = Factors(1, ((1, m), (1, -m)))
    wrong = {"difference-of-squares-as-square": Factors(1, ((1, -m), (1, -m)))}
    return make_problem("factor", quadratic_text(1, 0, -m * m), right, wrong)


def factor_sum_of_squares(m: int) -> Problem:
    """The sum of squares x^2 + m^2, which has no real factors."""
    wrong = {
        "sum-of-squares-factored": (
            Factors(1, ((1, m), (1, -m))),
            Factors(1, ((1, m), (1, m))),
        )
    }
    return make_problem("factor", quadratic_text(1, 0, m * m), PRIME, wrong)


def factor_common(k: int, m: int, n: int) -> Problem:
    """The trinomial whose factors are k(x + m)(x + n)."""
    members = ((1, m), (1, n))
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "common-factor-lost": Factors(1, members),
        "factor-signs-swapped": Factors(k, ((1, -m), (1, -n))),
        "factor-pair-misses-sum": tuple(
            Factors(k, ((1, one), (1, two))) for one, two in _wrong_pairs(m, n)
        ),
    }
    text = quadratic_text(k, k * (m + n), k * m * n)
    return make_problem("factor", text, Factors(k, members), wrong)


def solve_factored(p: int, q: int, r: int, s: int) -> Problem:
    """The equation (px + q)(rx + s) = 0."""
    first, second = Fraction(-q, p), Fraction(-s, r)
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "root-takes-factor-sign": roots(-first, -second),
        "second-root-left-out": (roots(first), roots(second)),
    }
    if p != 1 or r != 1:
        wrong["root-ignores-coefficient"] = roots(-q, -s)
        wrong["root-upside-down"] = roots(
            first if p == 1 else 1 / first, second if r == 1 else 1 / second
        )
    text = f"({binomial(p, q)})({binomial(r, s)}) = 0"
    return make_problem("solve", text, roots(first, second), wrong)


def solve_trinomial(m: int, n: int, letter: str = "x") -> Problem:
    """The equation whose factors are (x + m)(x + n) = 0, given multiplied out."""
    right = roots(-m, -n)
    missed = tuple(roots(-one, -two) for one, two in _wrong_pairs(m, n))
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "root-takes-factor-sign": roots(m, n),
        "second-root-left-out": (roots(-m), roots(-n)),
        "factor-pair-misses-sum": missed,
        "called-no-solution": NO_REAL,
    }
    text = f"{quadratic_text(1, m + n, m * n, letter)} = 0"
    return make_problem("solve", text, right, wrong, letter=letter)


def solve_product(m: int, n: int, k: int) -> Problem:
    """The equation (x + m)(x + n) = k with k not 0."""
    right = roots(*pair(Fraction(-m - n, 2), Fraction((m - n) ** 2 + 4 * k, 4)))
    wrong = {"zero-product-with-nonzero": roots(k - m, k - n)}
    return make_problem("solve", f"({binomial(1, m)})({binomial(1, n)}) = {k}", right, wrong)


def solve_common_factor(a: int, b: int) -> Problem:
    """The equation ax^2 = bx."""
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "divided-out-unknown": roots(Fraction(b, a)),
        "second-root-left-out": (roots(0), roots(Fraction(b, a))),
    }
    left, right = polynomial({2: a}), polynomial({1: b})
    text = f"{polynomial_text(left)} = {polynomial_text(right)}"
    return make_problem("solve", text, roots(0, Fraction(b, a)), wrong)
