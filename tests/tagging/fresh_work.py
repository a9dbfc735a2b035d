"""Shown working with one planted fault, written line by line without the classifier."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sympy import Integer, Rational, expand, sqrt

from .fresh_cases import factor, nonzero, plain, quadratic, terms

Maker = Callable[[random.Random], "Shown | None"]
MAKERS: list[Maker] = []


@dataclass(frozen=True)
class Shown:
    """A question, its lines, the first wrong line (from 1), its pattern, the answer."""

    problem: str
    lines: tuple[str, ...]
    wrong: int
    pattern: str
    answer: str


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


def joined(lines: tuple[str, ...], rng: random.Random) -> str:
    return rng.choice(["\n", "\n\n", " | "]).join(lines) if len(lines) > 1 else lines[0]


def at(lines: tuple[str, ...], number: int, work: str) -> int:
    """Return the student's line number, blank lines counted."""
    return 2 * number - 1 if "\n\n" in work else number


def square(h: Any, right: Any) -> str:
    return f"{factor(1, h)}^2 = {plain(right)}"


def both(values: list[Any], rng: random.Random) -> str:
    texts = [plain(expand(value)) for value in values]
    return rng.choice([", ", " or x = "]).join(["x = " + texts[0], *texts[1:]])


def roots_of(h: Any, right: Any) -> list[Any]:
    return [-h + sqrt(right), -h - sqrt(right)]


def _completing(rng: random.Random, pattern: str) -> Shown | None:
    h, c = Integer(nonzero(rng, -7, 7)), rng.randint(2, 30)
    b, added = 2 * h, h * h
    shift, right, first = h, c + added, None
    if pattern == "half-not-squared":
        right, first = c + h, f"{terms((1, 'x^2'), (b, 'x'), (added, ''))} = {c + h}"
    elif pattern == "square-added-to-one-side":
        right, first = Integer(c), f"{terms((1, 'x^2'), (b, 'x'), (added, ''))} = {c}"
    elif pattern == "square-subtracted-other-side":
        right = c - added
        first = f"{terms((1, 'x^2'), (b, 'x'), (added, ''))} = {c - added}"
    elif pattern == "binomial-keeps-full-coefficient":
        shift = b
    elif pattern == "binomial-sign-lost":
        shift = -h
    if right <= 0 or (pattern == "half-not-squared" and added == h):
        return None
    good = f"{terms((1, 'x^2'), (b, 'x'), (added, ''))} = {c + added}"
    lines = [first or good, square(shift, right), f"{terms((1, 'x'), (shift, ''))} = ±√{right}"]
    answer = both(roots_of(shift, right), rng)
    return Shown(quadratic(1, b, 0, c), tuple(lines), 1 if first else 2, pattern, answer)


for _name in (
    "half-not-squared",
    "square-added-to-one-side",
    "square-subtracted-other-side",
    "binomial-keeps-full-coefficient",
    "binomial-sign-lost",
):
    MAKERS.append(lambda rng, name=_name: _completing(rng, name))


def _rooting(rng: random.Random, pattern: str) -> Shown | None:
    h, s = Integer(nonzero(rng, -9, 9)), Integer(rng.randint(3, 9))
    problem, left = square(h, s * s), terms((1, "x"), (h, ""))
    good = rng.choice([f"{left} = ±{s}", f"{left} = {s} or {left} = -{s}"])
    match pattern:
        case "plus-minus-dropped":
            lines, wrong, values = [f"{left} = {s}"], 1, [-h + s]
        case "square-undone-without-root":
            lines, wrong = [f"{left} = ±{s * s}"], 1
            values = [-h + s * s, -h - s * s]
        case _:
            lines, wrong = [good, f"x = {h} ± {s}"], 2
            values = [h + s, h - s]
    return Shown(problem, tuple(lines), wrong, pattern, both(values, rng))


for _name in ("plus-minus-dropped", "square-undone-without-root", "shift-moved-same-sign"):
    MAKERS.append(lambda rng, name=_name: _rooting(rng, name))


@maker
def signs_of_factors(rng: random.Random) -> Shown | None:
    m, n = nonzero(rng, -9, 9), nonzero(rng, -9, 9)
    if m in (n, -n):
        return None
    lines = (f"{factor(1, m)}{factor(1, n)} = 0", f"x = {m} or x = {n}")
    problem = quadratic(1, m + n, m * n)
    return Shown(problem, lines, 2, "root-takes-factor-sign", both([m, n], rng))


