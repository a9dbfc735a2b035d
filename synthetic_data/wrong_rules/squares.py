"""The square-root property and completing the square."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.print_terms import binomial, fraction_text, quadratic_text
from synthetic_data.problems import Problem, make_problem
from synthetic_data.surds import Rational, pair, root, square_factor
from synthetic_data.values import NO_REAL, Roots, Value, roots, single


def _both(centre: Rational, radicand: Rational, scale: Rational = 1) -> Value:
    """`centre ± scale sqrt(radicand)`, or the words for no real solution."""
    return NO_REAL if radicand < 0 else roots(*pair(centre, radicand, scale))


def root_shifted_square(h: int, k: Rational, letter: str = "x") -> Problem:
    """The equation (x + h)^2 = k with k > 0."""
    right = roots(*pair(-h, k))
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "plus-minus-dropped": roots(root(k, -h)),
        "square-undone-without-root": roots(k - h, -k - h),
        "halved-instead-of-rooted": roots(Fraction(k) / 2 - h, -Fraction(k) / 2 - h),
        "shift-moved-same-sign": roots(*pair(h, k)),
    }
    under = Fraction(k)
    if under.denominator > 1:
        top_only = Fraction(under.numerator, under.denominator**2)
        wrong["root-of-fraction-top-only"] = roots(*pair(-h, top_only))
    else:
        outside, inside = square_factor(under.numerator)
        if outside > 1 and inside > 1:
            wrong["square-factor-left-unrooted"] = roots(*pair(-h, inside, outside**2))
    text = f"({binomial(1, h, letter)})^2 = {fraction_text(k)}"
    return make_problem("solve", text, right, wrong, letter=letter)


def root_shifted_square_complex(h: int, k: int) -> Problem:
    """The equation (x + h)^2 = -k over the complex numbers, k > 0."""
    right = Roots(pair(-h, -k))
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "negative-radicand-made-positive": roots(*pair(-h, k)),
        "shift-moved-same-sign": Roots(pair(h, -k)),
        "plus-minus-dropped": roots(root(-k, -h)),
        "called-no-solution": NO_REAL,
    }
    return make_problem("solve", f"({binomial(1, h)})^2 = -{k}", right, wrong)


def root_scaled_square(a: int, k: int) -> Problem:
    """The equation ax^2 = k with k > 0."""
    right = roots(*pair(0, Fraction(k, a)))
    wrong = {
        "plus-minus-dropped": roots(root(Fraction(k, a))),
        "rooted-before-dividing": roots(*pair(0, k, Fraction(1, a))),
        "square-undone-without-root": roots(Fraction(k, a), Fraction(-k, a)),
        "halved-instead-of-rooted": roots(Fraction(k, 2 * a), Fraction(-k, 2 * a)),
    }
    return make_problem("solve", f"{a}x^2 = {k}", right, wrong)


def root_sum_of_squares(m: int, n: int) -> Problem:
    """The equation x^2 + m^2 = n^2 with n > m."""
    k = n * n - m * m
    wrong = {
        "plus-minus-dropped": roots(root(k)),
        "rooted-term-by-term": roots(n - m),
        "halved-instead-of-rooted": roots(Fraction(k, 2), Fraction(-k, 2)),
        "square-undone-without-root": roots(k, -k),
    }
    return make_problem("solve", f"x^2 + {m * m} = {n * n}", roots(*pair(0, k)), wrong)


def square_constant(b: int, letter: str = "x") -> Problem:
    """The constant that makes x^2 + bx a perfect square."""
    wrong = {
        "half-not-squared": single(Fraction(b, 2)),
        "squared-without-halving": single(b * b),
        "halved-after-squaring": single(Fraction(b * b, 2)),
    }
    if b < 0:
        wrong["square-keeps-minus"] = single(-Fraction(b * b, 4))
    text = quadratic_text(1, b, 0, letter)
    right = single(Fraction(b * b, 4))
    unnamed = {"halved-twice": single(Fraction(b, 4))}
    return make_problem("square-constant", text, right, wrong, letter=letter, unnamed=unnamed)


def _completed(b: int, c: Rational) -> dict[str, Value | tuple[Value, ...]]:
    """What the wrong rules of completing the square make of x^2 + bx = c."""
    half = Fraction(b, 2)
    total = c + half * half
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "half-not-squared": _both(-half, c + half),
        "squared-without-halving": (_both(-half, c + b * b), _both(-b, c + b * b)),
        "square-added-to-one-side": _both(-half, c),
        "binomial-keeps-full-coefficient": _both(-b, total),
        "binomial-keeps-the-square": _both(-half * half, total),
        "binomial-sign-lost": _both(half, total),
        "square-subtracted-other-side": _both(-half, c - half * half),
        "plus-minus-dropped": roots(root(total, -half)),
    }
    if b % 2:
        wrong["fraction-square-keeps-denominator"] = _both(-half, c + Fraction(b * b, 2))
        wrong["fractions-added-across"] = _both(-half, (c + b * b) / Fraction(5))
        wrong["numerator-not-rescaled"] = _both(-half, (c + b * b) / Fraction(4))
    return wrong


def complete_square(b: int, c: int, letter: str = "x") -> Problem:
    """The equation x^2 + bx = c with real solutions."""
    half = Fraction(b, 2)
    right = roots(*pair(-half, c + half * half))
    text = f"{quadratic_text(1, b, 0, letter)} = {c}"
    shift = f"({binomial(1, half, letter)})^2"
    work = {}
    if b % 2 == 0:
        totals = {
            "right": c + half * half,
            "half-not-squared": c + half,
            "square-added-to-one-side": Fraction(c),
        }
        work = {name: f"{shift} = {total}" for name, total in totals.items()}
    return make_problem("solve", text, right, _completed(b, c), letter=letter, work=work)


def complete_square_zero_form(b: int, c: int) -> Problem:
    """The equation x^2 + bx + c = 0, to be solved by completing the square."""
    half = Fraction(b, 2)
    wrong = _completed(b, -c)
    wrong["constant-moved-same-sign"] = _both(-half, c + half * half)
    right = roots(*pair(-half, half * half - c))
    return make_problem("solve", f"{quadratic_text(1, b, c)} = 0", right, wrong)


def complete_square_leading(a: int, b: int, c: int) -> Problem:
    """The equation ax^2 + bx = c with a > 1 and real solutions."""
    half, share = Fraction(b, 2 * a), Fraction(c, a)
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "leading-coefficient-dropped": _both(-Fraction(b, 2), c + Fraction(b * b, 4)),
        "right-side-not-divided": _both(-half, c + half * half),
        "square-added-to-one-side": _both(-half, share),
        "binomial-sign-lost": _both(half, share + half * half),
        "plus-minus-dropped": roots(root(share + half * half, -half)),
    }
    if b % a:
        doubled = 2 * Fraction(b, a)
        wrong["fraction-doubled-not-halved"] = _both(-doubled, share + doubled * doubled)
    right = roots(*pair(-half, share + half * half))
    return make_problem("solve", f"{quadratic_text(a, b, 0)} = {c}", right, wrong)
