"""The quadratic formula, the discriminant and the vertex."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.print_terms import binomial, quadratic_text
from synthetic_data.problems import Problem, make_problem
from synthetic_data.surds import Rational, pair, root
from synthetic_data.values import NO_REAL, Point, Roots, Value, roots, single


def _halves(top: Rational, under: Rational, below: Rational) -> Value:
    """`(top ± sqrt(under)) / below`, or the words for no real solution."""
    if under < 0:
        return NO_REAL
    return roots(*pair(Fraction(top) / below, under, Fraction(1) / below))


def _discriminants(a: int, b: int, c: int) -> dict[str, int]:
    """What the wrong rules make of b^2 - 4ac."""
    found = {
        "four-ac-added": b * b + 4 * a * c,
        "four-left-out": b * b - a * c,
        "square-means-double": 2 * b - 4 * a * c,
    }
    if b < 0:
        found["negative-b-squared-negative"] = -(b * b) - 4 * a * c
    return found


def _formula_rules(a: int, b: int, c: int) -> dict[str, Value | tuple[Value, ...]]:
    under, below = b * b - 4 * a * c, 2 * a
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "minus-b-not-negated": _halves(b, under, below),
        "divided-by-a": _halves(-b, under, a),
        "divided-by-two": _halves(-b, under, 2),
        "only-root-divided": roots(*pair(-b, under, Fraction(1, below))),
        "only-b-divided": roots(*pair(Fraction(-b, below), under)),
        "a-left-out-of-discriminant": _halves(-b, b * b - 4 * c, below),
        "discriminant-not-rooted": roots(Fraction(-b + under, below), Fraction(-b - under, below)),
        "plus-minus-dropped": roots(root(under, Fraction(-b, below), Fraction(1, below))),
        "called-no-solution": NO_REAL,
    }
    for pattern, wrong_under in _discriminants(a, b, c).items():
        wrong[pattern] = _halves(-b, wrong_under, below)
    return wrong


def formula(a: int, b: int, c: int, letter: str = "x") -> Problem:
    """The equation ax^2 + bx + c = 0 with two real solutions."""
    under = b * b - 4 * a * c
    wrong = _formula_rules(a, b, c)
    wrong["minus-b-not-negated + divided-by-a"] = _halves(b, under, a)
    text = f"{quadratic_text(a, b, c, letter)} = 0"
    return make_problem("solve", text, _halves(-b, under, 2 * a), wrong, letter=letter)


def formula_unsorted(a: int, b: int, k: int) -> Problem:
    """The equation ax^2 + bx = k with two real solutions, to be brought to zero form first."""
    wrong = _formula_rules(a, b, -k)
    wrong["right-side-used-as-c"] = _halves(-b, b * b - 4 * a * k, 2 * a)
    text = f"{quadratic_text(a, b, 0)} = {k}"
    return make_problem("solve", text, _halves(-b, b * b + 4 * a * k, 2 * a), wrong)


def formula_complex(a: int, b: int, c: int) -> Problem:
    """The equation ax^2 + bx + c = 0 without real solution, over the complex numbers."""
    under, below = b * b - 4 * a * c, Fraction(1, 2 * a)
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "negative-radicand-made-positive": roots(*pair(-b * below, -under, below)),
        "minus-b-not-negated": Roots(pair(b * below, under, below)),
        "only-root-divided": Roots(pair(-b, under, below)),
        "divided-by-a": Roots(pair(-2 * b * below, under, 2 * below)),
        "called-no-solution": NO_REAL,
    }
    right = Roots(pair(-b * below, under, below))
    return make_problem("solve", f"{quadratic_text(a, b, c)} = 0", right, wrong)


def discriminant(a: int, b: int, c: int) -> Problem:
    """The discriminant of ax^2 + bx + c = 0."""
    wrong = {name: single(value) for name, value in _discriminants(a, b, c).items()}
    right = single(b * b - 4 * a * c)
    unnamed = {"c-added-to-four-a": single(b * b - (4 * a + c))}
    text = f"{quadratic_text(a, b, c)} = 0"
    return make_problem("discriminant", text, right, wrong, unnamed=unnamed)


def vertex_shifted(a: int, h: int, k: int) -> Problem:
    """The vertex of y = a(x + h)^2 + k."""
    wrong = {"vertex-sign-kept": Point(Fraction(h), Fraction(k))}
    front = {1: "", -1: "-"}.get(a, str(a))
    tail = f" {'-' if k < 0 else '+'} {abs(k)}" if k else ""
    text = f"y = {front}({binomial(1, h)})^2{tail}"
    return make_problem("vertex", text, Point(Fraction(-h), Fraction(k)), wrong)


def vertex_expanded(a: int, b: int, c: int) -> Problem:
    """The vertex of y = ax^2 + bx + c."""

    def point(x: Fraction) -> Point:
        return Point(x, a * x * x + b * x + c)

    wrong = {
        "vertex-not-halved": point(Fraction(-b, a)),
        "vertex-b-not-negated": point(Fraction(b, 2 * a)),
    }
    text = f"y = {quadratic_text(a, b, c)}"
    x = Fraction(-b, 2 * a)
    unnamed = {"height-without-square": Point(x, b * x + c)}
    return make_problem("vertex", text, point(x), wrong, unnamed=unnamed)
