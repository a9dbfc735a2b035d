"""How errors go on: to the next question of a topic, the next answer, the next try.

No curve is fitted. The mean of many students' curves follows another law than any of them, so a law
of class means says nothing of learning. A curve over whoever happens to be left bends when students
leave; so one group is followed that answered them all, and the number left is printed at each step.
Source of both warnings: Heathcote, Brown and Mewhort (2000), Psychonomic Bulletin and Review
7:185-207.

Pairs of first and last tries say nothing of those who did not try again, and hints or an answer
shown in between count, too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.intervals import (
    benjamini_hochberg,
    clustered,
    mid_p,
    newcombe_paired,
    wilson,
)
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few
from pipeline.statistics.showings import share_table
from pipeline.tagging.evidence import Evidence

FOLLOWED = 0.5
"""The group followed is as long as half of the students answered; fewer would be a choice few."""

LEFT = 0.1
LEAVING = (
    "many students left before the last of these questions, and those who leave are seldom like "
    "those who stay"
)

RIGHT, OTHER = "right", "other error"
NAMED = 5
"""Errors with a row of their own: the most frequent of the class."""

PRIOR = 10.0
"""Answers that the class as a whole counts for in the steadied rates of a row."""


def learning_curves(counts: pd.DataFrame) -> pd.DataFrame:
    """Share wrong on the first, second, ... question of a topic, one group of students throughout.

    Args:
        counts: what `staging.chance_count` holds.

    Returns:
        The columns of `computed.learning_curve`.
    """
    rows: list[dict[str, Any]] = []
    for (term, setting, topic), part in counts.groupby(["term", "setting", "topic"], sort=True):
        keys = {"term": term, "setting": setting, "topic": topic}
        rows.extend({**keys, **row} for row in _curve(part))
    return pd.DataFrame(rows)


def _curve(part: pd.DataFrame) -> Iterator[dict[str, Any]]:
    reached = part.groupby("chance")["students"].sum().sort_index()
    everyone = int(reached.iloc[0])
    last = int((reached >= max(FOLLOWED * everyone, 1)).sum())
    panel = part[part["reached"] >= last].groupby("chance")[["students", "wrong", "usual"]].sum()
    note = few([reached.loc[last]])[0]
    if reached.loc[last] < (1 - LEFT) * everyone:
        note = LEAVING
    for chance, n, wrong, usual in panel.loc[:last].itertuples(name=None):
        low, high = wilson(wrong, n)
        yield {
            "chance": chance,
            "reached": int(reached.loc[chance]),
            "students": n,
            "wrong": wrong,
            "rate": wrong / n,
            "rate_low": float(blank_when_few(low, n)),
            "rate_high": float(blank_when_few(high, n)),
            "usual": usual / n,
            "rate_note": note,
        }


def answer_transitions(
    evidence: Evidence, shares: pd.DataFrame, totals: pd.DataFrame, general: frozenset[str]
) -> pd.DataFrame:
    """What follows what: right answers, the commonest errors and others, within a topic.

    Args:
        evidence: its opportunities hold term, setting, topic, student, answered_at, week, wrong.
        shares: term, setting, topic, examined, pattern, share.
        totals: term, setting, pattern, members, rate, opportunities.
        general: ids of slips, which have no row of their own.

    Returns:
        The columns of `computed.transition`; a row of rates sums to 1.
    """
    if not len(totals):
        return pd.DataFrame()
    order = ["term", "setting", "student", "topic", "answered_at", "week", "response"]
    answers = evidence.opportunities.sort_values(order, na_position="last").reset_index(drop=True)
    table = share_table(evidence, shares, answers)
    number = {name: place for place, name in enumerate(evidence.patterns)}
    frames = []
    for (term, setting), groups in totals.groupby(["term", "setting"], sort=True):
        named = _commonest(groups, general)
        join = np.zeros((len(evidence.patterns), len(named)))
        for at, ids in enumerate(named["members"]):
            join[[number[name] for name in ids], at] = 1
        mine = np.flatnonzero((answers["term"] == term) & (answers["setting"] == setting))
        states = _states(answers["wrong"].to_numpy()[mine], np.asarray(table[mine] @ join))
        names = [RIGHT, *named["pattern"], OTHER]
        frame = _rates(answers.iloc[mine], states, names)
        frames.append(frame.assign(term=str(term), setting=str(setting)))
    return pd.concat(frames, ignore_index=True)


def _commonest(groups: pd.DataFrame, general: frozenset[str]) -> pd.DataFrame:
    own = groups[[not set(ids) & general for ids in groups["members"]]]
    expected = (own["rate"] * own["opportunities"]).dropna()
    chosen: pd.DataFrame = own.loc[expected.sort_values(ascending=False).index[:NAMED]]
    return chosen


def _states(wrong: NDArray[Any], shown: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shares of each answer by state: right, each named error, everything else; they sum to 1."""
    right = 1.0 - wrong.astype(float)
    rest = np.maximum(1.0 - right - shown.sum(axis=1), 0.0)
    states = np.column_stack([right, shown, rest])
    whole: NDArray[np.float64] = states / states.sum(axis=1, keepdims=True)
    return whole


