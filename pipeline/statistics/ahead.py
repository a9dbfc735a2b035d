"""What the syllabus still asks: chances ahead to show each error, by the items file's weeks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.tagging.evidence import Evidence


@dataclass(frozen=True, slots=True)
class Now:
    """Where the course stands: the latest term with answers of enough students, and its week.

    `week` is None where no answer of the term bears a date and no question a week.
    """

    term: str
    week: int | None


def now(answers: pd.DataFrame, order: Sequence[str]) -> Now | None:
    """Find the latest term and week.

    Args:
        answers: term, week; `staging.current_week`, which leaves out the few who work ahead.
        order: ids of the terms in order of time.
    """
    seen = [term for term in order if (answers["term"] == term).any()]
    if not seen:
        return None
    weeks = answers.loc[answers["term"] == seen[-1], "week"].dropna()
    return Now(seen[-1], int(weeks.max()) if len(weeks) else None)


def chances_ahead(
    evidence: Evidence,
    groups: pd.DataFrame,
    items: pd.DataFrame,
    today: Now,
    weights: Mapping[str, float] | None = None,
) -> pd.DataFrame:
    """Chances per student that are still to come, by error.

    Args:
        evidence: tells what each question shows; questions that were asked in any term count.
        groups: pattern, members.
        items: item, topic, week, position; several versions of one item count once, the last.
        today: the current term and week.
        weights: by topic, how much an error in it costs; 1 for a topic that it lacks.

    Returns:
        pattern, chances_ahead (null when no later question is known), weight (mean over the
        chances ahead; over all questions that can show it where none is ahead), topics_ahead.
    """
    last = items.sort_values("position").drop_duplicates("item", keep="last")
    ahead = last["week"] > today.week if today.week is not None else last["week"].isna() & False
    asked = last.merge(_shown_by_item(evidence), on="item")
    stated = asked["topic"].map(dict(weights or {})).fillna(1.0)
    cost = np.asarray(stated, dtype=np.float64)
    coming = asked["item"].isin(last.loc[ahead, "item"]).to_numpy()
    later = asked[coming]
    rows = []
    number = {name: place for place, name in enumerate(evidence.patterns)}
    for pattern, names in groups[["pattern", "members"]].itertuples(index=False):
        columns = [number[name] for name in names]
        able = np.array([shown[columns].max() for shown in asked["shows"]], dtype=float)
        chance = able[coming]
        rows.append(
            {
                "pattern": pattern,
                "chances_ahead": float(chance.sum()) if len(chance) else np.nan,
                "weight": _mean_weight(cost, able, coming),
                "topics_ahead": sorted(set(later["topic"][chance > 0].dropna()))
                if len(chance)
                else [],
            }
        )
    return pd.DataFrame(rows)


def _mean_weight(
    cost: NDArray[np.float64], able: NDArray[np.float64], coming: NDArray[np.bool_]
) -> float:
    for chance in (able * coming, able):
        if chance.sum() > 0:
            return float(np.average(cost, weights=chance))
    return 1.0


def _shown_by_item(evidence: Evidence) -> pd.DataFrame:
    """Share of each item's questions that show each pattern."""
    asked = evidence.opportunities[["item", "question"]].drop_duplicates()
    rows: list[tuple[Any, NDArray[np.float64]]] = [
        (item, evidence.seen[part["question"]].mean(axis=0)) for item, part in asked.groupby("item")
    ]
    return pd.DataFrame(rows, columns=["item", "shows"])
