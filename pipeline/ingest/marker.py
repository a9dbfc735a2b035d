"""Whether texts are right answers to the questions of a course: what a column holds, by value."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from pipeline.course import Item
from pipeline.ingest.questions import compact_problem
from pipeline.reading.judge import judge
from pipeline.records import Verdict
from pipeline.tagging.choices import option_of
from pipeline.tagging.questions import question_of, read_as_asked

_MOST_JUDGED = 30_000
_RIGHT = (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
_LONGEST, _MOST_MARKS = 200, 5
JUDGED_ROWS = 200
"""Answers that tell how those of a column stand."""


@dataclass(frozen=True, slots=True)
class Marked:
    """How the answers of some cells stand.

    Args:
        seen: cells that were judged.
        read: of them, those that read as an answer.
        right: of them, those that are right.
    """

    seen: int = 0
    read: int = 0
    right: int = 0

    @classmethod
    def sum_of(cls, several: Iterable[Marked]) -> Marked:
        """All cells together."""
        counts = [(one.seen, one.read, one.right) for one in several]
        return cls(*map(sum, zip(*counts, strict=True)))

    @property
    def readable(self) -> float:
        """Share of the cells that read as an answer."""
        return self.read / self.seen if self.seen else 0.0

    @property
    def rightness(self) -> float:
        """Share of the cells that are right."""
        return self.right / self.seen if self.seen else 0.0


class Marker:
    """Judges texts by the questions of a course, each pair of question and text once."""

    def __init__(self, items: Iterable[Item], *, decimal_comma: bool = False) -> None:
        self._versions: dict[str, list[Item]] = defaultdict(list)
        for item in items:
            self._versions[item.id].append(item)
        self._comma = decimal_comma
        self._found: dict[tuple[str, str], Verdict] = {}

    def verdict(self, item: str, text: str) -> Verdict:
        """The best verdict under any version of a question; NO_KEY where there is none."""
        pair = (item, text)
        if pair not in self._found:
            if len(self._found) >= _MOST_JUDGED:
                return Verdict.NO_KEY
            versions = self._versions.get(item, [])
            found = [self._judged(one, text) for one in versions if one.place != "skip"]
            right = next((one for one in found if one in _RIGHT), None)
            self._found[pair] = right or (found[-1] if found else Verdict.NO_KEY)
        return self._found[pair]

    def is_right(self, item: str, text: str) -> bool:
        """Whether a text is right, in whatever form."""
        return self.verdict(item, text) in _RIGHT

    def marked(self, pairs: Iterable[tuple[str, str]]) -> Marked:
        """Judge pairs of question and text, the blank ones and those without a key apart."""
        seen = read = right = 0
        for item, text in pairs:
            verdict = self.verdict(item, text)
            if verdict in (Verdict.NO_KEY, Verdict.BLANK):
                continue
            seen += 1
            read += verdict is not Verdict.UNREADABLE
            right += verdict in _RIGHT
        return Marked(seen, read, right)

    def sampled(self, pairs: Iterable[tuple[str, str]], most: int = JUDGED_ROWS) -> Marked:
        """The same of an even choice of the pairs that are filled."""
        filled = [pair for pair in pairs if all(pair)]
        return self.marked(filled[:: max(1, len(filled) // most)][:most])

    def agreement(
        self, pairs: Iterable[tuple[str, str]], marks: Iterable[str], values: Mapping[str, float]
    ) -> float:
        """Correlation of marks with right answers, from -1 to 1; 0 where one never changes.

        Args:
            pairs: question and answer of each row.
            marks: what stands beside each.
            values: of the marks, that of others being none.
        """
        both = (row for row in zip(pairs, marks, strict=True) if row[0][0] and row[1] in values)
        told = [
            (self.is_right(*pair), values[mark]) for pair, mark in islice(both, 2 * JUDGED_ROWS)
        ]
        changes = all(len(set(side)) > 1 for side in zip(*told, strict=True)) and told
        return float(np.corrcoef(np.array(told, dtype=float).T)[0, 1]) if changes else 0.0

    def rightness(self, pairs: Iterable[tuple[str, str]], marks: Iterable[str]) -> dict[str, float]:
        """Mark -> share of right answers beside it, of marks that are a few words; else none."""
        beside: dict[str, list[bool]] = defaultdict(list)
        rows = (row for row in zip(pairs, marks, strict=True) if row[0][0] and row[1])
        for pair, mark in islice(rows, 2 * JUDGED_ROWS):
            beside[mark].append(self.is_right(*pair))
            if len(beside) > _MOST_MARKS:
                return {}
        return {mark: float(np.mean(found)) for mark, found in beside.items()}

    def _judged(self, item: Item, text: str) -> Verdict:
        if len(text) > _LONGEST:
            return Verdict.UNREADABLE
        if item.problem and compact_problem(text) == compact_problem(item.problem):
            return Verdict.UNREADABLE  # the question itself, which solves itself, is no answer
        if item.place == "choice":
            chosen = option_of(text, [option.text for option in item.options])
            if chosen is None:
                return Verdict.UNREADABLE
            return Verdict.RIGHT if chosen == item.answer else Verdict.WRONG
        request = replace(item.request(text), decimal_comma=self._comma)
        question = question_of(request)
        read = read_as_asked(request, question)
        if question.right is None:
            return Verdict.NO_KEY if read.readings else Verdict.UNREADABLE
        return judge(read, question.right, numbers=item.numbers).verdict