def _rates(
    answers: pd.DataFrame, states: NDArray[np.float64], names: Sequence[str]
) -> pd.DataFrame:
    who = answers[["student", "topic"]].to_numpy()
    follows = (who[1:] == who[:-1]).all(axis=1)
    now, then = states[:-1][follows], states[1:][follows]
    student, students = pd.factorize(answers["student"].to_numpy()[:-1][follows])
    overall = then.mean(axis=0) if len(then) else np.zeros(len(names))
    rows = []
    for at, state in enumerate(names):
        n = np.bincount(student, now[:, at], len(students))
        seen = n > 0
        for to, target in enumerate(names):
            y = np.bincount(student, now[:, at] * then[:, to], len(students))
            rows.append((state, target, *_row(y[seen], n[seen], float(overall[to]))))
    columns = ["state", "next_state", "students", "answers", "rate", "rate_low", "rate_high",
               "steadied", "rate_note"]  # fmt: skip
    return pd.DataFrame(rows, columns=columns)


def _row(y: NDArray[Any], n: NDArray[Any], usual: float) -> tuple[Any, ...]:
    m, size = len(n), float(n.sum())
    if m < FEWEST_FOR_INTERVAL:
        return m, size, np.nan, np.nan, np.nan, np.nan, few([m])[0]
    low, high = clustered(m, y.sum(), size, y @ y, y @ n, n @ n)
    steadied = (y.sum() + PRIOR * usual) / (size + PRIOR)
    return m, size, y.sum() / size, float(low), float(high), steadied, few([m])[0]


ONLY_WRONG = (
    "only those who were wrong tried again, so the share wrong could but fall: read how many "
    "mended it, no test of a change"
)
PAIRS = ["both_wrong", "mended", "spoiled", "both_right"]


def retry_changes(counts: pd.DataFrame) -> pd.DataFrame:
    """Change of the share wrong from the first to the last try, each student with oneself.

    Args:
        counts: what `staging.retry_count` holds.

    Returns:
        The columns of `computed.retry_change`; p-values adjusted over the whole table.
    """
    if not len(counts):
        return pd.DataFrame()
    students = counts[PAIRS].sum(axis=1)
    # Wrong is the event: at first alone means mended, at last alone means spoiled.
    ends = [newcombe_paired(*(int(n) for n in row)) for row in counts[PAIRS].to_numpy()]
    low, high = (np.array([-float(pair[place]) for pair in ends]) for place in (1, 0))
    p = pd.Series(
        [mid_p(int(one), int(two)) for one, two in counts[["mended", "spoiled"]].to_numpy()],
        index=counts.index,
    )
    chosen = (counts["spoiled"] + counts["both_right"]) == 0
    p = p.where((students >= FEWEST_FOR_INTERVAL) & ~chosen)
    note = pd.Series(few(students), index=counts.index, dtype="object")
    return counts.assign(
        students=students,
        wrong_first=(counts["both_wrong"] + counts["mended"]) / students,
        wrong_last=(counts["both_wrong"] + counts["spoiled"]) / students,
        difference=(counts["spoiled"] - counts["mended"]) / students,
        difference_low=blank_when_few(low, students),
        difference_high=blank_when_few(high, students),
        difference_note=note.mask(chosen, ONLY_WRONG),
        p=p,
        p_adjusted=benjamini_hochberg(p),
    )
