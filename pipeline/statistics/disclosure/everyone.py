"""The tables of the edition for everyone, from the staged frames to the computed ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pandas as pd

from pipeline.statistics.disclosure.counts import shared_counts
from pipeline.statistics.disclosure.outcomes import shared_outcomes
from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = ["shared_tables"]


def shared_tables(
    read: Callable[[str], pd.DataFrame],
    outcomes: pd.DataFrame,
    evidence: Evidence,
    pooled: Sequence[Cell],
) -> dict[str, pd.DataFrame]:
    """Work out what everyone may see.

    Args:
        read: gives the tables of `staging` and `store` by name.
        outcomes: `computed.outcome_share`.
        evidence: what the answers say.
        pooled: classes by term, setting and topic.

    Returns:
        Frames by the name of the table that they fill.
    """
    course, earlier = read("store.course"), read("store.shared_earlier")
    limit = int(course["minimum_students"].iloc[0])
    groups, students = read("staging.shared_group"), read("staging.small_group_student")
    counts, audits = shared_counts(groups, students, earlier, limit)
    more, others = shared_outcomes(outcomes, earlier, limit)
    by_topic = [_turned(cell) for cell in pooled]
    return {
        "computed.shared_count": pd.concat([counts, more], ignore_index=True),
        "computed.shared_audit": pd.concat([audits, others], ignore_index=True),
        "computed.topic_pattern": pattern_totals(evidence, by_topic, ("setting", "topic")),
    }


def _turned(cell: Cell) -> Cell:
    """The same class with its term last, so that totals run over the terms."""
    term, setting, topic = cell.key
    return replace(cell, key=(setting, topic, term))
