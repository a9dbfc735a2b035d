"""Terms side by side: all topics together, question by question, and over more than two terms.

One odds ratio over many questions after Mantel and Haenszel (1959); variance of its logarithm,
which holds on sparse tables, after Robins, Breslow and Greenland (1986), Biometrics 42:311-323;
homogeneity after Breslow and Day (1980) with Tarone's correction.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

from pipeline.statistics.change import MARGIN, rate_and_mix
from pipeline.statistics.intervals import benjamini_hochberg, holm, square_and_add, wilson
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few
from pipeline.statistics.patterns import Combined
from pipeline.statistics.terms import (
    QUESTION,
    common,
    difference_of,
    in_all,
    keyed,
    standardized,
    with_visible,
)

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


DIFFER = "questions moved apart: read them one by one"
LEVEL = 0.05


def term_changes(
    answers: pd.DataFrame, pairs: Sequence[tuple[str, str]], margin: float = MARGIN
) -> pd.DataFrame:
    """Difference of the share wrong over all topics and by topic, and what it is made of.

    Args:
        answers: one row per judged first try: term, setting, topic, item, item_from, student,
            wrong (0 or 1).
        pairs: earlier and later term.
        margin: difference that counts as small.

    Returns:
        The columns of `computed.term_change`. Rows without a topic are the headline claims; their
        p-values are adjusted together by Holm.
    """
    rows = [
        {**keys, **_change(part, keys["term_before"], keys["term_after"], margin)}
        for before, after in pairs
        for keys, part in _parts(common(answers, before, after), before, after)
    ]
    if not rows:
        return pd.DataFrame()
    table = with_visible(pd.DataFrame(rows))
    headline = table["topic"].isna()
    return table.assign(p_holm=holm(table["p"].where(headline)))


def _parts(
    shared: pd.DataFrame, before: str, after: str
) -> Iterator[tuple[dict[str, Any], pd.DataFrame]]:
    keys = {"term_before": before, "term_after": after}
    for setting, part in shared.groupby("setting", sort=True):
        yield {**keys, "setting": setting, "topic": None}, keyed(part)
        for topic, own in part.groupby("topic", sort=True):
            yield {**keys, "setting": setting, "topic": topic}, keyed(own)


def _change(asked: pd.DataFrame, before: str, after: str, margin: float) -> dict[str, Any]:
    weights = asked["item"].value_counts(normalize=True)
    first, second = (standardized(asked, term, weights) for term in (before, after))
    by_item = asked.groupby(["term", "item"])["wrong"].agg(["mean", "size"])
    old, new = by_item.loc[before], by_item.loc[after]
    rates, mix = rate_and_mix(old["mean"], old["size"], new["mean"], new["size"])
    crude = asked.groupby("term")["wrong"].mean()
    row = {
        "common_questions": len(weights),
        **difference_of(first, second, margin),
        "crude_before": float(crude[before]),
        "crude_after": float(crude[after]),
        "by_rates": rates,
        "by_mix": mix,
    }
    pooled = pooled_odds(asked, before, after)
    if pooled and min(first.students, second.students) >= FEWEST_FOR_INTERVAL:
        row |= {
            "odds_ratio": pooled.odds_ratio,
            "odds_ratio_low": pooled.low,
            "odds_ratio_high": pooled.high,
            "homogeneity_p": pooled.homogeneity_p,
        }
        if pooled.homogeneity_p < LEVEL and not row["difference_note"]:
            row["difference_note"] = DIFFER
    return row


def question_differences(answers: pd.DataFrame, pairs: Sequence[tuple[str, str]]) -> pd.DataFrame:
    """Difference of the share wrong on each question that both terms had.

    Args:
        answers: see `term_changes`; one row per student and question.
        pairs: earlier and later term.

    Returns:
        The columns of `computed.question_change`; p-values adjusted over the whole table.
    """
    frames = [_questions(common(answers, *pair), *pair) for pair in pairs]
    filled = [frame for frame in frames if len(frame)]
    if not filled:
        return pd.DataFrame()
    table = pd.concat(filled, ignore_index=True)
    return table.assign(p_adjusted=benjamini_hochberg(table["p"]))


def _questions(shared: pd.DataFrame, before: str, after: str) -> pd.DataFrame:
    if not len(shared):
        return pd.DataFrame()
    keys = [*QUESTION, "topic"]
    sums = shared.groupby([*keys, "term"], dropna=False)["wrong"].agg(["sum", "size"])
    sides = sums.unstack("term").dropna()
    (x, n), (y, m) = (
        [sides[what][term].to_numpy(dtype=float) for what in ("sum", "size")]
        for term in (before, after)
    )
    low, high = square_and_add(y / m, wilson(y, m), x / n, wilson(x, n))
    fewest = np.minimum(n, m)
    return sides.index.to_frame(index=False).assign(
        term_before=before,
        term_after=after,
        students_before=n.astype(int),
        students_after=m.astype(int),
        rate_before=x / n,
        rate_after=y / m,
        difference=y / m - x / n,
        difference_low=blank_when_few(low, fewest),
        difference_high=blank_when_few(high, fewest),
        difference_note=few(fewest),
        p=[_p(*counts) for counts in zip(y, x, m, n, strict=True)],
    )


def _p(after: float, before: float, size_after: float, size_before: float) -> float:
    flat = after + before in (0, size_after + size_before)
    if flat or min(size_after, size_before) < FEWEST_FOR_INTERVAL:
        return float("nan")
    from statsmodels.stats.proportion import proportions_ztest  # slow to import

    return float(proportions_ztest([after, before], [size_after, size_before])[1])


def several_terms(answers: pd.DataFrame, order: Sequence[str]) -> pd.DataFrame:
    """Share wrong in each of three or more terms, on the questions that all of them had.

    Args:
        answers: see `term_changes`.
        order: ids of the terms that have answers, in order of time.

    Returns:
        The columns of `computed.term_series`, empty with fewer than three terms; `p` is that of
        no difference among all the terms, adjusted over the table.
    """
    if len(order) < 3:
        return pd.DataFrame()
    rows: list[dict[str, Any]] = []
    for keys, part in _parts(in_all(answers, order), "", ""):
        rows.extend(_series(keys, part, order))
    if not rows:
        return pd.DataFrame()
    table = pd.DataFrame(rows).drop(columns=["term_before", "term_after"])
    families = table.drop_duplicates(["setting", "topic"])
    adjusted = families.assign(p_adjusted=benjamini_hochberg(families["p"]))
    return table.merge(adjusted[["setting", "topic", "p_adjusted"]], on=["setting", "topic"])


def _series(
    keys: dict[str, Any], asked: pd.DataFrame, order: Sequence[str]
) -> Iterator[dict[str, Any]]:
    weights = asked["item"].value_counts(normalize=True)
    sides = [standardized(asked, term, weights) for term in order]
    p = _any_difference(sides)
    for term, side in zip(order, sides, strict=True):
        low, high = side.limits()
        yield {
            **keys,
            "term": term,
            "common_questions": len(weights),
            "students": side.students,
            "answers": side.opportunities,
            "rate": side.rate,
            "rate_low": float(blank_when_few(low, side.students)),
            "rate_high": float(blank_when_few(high, side.students)),
            "rate_note": few([side.students])[0],
            "p": p,
        }


def _any_difference(sides: Sequence[Combined]) -> float:
    """Wald test that rates of different students are all equal."""
    rate = np.array([side.rate for side in sides])
    spread = np.array([side.variance for side in sides])
    if min(side.students for side in sides) < FEWEST_FOR_INTERVAL or not (spread > 0).all():
        return float("nan")
    mean = np.average(rate, weights=1 / spread)
    return float(special.chdtrc(len(sides) - 1, ((rate - mean) ** 2 / spread).sum()))
