"""What students add to the counts of errors for everyone: shares of their answers, by topic."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd
from scipy import sparse

from pipeline.statistics.disclosure.cells import Part
from pipeline.statistics.disclosure.noise import student_number
from pipeline.statistics.patterns import members
from pipeline.statistics.showings import share_table
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = ["error_parts"]


def error_parts(
    evidence: Evidence, shares: pd.DataFrame, pooled: Sequence[Cell], weeks: int, limit: int
) -> Iterator[Part]:
    """Lay out every error of every topic that enough answers could show.

    Args:
        evidence: what the answers say.
        shares: `store.share`.
        pooled: classes by term, setting and topic.
        weeks: weeks of a period.
        limit: fewest distinct students.
    """
    answers = evidence.opportunities.reset_index(drop=True)
    if not len(answers):
        return
    number = {name: student_number(name) for name in answers["pseudonym"].unique()}
    numbers = answers["pseudonym"].map(number).to_numpy(dtype=np.uint64)
    week = answers["answered_week"].fillna(answers["week"]).fillna(0).to_numpy(dtype=float)
    period = np.ceil(week / weeks).astype(np.int64)
    laid = share_table(evidence, shares, answers)
    places = answers.groupby(["term", "setting", "topic"]).indices
    for cell in pooled:
        rows = np.asarray(places[cell.key])
        rows = rows[np.lexsort((numbers[rows], period[rows]))]
        question = answers["question"].to_numpy()[rows]
        for at in np.flatnonzero(cell.known & (cell.opportunities >= limit)):
            group = list(cell.groups[at])
            able = evidence.shows[question][:, group].any(axis=1)
            shown = np.asarray(sparse.csr_array(laid[rows[able]])[:, group].sum(axis=1)).ravel()
            term, setting, topic = (str(name) for name in cell.key)
            names = ("error", term, setting, topic, " / ".join(members(evidence, group)))
            # The last digits of a share differ from machine to machine.
            shown = np.round(np.minimum(shown, 1.0), 6)
            yield _part(names, period[rows[able]], numbers[rows[able]], shown)


def _part(
    names: tuple[str, ...], period: np.ndarray, student: np.ndarray, shown: np.ndarray
) -> Part:
    """Gather answers, in order of period and student, by both."""
    new = np.r_[True, (period[1:] != period[:-1]) | (student[1:] != student[:-1])]
    start = np.flatnonzero(new)
    return Part(
        names, period[start], student[start],
        np.diff(np.r_[start, len(shown)]).astype(float), np.add.reduceat(shown, start),
    )  # fmt: skip
