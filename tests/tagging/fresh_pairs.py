"""Answers with two wrong rules at once, made straight from the rules, without the classifier."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from sympy import Integer, expand, sqrt

from .fresh_cases import Case, nonzero, quadratic, written

Rule = Callable[[Any, Any, Any], Any]

HEADS: dict[str, Rule] = {"minus-b-not-negated": lambda a, b, c: b}
DISCRIMINANTS: dict[str, Rule] = {
    "four-ac-added": lambda a, b, c: b * b + 4 * a * c,
    "four-left-out": lambda a, b, c: b * b - a * c,
    "a-left-out-of-discriminant": lambda a, b, c: b * b - 4 * c,
    "square-means-double": lambda a, b, c: 2 * b - 4 * a * c,
}
BELOW: dict[str, Rule] = {
    "divided-by-a": lambda a, b, c: a,
    "divided-by-two": lambda a, b, c: 2,
}
LEFT_OUT = ("plus-minus-dropped", "second-root-left-out")
SQUARES: dict[str, Rule] = {
    "half-not-squared": lambda b, h, c: c + h,
    "square-added-to-one-side": lambda b, h, c: c,
    "square-subtracted-other-side": lambda b, h, c: c - h * h,
}
BINOMIALS: dict[str, Rule] = {
    "binomial-keeps-full-coefficient": lambda b, h, c: b,
    "binomial-sign-lost": lambda b, h, c: -h,
}


def by_formula(rng: random.Random) -> tuple[Case, set[str]] | None:
    """Two of: b for -b, a wrong discriminant, a wrong division, a root left out."""
    a, b, c = Integer(rng.randint(2, 6)), Integer(nonzero(rng, -12, 12)), nonzero(rng, -9, 9)
    kinds = rng.sample(["head", "discriminant", "below", "left out"], 2)
    head, inside, below, names = -b, b * b - 4 * a * c, 2 * a, set()
    if "head" in kinds:
        names.add(name := "minus-b-not-negated")
        head = HEADS[name](a, b, c)
    if "discriminant" in kinds:
        names.add(name := rng.choice(list(DISCRIMINANTS)))
        inside = DISCRIMINANTS[name](a, b, c)
    if "below" in kinds:
        names.add(name := rng.choice(list(BELOW)))
        below = BELOW[name](a, b, c)
    if inside <= 0:
        return None
    roots = [(head + sqrt(inside)) / below, (head - sqrt(inside)) / below]
    if "left out" in kinds:
        names.add(name := rng.choice(LEFT_OUT))
        roots = roots[:1] if name == "plus-minus-dropped" else [rng.choice(roots)]
    roots = [expand(root) for root in roots]
    return Case("", "solve", quadratic(a, b, c), written(roots, "solve", rng)), names


def by_completing(rng: random.Random) -> tuple[Case, set[str]] | None:
    """A wrong number added and a wrong binomial."""
    b, c = Integer(2 * nonzero(rng, -8, 8)), rng.randint(2, 40)
    square, binomial = rng.choice(list(SQUARES)), rng.choice(list(BINOMIALS))
    inside = SQUARES[square](b, b / 2, c)
    if inside <= 0:
        return None
    shift = BINOMIALS[binomial](b, b / 2, c)
    roots = [expand(-shift + sqrt(inside)), expand(-shift - sqrt(inside))]
    answer = written(list(dict.fromkeys(roots)), "solve", rng)
    return Case("", "solve", quadratic(1, b, 0, c), answer), {square, binomial}
