"""Which errors everyone sees of a cell's answers, and how much of each answer is laid to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from pipeline.statistics.disclosure.cells import UNIT, Numbers, Part, Rules, students_of
from pipeline.statistics.disclosure.noise import few_less
from pipeline.statistics.patterns import members
from pipeline.tagging.evidence import FIRST_PATTERN, USUAL, Evidence


@dataclass(frozen=True, slots=True)
class Laid:
    """What answers are laid to, whatever the class.

    Args:
        evidence: what the questions can show.
        shares: answers x errors.
    """

    evidence: Evidence
    shares: sparse.csr_array

    def of(self, part: Part, rules: Rules) -> Iterator[tuple[str, Numbers]]:
        """Errors that the questions of some answers usually show, joint ones as one.

        Yields:
            ids, joined by ' / ', and what each answer adds, in `UNIT` parts of one.
        """
        can = part.row >= 0
        question = self.evidence.opportunities["question"].to_numpy()[part.row[can]]
        shares = self.shares[part.row[can]].tocsc()
        student = np.unique(students_of(part.mark[can]), return_inverse=True)[1]
        usual = self.evidence.usual
        less = few_less(rules.secret, "|".join(("errors", *part.names, str(part.week.max()))))
        for group in self._alike(np.unique(question)):
            able = np.asarray(usual[:, group].any(axis=1))
            if np.count_nonzero(np.bincount(student[able[question]])) - less < rules.limit:
                continue
            shown = np.asarray(shares[:, group].sum(axis=1)).ravel()
            units = np.zeros(len(part.row), dtype=np.int64)
            # The last digits of a share differ from machine to machine.
            units[can] = np.rint(np.minimum(shown, 1.0) * UNIT)
            yield " / ".join(members(self.evidence, group)), units

    def _alike(self, asked: NDArray[np.int64]) -> Iterator[list[int]]:
        """Errors that questions usually show, together where all their answers are the same.

        Which errors the answers tell apart would be a figure of its own, so it decides nothing.
        """
        evidence = self.evidence
        predicted = (
            evidence.predicted[np.isin(evidence.predicted_question, asked)].toarray() >= USUAL
        )
        shown = np.flatnonzero(predicted.any(axis=0))
        columns = np.vstack([predicted[:, shown], evidence.slip[FIRST_PATTERN + shown]])
        _, first, group = np.unique(
            np.packbits(columns, axis=0), axis=1, return_index=True, return_inverse=True
        )
        for one in np.argsort(first):
            yield shown[group.ravel() == one].tolist()
