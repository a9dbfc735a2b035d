"""How common each explanation is in a class of answers, by maximum likelihood."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse

from pipeline.tagging.evidence import FIRST_PATTERN, UNEXPLAINED, Evidence
from pipeline.tagging.mixture import (
    Matrix,
    Vector,
    estimable,
    fit,
    gram,
    identical_columns,
    influence,
    variance,
)

__all__ = ["Cell", "Groups", "estimate", "groups_of"]

NONE = 1e-9
"""A weight under this is on its way to zero."""

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
        weights: weight of every column of the evidence; members of a group each have its whole.
        joint: for each pattern, the first pattern of its group.
        everyone: number of students of the whole course.
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
    joint: NDArray[np.int64]
    everyone: int

    def determined(self) -> NDArray[np.bool_]:
        """Whether the questions determine the weight of each pattern, by number."""
        told = np.ones(len(self.joint), dtype=np.bool_)
        for group, known in zip(self.groups, self.known, strict=True):
            told[list(group)] = known
        return told

    @property
    def students(self) -> NDArray[np.int64]:
        """Distinct students with any opportunity, by group."""
        return np.asarray(self.chance.sum(axis=0), dtype=np.int64)


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
    groups = inherited or _twins(_products(evidence, questions), shown)
    able = set(shown.tolist())
    groups = tuple(group for group in groups if able & set(group))
    named = {pattern for group in groups for pattern in group}
    groups += tuple((pattern,) for pattern in sorted(able - named))
    every = (*groups, *_seen_beside(evidence, part, groups))
    weights, parts, students = _fitted(evidence, part, every)
    own = slice(FIRST_PATTERN, FIRST_PATTERN + len(groups))
    counts, people = _opportunities(evidence, part, groups)
    first = np.array([0, 1, *(FIRST_PATTERN + group[0] for group in every)])
    whole, joint = _spread(len(evidence.patterns), every, weights)
    return Cell(
        key=key,
        groups=groups,
        rates=weights[own],
        variances=variance(parts)[own],
        known=_known(evidence, questions, first)[own],
        opportunities=counts,
        chance=people,
        influence=parts[:, own],
        student=students,
        weights=whole,
        joint=joint,
        everyone=evidence.everyone,
    )


def _spread(patterns: int, groups: Groups, weights: Vector) -> tuple[Vector, NDArray[np.int64]]:
    """The weight of each column's group, and the number of the group's first pattern."""
    whole = np.zeros(FIRST_PATTERN + patterns)
    whole[:FIRST_PATTERN] = weights[:FIRST_PATTERN]
    joint = np.arange(patterns)
    for place, group in enumerate(groups):
        members = np.array(group)
        whole[FIRST_PATTERN + members] = weights[FIRST_PATTERN + place]
        joint[members] = group[0]
    return whole, joint


def _known(
    evidence: Evidence, questions: NDArray[np.int64], first: NDArray[np.int64]
) -> NDArray[np.bool_]:
    """Whether the questions determine the weight of each of some columns."""
    key = (questions.tobytes(), first.tobytes())
    if key not in evidence.known:
        products = _products(evidence, questions)[np.ix_(first, first)]
        evidence.known[key] = estimable(products).astype(float)
    return np.asarray(evidence.known[key] > 0)


def _twins(possible: Matrix, shown: NDArray[np.int64]) -> Groups:
    """Patterns that no question of the class parts, by the inner products of their columns."""
    columns = FIRST_PATTERN + shown
    alike = identical_columns(possible[np.ix_(columns, columns)])
    return tuple(tuple(int(shown[place]) for place in group) for group in alike)


def _products(evidence: Evidence, questions: NDArray[np.int64]) -> Matrix:
    """Inner products of the design's columns over everything that the questions could draw."""
    key = questions.tobytes()
    if key not in evidence.known:
        evidence.known[key] = gram(_possible(evidence, questions))
    return evidence.known[key]


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


def _merged(design: Matrix, groups: Groups) -> Matrix:
    """Columns of a design with each group in one column.

    A group lands where its likeliest member does: which of them the taught method favors says
    nothing of the group.
    """
    columns = [FIRST_PATTERN + group[0] for group in groups]
    joint = design[:, [*range(FIRST_PATTERN), *columns]]
    for place, group in enumerate(groups):
        if len(group) > 1:
            own = design[:, [FIRST_PATTERN + pattern for pattern in group]]
            joint[:, FIRST_PATTERN + place] = own.max(axis=1)
    return joint


def _fitted(
    evidence: Evidence, part: pd.DataFrame, groups: Groups
) -> tuple[Vector, Matrix, NDArray[np.int64]]:
    """Weights, influence and students of one class, on its distinct rows only."""
    rows, place = np.unique(part["row"].to_numpy(), return_inverse=True)
    design, same = np.unique(_merged(evidence.design[rows], groups), axis=0, return_inverse=True)
    cell = same.ravel()[place]
    students, who = np.unique(part["student"].to_numpy(), return_inverse=True)
    shape = (len(students), len(design))
    answers = sparse.csr_array((np.ones(len(part)), (who, cell)), shape=shape)
    counts = np.bincount(cell, minlength=len(design)).astype(float)
    start = _merged(evidence.start[None, :], groups)[0]
    possible = (design[design[:, 0] == 0] > 0).any(axis=0)
    possible[0] = True
    weights = np.zeros(design.shape[1])
    fitted = fit(design[:, possible], counts, start[possible])
    weights[possible] = np.where(fitted < NONE, 0.0, fitted)
    parts = np.zeros((len(students), design.shape[1]))
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
