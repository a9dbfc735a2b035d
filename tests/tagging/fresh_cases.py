"""Fresh wrong answers, each made straight from a wrong rule in words, without the classifier.

Nothing of the classifier is imported: numbers are drawn, the rule is applied with sympy, and the
result is written in one of many notations. `CASES` maps (pattern id, task) to a maker.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from sympy import I, Integer, Rational, S, divisors, expand, im, latex, nsimplify, re, sqrt

Maker = Callable[[random.Random], tuple[str, list[Any]] | None]
CASES: dict[tuple[str, str, str], Maker] = {}


@dataclass(frozen=True)
class Case:
    """A question, an answer made by a wrong rule, and that rule's pattern."""

    pattern: str
    task: str
    problem: str
    answer: str


def case(pattern: str, task: str = "solve") -> Callable[[Maker], Maker]:
    def declare(maker: Maker) -> Maker:
        CASES[pattern, task, maker.__name__] = maker
        return maker

    return declare


def fresh(pattern: str, task: str, count: int, rng: random.Random) -> Iterator[Case]:
    """Yield cases of one pattern, its makers taking turns."""
    makers = [maker for (one, kind, _), maker in CASES.items() if (one, kind) == (pattern, task)]
    made = 0
    while made < count:
        drawn = makers[made % len(makers)](rng)
        if drawn is None:
            continue
        problem, values = drawn
        yield Case(pattern, task, problem, written(values, task, rng))
        made += 1


# writing


def terms(*pairs: tuple[Any, str]) -> str:
    """Write 1x^2 - 3x + 2 the way a book does."""
    text = ""
    for number, letters in pairs:
        if number == 0:
            continue
        size = "" if abs(number) == 1 and letters else plain(abs(number))
        sign = ("-" if number < 0 else "") if not text else (" - " if number < 0 else " + ")
        text += f"{sign}{size}{letters}"
    return text or "0"


def quadratic(a: Any, b: Any, c: Any, right: Any = 0) -> str:
    return f"{terms((a, 'x^2'), (b, 'x'), (c, ''))} = {plain(right)}"


def factor(p: Any, q: Any) -> str:
    return f"({terms((p, 'x'), (q, ''))})"


def plain(number: Any) -> str:
    return str(S(number)).replace("*", "").replace("I", "i")


def written(values: list[Any], task: str, rng: random.Random) -> str:
    if isinstance(values[0], str):
        return str(rng.choice(values))
    values = [expand(S(value)) for value in values]
    rng.shuffle(values)
    if task != "solve":
        return rng.choice([plain(values[0]), latex(values[0])])
    styles = [
        lambda: ", ".join(plain(value) for value in values),
        lambda: "; ".join(plain(value) for value in values),
        lambda: " or ".join(f"x={plain(value)}" for value in values),
        lambda: ", ".join(f"x = {plain(value)}" for value in values),
        lambda: ", ".join(latex(value) for value in values),
        lambda: r" \text{ or } ".join(f"x={latex(value)}" for value in values),
    ]
    if not all(value.is_rational for value in values) and all(value.is_real for value in values):
        styles.append(lambda: ", ".join(f"{float(value):.3f}" for value in values))
    if len(values) == 2 and not values[0].is_rational:
        middle, swing = expand((values[0] + values[1]) / 2), expand((values[0] - values[1]) / 2)
        if swing.could_extract_minus_sign():
            swing = -swing
        if swing.is_real and len(swing.free_symbols) == 0 and not swing.is_Add:
            head = "" if middle == 0 else f"{plain(middle)} "
            styles.append(lambda: f"x = {head}± {roots_written(swing)}")
            styles.append(lambda: rf"x={'' if middle == 0 else latex(middle)}\pm {latex(swing)}")
    return str(rng.choice(styles)())


def roots_written(swing: Any) -> str:
    return plain(swing).replace("sqrt", "√")


# drawing


def nonzero(rng: random.Random, low: int, high: int) -> int:
    return rng.choice([n for n in range(low, high + 1) if n])


def pair(middle: Any, swing: Any) -> list[Any]:
    return [middle + swing, middle - swing]


def solutions(a: Any, b: Any, c: Any) -> set[Any]:
    root = sqrt(S(b) ** 2 - 4 * S(a) * c)
    return {expand((-b + root) / (2 * S(a))), expand((-b - root) / (2 * S(a)))}


