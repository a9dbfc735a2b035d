"""The order of the next lesson, by all answers of a term and by those before its latest week."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from pipeline.statistics.next_lesson import MADE, Now, chances_ahead, rank_lessons
from pipeline.statistics.observed import CLASS, KEYS, last_weeks, recent_rates
from pipeline.statistics.patterns import pattern_totals
from pipeline.statistics.showings import FOLLOWED, followed, persistence, showings
from pipeline.tagging.attribute import Cell, estimate, groups_of
from pipeline.tagging.evidence import Evidence

CELL = (*CLASS, "topic")
_BACK = [*KEYS, "persistence", "showed", "again"]


def coming_back(
    evidence: Evidence, shares: pd.DataFrame, pooled: Sequence[Cell]
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Persistence of every reported group; answers laid to it, by question in the columns.

    Args:
        evidence: what the answers say.
        shares: term, setting, topic, examined, pattern, share.
        pooled: classes by `CELL`.
    """
    items = evidence.opportunities["item"].astype("category").cat.categories
    keys, sums, made = [], [np.zeros((0, len(FOLLOWED)))], [np.zeros((0, len(items)))]
    for one in showings(evidence, shares, pooled):
        found = followed(one.student, one.question, one.shown)
        keys.append((*one.key, len(found)))
        sums.append(found)
        made.append(np.bincount(one.question, one.shown, len(items)).astype(float)[None])
    groups = pd.DataFrame(keys, columns=[*KEYS, "n"])
    table = pd.DataFrame(np.vstack(sums), columns=FOLLOWED)
    table[KEYS] = groups[KEYS].loc[groups.index.repeat(groups["n"])].to_numpy()
    laid = pd.DataFrame(np.vstack(made), pd.MultiIndex.from_frame(groups[KEYS]), items)
    return persistence(table, KEYS), laid


def lesson_order(
    read: Callable[[str], pd.DataFrame],
    evidence: Evidence,
    pooled: Sequence[Cell],
    rates: tuple[pd.DataFrame, pd.DataFrame],
    today: Now | None,
) -> pd.DataFrame:
    """Put the errors of the current term in order, under the names that the term gives them.

    Args:
        read: gives the tables of the database by name.
        evidence: what the answers say.
        pooled: classes by `CELL`.
        rates: of errors by term, and the first frame of `coming_back`.
        today: the current term and week.

    Returns:
        The columns of `computed.next_lesson`, but `rank_before`.
    """
    totals, held = rates
    if today is None or not len(totals):
        return pd.DataFrame()
    recent = _recent(evidence, pooled, totals[totals["term"] == today.term], slips(read))
    if not len(recent):
        return pd.DataFrame()
    groups = recent.drop_duplicates("pattern")[["pattern", "members"]]
    topics = read("store.topic").dropna(subset=["weight"])
    weights = dict(zip(topics["topic"], topics["weight"].astype(float), strict=True))
    ahead = chances_ahead(evidence, groups, read("store.item"), today, weights)
    return rank_lessons(recent, held[_BACK], ahead)


def with_order_before(
    read: Callable[[str], pd.DataFrame],
    evidence: Evidence,
    pooled: Sequence[Cell],
    shares: pd.DataFrame,
    ranking: pd.DataFrame,
) -> pd.DataFrame:
    """The same order with each error's place by the answers without its setting's latest week.

    What lies ahead is taken as it is now, so that a place moves by answers alone. A place that
    rests on few students is none, as in the order itself.

    Args:
        read: gives the tables of the database by name.
        evidence: what the answers say.
        pooled: classes by `CELL`.
        shares: term, setting, topic, examined, pattern, share.
        ranking: what `lesson_order` returns.

    Returns:
        It with `rank_before`, where anything was asked before.
    """
    if not len(ranking):
        return ranking
    answers = evidence.opportunities
    mine = answers[answers["term"] == ranking["term"].iloc[0]]
    latest, limit = last_weeks(mine, 1), int(read("store.course")["minimum_students"].iloc[0])
    rest = mine.drop(index=latest.index)
    then = replace(evidence, opportunities=rest)
    cells = list(estimate(then, CELL, groups=groups_of(pooled)))
    recent = _recent(then, cells, pattern_totals(then, cells), slips(read))
    if not len(recent):
        return ranking
    coming = ranking[["pattern", "chances_ahead", "topics_ahead", "weight"]]
    usual = ranking[[*KEYS, "usual_chances"]]
    recent = recent.drop(columns="usual_chances").merge(usual, on=KEYS)
    held, _ = coming_back(then, shares, cells)
    before = rank_lessons(recent, held[_BACK], coming.drop_duplicates("pattern"))
    if not len(before):
        return ranking
    # What few brought in a week must not be told by the places that it moved.
    brought = before["setting"].map(latest.groupby("setting")["student"].nunique())
    enough = (before["students"] >= limit) & (brought >= limit)
    made = before["recent_rate"] * before["opportunities"] >= MADE
    places = before.loc[enough & made, [*KEYS, "rank"]].rename(columns={"rank": "rank_before"})
    return ranking.merge(places, on=KEYS, how="left")


def slips(read: Callable[[str], pd.DataFrame]) -> frozenset[str]:
    """Ids of slips of the pen or in arithmetic, which no lesson treats."""
    catalogue = read("store.pattern")
    return frozenset(catalogue.loc[catalogue["general"].astype(bool), "pattern"])


def _recent(
    evidence: Evidence, pooled: Sequence[Cell], totals: pd.DataFrame, general: frozenset[str]
) -> pd.DataFrame:
    """How common the errors of one term are lately, without slips."""
    if len(totals):
        totals = totals[[not set(names) & general for names in totals["members"]]]
    if not len(totals):
        return pd.DataFrame()
    answers = evidence.opportunities
    late = last_weeks(answers[answers["term"] == totals["term"].iloc[0]])
    cells = estimate(evidence, CELL, late, groups=groups_of(pooled))
    return recent_rates(totals, pattern_totals(evidence, list(cells)), late)
