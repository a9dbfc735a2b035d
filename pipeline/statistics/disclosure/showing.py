"""How many distinct students showed an error, as far as shares of answers can say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from scipy import sparse

from pipeline.statistics.patterns import members
from pipeline.statistics.showings import share_table
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = ["students_showing"]

SURE = 1 - 1e-6
"""A share above it counts as this: a logarithm of nothing is none."""

KEYS = ["setting", "term", "topic", "pattern"]


def students_showing(
    evidence: Evidence, shares: pd.DataFrame, pooled: Sequence[Cell]
) -> Mapping[tuple[str, ...], float]:
    """Expected number of students of whom at least one answer shows each error.

    Args:
        evidence: what the answers say.
        shares: `store.share`.
        pooled: classes by term, setting and topic.

    Returns:
        By setting, term, topic and error; with an empty topic over all topics of the term, with
        an empty term over all terms of the topic. Nothing where no answer may show it.
    """
    answers = evidence.opportunities.reset_index(drop=True)
    silent = share_table(evidence, shares, answers)
    silent.data = np.log1p(-np.minimum(silent.data, SURE))
    places = answers.groupby(["term", "setting", "topic"]).indices
    frames = [
        _cell(evidence, cell, answers, silent, np.asarray(places[cell.key])) for cell in pooled
    ]
    if not frames:
        return {}
    table = pd.concat(frames, ignore_index=True)
    found: dict[tuple[str, ...], float] = {}
    for left_out in (None, "topic", "term"):
        part = table.assign(**{left_out: ""}) if left_out else table
        logs = part.groupby([*KEYS, "student"], sort=False)["silent"].sum()
        count = (1 - np.exp(logs)).groupby(level=KEYS, sort=False).sum()
        found |= {tuple(str(k) for k in key): float(value) for key, value in count.items()}
    return found


def _cell(
    evidence: Evidence,
    cell: Cell,
    answers: pd.DataFrame,
    silent: sparse.csr_array,
    rows: np.ndarray,
) -> pd.DataFrame:
    term, setting, topic = cell.key
    who = answers["student"].to_numpy()[rows]
    join = sparse.csr_array(
        (
            np.ones(sum(len(group) for group in cell.groups)),
            (
                [pattern for group in cell.groups for pattern in group],
                [at for at, group in enumerate(cell.groups) for _ in group],
            ),
        ),
        shape=(len(evidence.patterns), len(cell.groups)),
    )
    shown = sparse.coo_array(silent[rows] @ join)
    names = np.array([" / ".join(members(evidence, group)) for group in cell.groups], dtype=object)
    row, column = shown.coords
    return pd.DataFrame(
        {"setting": setting, "term": term, "topic": topic, "pattern": names[column],
         "student": who[row], "silent": shown.data}
    )  # fmt: skip
