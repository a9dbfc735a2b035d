"""What students add to the counts of errors for everyone: shares of their answers, by topic."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
from scipy import sparse

from pipeline.statistics.disclosure.cells import Part
from pipeline.statistics.disclosure.noise import student_number
from pipeline.statistics.patterns import members
from pipeline.statistics.showings import share_table
from pipeline.tagging.evidence import FIRST_PATTERN, Evidence

__all__ = ["error_parts"]


def error_parts(evidence: Evidence, shares: pd.DataFrame, weeks: int, limit: int) -> Iterator[Part]:
    """Lay out every error of every topic that enough answers could show.

    Args:
        evidence: what the answers say.
        shares: what each wrong answer is laid to, whatever the class: columns of `store.share`.
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
    for key, part in answers.groupby(["term", "setting", "topic"]):
        found = part.index.to_numpy()
        rows = found[np.lexsort((numbers[found], period[found]))]
        question = answers["question"].to_numpy()[rows]
        for group in _alike(evidence, np.unique(question)):
            able = evidence.shows[question][:, group].any(axis=1)
            if able.sum() < limit:
                continue
            shown = np.asarray(sparse.csr_array(laid[rows[able]])[:, group].sum(axis=1)).ravel()
            names = ("error", *(str(one) for one in key), " / ".join(members(evidence, group)))
            # The last digits of a share differ from machine to machine.
            shown = np.round(np.minimum(shown, 1.0), 6)
            yield _part(names, period[rows[able]], numbers[rows[able]], shown)


def _alike(evidence: Evidence, asked: np.ndarray) -> Iterator[list[int]]:
    """Errors that questions can show, together where all their answers are the same.

    Which errors the answers tell apart would be a figure of its own, so it decides nothing here.
    """
    predicted = evidence.predicted[np.isin(evidence.predicted_question, asked)].toarray() > 0
    shown = np.flatnonzero(predicted.any(axis=0))
    columns = np.vstack([predicted[:, shown], evidence.slip[FIRST_PATTERN + shown]])
    _, first, group = np.unique(
        np.packbits(columns, axis=0), axis=1, return_index=True, return_inverse=True
    )
    for one in np.argsort(first):
        yield shown[group.ravel() == one].tolist()


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
