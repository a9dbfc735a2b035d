"""Which errors are named jointly: those that neither questions nor answers tell apart."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.csgraph import connected_components

from pipeline.tagging.evidence import FIRST_PATTERN, UNEXPLAINED, Evidence
from pipeline.tagging.mixture import Matrix, Vector, identical_columns

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


def twins(evidence: Evidence, asked: NDArray[np.int64], shown: NDArray[np.int64]) -> Groups:
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


def joined(names: Groups, blurred: NDArray[np.bool_]) -> Groups:
    """Join groups that the answers which came do not tell apart.

    Args:
        names: groups that the questions leave together.
        blurred: what `undecided` says of them.

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


def undecided(weights: Vector, open_: Matrix, answers: Matrix) -> NDArray[np.bool_]:
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