def checked(problem: str, wrong: list[Any], right: set[Any]) -> tuple[str, list[Any]] | None:
    """Drop a case whose wrong answer is right, or not real."""
    wrong = list(dict.fromkeys(expand(S(value)) for value in wrong))
    if set(wrong) == right or any(not value.is_real for value in wrong):
        return None
    return problem, wrong


def two_factors(rng: random.Random, most: int = 1) -> tuple[int, int, int, int]:
    p = rng.randint(2, most) if most > 1 else 1
    return p, nonzero(rng, -9, 9), 1, nonzero(rng, -9, 9)


# zero product property


def _factored(rng: random.Random, wrong: Callable[[int, int], Any], most: int) -> Any:
    p, q, r, s = two_factors(rng, most)
    right = {-Rational(q, p), -Rational(s, r)}
    if len(right) < 2 or (most > 1 and Rational(q, p).is_integer):
        return None
    return checked(f"{factor(p, q)}{factor(r, s)} = 0", [wrong(p, q), wrong(r, s)], right)


@case("root-takes-factor-sign")
def _sign(rng: random.Random) -> Any:
    return _factored(rng, lambda p, q: Rational(q, p), 1)


@case("root-takes-factor-sign")
def _sign_after_factoring(rng: random.Random) -> Any:
    m, n = nonzero(rng, -9, 9), nonzero(rng, -9, 9)
    return checked(quadratic(1, m + n, m * n), [m, n], {-m, -n}) if m != n else None


@case("root-ignores-coefficient")
def _no_coefficient(rng: random.Random) -> Any:
    return _factored(rng, lambda _, q: -q, 7)


@case("root-upside-down")
def _upside_down(rng: random.Random) -> Any:
    return _factored(rng, lambda p, q: -Rational(p, q) if p != 1 else -q, 7)


@case("zero-product-with-nonzero")
def _nonzero_product(rng: random.Random) -> Any:
    m, n, k = nonzero(rng, -9, 9), nonzero(rng, -9, 9), nonzero(rng, 1, 20)
    if m == n:
        return None
    problem = f"{factor(1, m)}{factor(1, n)} = {k}"
    return checked(problem, [k - m, k - n], solutions(1, m + n, m * n - k))


@case("zero-product-with-nonzero")
def _nonzero_after_taking_out(rng: random.Random) -> Any:
    b, k = nonzero(rng, -9, 9), nonzero(rng, 1, 20)
    return checked(quadratic(1, b, 0, k), [k, k - b], solutions(1, b, -k))


@case("divided-out-unknown")
def _divided_out(rng: random.Random) -> Any:
    a, b = rng.randint(1, 9), nonzero(rng, -15, 15)
    problem = f"{terms((a, 'x^2'))} = {terms((b, 'x'))}"
    if rng.random() < 0.4:
        problem = quadratic(a, -b, 0)
    return problem, [Rational(b, a)]


