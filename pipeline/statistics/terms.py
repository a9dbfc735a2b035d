"""One term against an earlier one, on the questions that both had, with weights fixed before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
from scipy import special

from pipeline.statistics.change import MARGIN, effective, smallest_visible, within_margin
from pipeline.statistics.intervals import benjamini_hochberg, square_and_add
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few
from pipeline.statistics.patterns import Combined, Part, clustered_variance, combine, members
from pipeline.tagging.attribute import estimate, groups_of
from pipeline.tagging.evidence import Evidence

_Keys: TypeAlias = tuple[Any, Any, Any, str, Any, int]

QUESTION = ["setting", "item", "item_from"]


def term_pairs(order: Sequence[str]) -> list[tuple[str, str]]:
    """Each term with the next one, and each earlier term with the last.

    Args:
        order: ids of the terms that have answers, in order of time.
    """
    neighbors = list(pairwise(order))
    with_last = [(term, order[-1]) for term in order[:-1]]
    return list(dict.fromkeys(neighbors + with_last))


def common(answers: pd.DataFrame, before: str, after: str) -> pd.DataFrame:
    """The answers of two terms to the questions, in the same version, that both had."""
    return in_all(answers, [before, after])


def in_all(answers: pd.DataFrame, terms: Sequence[str]) -> pd.DataFrame:
    """The answers of some terms to the questions, in the same version, that all of them had."""
    mine = answers[answers["term"].isin(terms)]
    mine = mine.assign(item_from=mine["item_from"].astype("object").fillna(""))
    asked = mine[[*QUESTION, "term"]].drop_duplicates().value_counts(QUESTION)
    shared = asked.index[asked == len(terms)]
    return mine[pd.MultiIndex.from_frame(mine[QUESTION]).isin(shared)]


def declared_same(answers: pd.DataFrame, items: pd.DataFrame) -> pd.DataFrame:
    """Answers with each question that the course declares the same as another as that other one.

    Args:
        answers: item, item_from.
        items: item, item_from, same, position, one row per version of a question.

    Returns:
        The same rows; a question stands for the latest version of the one it was declared as.
    """
    declared = items[items["same"].notna()]
    if declared.empty:
        return answers
    latest = items.sort_values("position").drop_duplicates("item", keep="last")
    start = latest.set_index("item")["item_from"]
    other = declared.drop_duplicates("item", keep="last").set_index("item")["same"]
    item, item_from = (answers[name].astype("object") for name in ("item", "item_from"))
    now = item.map(other)
    return answers.assign(
        item=now.where(now.notna(), item),
        item_from=now.map(start).where(now.notna(), item_from),
    )


def keyed(answers: pd.DataFrame) -> pd.DataFrame:
    """The same with each version of a question as an item of its own."""
    return answers.assign(item=answers.groupby(["item", "item_from"]).ngroup())


def standardized(answers: pd.DataFrame, term: str, weights: pd.Series[float]) -> Combined:
    """Error rate of one term at fixed weights of the questions.

    Args:
        answers: item, student, wrong, term.
        term: id of the term.
        weights: by item, summing to 1.

    Returns:
        The rate; its variance is linearized over students, e = sum of w (y - p n) / n by item.

    Source: direct standardization; the variance is that of a linear contrast, which equals the
        cluster-robust least squares of the saturated model.
    """
    own = answers[answers["term"] == term]
    items, item = np.unique(own["item"], return_inverse=True)
    wrong, size = own["wrong"].to_numpy(float), np.bincount(item)
    sums = np.bincount(item, wrong)
    weight = weights.reindex(items).to_numpy() / size
    pull = weight[item] * (wrong - (sums / size)[item])
    influence = np.bincount(np.unique(own["student"], return_inverse=True)[1], pull)
    centered = influence - influence.mean()
    present = np.ones(len(centered), dtype=bool)
    spread = clustered_variance(centered, present)
    return Combined(float(weight @ sums), spread, len(own), len(centered), centered, present)


def compare_topics(
    answers: pd.DataFrame, pairs: Sequence[tuple[str, str]], margin: float = MARGIN
) -> pd.DataFrame:
    """Difference of the share wrong by topic.

    Args:
        answers: one row per judged first try: term, setting, topic, item, item_from, student,
            wrong (0 or 1).
        pairs: earlier and later term.
        margin: difference that counts as small.

    Returns:
        One row per pair, setting and topic with any common question; no p adjusted yet.
    """
    rows = []
    for before, after in pairs:
        shared = common(answers, before, after)
        for (setting, topic), part in shared.groupby(["setting", "topic"], sort=True):
            asked = keyed(part)
            weights = asked["item"].value_counts(normalize=True)
            first = standardized(asked, before, weights)
            second = standardized(asked, after, weights)
            keys: _Keys = (setting, before, after, "topic", topic, len(weights))
            rows.append(_row(keys, first, second, margin))
    return with_visible(pd.DataFrame(rows))


def compare_patterns(
    evidence: Evidence, pairs: Sequence[tuple[str, str]], margin: float = MARGIN
) -> pd.DataFrame:
    """Difference of each error's rate, by the weights of each term's classes.

    Args:
        evidence: its opportunities hold term, setting, topic, item, item_from.
        pairs: earlier and later term.
        margin: difference that counts as small.

    Returns:
        One row per pair, setting and group of patterns that both terms' common questions
        determine; topics are weighted by the opportunities of both terms together.
    """
    rows = []
    for before, after in pairs:
        shared = common(evidence.opportunities, before, after)
        asked = shared[["setting", "item", "item_from", "question"]].drop_duplicates()
        version = asked.groupby(["item", "item_from"], dropna=False).ngroup().to_numpy()
        where, number = asked["setting"].to_numpy(), asked["question"].to_numpy()
        for (setting, group), topics in _by_group(evidence, shared).items():
            parts = [pair for pair in topics.values() if set(pair) == {before, after}]
            if not parts:
                continue
            weights = [float(sum(c.opportunities[at] for c, at in p.values())) for p in parts]
            first = combine([p[before] for p in parts], weights)
            second = combine([p[after] for p in parts], weights)
            names = members(evidence, group)
            able = np.asarray(evidence.seen[:, list(group)].any(axis=1))
            questions = len(np.unique(version[able[number] & (where == setting)]))
            keys: _Keys = (setting, before, after, "pattern", " / ".join(names), questions)
            rows.append(_row(keys, first, second, margin))
    return with_visible(pd.DataFrame(rows))


def _by_group(
    evidence: Evidence, shared: pd.DataFrame
) -> dict[tuple[str, tuple[int, ...]], dict[Any, dict[str, Part]]]:
    """Determined estimates by setting and group, then by topic, then by term."""
    pooled = list(estimate(evidence, ["setting", "topic"], shared))
    found: dict[Any, dict[Any, dict[str, Part]]] = defaultdict(lambda: defaultdict(dict))
    for cell in estimate(evidence, ["setting", "topic", "term"], shared, groups_of(pooled)):
        setting, topic, term = cell.key
        for at, group in enumerate(cell.groups):
            if cell.known[at] and cell.opportunities[at]:
                found[(setting, group)][topic][term] = (cell, at)
    return found


def _row(keys: _Keys, first: Combined, second: Combined, margin: float) -> dict[str, Any]:
    names = ("setting", "term_before", "term_after", "kind", "subject", "common_questions")
    row = dict(zip(names, keys, strict=True))
    return {**row, **difference_of(first, second, margin)}


def difference_of(first: Combined, second: Combined, margin: float = MARGIN) -> dict[str, Any]:
    """Difference of two rates of different students, with all that is said of it.

    Args:
        first: of the earlier term.
        second: of the later one.
        margin: difference that counts as small, a fraction above 0, stated before looking.

    Returns:
        The columns of `main.term_comparison` from students_before on, without p_adjusted, and what
        `with_visible` takes.
    """
    low, high = square_and_add(second.rate, second.limits(), first.rate, first.limits())
    fewest = min(first.students, second.students)
    enough = fewest >= FEWEST_FOR_INTERVAL
    return {
        "students_before": first.students,
        "students_after": second.students,
        "rate_before": first.rate,
        "rate_after": second.rate,
        "difference": second.rate - first.rate,
        "difference_low": float(blank_when_few(low, fewest)),
        "difference_high": float(blank_when_few(high, fewest)),
        "difference_note": few([fewest])[0],
        "effective_before": effective(first),
        "effective_after": effective(second),
        "margin": margin,
        "within_margin": enough and within_margin(first, second, margin),
        "p": _p(second.rate - first.rate, first.variance + second.variance, first, second),
    }


def with_visible(table: pd.DataFrame) -> pd.DataFrame:
    """Put the smallest visible difference of all rows in place of their effective sizes."""
    if not len(table):
        return table
    sizes = table.pop("effective_before"), table.pop("effective_after")
    return table.assign(smallest_visible=smallest_visible(table["rate_before"], *sizes))


def _p(difference: float, variance: float, first: Combined, second: Combined) -> float:
    """Two-sided p-value of no difference, by the clustered standard error."""
    enough = min(first.students, second.students) >= FEWEST_FOR_INTERVAL
    if not enough or not np.isfinite(variance) or variance <= 0:
        return float("nan")
    freedom = first.students + second.students - 2
    return float(2 * special.stdtr(freedom, -abs(difference) / variance**0.5))


def compare_terms(
    answers: pd.DataFrame, evidence: Evidence, order: Sequence[str], margin: float = MARGIN
) -> pd.DataFrame:
    """All comparisons of terms, topics and errors together, their p-values adjusted as one page.

    Args:
        answers: see `compare_topics`.
        evidence: see `compare_patterns`.
        order: ids of the terms that have answers, in order of time.
        margin: difference that counts as small.

    Returns:
        The columns of `main.term_comparison`.
    """
    pairs = term_pairs(order)
    frames = [compare_topics(answers, pairs, margin), compare_patterns(evidence, pairs, margin)]
    filled = [frame for frame in frames if len(frame)]
    if not filled:
        return pd.DataFrame()
    table = pd.concat(filled, ignore_index=True)
    return table.assign(p_adjusted=benjamini_hochberg(table["p"]))
