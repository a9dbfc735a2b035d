"""Every chance to show an error with what the student's answer says of it, in order of time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from scipy import sparse

from pipeline.tagging.evidence import Evidence

__all__ = ["blind_questions", "hidden_patterns", "share_table", "showings", "where_seen"]

CELL = ["term", "setting", "topic"]
ONE_ANSWER = 0.5
HARDLY = 0.05
"""Chance under which answers that all spare an error say that their question does not show it."""
TIME = ["term", "setting", "student", "answered_at", "week", "response"]


def showings(evidence: Evidence, shares: pd.DataFrame, totals: pd.DataFrame) -> pd.DataFrame:
    """List the chances of every reported group of errors.

    Args:
        evidence: its opportunities hold term, setting, topic, student, answered_at, week, item.
        shares: term, setting, topic, examined, pattern, share.
        totals: term, setting, pattern, members; the groups that are reported.

    Returns:
        term, setting, pattern (the group), student, question (the item), week, shown (share
        of the answer laid to the group, 0 to 1), in order of time within each student.
    """
    answers = evidence.opportunities.sort_values(TIME, na_position="last").reset_index(drop=True)
    table = share_table(evidence, shares, answers)
    number = {name: place for place, name in enumerate(evidence.patterns)}
    frames = []
    for (term, setting), groups in totals.groupby(["term", "setting"], sort=True):
        mine = np.flatnonzero((answers["term"] == term) & (answers["setting"] == setting))
        chosen = [[number[name] for name in names] for names in groups["members"]]
        part = _chances(evidence, answers.iloc[mine], table[mine], chosen)
        part = part.assign(term=str(term), setting=str(setting))
        frames.append(part)
    if not frames:
        return pd.DataFrame()
    return pd.concat(frames, ignore_index=True)


def where_seen(chances: pd.DataFrame) -> pd.DataFrame:
    """Keep the chances at questions that show the error, not in theory alone.

    A question counts unless nobody gave an answer that is laid to the error although, at the rate
    of the questions that show it, that many answers would hardly all have been spared. Questions
    that few answered stay, so that nothing is chosen by its outcome.

    Args:
        chances: what `showings` returns.
    """
    keys = ["pattern", "question"]
    asked = chances.groupby(keys, as_index=False)["shown"].agg(tries="size", laid="sum")
    came = asked["laid"] >= ONE_ANSWER
    sums = asked[came].groupby("pattern")[["laid", "tries"]].sum()
    rate = asked["pattern"].map((sums["laid"] / sums["tries"]).clip(upper=1)).fillna(0.0)
    spared = (1 - rate) ** asked["tries"]
    return chances.merge(asked.loc[came | (spared >= HARDLY), keys], on=keys)


def share_table(
    evidence: Evidence, shares: pd.DataFrame, answers: pd.DataFrame
) -> sparse.csr_array:
    """Answers x patterns: the share of each wrong answer; nothing for right ones."""
    known = shares[shares["pattern"].isin(evidence.patterns)]
    wrong = answers.loc[answers["wrong"] == 1, [*CELL, "examined"]].assign(
        place=np.flatnonzero(answers["wrong"] == 1)
    )
    joined = wrong.merge(known, on=[*CELL, "examined"])
    column = pd.Index(evidence.patterns).get_indexer(pd.Index(joined["pattern"]))
    shape = (len(answers), len(evidence.patterns))
    return sparse.csr_array((joined["share"], (joined["place"], column)), shape=shape)


def _chances(
    evidence: Evidence,
    answers: pd.DataFrame,
    table: sparse.csr_array,
    groups: Sequence[Sequence[int]],
) -> pd.DataFrame:
    join = np.zeros((len(evidence.patterns), len(groups)))
    for at, members in enumerate(groups):
        join[list(members), at] = 1
    able = ((evidence.shows @ join) > 0)[answers["question"].to_numpy()]
    shown = np.asarray(table @ join)
    group, row = np.nonzero(able.T)
    names = np.array([" / ".join(evidence.patterns[i] for i in one) for one in groups], object)
    return pd.DataFrame(
        {
            "pattern": names[group],
            "student": answers["student"].to_numpy()[row],
            "question": answers["item"].to_numpy()[row],
            "week": answers["week"].to_numpy()[row],
            "shown": np.minimum(shown[row, group], 1.0),
        }
    )


def hidden_patterns(evidence: Evidence) -> pd.DataFrame:
    """What each question cannot show of what its topic's questions can.

    Returns:
        term, setting, item, patterns: ids of errors that some question of the same topic shows
        and this one does not, whatever its numbers.
    """
    asked = evidence.opportunities[[*CELL, "item", "question"]].drop_duplicates()
    rows = []
    for (term, setting, _), topic in asked.groupby(CELL, sort=True):
        whole = evidence.shows[topic["question"]].any(axis=0)
        for item, part in topic.groupby("item", sort=True):
            lost = whole & ~evidence.shows[part["question"]].any(axis=0)
            names = [evidence.patterns[i] for i in np.flatnonzero(lost)]
            rows.append((term, setting, item, names))
    return pd.DataFrame(rows, columns=["term", "setting", "item", "patterns"])


def blind_questions(evidence: Evidence, lessons: pd.DataFrame) -> pd.DataFrame:
    """Questions that show none of the errors that lessons on their topic treat.

    Args:
        evidence: what the questions can show.
        lessons: topics, patterns.

    Returns:
        term, setting, item; only where another question of the topic shows such an error.
    """
    treated = {
        (topic, pattern)
        for topics, patterns in lessons[["topics", "patterns"]].itertuples(index=False)
        if isinstance(topics, list | np.ndarray) and isinstance(patterns, list | np.ndarray)
        for topic in topics
        for pattern in patterns
    }
    asked = evidence.opportunities[[*CELL, "item", "question"]].drop_duplicates()
    rows: list[tuple[Any, Any, Any]] = []
    for (term, setting, topic), part in asked.groupby(CELL, sort=True):
        wanted = np.array([(topic, name) in treated for name in evidence.patterns])
        shown = evidence.shows[part["question"]][:, wanted].any(axis=1)
        able = pd.Series(shown).groupby(part["item"].to_numpy()).any()
        if able.any():
            rows.extend((term, setting, item) for item in able.index[~able])
    return pd.DataFrame(rows, columns=["term", "setting", "item"])