@case("factor-pair-misses-sum")
def _wrong_pair(rng: random.Random) -> Any:
    m, n = nonzero(rng, -9, 9), nonzero(rng, -9, 9)
    b, c = m + n, m * n
    pairs = [(sign * d, c // (sign * d)) for d in divisors(abs(c)) for sign in (1, -1)]
    pairs = [(d, e) for d, e in pairs if d + e not in (b, -b)]
    if not pairs:
        return None
    d, e = rng.choice(pairs)
    return checked(quadratic(1, b, c), [-d, -e], {-m, -n})


@case("second-root-left-out")
def _one_root(rng: random.Random) -> Any:
    m, n = nonzero(rng, -12, 12), nonzero(rng, -12, 12)
    if m == n:
        return None
    problem = rng.choice([quadratic(1, m + n, m * n), f"{factor(1, m)}{factor(1, n)} = 0"])
    return problem, [rng.choice([-m, -n])]


# square root property


def squared(h: int, k: Any) -> str:
    return f"(x {'-' if h < 0 else '+'} {abs(h)})^2 = {plain(k)}" if h else f"x^2 = {plain(k)}"


def _square(rng: random.Random, wrong: Callable[[int, int], list[Any]], **limits: Any) -> Any:
    h = nonzero(rng, -9, 9) if rng.random() < limits.get("shifted", 0.8) else 0
    k = rng.choice([n for n in range(2, 90) if limits.get("fits", lambda _: True)(n)])
    return checked(squared(h, k), wrong(h, k), set(pair(-h, sqrt(k))))


@case("plus-minus-dropped")
def _positive_root(rng: random.Random) -> Any:
    return _square(rng, lambda h, k: [-h + sqrt(k)])


@case("plus-minus-dropped")
def _positive_branch(rng: random.Random) -> Any:
    a, b, c = rng.randint(1, 5), nonzero(rng, -9, 9), nonzero(rng, -9, 9)
    discriminant = b * b - 4 * a * c
    if discriminant <= 0:
        return None
    wrong = [(-b + sqrt(discriminant)) / Integer(2 * a)]
    return checked(quadratic(a, b, c), wrong, solutions(a, b, c))


@case("square-undone-without-root")
def _no_root(rng: random.Random) -> Any:
    return _square(rng, lambda h, k: pair(-h, k))


@case("halved-instead-of-rooted")
def _halved(rng: random.Random) -> Any:
    return _square(rng, lambda h, k: pair(-h, Rational(k, 2)), fits=lambda n: n != 4)


@case("shift-moved-same-sign")
def _same_shift(rng: random.Random) -> Any:
    return _square(rng, lambda h, k: pair(h, sqrt(k)), shifted=1)


@case("rooted-term-by-term")
def _term_by_term(rng: random.Random) -> Any:
    m, n = rng.randint(2, 9), rng.randint(2, 13)
    if n <= m:
        return None
    return checked(f"x^2 + {m * m} = {n * n}", [n - m], set(pair(0, sqrt(n * n - m * m))))


@case("rooted-before-dividing")
def _late_division(rng: random.Random) -> Any:
    a, k = rng.randint(2, 9), rng.randint(2, 60)
    right = set(pair(0, sqrt(Rational(k, a))))
    return checked(f"{a}x^2 = {k}", pair(0, sqrt(k) / a), right)


@case("negative-radicand-made-positive")
def _sign_under_root(rng: random.Random) -> Any:
    h, k = nonzero(rng, -9, 9), rng.randint(2, 60)
    return squared(h, -k), pair(-h, sqrt(k))


@case("negative-radicand-made-positive")
def _sign_under_formula(rng: random.Random) -> Any:
    a, b, c = rng.randint(1, 5), nonzero(rng, -9, 9), rng.randint(1, 9)
    if b * b - 4 * a * c >= 0:
        return None
    root = sqrt(4 * a * c - b * b)
    return quadratic(a, b, c), [(-b + root) / (2 * a), (-b - root) / (2 * a)]


@case("root-of-fraction-top-only")
def _top_only(rng: random.Random) -> Any:
    h, p, q = nonzero(rng, -9, 9), rng.randint(1, 11), rng.randint(2, 9)
    k = Rational(p * p, q * q)
    if k.q == 1:
        return None
    wrong = pair(-h, sqrt(k.p) / k.q)
    return checked(squared(h, k), wrong, set(pair(-h, sqrt(k))))


# rearranging and counting


@case("constant-moved-same-sign")
def _pure_same_sign(rng: random.Random) -> Any:
    k = rng.randint(2, 60)
    return f"x^2 - {k} = 0", [sqrt(k) * I, -sqrt(k) * I]


@case("constant-moved-same-sign")
def _completed_same_sign(rng: random.Random) -> Any:
    b, c = 2 * nonzero(rng, -8, 8), nonzero(rng, -20, 20)
    wrong = pair(-Rational(b, 2), sqrt(Rational(b * b, 4) + c))
    return checked(quadratic(1, b, c), wrong, solutions(1, b, c))


@case("constant-moved-same-sign")
def _linear_same_sign(rng: random.Random) -> Any:
    a, b, k = rng.randint(2, 9), nonzero(rng, -12, 12), nonzero(rng, -20, 20)
    return f"{terms((a, 'x'), (b, ''))} = {k}", [Rational(k + b, a)]


@case("called-no-solution")
def _no_solution(rng: random.Random) -> Any:
    m, n = nonzero(rng, -9, 9), nonzero(rng, -9, 9)
    words = ["no real solution", "no solution", "No real solutions", "there is no solution", "none"]
    return quadratic(1, m + n, m * n), words[:4]


# completing the square


def _monic(rng: random.Random, rule: Callable[[Any, Any], tuple[Any, Any]], kind: str) -> Any:
    """Draw x^2 + bx = c; the rule gives the shift and the right side of the square."""
    b = {"even": 2 * nonzero(rng, -8, 8), "odd": rng.choice([-13, -9, -7, -5, -3, 3, 5, 7, 9, 13])}
    whole, c = Integer(b.get(kind) or nonzero(rng, -15, 15)), Integer(rng.randint(2, 40))
    shift, right = rule(whole, c)
    return checked(quadratic(1, whole, 0, c), pair(-shift, sqrt(right)), solutions(1, whole, -c))


@case("half-not-squared")
def _half(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, c + b / 2), "even")


@case("squared-without-halving")
def _whole_squared(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, c + b * b), "even")


