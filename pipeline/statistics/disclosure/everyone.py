"""The tables of the edition for everyone, from the staged frames to the computed ones."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import pandas as pd

from pipeline.statistics.disclosure.counts import shared_counts
from pipeline.statistics.disclosure.errors import Facts, shared_errors
from pipeline.statistics.disclosure.outcomes import shared_outcomes
from pipeline.statistics.disclosure.showing import students_showing
from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = ["shared_tables"]

PLACE = ["setting", "term", "topic"]


def shared_tables(
    read: Callable[[str], pd.DataFrame],
    made: Mapping[str, pd.DataFrame],
    evidence: Evidence,
    pooled: Sequence[Cell],
) -> dict[str, pd.DataFrame]:
    """Work out what everyone may see.

    Args:
        read: gives the tables of `staging` and `store` by name.
        made: `store.share`, and `computed.outcome_share`, `pattern_total` and `comparison`.
        evidence: what the answers say.
        pooled: classes by term, setting and topic.

    Returns:
        Frames by the name of the table that they fill.
    """
    course, earlier = read("store.course"), read("store.shared_earlier")
    limit = int(course["minimum_students"].iloc[0])
    groups, students = read("staging.shared_group"), read("staging.small_group_student")
    counts, audits = shared_counts(groups, students, earlier, limit)
    more, others = shared_outcomes(made["computed.outcome_share"], earlier, limit)
    by_topic = [_turned(cell) for cell in pooled]
    topics = pattern_totals(evidence, by_topic, ("setting", "topic"))
    facts = Facts(
        evidence=evidence,
        pooled=pooled,
        showing=students_showing(evidence, made["store.share"], pooled),
        totals=made["computed.pattern_total"],
        topics=topics,
        comparison=made["computed.comparison"],
        wrong=_printed_wrong(counts),
        limit=limit,
        earlier=read("store.shared_percent"),
    )
    percents, proofs = shared_errors(facts)
    return {
        "computed.shared_count": pd.concat([counts, more], ignore_index=True),
        "computed.shared_audit": pd.concat([audits, others, proofs], ignore_index=True),
        "computed.shared_percent": percents,
        "computed.topic_pattern": topics,
    }


def _printed_wrong(counts: pd.DataFrame) -> dict[tuple[str, str, str], float]:
    """Wrong first tries by setting, term and topic, where this edition prints them."""
    if not len(counts):
        return {}
    counts = counts.reindex(columns=[*PLACE, "week_from", "part", "as_of"])
    fresh = counts["part"].notna() & counts["as_of"].isna()
    printed = counts[fresh & (counts["week_from"] == 0) & (counts["topic"] != "")]
    return {
        (str(setting), str(term), str(topic)): float(part)
        for setting, term, topic, part in printed[[*PLACE, "part"]].itertuples(index=False)
    }


def _turned(cell: Cell) -> Cell:
    """The same class with its term last, so that totals run over the terms."""
    term, setting, topic = cell.key
    return replace(cell, key=(setting, topic, term))
