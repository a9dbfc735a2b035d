"""Sharing wrong answers among their possible explanations, by maximum likelihood over a class."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse

from pipeline.tagging.evidence import FIRST_PATTERN, UNEXPLAINED, Evidence, likelihood
from pipeline.tagging.mixture import (
    Matrix,
    Vector,
    estimable,
    fit,
    identical_columns,
    influence,
    variance,
)

__all__ = ["Cell", "attribute", "estimate", "groups_of"]

Groups = tuple[tuple[int, ...], ...]
"""Patterns by number, together where no question of the class parts them."""


@dataclass(frozen=True, slots=True)
class Cell:
    """How common each group of patterns is in one class of answers.

    Args:
        key: values of the columns by which the class was formed.
        groups: patterns by number, one tuple per estimate.
        rates: fraction of the class's opportunities that shows the group, 0 to 1.
        variances: sandwich variance of each rate, clustered by student.
        known: whether the questions of the class determine the rate.
        opportunities: answers at questions that can show the group.
        chance: students x groups; whether the student had any such answer.
        influence: students x groups; what each student adds to each rate.
        student: number of the student of each row of `chance` and `influence`.
        weights: weight of every column of the evidence, the groups' weights spread evenly.
    """

    key: tuple[Any, ...]
    groups: Groups
    rates: Vector
    variances: Vector
    known: NDArray[np.bool_]
    opportunities: NDArray[np.int64]
    chance: NDArray[np.bool_]
    influence: Matrix
    student: NDArray[np.int64]
    weights: Vector

    @property
    def students(self) -> NDArray[np.int64]:
        """Distinct students with any opportunity, by group."""
        count: NDArray[np.int64] = self.chance.sum(axis=0)
        return count


def estimate(
    evidence: Evidence,
    by: Sequence[str],
    opportunities: pd.DataFrame | None = None,
    groups: dict[tuple[Any, ...], Groups] | None = None,
) -> Iterator[Cell]:
    """Estimate every class of answers apart.

    Args:
        evidence: what the answers say.
        by: columns of the opportunities that form the classes.
        opportunities: some rows of `evidence.opportunities`; None takes all.
        groups: patterns to be named jointly, by the first values of the key; None works them
            out for each class alone.

    Yields:
        One `Cell` per class with any opportunity, in order of its key.
    """
    rows = evidence.opportunities if opportunities is None else opportunities
    for key, part in rows.groupby(list(by), sort=True, dropna=True):
        inherited = None
        if groups is not None:
            inherited = next(groups[key[:n]] for n in range(len(key), 0, -1) if key[:n] in groups)
        yield _cell(evidence, key, part, inherited)


def groups_of(cells: Sequence[Cell]) -> dict[tuple[Any, ...], Groups]:
    """The joint names of some classes, to be kept in their parts."""
    return {cell.key: cell.groups for cell in cells}


def _cell(
    evidence: Evidence, key: tuple[Any, ...], part: pd.DataFrame, inherited: Groups | None
) -> Cell:
    questions = np.unique(part["question"])
    shown = np.flatnonzero(evidence.shows[questions].any(axis=0))
    possible = _possible(evidence, questions)
    groups = inherited or tuple(
        tuple(int(shown[i]) for i in group) for group in identical_columns(possible[:, shown + 2])
    )
    groups = tuple(group for group in groups if np.isin(group, shown).any())
    groups += tuple((int(p),) for p in shown if not any(p in group for group in groups))
    rest = _seen_beside(evidence, part, groups)
    merge = _merge(evidence, (*groups, *rest))
    weights, parts, students = _fitted(evidence, part, merge)
    own = slice(FIRST_PATTERN, FIRST_PATTERN + len(groups))
    counts, people = _opportunities(evidence, part, groups)
    return Cell(
        key=key,
        groups=groups,
        rates=weights[own],
        variances=variance(parts)[own],
        known=estimable(possible @ merge)[own],
        opportunities=counts,
        chance=people,
        influence=parts[:, own],
        student=students,
        weights=merge @ weights,
    )


def _possible(evidence: Evidence, questions: NDArray[np.int64]) -> sparse.csr_array:
    """Every answer that the questions could have drawn x every column of the design."""
    chosen = np.isin(evidence.predicted_question, questions)
    values = evidence.predicted[chosen]
    first = sparse.csr_array((values.shape[0], FIRST_PATTERN))
    wrong = sparse.hstack([first, values])
    hidden = np.unique(~evidence.shows[questions], axis=0).astype(float)
    right = np.hstack([np.ones((len(hidden), 1)), np.zeros((len(hidden), 1)), hidden])
    stray = np.zeros((1, right.shape[1]))
    stray[0, UNEXPLAINED] = 1
    return sparse.csr_array(sparse.vstack([wrong, right, stray]))


def _seen_beside(evidence: Evidence, part: pd.DataFrame, groups: Groups) -> Groups:
    """Patterns that explain an answer only together with another: no opportunity, but a share."""
    rows = np.unique(part.loc[part["wrong"] == 1, "row"])
    seen = np.flatnonzero((evidence.design[rows][:, FIRST_PATTERN:] > 0).any(axis=0))
    named = {pattern for group in groups for pattern in group}
    return tuple((int(pattern),) for pattern in seen if pattern not in named)


def _merge(evidence: Evidence, groups: Groups) -> Matrix:
    """Columns of the design x merged columns: each group is the mean of its members."""
    merge = np.zeros((evidence.design.shape[1], FIRST_PATTERN + len(groups)))
    merge[:FIRST_PATTERN, :FIRST_PATTERN] = np.eye(FIRST_PATTERN)
    for place, group in enumerate(groups):
        merge[[FIRST_PATTERN + pattern for pattern in group], FIRST_PATTERN + place] = 1 / len(
            group
        )
    return merge


def _fitted(
    evidence: Evidence, part: pd.DataFrame, merge: Matrix
) -> tuple[Vector, Matrix, NDArray[np.int64]]:
    """Weights, influence and students of one class, on its distinct rows only."""
    rows, place = np.unique(part["row"].to_numpy(), return_inverse=True)
    design, same = np.unique(evidence.design[rows] @ merge, axis=0, return_inverse=True)
    cell = same.ravel()[place]
    students, who = np.unique(part["student"].to_numpy(), return_inverse=True)
    shape = (len(students), len(design))
    answers = sparse.csr_array((np.ones(len(part)), (who, cell)), shape=shape)
    counts = np.bincount(cell, minlength=len(design)).astype(float)
    start = (evidence.start[:, None] * (merge > 0)).max(axis=0)
    possible = (design[design[:, 0] == 0] > 0).any(axis=0)
    possible[0] = True
    weights = np.zeros(merge.shape[1])
    weights[possible] = fit(design[:, possible], counts, start[possible])
    parts = np.zeros((len(students), merge.shape[1]))
    parts[:, possible] = influence(design[:, possible], counts, weights[possible], answers)
    return weights, parts, students


def _opportunities(
    evidence: Evidence, part: pd.DataFrame, groups: Groups
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Answers that had a chance to show each group, and which students gave any."""
    questions, at = np.unique(part["question"].to_numpy(), return_inverse=True)
    shows = np.stack([evidence.shows[questions][:, list(g)].any(axis=1) for g in groups], axis=1)
    students, who = np.unique(part["student"].to_numpy(), return_inverse=True)
    shape = (len(students), len(questions))
    table = sparse.csr_array((np.ones(len(part)), (who, at)), shape=shape)
    table.sum_duplicates()
    chances = table @ shows.astype(float)
    return chances.sum(axis=0).astype(np.int64), chances > 0


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
            no error can be told there) and unexplained (share of no known error before the class
            is known).
        candidates: examined, faults, pattern, weight, general.
        by: columns that form the classes.

    Returns:
        The columns `by`, examined, pattern, faults, share; the shares of one answer of one class
        sum to 1, with one row of pattern `unexplained`. Answers of classes without estimate, or
        with explanations that the class never showed on a first try, keep their prior shares.
    """
    keys = list(by)
    learnt = _learnt(evidence, cells, keys)
    known = _with_chance(evidence, wrong.merge(candidates, on="examined"))
    rest = wrong.assign(pattern="unexplained", weight=0.0, chance=_stray(evidence, wrong))
    rest["faults"] = [[] for _ in range(len(rest))]
    table = pd.concat([known, rest], ignore_index=True)
    table = table.merge(learnt, on=[*keys, "pattern"], how="left")
    answer = [*keys, "examined"]
    table["share"] = _posterior(table, answer)
    up = [True] * len(answer) + [False, True]
    table = table.sort_values([*answer, "share", "pattern"], ascending=up, kind="stable")
    return table[[*answer, "pattern", "faults", "share"]].reset_index(drop=True)


def _with_chance(evidence: Evidence, known: pd.DataFrame) -> pd.DataFrame:
    """Chance of each answer under each of its candidates; nothing without a question."""
    place = _place(evidence, known)
    column = pd.Index(evidence.patterns).get_indexer(pd.Index(known["pattern"]))
    seen = (place >= 0) & (column >= 0)
    ways = np.where(seen, evidence.ways[place, column], 1.0) if seen.any() else np.ones(len(known))
    return known.assign(chance=np.where(seen, likelihood(known, ways), 0.0))


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


def _learnt(evidence: Evidence, cells: Sequence[Cell], keys: list[str]) -> pd.DataFrame:
    """Class weight of each pattern and of other slips, one row per class and pattern."""
    names = ["unexplained", *evidence.patterns]
    if not cells:
        return pd.DataFrame(columns=[*keys, "pattern", "learnt"])
    index = pd.MultiIndex.from_tuples([cell.key for cell in cells], names=keys)
    weights = np.vstack([cell.weights[UNEXPLAINED:] for cell in cells])
    wide = pd.DataFrame(weights, index=index, columns=names)
    return wide.reset_index().melt(id_vars=keys, var_name="pattern", value_name="learnt")


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
    shares: pd.Series[float] = (learnt / whole.where(whole > 0, 1.0)).where(total > 1e-12, by_prior)
    return shares
