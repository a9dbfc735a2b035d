"""Maximum likelihood for a mixture whose components are known and whose weights are not.

Every answer falls into a cell; each component says how often it lands in each cell; what is
estimated is how common the components are. Source: Dempster, Laird and Rubin (1977), Maximum
likelihood from incomplete data via the EM algorithm, JRSS B 39:1-38; acceleration as in Varadhan
and Roland (2008), Scandinavian Journal of Statistics 35:335-353.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

__all__ = [
    "Matrix",
    "Vector",
    "estimable",
    "fit",
    "gram",
    "identical_columns",
    "influence",
    "variance",
]

Vector: TypeAlias = NDArray[np.float64]
Matrix: TypeAlias = NDArray[np.float64]

MOST_STEPS = 4_000
SMALLEST_CHANGE = 1e-10
AT_ZERO = 1e-7
"""A weight under this is taken to be at the edge of the simplex, where no slope is zero."""
RANK_TOLERANCE = 1e-9


def fit(design: Matrix, counts: Vector, start: Vector | None = None) -> Vector:
    """Estimate how common each component is.

    The log-likelihood is concave in the weights: one maximum, no restarts.

    Args:
        design: cells x components; the chance that a component lands in a cell, 0 to 1.
        counts: answers in each cell, at least one in all.
        start: first weights, all positive; None starts from equal ones. Components that no cell
            tells apart keep the ratio that they start with.

    Returns:
        Weights, one per component, that sum to 1.

    Source: Dempster, Laird and Rubin (1977).
    """
    seen = counts > 0
    design, counts = design[seen], counts[seen]
    size = design.shape[1]
    weights = np.full(size, 1 / size) if start is None else start / start.sum()
    total = counts.sum()

    def step(current: Vector) -> Vector:
        chance = np.maximum(design @ current, 1e-300)
        raised: Vector = current * (design.T @ (counts / chance)) / total
        raised /= raised.sum()
        return raised

    for _ in range(MOST_STEPS):
        once = step(weights)
        if np.abs(once - weights).max() < SMALLEST_CHANGE:
            return once
        twice = step(once)
        leap = _leap(weights, once, twice)
        weights = step(leap) if _gain(design, counts, leap, twice) else twice
    return weights


def _leap(start: Vector, once: Vector, twice: Vector) -> Vector:
    """Extrapolate two steps, held inside the simplex; zeros stay zeros."""
    first, second = once - start, twice - 2 * once + start
    size = float(np.linalg.norm(second))
    if size < 1e-14:
        return twice
    length = max(float(np.linalg.norm(first)) / size, 1.0)
    leap: Vector = start + 2 * length * first + length**2 * second
    leap = np.where(twice > 0, np.maximum(leap, twice * 1e-3), 0.0)
    moved: Vector = leap / leap.sum()
    return moved


def _gain(design: Matrix, counts: Vector, leap: Vector, safe: Vector) -> bool:
    """Whether the leap is at least as likely as the plain step."""
    far, near = design @ leap, design @ safe
    if (far <= 0).any():
        return False
    return bool(counts @ np.log(far / np.maximum(near, 1e-300)) >= 0)


def influence(
    design: Matrix, counts: Vector, weights: Vector, students: sparse.csr_array
) -> Matrix:
    """What each student adds to each estimated weight, to first order.

    The sum of squares over students is the sandwich variance before its small-sample factor, so
    that any fixed combination of weights, over several classes of answers too, has its standard
    error from the same combination of these columns.

    Args:
        design: cells x components, as in `fit`.
        counts: answers in each cell; the column sums of `students`.
        weights: the estimate.
        students: students x cells, answers of each student in each cell.

    Returns:
        Students x components; each column sums to nearly 0. Components at the edge get zeros.

    Source: Huber (1967) and White (1982), the sandwich; from memory.
    """
    result = np.zeros((students.shape[0], design.shape[1]))
    active = np.flatnonzero(weights > AT_ZERO)
    if active.size < 2:
        return result
    chance = np.maximum(design @ weights, 1e-300)
    basis = np.vstack([np.eye(active.size - 1), -np.ones(active.size - 1)])
    slopes = (design[:, active] / chance[:, None]) @ basis
    curvature = slopes.T @ (counts[:, None] * slopes)
    bread = basis @ np.linalg.pinv(curvature, hermitian=True)
    result[:, active] = (students @ slopes) @ bread.T
    return result


def variance(parts: Matrix) -> Vector:
    """Sandwich variance of each column of `influence`, clustered by student.

    Args:
        parts: students x estimates; rows of students without data are left out by the caller.

    Returns:
        One variance per estimate; infinite with fewer than two students.
    """
    size = parts.shape[0]
    if size < 2:
        return np.full(parts.shape[1], np.inf)
    spread: Vector = size / (size - 1) * (parts**2).sum(axis=0)
    return spread


def identical_columns(gram: Matrix) -> list[list[int]]:
    """Group components that land in the same cells equally often, in order of first place.

    Args:
        gram: what `gram` gives of every cell that could have been seen.

    Returns:
        Groups of column numbers; a component that stands alone is a group of one.
    """
    norms = np.diag(gram)
    apart = norms[:, None] + norms[None, :] - 2 * gram
    first = (apart <= RANK_TOLERANCE * np.maximum(norms[:, None], 1.0)).argmax(axis=1)
    return [list(map(int, np.flatnonzero(first == column))) for column in np.unique(first)]


def estimable(gram: Matrix) -> NDArray[np.bool_]:
    """Say which single weights the cells determine.

    A weight is determined when no direction that leaves every cell's chance as it is moves it,
    which is the same as: adding its unit row does not raise the rank of the design.

    Args:
        gram: what `gram` gives of every cell that could have been seen.

    Returns:
        One truth value per component.
    """
    seen = np.flatnonzero(np.diag(gram) > 0)
    values, vectors = np.linalg.eigh(gram[np.ix_(seen, seen)])
    lost = vectors[:, values < RANK_TOLERANCE * max(float(values.max(initial=0.0)), 1.0)]
    fixed = np.zeros(len(gram), dtype=bool)
    fixed[seen] = (np.abs(lost) < 1e-6).all(axis=1)
    return fixed


def gram(design: Matrix | sparse.csr_array) -> Matrix:
    """Inner products of the columns of a design, from which ranks and twins can be told.

    Args:
        design: every cell that could have been seen x components.
    """
    if isinstance(design, np.ndarray):
        products: Matrix = design.T @ design
        return products
    return np.asarray((design.T @ design).toarray(), dtype=float)
