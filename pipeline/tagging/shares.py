"""What one wrong answer is laid to: its candidates' shares by the weights of its class."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence, relative
from pipeline.tagging.mixture import Vector


def attribute(
    evidence: Evidence,
    cells: Sequence[Cell],
    wrong: pd.DataFrame,
    candidates: pd.DataFrame,
    by: Sequence[str],
) -> pd.DataFrame:
    """Share every distinct wrong answer of every class among its candidates.

    Args:
        evidence: what the answers say.
        cells: one estimate per class, from `estimate(evidence, by)`.
        wrong: distinct wrong answers by class: the columns `by`, examined, question (null when
            no error can be told there), unexplained (share of no known error before the class
            is known) and if_meant (whether it is right if brackets were meant).
        candidates: examined, faults, pattern, weight, general.
        by: columns that form the classes.

    Returns:
        The columns `by`, examined, pattern, faults, share; the shares of one answer of one class
        sum to 1, with one row of pattern `unexplained`, and for those right if brackets were
        meant one of pattern `right`. Answers of classes without estimate, or
        with explanations that the class never showed on a first try, keep their prior shares.
    """
    keys = list(by)
    known = _with_chance(evidence, wrong.merge(candidates, on="examined"), keys)
    rest = wrong.assign(pattern="unexplained", weight=0.0, chance=_stray(evidence, wrong))
    rest["faults"] = [[] for _ in range(len(rest))]
    meant = rest[rest["if_meant"]].assign(pattern="right", chance=1.0)
    table = pd.concat([known, rest, meant], ignore_index=True)
    table["learnt"] = _learnt(evidence, cells, table, keys)
    answer = [*keys, "examined"]
    table["share"] = _posterior(table, answer)
    up = [True] * len(answer) + [False, True]
    table = table.sort_values([*answer, "share", "pattern"], ascending=up, kind="stable")
    return table[[*answer, "pattern", "faults", "share"]].reset_index(drop=True)


def _with_chance(evidence: Evidence, known: pd.DataFrame, by: list[str]) -> pd.DataFrame:
    """Chance of each answer under each of its candidates; nothing without a question."""
    known = relative(known, evidence.heaviest)
    place = _place(evidence, known)
    column = pd.Index(evidence.patterns).get_indexer(pd.Index(known["pattern"]))
    seen = (place >= 0) & (column >= 0)
    ways = np.where(seen, evidence.ways[place, column], 1.0) if seen.any() else np.ones(len(known))
    chance = np.where(seen, known["relative"] / np.maximum(ways, 1), 0.0)
    known = known.assign(chance=chance)
    # All sets of faults of one pattern count together as its likeliest does, as in the evidence.
    together = known.groupby([*by, "examined", "pattern"], dropna=False)["chance"]
    whole = together.transform("sum")
    return known.assign(
        chance=known["chance"] * together.transform("max") / whole.where(whole > 0, 1.0)
    )


def _place(evidence: Evidence, frame: pd.DataFrame) -> NDArray[np.intp]:
    """Number of each row's question; -1 where no error can be told."""
    ids = pd.Index(frame["question"].fillna(-1).astype("int64"))
    place: NDArray[np.intp] = evidence.questions.get_indexer(ids)
    return place


def _stray(evidence: Evidence, wrong: pd.DataFrame) -> Vector:
    """Chance of each answer under another slip."""
    place = _place(evidence, wrong)
    if not len(evidence.stray):
        return np.ones(len(wrong))
    chance: Vector = np.where(place >= 0, evidence.stray[place], 1.0)
    return chance


def _learnt(
    evidence: Evidence, cells: Sequence[Cell], table: pd.DataFrame, keys: list[str]
) -> Vector:
    """Weight of each row's pattern in its class; not a number without an estimate."""
    if not cells:
        return np.full(len(table), np.nan)
    classes = pd.MultiIndex.from_tuples([cell.key for cell in cells], names=keys)
    row = classes.get_indexer(pd.MultiIndex.from_frame(table[keys]))
    names = pd.Index(["right", "unexplained", *evidence.patterns])
    column = names.get_indexer(pd.Index(table["pattern"]))
    weights = np.vstack([cell.weights for cell in cells])
    learnt: Vector = np.where((row >= 0) & (column >= 0), weights[row, column], np.nan)
    return learnt


def _posterior(table: pd.DataFrame, answer: list[str]) -> pd.Series[float]:
    """Shares by learnt weight, or by prior weight where the class says nothing of the answer."""
    keys = [table[key] for key in answer]
    explained = table["pattern"] != "unexplained"
    prior = table["weight"].groupby(keys, dropna=False).transform("sum")
    bare = table["unexplained"].where(prior > 0, 1.0).fillna(1.0)
    by_prior = (table["weight"] / prior.where(prior > 0, 1.0) * (1 - bare)).where(explained, bare)
    learnt = table["learnt"].astype(float).fillna(0.0) * table["chance"]
    total = learnt.where(explained, 0.0).groupby(keys, dropna=False).transform("sum")
    whole = learnt.groupby(keys, dropna=False).transform("sum")
    # What a person laid to an error leaves nothing to the class: no share of it is unexplained.
    by_class = (total > 0) & (bare > 0)
    shares: pd.Series[float] = (learnt / whole.where(whole > 0, 1.0)).where(by_class, by_prior)
    return shares
