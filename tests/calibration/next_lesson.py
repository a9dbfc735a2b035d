"""Whether the ranking of the next lesson picks better than plain counts do.

python -m tests.calibration.next_lesson [--runs 300]

A class of 120 students and ten errors. Some students hold an error when the term begins and show
it at most chances, others slip into it now and then; holders lose it by themselves at a rate that
differs by error, from hardly ever to soon. Errors differ in how often they could be seen so far,
how often they still could be, and what they cost. A lesson frees half of those who hold its error
now; its benefit is the answers that this saves, times their weight. The score of the reports is not
how these classes are made. Printed is the mean share of the best possible benefit for each rule.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.intervals import clustered
from pipeline.statistics.next_lesson import rank_lessons

ERRORS, STUDENTS = 10, 120
SHOWS, SLIPS, FREED = 0.8, 0.02, 0.5
RECENT = 2

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Term:
    """One class: what was seen of each error, and what a lesson on it would be worth.

    Args:
        shown: by error, students x past chances, 0 or 1.
        ahead: chances that are still to come, by error.
        weight: of one wrong answer, by error.
        benefit: answers saved by a lesson, times weight, by error; never seen by any rule.
    """

    shown: list[Array]
    ahead: Array
    weight: Array
    benefit: Array


def term(generator: np.random.Generator, *, alike: bool = False) -> Term:
    """Draw a class; with `alike`, all errors have the same past, future, weight and hazard."""
    past = np.full(ERRORS, 5) if alike else generator.integers(2, 9, ERRORS)
    ahead = np.full(ERRORS, 4) if alike else generator.integers(0, 9, ERRORS)
    weight = np.ones(ERRORS) if alike else generator.uniform(1, 2, ERRORS)
    hazard = np.full(ERRORS, 0.1)
    if not alike:
        hazard = np.exp(generator.uniform(np.log(0.02), np.log(0.6), ERRORS))
    held = generator.uniform(0.05, 0.5, ERRORS)
    shown, benefit = [], np.zeros(ERRORS)
    for error in range(ERRORS):
        holds = generator.random(STUDENTS) < held[error]
        seen = np.zeros((STUDENTS, past[error]))
        for chance in range(past[error]):
            seen[:, chance] = generator.random(STUDENTS) < np.where(holds, SHOWS, SLIPS)
            holds &= generator.random(STUDENTS) >= hazard[error]
        shown.append(seen)
        still = ((1 - hazard[error]) ** np.arange(ahead[error])).sum()
        benefit[error] = weight[error] * FREED * holds.sum() * (SHOWS - SLIPS) * still
    return Term(shown, ahead.astype(float), weight, benefit)


def ours(seen: Term) -> Array:
    """Scores of the reports' own ranking."""
    names = [f"e{error}" for error in range(ERRORS)]
    held = pd.DataFrame([_returns(one) for one in seen.shown], columns=["showed", "again"])
    held["persistence"] = held["again"] / held["showed"]
    recent = pd.DataFrame([_recent(one) for one in seen.shown])
    keys = {"term": "t", "setting": "quiz"}
    weeks = {"recent_from": 1, "recent_to": 2, "lately": True, "class_students": STUDENTS}
    weeks["usual_chances"] = float(np.mean([one.shape[1] for one in seen.shown]))
    ahead = pd.DataFrame(
        {"pattern": names, "chances_ahead": seen.ahead, "weight": seen.weight}
    ).assign(topics_ahead=[[] for _ in names])
    ranked = rank_lessons(
        recent.assign(pattern=names, members=[[name] for name in names], **keys, **weeks),
        held.assign(pattern=names, **keys),
        ahead,
    )
    return ranked.set_index("pattern").loc[names, "score"].to_numpy(dtype=float)


def _returns(shown: Array) -> tuple[float, float]:
    return float(shown[:, :-1].sum()), float((shown[:, :-1] * shown[:, 1:]).sum())


def _recent(shown: Array) -> dict[str, float]:
    late = shown[:, -RECENT:]
    y, n = late.sum(axis=1), np.full(STUDENTS, float(late.shape[1]))
    low, high = clustered(STUDENTS, y.sum(), n.sum(), y @ y, y @ n, n @ n)
    rate = float(late.mean())
    limits = {"rate_low": float(low), "rate_high": float(high)}
    return {"students": STUDENTS, "opportunities": late.size, "rate": rate, **limits}


def scores(seen: Term) -> dict[str, Array]:
    """Every rule's score by error; the highest is picked."""
    count = np.array([one.sum() for one in seen.shown])
    recent = np.array([one[:, -RECENT:].mean() for one in seen.shown])
    return {
        "raw count of the error": count,
        "rate per chance": np.array([one.mean() for one in seen.shown]),
        "recent rate": recent,
        "count x chances ahead x weight": count * seen.ahead * seen.weight,
        "recent rate x chances ahead x weight": recent * seen.ahead * seen.weight,
        "the reports' ranking": ours(seen),
    }


def compare(generator: np.random.Generator, runs: int, *, alike: bool = False) -> pd.DataFrame:
    """Share of the best possible benefit, by run and rule, with whether the best was picked."""
    rows = []
    for run in range(runs):
        seen = term(generator, alike=alike)
        best = seen.benefit.max()
        if best <= 0:
            continue
        for rule, score in scores(seen).items():
            top = np.argsort(-score, kind="stable")
            overlap = len(set(top[:3]) & set(np.argsort(-seen.benefit, kind="stable")[:3])) / 3
            share = seen.benefit[top[0]] / best
            rows.append((run, rule, share, share >= 1 - 1e-12, overlap))
    return pd.DataFrame(rows, columns=["run", "rule", "share", "best", "top three"])


def gain(table: pd.DataFrame) -> tuple[float, float, float]:
    """Mean gain of the ranking over raw counts, run by run, with its 95 % interval."""
    wide = table.pivot_table(index="run", columns="rule", values="share")
    difference = wide["the reports' ranking"] - wide["raw count of the error"]
    mean, error = float(difference.mean()), float(difference.sem())
    return mean, mean - 1.96 * error, mean + 1.96 * error


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=300, help="classes drawn")
    runs = parser.parse_args().runs
    generator = np.random.default_rng(42)
    for title, alike in (("Errors differ", False), ("Errors alike in all but how common", True)):
        table = compare(generator, runs, alike=alike)
        means = table.groupby("rule", sort=False)[["share", "best", "top three"]].mean()
        print(f"{title}: share of the best benefit, best picked, overlap of the first three")
        print(means.to_string(float_format="{:.3f}".format, header=True))
        mean, low, high = gain(table)
        print(f"gain over raw counts {mean:.3f} ({low:.3f} to {high:.3f})\n")
        if not alike and low <= 0:
            raise SystemExit("The ranking does not beat raw counts.")


if __name__ == "__main__":
    main()
