"""How common each explanation is in a class of answers, and how far the answers can tell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.csgraph import connected_components

from pipeline.fingerprints import fingerprint_of_bytes
from pipeline.tagging.evidence import FIRST_PATTERN, UNEXPLAINED, Evidence
from pipeline.tagging.mixture import (
    Matrix,
    Vector,
    covariance,
    fit,
    identical_columns,
    influence,
    likeliest,
    shortfall,
    variance,
)

Groups: TypeAlias = tuple[tuple[int, ...], ...]
"""Patterns by number, together where no answer of the class parts them."""

OPEN = 0.2
"""Standard error of how two errors divide their answers from which on they are not told apart.

With equal parts of three answers on one side alone it is .165, with nothing known .5.
"""
TRADED = 0.3
"""Part of what is open of two errors that the one gains from the other, from which on it matters.

Of three errors alike each gains a half from each, of four a third; none from an error that is open
between itself and a third one alone.
"""
FEWEST = 3.0
"""Answers of two errors together under which neither is worth a joint name."""


def _twins(evidence: Evidence, asked: NDArray[np.int64], shown: NDArray[np.int64]) -> Groups:
    """Group patterns that no answer to some questions could ever part.

    Args:
        evidence: what the questions can show.
        asked: numbers of the questions.
        shown: patterns that they can show.
    """
    key = asked.tobytes()
    if key not in evidence.known:
        possible = _possible(evidence, asked)
        evidence.known[key] = (possible.T @ possible).toarray()
    columns = FIRST_PATTERN + shown
    scale = evidence.start[columns]  # so that a slip is never the twin of an error
    products = evidence.known[key][np.ix_(columns, columns)]
    alike = identical_columns(products * np.outer(scale, scale))
    return tuple(tuple(int(shown[place]) for place in group) for group in alike)


def _possible(evidence: Evidence, questions: NDArray[np.int64]) -> sparse.csr_array:
    """Every answer that the questions could have drawn x every column of the design."""
    chosen = np.isin(evidence.predicted_question, questions)
    values = evidence.predicted[chosen]
    first = sparse.csr_array((values.shape[0], FIRST_PATTERN))
    wrong = sparse.hstack([first, values])
    hidden = np.unique(1 - evidence.chance[questions], axis=0)
    right = np.hstack([np.ones((len(hidden), 1)), np.zeros((len(hidden), 1)), hidden])
    stray = np.zeros((1, right.shape[1]))
    stray[0, UNEXPLAINED] = 1
    return sparse.csr_array(sparse.vstack([wrong, right, stray]))


def _joined(names: Groups, blurred: NDArray[np.bool_]) -> Groups:
    """Join groups that the answers which came do not tell apart.

    Args:
        names: groups that the questions leave together.
        blurred: what `_undecided` says of them.

    Returns:
        Fewer groups, each in order of its patterns.
    """
    count, label = connected_components(sparse.csr_array(blurred), directed=False)
    if count == len(names):
        return names
    found: list[list[int]] = [[] for _ in range(count)]
    for group, at in zip(names, label, strict=True):
        found[at].extend(group)
    return tuple(tuple(sorted(group)) for group in found)


def _undecided(weights: Vector, open_: Matrix, answers: Matrix) -> NDArray[np.bool_]:
    """Whether the observed information leaves open how two groups divide their answers.

    Args:
        weights: of the columns in force.
        open_: inverse of their observed information.
        answers: columns in force x groups; how many would show the group, had all its weight;
            nothing in a group that is never named jointly.

    Returns:
        Groups x groups.
    """
    laid = weights @ answers
    spread = answers.T @ open_ @ answers
    own = np.maximum(np.diag(spread), 0.0)
    both = laid[:, None] + laid[None, :]
    worth = (both >= FEWEST) & (laid[:, None] > 0) & (laid[None, :] > 0)
    safe = np.where(worth, both, 1.0)
    share = laid[:, None] / safe
    division = (
        (1 - share) ** 2 * own[:, None] + share**2 * own[None, :] - 2 * share * (1 - share) * spread
    ) / safe**2
    traded = -spread > TRADED * np.maximum.outer(own, own)
    found: NDArray[np.bool_] = worth & traded & (division > OPEN**2)
    np.fill_diagonal(found, False)
    return found


PRIOR = 0.25
"""Answers that an error counts for beforehand.