@maker
def nonzero_product(rng: random.Random) -> Shown | None:
    m, n, k = nonzero(rng, -9, 9), nonzero(rng, -9, 9), rng.randint(2, 20)
    if m == n:
        return None
    lines = (f"{terms((1, 'x'), (m, ''))} = {k} or {terms((1, 'x'), (n, ''))} = {k}",)
    problem = f"{factor(1, m)}{factor(1, n)} = {k}"
    return Shown(problem, lines, 1, "zero-product-with-nonzero", both([k - m, k - n], rng))


@maker
def unknown_divided_out(rng: random.Random) -> Shown | None:
    a, b = rng.randint(2, 9), nonzero(rng, -15, 15)
    lines = (f"{a}x = {b}", f"x = {Rational(b, a)}")
    problem = f"{a}x^2 = {terms((b, 'x'))}"
    return Shown(problem, lines, 1, "divided-out-unknown", str(Rational(b, a)))


def _formula(rng: random.Random, pattern: str) -> Shown | None:
    a, b, c = Integer(rng.randint(2, 5)), Integer(nonzero(rng, -9, 9)), nonzero(rng, -6, 6)
    head, inside, below = -b, b * b - 4 * a * c, 2 * a
    match pattern:
        case "minus-b-not-negated":
            head = b
        case "four-ac-added":
            inside = b * b + 4 * a * c
        case "divided-by-a":
            below = a
        case "divided-by-two":
            below = Integer(2)
    if inside <= 0 or (pattern == "divided-by-two" and a == 1) or (below == 2 and a == 2):
        return None
    line = rng.choice(
        [
            f"x = ({head} ± sqrt({inside}))/{below}",
            rf"x = \frac{{{head} \pm \sqrt{{{inside}}}}}{{{below}}}",
        ]
    )
    values = [(head + sqrt(inside)) / below, (head - sqrt(inside)) / below]
    if {expand(v) for v in values} == {
        expand((-b + sign * sqrt(b * b - 4 * a * c)) / (2 * a)) for sign in (1, -1)
    }:
        return None
    return Shown(quadratic(a, b, c), (line,), 1, pattern, both(values, rng))


for _name in ("minus-b-not-negated", "four-ac-added", "divided-by-a", "divided-by-two"):
    MAKERS.append(lambda rng, name=_name: _formula(rng, name))


def _linear(rng: random.Random, pattern: str) -> Shown | None:
    a, b, c = rng.randint(2, 9), nonzero(rng, -12, 12), nonzero(rng, -20, 20)
    k = c - b
    if k in (0, a, -a):
        return None
    problem = f"{terms((a, 'x'), (b, ''))} = {c}"
    match pattern:
        case "constant-moved-same-sign":
            value, lines, wrong = Rational(c + b, a), [f"{a}x = {c + b}"], 1
        case "coefficient-subtracted":
            value, lines, wrong = Integer(k - a), [f"{a}x = {k}", f"x = {k - a}"], 2
        case "divided-upside-down":
            value = Rational(a, k)
            lines, wrong = [f"{a}x = {k}", f"x = {value}"], 2
        case _:
            value = Rational(c, a) - b
            lines, wrong = [f"{terms((1, 'x'), (b, ''))} = {Rational(c, a)}"], 1
    if value == Rational(k, a):
        return None
    return Shown(problem, tuple(lines), wrong, pattern, f"x = {value}")


for _name in (
    "constant-moved-same-sign",
    "coefficient-subtracted",
    "divided-upside-down",
    "divided-one-term-only",
):
    MAKERS.append(lambda rng, name=_name: _linear(rng, name))


@maker
def first_term_only(rng: random.Random) -> Shown | None:
    k, q, c = rng.randint(2, 9), nonzero(rng, -9, 9), nonzero(rng, -20, 20)
    value = Rational(c - q, k)
    lines = (f"{terms((k, 'x'), (q, ''))} = {c}", f"{k}x = {c - q}")
    if value == Rational(c, k) - q:
        return None
    return Shown(f"{k}{factor(1, q)} = {c}", lines, 1, "multiplied-first-term-only", str(value))