@case("squared-without-halving")
def _whole_in_binomial(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b, c + b * b), "even")


@case("square-added-to-one-side")
def _one_side(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, c), "even")


@case("binomial-keeps-full-coefficient")
def _full(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b, c + b * b / 4), "even")


@case("binomial-keeps-the-square")
def _square_kept(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b * b / 4, c + b * b / 4), "even")


@case("binomial-sign-lost")
def _binomial_sign(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (-b / 2, c + b * b / 4), "even")


@case("square-subtracted-other-side")
def _subtracted(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, c - b * b / 4), "even")


@case("fraction-square-keeps-denominator")
def _denominator_kept(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, c + b * b / 2), "odd")


@case("fractions-added-across")
def _across(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, (c + b * b) / 5), "odd")


@case("numerator-not-rescaled")
def _not_rescaled(rng: random.Random) -> Any:
    return _monic(rng, lambda b, c: (b / 2, (c + b * b) / 4), "odd")


def _leading(rng: random.Random, rule: Callable[[Any, Any, Any], list[Any]], zero: bool) -> Any:
    a, b, c = Integer(rng.randint(2, 6)), Integer(nonzero(rng, -12, 12)), rng.randint(1, 15)
    problem = quadratic(a, b, -c) if zero else quadratic(a, b, 0, c)
    return checked(problem, rule(a, b, Integer(c)), solutions(a, b, -c))


@case("leading-coefficient-dropped")
def _dropped(rng: random.Random) -> Any:
    def rule(_: Any, b: Any, c: Any) -> list[Any]:
        return list(solutions(1, b, -c))

    return _leading(rng, rule, rng.random() < 0.5)


@case("right-side-not-divided")
def _not_divided(rng: random.Random) -> Any:
    return _leading(rng, lambda a, b, c: list(solutions(1, b / a, -c)), False)


@case("fraction-doubled-not-halved")
def _doubled(rng: random.Random) -> Any:
    def rule(a: Any, b: Any, c: Any) -> list[Any]:
        return pair(-2 * b / a, sqrt(c / a + (2 * b / a) ** 2))

    a, b = rng.randint(2, 6), nonzero(rng, -12, 12)
    if Rational(b, a).is_integer:
        return None
    c = rng.randint(1, 15)
    wrong = rule(Integer(a), Integer(b), Integer(c))
    return checked(quadratic(a, b, 0, c), wrong, solutions(a, b, -c))


# quadratic formula


def _formula(
    rng: random.Random, rule: Callable[[Any, Any, Any], list[Any]], *, negative: bool = False
) -> Any:
    a, b, c = rng.randint(2, 6), nonzero(rng, -12, 12), nonzero(rng, -9, 9)
    if negative:
        b = -abs(b)
    if b * b - 4 * a * c <= 0:
        return None
    wrong = rule(Integer(a), Integer(b), Integer(c))
    return checked(quadratic(a, b, c), wrong, solutions(a, b, c))


def _from(minus_b: Any, discriminant: Any, below: Any) -> list[Any]:
    root = sqrt(discriminant)
    return [(minus_b + root) / below, (minus_b - root) / below]


@case("minus-b-not-negated")
def _plus_b(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(b, b * b - 4 * a * c, 2 * a))


@case("divided-by-a")
def _by_a(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, b * b - 4 * a * c, a))


@case("divided-by-two")
def _by_two(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, b * b - 4 * a * c, 2))


@case("only-root-divided")
def _root_divided(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: pair(-b, sqrt(b * b - 4 * a * c) / (2 * a)))


@case("only-b-divided")
def _b_divided(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: pair(-b / (2 * a), sqrt(b * b - 4 * a * c)))


@case("negative-b-squared-negative")
def _negative_square(rng: random.Random) -> Any:
    rule = lambda a, b, c: _from(-b, -b * b - 4 * a * c, 2 * a)  # noqa: E731
    return _formula(rng, rule, negative=True)


@case("four-ac-added")
def _added(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, b * b + 4 * a * c, 2 * a))


@case("four-left-out")
def _no_four(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, b * b - a * c, 2 * a))