Half of Jeffreys's, since of dozens of errors that could have led to the answers a few did:
`python -m tests.calibration.attribution` measures what the intervals hold with it.
"""

POOL = 10.0
"""Answers that a larger class counts for in a part of it, as all terms together in each."""

REFUTED = 6.0
"""Answers against an explanation's having led to its most frequent answer, from which on it is left
out of the fit if all its answers go to others."""

"""Answers of one kind under which it does not matter who else could have led to them."""

LED = 0.05
"""Chance of an answer under an error from which on the error is said to lead to it."""


@dataclass(frozen=True)
class Answers:
    """The answers of one class.

    Args:
        question: number of the question of each answer.
        row: its row of the design.
        student: number of its student.
    """

    question: NDArray[np.int64]
    row: NDArray[np.int64]
    student: NDArray[np.int64]

    @cached_property
    def mark(self) -> str:
        """Tells these answers from others."""
        return fingerprint_of_bytes(np.stack([self.question, self.row, self.student]).tobytes())

    @cached_property
    def students(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Each student once, in order, and the place of each answer's."""
        return _distinct(self.student)

    @cached_property
    def by_row(self) -> tuple[NDArray[np.int64], sparse.csr_array]:
        """Distinct rows of the design, in order, and how many answers of each student are there."""
        return self._counted(self.row)

    @cached_property
    def by_question(self) -> tuple[NDArray[np.int64], sparse.csr_array]:
        """Distinct questions, in order, and how many answers each student gave to each."""
        return self._counted(self.question)

    def _counted(self, columns: NDArray[np.int64]) -> tuple[NDArray[np.int64], sparse.csr_array]:
        (students, at), (distinct, place) = self.students, _distinct(columns)
        shape = (len(students), len(distinct))
        return distinct, sparse.csr_array((np.ones(len(at)), (at, place)), shape=shape)


