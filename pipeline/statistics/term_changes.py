"""Terms side by side: all topics together, question by question, and over more than two terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import pandas as pd
from scipy import special

from pipeline.statistics.change import MARGIN, rate_and_mix
from pipeline.statistics.intervals import square_and_add, wilson
from pipeline.statistics.multiplicity import benjamini_hochberg, holm
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few
from pipeline.statistics.patterns import Combined
from pipeline.statistics.stratified import pooled_odds
from pipeline.statistics.terms import (
    QUESTION,
    common,
    difference_of,
    in_all,
    keyed,
    standardized,
    with_visible,
)

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
