"""A class that solves quadratics by known wrong rules, for measuring what attribution recovers.

Twelve quadratics and eight procedures, with the pure squares, the missing constants and the
discriminant 1 that hide some of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

import numpy as np
import pandas as pd

QUADRATICS = (
    (1, -6, 8),
    (1, -7, 12),
    (2, -7, 3),
    (3, 5, -2),
    (1, 4, -21),
    (1, 0, -9),
    (2, 0, -8),
    (1, 0, -5),
    (3, 0, -12),
    (1, -5, 0),
    (2, 6, 0),
    (2, -9, 5),
)
Root = tuple[Fraction, Fraction, int]
"""Rational part, coefficient and squarefree radicand of one root."""


def surd(rational: Fraction, coefficient: Fraction, radicand: int) -> Root:
    """Write rational + coefficient * sqrt(radicand) so that equal numbers are equal."""
    sign = -1 if radicand < 0 else 1
    radicand = abs(radicand)
    square = (
        next(k for k in range(isqrt(radicand), 0, -1) if radicand % (k * k) == 0) if radicand else 0
    )
    if not square or not coefficient:
        return rational, Fraction(0), 0
    inside = sign * radicand // (square * square)
    if inside == 1:
        return rational + coefficient * square, Fraction(0), 0
    return rational, coefficient * square, inside


def both(rational: Fraction, coefficient: Fraction, radicand: int) -> frozenset[Root]:
    return frozenset(
        {surd(rational, coefficient, radicand), surd(rational, -coefficient, radicand)}
    )


def formula(a: int, b: int, c: int, over: int | None = None, four: int = -4) -> frozenset[Root]:
    under = over or 2 * a
    return both(Fraction(-b, under), Fraction(1, under), b * b + four * a * c)


def one_root(a: int, b: int, c: int) -> frozenset[Root]:
    return frozenset({surd(Fraction(-b, 2 * a), Fraction(1, 2 * a), b * b - 4 * a * c)})


PROCEDURES: dict[str, Callable[[int, int, int], frozenset[Root]]] = {
    "roots-negated": lambda a, b, c: formula(a, -b, c),
    "sign-of-b-lost": lambda a, b, c: formula(a, -b, c),
    "one-root": one_root,
    "over-a": lambda a, b, c: formula(a, b, c, over=a),
    "plus-four": lambda a, b, c: formula(a, b, c, four=4),
    "no-root": lambda a, b, c: both(Fraction(-b, 2 * a), Fraction(b * b - 4 * a * c, 2 * a), 1),
    "radical-only": lambda a, b, c: both(Fraction(-b), Fraction(1, 2 * a), b * b - 4 * a * c),
}
RATES = {
    "roots-negated": 0.05,
    "sign-of-b-lost": 0.06,
    "one-root": 0.12,
    "over-a": 0.04,
    "plus-four": 0.07,
    "no-root": 0.03,
    "radical-only": 0.05,
}
STRAY = 0.08
"""Share of answers that no procedure gives."""


@dataclass(frozen=True, slots=True)
class Frames:
    """What `gather` takes, and the planted rates."""

    opportunities: pd.DataFrame
    candidates: pd.DataFrame
    predicted: pd.DataFrame
    catalogue: pd.DataFrame


def predictions() -> pd.DataFrame:
    """Predicted wrong values: question, value_key, pattern."""
    rows = [
        (place, str(sorted(wrong(*numbers))), name)
        for place, numbers in enumerate(QUADRATICS)
        for name, wrong in PROCEDURES.items()
        if wrong(*numbers) != formula(*numbers)
    ]
    return pd.DataFrame(rows, columns=["question", "value_key", "pattern"])


def draw(students: int, generator: np.random.Generator, concentration: float = 6.0) -> Frames:
    """One class: each student has rates of his own around the planted ones."""
    names = list(PROCEDURES)
    mean = np.array([1 - STRAY - sum(RATES.values()), *RATES.values(), STRAY])
    own = generator.dirichlet(mean * concentration, size=students)
    used = np.array([generator.choice(len(mean), size=len(QUADRATICS), p=p) for p in own])
    predicted = predictions()
    value = {(q, p): v for q, v, p in predicted.itertuples(index=False)}
    rows = []
    for student in range(students):
        for question in range(len(QUADRATICS)):
            kind = used[student, question]
            if kind == len(mean) - 1:
                answer = "other"
            else:
                answer = value.get((question, names[kind - 1]), "right") if kind else "right"
            rows.append((student, question, answer))
    frame = pd.DataFrame(rows, columns=["student", "question", "answer"])
    keys = pd.MultiIndex.from_frame(frame[["question", "answer"]])
    frame["examined"], _ = pd.factorize(keys)
    frame["value_key"] = frame["answer"]
    frame["wrong"] = (frame["answer"] != "right").astype(int)
    found = frame[["examined", "question", "answer"]].drop_duplicates()
    candidates = found.merge(
        predicted, left_on=["question", "answer"], right_on=["question", "value_key"]
    )[["examined", "pattern"]]
    candidates["faults"] = [[name] for name in candidates["pattern"]]
    return Frames(
        opportunities=frame.assign(topic="quadratics"),
        candidates=candidates.assign(weight=1.0, general=False),
        predicted=predicted.assign(weight=1.0),
        catalogue=pd.DataFrame(
            {"pattern": names, "position": range(1, len(names) + 1), "general": False}
        ),
    )
