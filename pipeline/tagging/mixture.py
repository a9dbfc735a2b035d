"""Maximum likelihood for a mixture whose components are known and whose weights are not.

Every answer falls into a cell; each component says how often it lands in each cell; what is
estimated is how common the components are. Source: Dempster, Laird and Rubin (1977), Maximum
likelihood from incomplete data via the EM algorithm, JRSS B 39:1-38.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

Vector: TypeAlias = NDArray[np.float64]
Matrix: TypeAlias = NDArray[np.float64]

MOST_STEPS, MOST_SMALL_STEPS = 200, 4_000
SMALLEST_CHANGE = 1e-10
SMALLEST_GAIN = 1e-12
NEARLY_NOTHING = 1e-9
RANK_TOLERANCE = 1e-9


def fit(design: Matrix, counts: Vector, prior: Vector | None = None) -> Vector:
    """Estimate how common each component is, by Newton's method.

    The logarithm of the posterior is concave in the weights: one maximum, no restarts.

    Args:
        design: cells x components; the chance that a component lands in a cell, 0 to 1.
        counts: answers in each cell, at least one in all.
        prior: answers that each component counts for beforehand, all above 0; None for nearly
            none. With a of them the maximum is that under a Dirichlet prior of 1 + a, which is the
            mean under one of a wherever the cells tell the components apart, and which lies inside,
            with weights as the priors for equals, where they do not.

    Returns:
        Weights, one per component, that sum to 1.

    Source: the likelihood of Dempster, Laird and Rubin (1977); Newton's method with a step back as
        in Boyd and Vandenberghe (2004), Convex Optimization, section 9.5; from memory.
    """
    seen = counts > 0
    design, counts = design[seen], counts[seen]
    before = np.full(design.shape[1], NEARLY_NOTHING) if prior is None else prior
    whole = counts.sum() + before.sum()
    weights: Vector = before / before.sum()
    for _ in range(MOST_STEPS):
        relative = design * weights / (design @ weights)[:, None]
        slope = counts @ relative + before - whole * weights
        step = np.linalg.solve(relative.T @ (counts[:, None] * relative) + np.diag(before), slope)
        gain = float(slope @ step)
        if gain < SMALLEST_GAIN:
            break
        size = min(1.0, 0.95 / max(-step.min(), 1e-300))
        while _gained(relative, counts, before, whole * weights, size * step) < gain * size / 4:
            size /= 2
        weights *= 1 + size * step
    weights /= weights.sum()
    return weights


def likeliest(design: Matrix, counts: Vector, start: Vector) -> Vector:
    """Weights of the greatest likelihood alone, by EM.

    Args:
        design: cells x components, as in `fit`.
        counts: answers in each cell.
        start: first weights, all positive; components that no cell tells apart keep their ratio,
            whatever further answers come, which no prior, however small, gives at the border.

    Returns:
        Weights, one per component, that sum to 1.

    Source: Dempster, Laird and Rubin (1977); acceleration as in Varadhan and Roland (2008),
        Scandinavian Journal of Statistics 35:335-353.
    """
    design, counts = design[counts > 0], counts[counts > 0]
    weights: Vector = start / start.sum()

    chance = design @ weights

    def step(current: Vector, chance: Vector) -> Vector:
        raised: Vector = current * (design.T @ (counts / np.maximum(chance, 1e-300)))
        raised /= np.add.reduce(raised)  # `sum` of so few takes twice as long
        return raised

    for _ in range(MOST_SMALL_STEPS):
        once: Vector = step(weights, chance)
        if np.maximum.reduce(np.abs(once - weights)) < SMALLEST_CHANGE:
            return once
        twice = step(once, design @ once)
        leap = _leap(weights, once, twice)
        weights, chance, far = twice, design @ twice, design @ leap
        if _is_likelier(counts, far, chance):
            weights = step(leap, far)
            chance = design @ weights
    return weights


def _leap(start: Vector, once: Vector, twice: Vector) -> Vector:
    """Extrapolate two steps, held inside the simplex; zeros stay zeros."""
    first, second = once - start, twice - 2 * once + start
    size = float(second @ second) ** 0.5
    if size < 1e-14:
        return twice
    length = max(float(first @ first) ** 0.5 / size, 1.0)
    leap: Vector = start + 2 * length * first + length**2 * second
    leap = np.where(twice > 0, np.maximum(leap, twice * 1e-3), 0.0)
    leap /= np.add.reduce(leap)
    return leap


def _is_likelier(counts: Vector, far: Vector, near: Vector) -> bool:
    """Whether chances after a leap make the counts, all above 0, as likely as those of a step."""
    if np.minimum.reduce(far) <= 0:
        return False
    return float(counts @ np.log(far / np.maximum(near, 1e-300))) >= 0


def _gained(
    relative: Matrix, counts: Vector, before: Vector, expected: Vector, step: Vector
) -> float:
    """How much likelier the weights become if each grows by its step, relative to itself."""
    likelier = counts @ np.log1p(relative @ step) + before @ np.log1p(step)
    return float(likelier - expected @ step)


def shortfall(design: Matrix, counts: Vector, weights: Vector) -> Vector:
    """How many answers speak against each component that has no weight.

    It is the slope of the log-likelihood towards the component: with s answers against it, and no
    answer of its own, its weight is spread as an exponential with mean 1 / s. A component with
    weight has a shortfall of about 0.
    """
    chance = np.maximum(design @ weights, 1e-300)
    lacking: Vector = np.maximum(counts.sum() - design.T @ (counts / chance), 0.0)
    return lacking


def covariance(design: Matrix, counts: Vector, weights: Vector, prior: Vector) -> Matrix:
    """Inverse of the observed information with the prior's, within weights that sum to 1.

    Args:
        design: cells x components, as in `fit`.
        counts: answers in each cell.
        weights: the estimate, all above 0.
        prior: as in `fit`, all above 0; it keeps finite what the answers leave open.

    Returns:
        Components x components; its rows sum to 0.
    """
    relative = design * weights / np.maximum(design @ weights, 1e-300)[:, None]
    information = relative.T @ (counts[:, None] * relative) + np.diag(prior)
    inverse = np.linalg.inv(information)
    pull = inverse @ weights
    bound: Matrix = inverse - np.outer(pull, pull) / (weights @ pull)
    return bound * np.outer(weights, weights)


def influence(
    design: Matrix, weights: Vector, students: sparse.csr_array, towards: Matrix
) -> Matrix:
    """What each student adds to each estimated sum of weights, to first order.

    The sum of squares over students is the sandwich variance before its small-sample factor, so
    that any fixed combination of weights, over several classes of answers too, has its standard
    error from the same combination of these columns.

    Args:
        design: cells x components, as in `fit`.
        weights: the estimate.
        students: students x cells, answers of each student in each cell.
        towards: components x estimates; `covariance` times the sums that are wanted.

    Returns:
        Students x estimates; each column sums to nearly 0.

    Source: Huber (1967) and White (1982), the sandwich; from memory.
    """
    slopes = design / np.maximum(design @ weights, 1e-300)[:, None]
    parts: Matrix = students @ (slopes @ towards)
    return parts


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
        gram: inner products of the components' columns over every cell that could have been seen.

    Returns:
        Groups of column numbers; a component that stands alone is a group of one.
    """
    norms = np.diag(gram)
    apart = norms[:, None] + norms[None, :] - 2 * gram
    first = (apart <= RANK_TOLERANCE * np.maximum(norms[:, None], 1.0)).argmax(axis=1)
    return [list(map(int, np.flatnonzero(first == column))) for column in np.unique(first)]
