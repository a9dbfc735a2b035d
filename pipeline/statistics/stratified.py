"""One odds ratio over many questions, with students who answer several of them.

Source: Mantel and Haenszel (1959); variance of its logarithm, which holds on sparse tables, after
Robins, Breslow and Greenland (1986), Biometrics 42:311-323; homogeneity after Breslow and Day
(1980) with Tarone's correction.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

Tables = NDArray[np.float64]
"""Strata x (after, before) x (wrong, right): counts of answers."""


@dataclass(frozen=True, slots=True)
class Pooled:
    """What all questions together say.

    Args:
        odds_ratio: odds of a wrong answer, later over earlier; 1 is no difference.
        low: lower end of its 95 % interval, widened where students answer several questions.
        high: upper end.
        homogeneity_p: p-value of "the same odds ratio on every question". A student answers a
            question once, but several questions, which makes the test rather blind than nervous.
        questions: questions that tell anything of the odds.
    """

    odds_ratio: float
    low: float
    high: float
    homogeneity_p: float
    questions: int


def tables_of(answers: pd.DataFrame, before: str, after: str) -> Tables:
    """Count wrong and right answers of two terms on each question.

    Args:
        answers: item, term, wrong (0 or 1).
        before: id of the earlier term.
        after: id of the later one.
    """
    sums = answers.groupby(["item", "term"])["wrong"].agg(["sum", "count"]).unstack(fill_value=0)
    layers = [
        np.column_stack([sums["sum"][term], sums["count"][term] - sums["sum"][term]])
        for term in (after, before)
    ]
    return np.stack(layers, axis=1).astype(float)


def pooled_odds(answers: pd.DataFrame, before: str, after: str) -> Pooled | None:
    """Pool the odds ratio of a wrong answer over questions, later term against earlier.

    Args:
        answers: item, student, term, wrong (0 or 1).
        before: id of the earlier term.
        after: id of the later one.

    Returns:
        The pooled ratio; None where no question parts the terms at all.
    """
    tables = tables_of(answers, before, after)
    told = _informative(tables)
    if not told.any():
        return None
    from statsmodels.stats.contingency_tables import StratifiedTable  # slow to import

    strata = StratifiedTable(list(tables[told]))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = float(strata.oddsratio_pooled)
    if not np.isfinite(ratio) or ratio <= 0:
        return None
    spread = float(strata.logodds_pooled_se) * _design_effect(answers, after, tables) ** 0.5
    reach = float(special.ndtri(0.975)) * spread
    same = float("nan")
    if told.sum() > 1:
        # At a ratio of exactly 1 the library divides 0 by 0: no test then.
        with np.errstate(divide="ignore", invalid="ignore"):
            same = float(strata.test_equal_odds(adjust=True).pvalue)
    limits = float(np.exp(np.log(ratio) - reach)), float(np.exp(np.log(ratio) + reach))
    return Pooled(ratio, *limits, same, int(told.sum()))


def _informative(tables: Tables) -> NDArray[np.bool_]:
    """Strata with answers of both terms, right and wrong ones."""
    margins = np.concatenate([tables.sum(axis=1), tables.sum(axis=2)], axis=1)
    told: NDArray[np.bool_] = np.asarray((margins > 0).all(axis=1))
    return told


def _design_effect(answers: pd.DataFrame, after: str, tables: Tables) -> float:
    """How much wider the spread is because students answer several questions; at least 1.

    The linearized variance of the log odds ratio with students as units, over that with answers
    as units. Both are sums over all answers, so that a sparse table drops nobody.
    """
    items = np.sort(answers["item"].unique())
    at = np.searchsorted(items, answers["item"])
    row = (answers["term"] != after).to_numpy(dtype=int)
    column = 1 - answers["wrong"].to_numpy(dtype=int)
    pull = _slopes(tables)[at, row, column]
    group = pd.Series(pull).groupby([at, row])
    own = pull - group.transform("mean").to_numpy()
    alone = float((own**2).sum())
    together = float((pd.Series(own).groupby(answers["student"].to_numpy()).sum() ** 2).sum())
    return max(together / alone, 1.0) if alone > 0 else 1.0


def _slopes(tables: Tables) -> Tables:
    """What one more answer in a cell adds to the log odds ratio, to first order."""
    (a, b), (c, d) = tables.transpose(1, 2, 0)
    size = np.maximum(a + b + c + d, 1.0)
    top, bottom = a * d / size, b * c / size
    rise = [[d / size, 0 * a], [0 * a, a / size]]
    fall = [[0 * a, c / size], [b / size, 0 * a]]
    return np.asarray(
        (np.array(rise) - top / size) / top.sum() - (np.array(fall) - bottom / size) / bottom.sum()
    ).transpose(2, 0, 1)