def _distinct(numbers: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Each number once, in order, and the place of all among these; none is under 0."""
    found = np.bincount(numbers) > 0
    return np.flatnonzero(found), (np.cumsum(found) - 1)[numbers]


@dataclass(frozen=True, slots=True)
class Cell:
    """How common each group of patterns is in one class of answers.

    Args:
        key: values of the columns by which the class was formed.
        groups: patterns by number, one tuple per estimate.
        rates: fraction of the class's opportunities that shows the group, 0 to 1.
        variances: variance of each rate: the sandwich, clustered by student, and what the answers
            leave open.
        noise: the part of it that does not come from the group's own answers, and stays where the
            group has none; with it one answer, which may be chance.
        left_open: the part of it that no further student of the same kind would take away.
        known: whether the answers of the class tell the group from every other.
        opportunities: answers at questions that show the group.
        chance: students x groups; whether the student had any such answer.
        influence: students x groups; what each student adds to each rate.
        student: number of the student of each row of `chance` and `influence`.
        weights: weight of every column of the evidence.
        everyone: number of students of the whole course.
        answers: the answers of the class.
    """

    key: tuple[Any, ...]
    groups: Groups
    rates: Vector
    variances: Vector
    noise: Vector
    left_open: Vector
    known: NDArray[np.bool_]
    opportunities: NDArray[np.int64]
    chance: NDArray[np.bool_]
    influence: Matrix
    student: NDArray[np.int64]
    weights: Vector
    everyone: int
    answers: Answers

    @property
    def students(self) -> NDArray[np.int64]:
        """Distinct students with any opportunity, by group."""
        return np.asarray(self.chance.sum(axis=0), dtype=np.int64)


def estimate(
    evidence: Evidence,
    by: Sequence[str],
    opportunities: pd.DataFrame | None = None,
    groups: dict[tuple[Any, ...], Groups] | None = None,
    pooled: dict[tuple[Any, ...], Vector] | None = None,
) -> Iterator[Cell]:
    """Estimate every class of answers apart.

    Args:
        evidence: what the answers say.
        by: columns of the opportunities that form the classes.
        opportunities: some rows of `evidence.opportunities`; None takes all.
        groups: patterns to be named jointly, by the first values of the key; None works them
            out for each class alone.
        pooled: weights that the fit starts from, by key; they count as `POOL` answers.

    Yields:
        One `Cell` per class with any opportunity, in order of its key.
    """
    rows = evidence.opportunities if opportunities is None else opportunities
    for key, part in _classes(rows, by):
        inherited = None
        if groups is not None:
            inherited = next(groups[key[:n]] for n in range(len(key), 0, -1) if key[:n] in groups)
        yield per_chance(evidence, _known(evidence, key, part, inherited, (pooled or {}).get(key)))


def _classes(answers: pd.DataFrame, by: Sequence[str]) -> Iterator[tuple[tuple[Any, ...], Answers]]:
    """Part answers by some columns, in order of their values; where one lacks, they are in none."""
    number = answers.groupby(list(by)).ngroup().to_numpy()
    place = np.argsort(number, kind="stable")
    columns = [answers[name].to_numpy()[place] for name in ("question", "row", "student")]
    numbers, starts = np.unique(number[place], return_index=True)
    keys = answers[list(by)].take(place[starts]).itertuples(index=False, name=None)
    for at, key, (start, end) in zip(numbers, keys, pairwise([*starts, len(place)]), strict=True):
        if at >= 0:
            yield key, Answers(*(column[start:end] for column in columns))


def per_chance(evidence: Evidence, cell: Cell) -> Cell:
    """The same class, its rates per answer at questions that show each group not in theory alone.

    What an unusual method made of a question that does not count stays with that question.

    Args:
        evidence: knows where each pattern was seen.
        cell: rates per answer at questions that can show each group.
    """
    if (evidence.seen == evidence.shows).all():
        return cell
    counts, people = _opportunities(evidence.seen, cell.answers, cell.groups)
    asked, table = cell.answers.by_question
    answered = table.sum(axis=0)
    made = answered[:, None] * evidence.chance[asked] * cell.weights[FIRST_PATTERN:]
    counted = made * (evidence.seen | evidence.usual)[asked]
    parts = [counted[:, group].sum() / made[:, group].sum() for group in map(list, cell.groups)]
    scale = np.where(counts, parts * cell.opportunities / np.maximum(counts, 1), 1.0)
    return replace(
        cell,
        rates=np.minimum(cell.rates * scale, 1.0),
        variances=cell.variances * scale**2,
        noise=cell.noise * scale**2,
        left_open=cell.left_open * scale**2,
        opportunities=counts,
        chance=people,
        influence=cell.influence * scale,
    )


def groups_of(cells: Sequence[Cell]) -> dict[tuple[Any, ...], Groups]:
    """The joint names of some classes, to be kept in their parts."""
    return {cell.key: cell.groups for cell in cells}


def steadied(evidence: Evidence, cells: Sequence[Cell]) -> list[Cell]:
    """The same classes with weights to share answers by, steadied by the topic in all terms.

    The same answers then go to the same errors in each semester, unless its own answers say
    otherwise. Rates are those of each term alone, so that a closed term's stay as they are.

    Args:
        evidence: what the answers say.
        cells: classes by term, setting and topic.
    """
    terms = Counter(cell.key[1:] for cell in cells)
    topics = [key for key, number in terms.items() if number > 1]
    if not topics:
        return list(cells)
    answers = evidence.opportunities
    several = answers[pd.MultiIndex.from_frame(answers[["setting", "topic"]]).isin(topics)]
    whole = {cell.key: cell.weights for cell in estimate(evidence, ["setting", "topic"], several)}
    pooled = {cell.key: whole[cell.key[1:]] for cell in cells if cell.key[1:] in whole}
    again = estimate(evidence, ["term", "setting", "topic"], several, pooled=pooled)
    weights = {cell.key: cell.weights for cell in again}
    return [replace(cell, weights=weights.get(cell.key, cell.weights)) for cell in cells]


@dataclass(frozen=True, slots=True)
class _Fitted:
    """Weights of one class and what they leave open, on the columns that its answers may show.

    They are the mean of two fits if an error leads to several answers of a question and some are
    all that another error leads to: once with the answers spread evenly, once with these all to
    the other. How the one was done is not known, and `gap` is half of what hangs on it.
    """

    columns: NDArray[np.int64]
    weights: Vector
    gap: Vector
    prior: Vector
    open: Matrix
    design: Matrix
    counts: Vector
    answers: sparse.csr_array
    against: Vector


def _known(
    evidence: Evidence,
    key: tuple[Any, ...],
    part: Answers,
    inherited: Groups | None,
    pooled: Vector | None,
) -> Cell:
    """Estimate a class once: weeks, terms and the spells around lessons are often the same."""
    same = (part.mark, inherited, None if pooled is None else pooled.tobytes())
    if same not in evidence.known:
        evidence.known[same] = _cell(evidence, key, part, inherited, pooled)
    cell: Cell = evidence.known[same]
    return replace(cell, key=key)


def _cell(
    evidence: Evidence,
    key: tuple[Any, ...],
    part: Answers,
    inherited: Groups | None,
    pooled: Vector | None,
) -> Cell:
    fitted = _fitted(evidence, part, pooled)
    asked, table = part.by_question
    answered = table.sum(axis=0)
    shown = np.flatnonzero(evidence.shows[asked].any(axis=0))
    names = inherited or _twins(evidence, asked, shown)
    able = set(shown.tolist())
    names = tuple(group for group in names if able & set(group))
    named = {pattern for group in names for pattern in group}
    names += tuple((pattern,) for pattern in sorted(able - named))
    made = answered @ evidence.chance[asked]

    def blurred(answers: Matrix) -> NDArray[np.bool_]:
        # A slip, which weighs less beforehand, is no error that could be named beside another.
        errors = ~evidence.slip[fitted.columns, None]
        open_ = fitted.open + np.outer(fitted.gap, fitted.gap)
        return _undecided(fitted.weights, open_, answers * errors)

    if inherited is None:
        names = _joined(names, blurred(_answers(made, names)[fitted.columns]))
    answers = _answers(made, names)[fitted.columns]
    counts, people = _opportunities(evidence.shows, part, names)
    sums = answers / counts
    parts = influence(fitted.design, fitted.weights, fitted.answers, fitted.open @ sums)
    left, foreign = _left(fitted, sums)
    sandwich = variance(parts)
    foreign = np.where(foreign > 0, sandwich, 0.0) * foreign + left + 1 / np.maximum(counts, 1) ** 2
    return Cell(
        key=key,
        groups=names,
        rates=np.minimum(fitted.weights @ sums, 1.0),
        variances=sandwich + left,
        noise=foreign,
        left_open=left,
        known=np.logical_not(blurred(answers).any(axis=1)),
        opportunities=counts,
        chance=people,
        influence=parts,
        student=part.students[0],
        weights=_whole(evidence, fitted),
        everyone=evidence.everyone,
        answers=part,
    )


def _fitted(evidence: Evidence, part: Answers, pooled: Vector | None) -> _Fitted:
    """Fit one class, on its distinct rows and on what is not refuted there."""
    rows, answers = part.by_row
    design = evidence.design[rows]
    counts = answers.sum(axis=0)
    came = (design[design[:, 0] == 0] > 0).any(axis=0)
    came[:FIRST_PATTERN] = True
    columns = np.flatnonzero(came)
    likely = evidence.known.get(part.mark)  # whatever names and pool the class is given
    if likely is None:
        likely = likeliest(design[:, columns], counts, evidence.start[columns])
        evidence.known[part.mark] = likely
    against = shortfall(design[:, columns], counts, likely)
    wrong = design[:, 0] == 0
    chances = design[:, columns] @ likely
    top = ((design[wrong][:, columns] > 0) * chances[wrong, None]).max(axis=0, initial=0.0)
    rival = (against * top < REFUTED) & (counts.sum() * top >= FEWEST)
    stays = (likely * counts.sum() > PRIOR) | rival
    stays[:FIRST_PATTERN] = True
    kept = columns[stays]
    lacking = np.full(design.shape[1], counts.sum())
    lacking[columns] = against
    prior = PRIOR * evidence.start[kept]
    if pooled is not None:
        prior = prior + POOL * pooled[kept] / pooled[kept].sum()
    own = design[:, kept]
    question = np.zeros(len(evidence.design), dtype=np.int64)
    question[part.row] = part.question
    other = np.where(_also_of_others(evidence, own, counts, kept, question[rows]), 0.0, own)
    first = fit(own, counts, prior)
    second = first if (other == own).all() else fit(other, counts, prior)
    weights = (first + second) / 2
    return _Fitted(
        kept, weights, (first - second) / 2, prior, covariance(own, counts, weights, prior), own,
        counts, answers, lacking,
    )  # fmt: skip


def _also_of_others(
    evidence: Evidence,
    design: Matrix,
    counts: Vector,
    columns: NDArray[np.int64],
    question: NDArray[np.int64],
) -> NDArray[np.bool_]:
    """Where an error that leads to several answers leads to one of those of a narrower error."""
    error = ~evidence.slip[columns]
    error[:FIRST_PATTERN] = False
    at = np.ix_(question, columns[error] - FIRST_PATTERN)
    usual, several = np.zeros((2, *design.shape), dtype=bool)
    usual[:, error], several[:, error] = evidence.usual[at], evidence.several[at]
    led = (design > LED) & error & (design[:, :1] == 0)
    mine = (led & usual).astype(float)
    beyond = mine.T @ ~led > 0  # the one error leads where the other does not
    narrower = ~beyond & beyond.T & (counts @ mine >= FEWEST)[:, None]
    shared: NDArray[np.bool_] = led & several & (mine @ narrower > 0)
    return shared


def _whole(evidence: Evidence, fitted: _Fitted) -> Vector:
    """Weights of all columns; an explanation of which nothing came keeps its prior's."""
    whole: Vector = PRIOR * evidence.start / (fitted.counts.sum() + fitted.against)
    whole[fitted.columns] = fitted.weights
    return whole


def _answers(made: Vector, names: Groups) -> Matrix:
    """Columns x groups: answers of the class that would show the group, had all its weight."""
    pattern, place = memberships(names)
    answers = np.zeros((FIRST_PATTERN + len(made), len(names)))
    answers[FIRST_PATTERN + pattern, place] = made[pattern]
    return answers


def memberships(groups: Groups) -> NDArray[np.int64]:
    """Two rows: each pattern that is in a group, and the group's place; groups in their order."""
    pairs = [(pattern, place) for place, group in enumerate(groups) for pattern in group]
    return np.array(pairs, dtype=np.int64).reshape(-1, 2).T


def _left(fitted: _Fitted, sums: Matrix) -> tuple[Vector, Vector]:
    """What the answers leave open of each sum's variance; which part of the rest is not its own."""
    towards = fitted.open @ sums
    slopes = fitted.design / np.maximum(fitted.design @ fitted.weights, 1e-300)[:, None]
    squares = fitted.counts[:, None] * (slopes @ towards) ** 2
    own = slopes @ (fitted.weights[:, None] * (sums > 0))
    whole = squares.sum(axis=0)
    foreign = (squares * (1 - np.minimum(own, 1.0))).sum(axis=0) / np.where(whole > 0, whole, 1.0)
    left = ((fitted.prior / fitted.weights**2)[:, None] * towards**2).sum(axis=0)
    return left + (fitted.gap @ sums) ** 2, foreign


def _opportunities(
    able: NDArray[np.bool_], part: Answers, groups: Groups
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Answers that had a chance to show each group, and which students gave any."""
    questions, table = part.by_question
    pattern, place = memberships(groups)
    first = np.searchsorted(place, np.arange(len(groups)))
    shows = np.logical_or.reduceat(able[questions[:, None], pattern], first, axis=1)
    chances = table @ shows.astype(float)
    return chances.sum(axis=0).astype(np.int64), chances > 0