@case("a-left-out-of-discriminant")
def _no_a(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, b * b - 4 * c, 2 * a))


@case("discriminant-not-rooted")
def _unrooted(rng: random.Random) -> Any:
    def rule(a: Any, b: Any, c: Any) -> list[Any]:
        d = b * b - 4 * a * c
        return [(-b + d) / (2 * a), (-b - d) / (2 * a)]

    return _formula(rng, rule)


@case("right-side-used-as-c")
def _right_as_c(rng: random.Random) -> Any:
    a, b, k = rng.randint(1, 5), nonzero(rng, -14, 14), rng.randint(1, 12)
    wrong = _from(Integer(-b), b * b - 4 * a * k, Integer(2 * a))
    return checked(quadratic(a, b, 0, k), wrong, solutions(a, b, -k))


@case("square-means-double")
def _double(rng: random.Random) -> Any:
    return _formula(rng, lambda a, b, c: _from(-b, 2 * b - 4 * a * c, 2 * a))


@case("square-factor-left-unrooted")
def _unrooted_factor(rng: random.Random) -> Any:
    s, t, h = rng.randint(2, 5), rng.choice([2, 3, 5, 6, 7, 10]), nonzero(rng, -9, 9)
    k = s * s * t
    return checked(squared(h, k), pair(-h, s * s * sqrt(t)), set(pair(-h, sqrt(k))))


# constant of a square


def _constant(rng: random.Random, rule: Callable[[Any], Any], kinds: str = "any") -> Any:
    b = {"negative": -rng.randint(3, 16), "odd": rng.choice([-15, -11, -9, -7, 5, 7, 9, 13])}
    whole = Integer(b.get(kinds) or nonzero(rng, -16, 16))
    wrong = rule(whole)
    return None if wrong == whole**2 / 4 else (terms((1, "x^2"), (whole, "x")), [wrong])


@case("half-not-squared", "square-constant")
def _constant_half(rng: random.Random) -> Any:
    return _constant(rng, lambda b: b / 2)


@case("squared-without-halving", "square-constant")
def _constant_whole(rng: random.Random) -> Any:
    return _constant(rng, lambda b: b * b)


@case("halved-after-squaring", "square-constant")
def _constant_late(rng: random.Random) -> Any:
    return _constant(rng, lambda b: b * b / 2)


@case("square-keeps-minus", "square-constant")
def _constant_minus(rng: random.Random) -> Any:
    return _constant(rng, lambda b: -b * b / 4, "negative")


@case("fraction-square-keeps-denominator", "square-constant")
def _constant_denominator(rng: random.Random) -> Any:
    return _constant(rng, lambda b: b * b / 2, "odd")


# linear equations


def _linear(rng: random.Random, rule: Callable[[Any, Any, Any], Any]) -> Any:
    a, b, c = rng.randint(2, 9), nonzero(rng, -12, 12), nonzero(rng, -20, 20)
    if c == b:
        return None
    wrong = rule(Integer(a), Integer(b), Integer(c))
    right = Rational(c - b, a)
    return None if wrong == right else (f"{terms((a, 'x'), (b, ''))} = {c}", [wrong])


@case("coefficient-subtracted")
def _subtract(rng: random.Random) -> Any:
    return _linear(rng, lambda a, b, c: c - b - a)


@case("divided-upside-down")
def _inverted(rng: random.Random) -> Any:
    return _linear(rng, lambda a, b, c: a / (c - b))


@case("divided-one-term-only")
def _one_term(rng: random.Random) -> Any:
    return _linear(rng, lambda a, b, c: c / a - b)


@case("unknown-terms-added")
def _both_added(rng: random.Random) -> Any:
    a, b, c, d = rng.randint(2, 9), nonzero(rng, -12, 12), rng.randint(2, 9), nonzero(rng, -12, 12)
    if a == c or d == b:
        return None
    problem = f"{terms((a, 'x'), (b, ''))} = {terms((c, 'x'), (d, ''))}"
    return problem, [Rational(d - b, a + c)]


@case("multiplied-first-term-only")
def _first_only(rng: random.Random) -> Any:
    k, q, c = rng.randint(2, 9), nonzero(rng, -9, 9), nonzero(rng, -20, 20)
    wrong = Rational(c - q, k)
    return None if wrong == Rational(c, k) - q else (f"{k}{factor(1, q)} = {c}", [wrong])


__all__ = ["CASES", "Case", "fresh", "im", "nsimplify", "re"]
