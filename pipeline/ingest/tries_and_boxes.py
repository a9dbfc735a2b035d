"""Columns that answer one question each time: tries at it, or boxes of one answer, by values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import permutations

from pipeline.ingest.column_facts import Column
from pipeline.ingest.columns import header_words
from pipeline.ingest.marker import JUDGED_ROWS, Marked, Marker

_MOST_ORDERED = 3
_TELLING = 6
_SECOND = r"\b(?:2(?:nd|\.|º|e|ème)?|second\w*|zweite\w*|segund\w*|deuxi\w*|again|retry|b|y|ii)\b"
_THIRD = r"\b(?:3(?:rd|\.|º|e|ème)?|third|dritte\w*|tercer\w*|terceir\w*|troisi\w*|c|z|iii)\b"
_FIRST = r"\b(?:1(?:st|\.|º|er|re)?|first|erste\w*|primer\w*|premi\w*|a|x|i)\b"
_FIRST_WORD = re.compile(r"\b(?:1(?:st|º|er|re)|first|erste\w*|primer\w*|premi\w*)\b", re.I)
_ORDINALS = {3: re.compile(_THIRD, re.I), 2: re.compile(_SECOND, re.I)}
_COUNT, _REMARK = re.compile(r"(?<![\d.,])\d\d?(?![\d.,])"), re.compile(r"[\[(][^\d)\]].*?[\])]")
_ANY = re.compile(f"{_FIRST}|{_SECOND}|{_THIRD}|\\d+", re.I)


def ordinal(words: str) -> int:
    """Which box or try the words of a header say, from 1."""
    apart = _words(words)
    if _FIRST_WORD.search(apart):
        return 1  # whatever number of points stands behind it
    said = next((number for number, one in _ORDINALS.items() if one.search(apart)), 0)
    counted = _COUNT.search(_REMARK.sub(" ", apart))
    return said or max(1, int(counted[0]) if counted else 1)


def without_ordinal(header: str) -> str:
    """The words of a header that its siblings have, too: `answer` of `2nd answer`."""
    return header_words(_ANY.sub(" ", _words(header)))


def _words(header: str) -> str:
    return re.sub(r"(?<=[^\W\d_])(?=\d)|_", " ", header)


def joined(cells: Sequence[str]) -> str:
    """Boxes as one answer."""
    return "; ".join(filter(None, cells))


class AnswerColumns:
    """Some columns of answers to the questions of their rows.

    Args:
        columns: in the order of their names; `decide` puts boxes into the order that is right.
        items: the question of each row.
        marker: judges answers.
    """

    def __init__(self, columns: list[Column], items: Sequence[str], marker: Marker) -> None:
        self.columns = columns
        self.tries: bool | None = None
        self.marked = Marked()
        self._items = items
        self._marker = marker

    def mark(self, texts: Sequence[str]) -> Marked:
        """How some cells stand, one for each row, by an even choice of the filled ones."""
        return self._marker.sampled(zip(self._items, texts, strict=True))

    def tell(self) -> bool | None:
        """Tries where each column holds whole answers, boxes where they are right when joined.

        Only rows with several cells filled count. None where nothing tells.
        """
        if len(self.columns) < 2:
            return None
        rows = [(item, cells) for item, *cells in self._rows() if sum(map(bool, cells)) > 1]
        rows = rows[:: max(1, len(rows) // JUDGED_ROWS)][:JUDGED_ROWS]
        alone = self._marker.marked((item, text) for item, cells in rows for text in cells if text)
        places = tuple(range(len(self.columns)))
        orders = list(permutations(places)) if len(places) <= _MOST_ORDERED else [places]
        together = {
            order: self._marker.marked(
                (item, joined([cells[at] for at in order])) for item, cells in rows
            )
            for order in orders
        }
        best = max(together, key=lambda one: (together[one].right, [-at for at in one]))
        whole = all(self.mark(one.texts).right for one in self.columns if one.filled >= _TELLING)
        if whole and alone.right and alone.rightness >= together[best].rightness / 3:
            self.tries = True
        elif together[best].right and together[best].rightness >= max(
            self._marker.marked((item, cells[at]) for item, cells in rows).rightness
            for at in places
        ):  # beside a number of each answer, the answers are right more often without it
            self.tries = False
            self.columns = [self.columns[at] for at in best]
        elif any(self.mark(one.texts).right for one in self.columns[1:]):
            self.tries = True
        return self.tries

    def decide(self, otherwise: bool) -> None:
        """Lay down what the columns are, and how their answers stand by that.

        Args:
            otherwise: whether they are tries where their values do not tell.
        """
        if len(self.columns) == 1:
            self.tries = None
            self.marked = self.mark(self.columns[0].texts)
            return
        self.tries = otherwise if self.tries is None else self.tries
        texts = [one.texts for one in self.columns]
        if not self.tries:
            texts = [[joined(cells) for cells in zip(*texts, strict=True)]]
        self.marked = Marked.sum_of(map(self.mark, texts))

    def _rows(self) -> zip[tuple[str, ...]]:
        return zip(self._items, *(one.texts for one in self.columns), strict=True)
