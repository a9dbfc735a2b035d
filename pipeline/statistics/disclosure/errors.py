"""What students add to the counts of errors for everyone: shares of their answers, by topic."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
import pandas as pd
from scipy import sparse

from pipeline.statistics.disclosure.cells import UNIT, Part
from pipeline.statistics.disclosure.noise import student_number
from pipeline.statistics.patterns import members
from pipeline.statistics.showings import share_table
from pipeline.tagging.evidence import FIRST_PATTERN, USUAL, Evidence

__all__ = ["error_parts"]


def error_parts(
    evidence: Evidence,
    shares: pd.DataFrame,
    terms: pd.DataFrame,
    questions: Mapping[tuple[str, ...], frozenset[str]],
    limit: int,
) -> Iterator[Part]:
    """Lay out every error of every topic that enough answers could show.

    Args:
        evidence: what the answers say.
        shares: what each wrong answer is laid to, whatever the class: columns of `store.share`.
        terms: rows of `staging.shared_term`.
        questions: ids of those of each term, setting and topic.
        limit: fewest distinct students.
    """
    answers = evidence.opportunities.reset_index(drop=True)
    if not len(answers):
        return
    laid = share_table(evidence, shares, answers)
    answers = answers.rename(columns={"term": "own_term"}).merge(terms, "left", "own_term")
    number = {name: student_number(name) for name in answers["pseudonym"].unique()}
    numbers = answers["pseudonym"].map(number).to_numpy(dtype=np.uint64)
    weeks = answers["answered_week"].fillna(answers["week"]).fillna(0).where(answers["dated"], 1)
    week = weeks.to_numpy(dtype=np.int64)
    for key, part in answers.groupby(["term", "setting", "topic"]):
        found = part.index.to_numpy()
        rows = found[np.lexsort((numbers[found], week[found]))]
        question = answers["question"].to_numpy()[rows]
        for group in _alike(evidence, np.unique(question)):
            able = evidence.usual[question][:, group].any(axis=1)
            if able.sum() < limit:
                continue
            shown = np.asarray(sparse.csr_array(laid[rows[able]])[:, group].sum(axis=1)).ravel()
            names = ("error", *(str(one) for one in key), " / ".join(members(evidence, group)))
            # The last digits of a share differ from machine to machine.
            units = np.rint(np.minimum(shown, 1.0) * UNIT).astype(np.int64)
            about = questions.get(names[1:4], frozenset())
            yield _part(names, week[rows[able]], numbers[rows[able]], units, about)


def _alike(evidence: Evidence, asked: np.ndarray) -> Iterator[list[int]]:
    """Errors that questions usually show, together where all their answers are the same.

    Which errors the answers tell apart would be a figure of its own, so it decides nothing here.
    """
    predicted = evidence.predicted[np.isin(evidence.predicted_question, asked)].toarray() >= USUAL
    shown = np.flatnonzero(predicted.any(axis=0))
    columns = np.vstack([predicted[:, shown], evidence.slip[FIRST_PATTERN + shown]])
    _, first, group = np.unique(
        np.packbits(columns, axis=0), axis=1, return_index=True, return_inverse=True
    )
    for one in np.argsort(first):
        yield shown[group.ravel() == one].tolist()


def _part(
    names: tuple[str, ...],
    week: np.ndarray,
    student: np.ndarray,
    shown: np.ndarray,
    questions: frozenset[str],
) -> Part:
    """Gather answers, in order of week and student, by both."""
    new = np.r_[True, (week[1:] != week[:-1]) | (student[1:] != student[:-1])]
    start = np.flatnonzero(new)
    counts = np.diff(np.r_[start, len(shown)])
    return Part(
        names, week[start], student[start], counts, np.add.reduceat(shown, start), questions
    )
