"""Where pages get their numbers: suppressed views by name, through a connection handed in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

import pandas as pd

from reports.tables import Column, Table, hidden_rows

KEEP = {
    "own": "For those who teach these students. Not to be passed on.",
    "shared": "For everyone. Small groups of students appear nowhere in it.",
}
"""The editions, and what stands at the top and foot of each of their pages."""
_STEERING = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Control codes, and signs that set the direction of what follows (Unicode Standard Annex 9)."""
_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]")
_ODD = re.compile(f"{_STEERING.pattern}|{_RIGHT_TO_LEFT.pattern}")
UNDATED = "All answers"
"""What the term is called where neither course nor answers name one."""


class Source(Protocol):
    """What a read-only connection to the course's database offers."""

    def frame(self, view: str) -> pd.DataFrame:
        """Return a whole view, sorted."""

    def columns(self, view: str) -> Mapping[str, str]:
        """Return each column of a view with its comment."""

    def sql_file(self, view: str) -> str:
        """Return the path of the `.sql` file that made a view."""

    def fingerprint(self) -> str:
        """Return what tells the views, as they are, from any others."""


@dataclass(frozen=True)
class Published:
    """The latest edition that was marked as published.

    Args:
        name: its folder, which begins with its date.
        facts: what its `edition.json` says: rule set, fingerprints, limit.
        frames: its tables by view, as text.
    """

    name: str
    facts: Mapping[str, object]
    frames: Mapping[str, pd.DataFrame]


@dataclass(frozen=True)
class Book:
    """The views of one edition, each read once, and what all pages need to know of the course."""

    source: Source
    edition: str = "own"
    published: Published | None = None
    _read: dict[str, pd.DataFrame] = field(default_factory=dict)
    _now: dict[str, tuple[pd.DataFrame, pd.DataFrame]] = field(default_factory=dict)

    def view(self, name: str) -> str:
        """Return a view's full name in this edition, say `own_headline`."""
        return f"{self.edition}_{name}"

    def frame(self, name: str) -> pd.DataFrame:
        """Return a copy of a view of this edition by its short name, say `headline`."""
        if name not in self._read:
            self._read[name] = _printable(self.source.frame(self.view(name)))
        return self._read[name].copy(deep=False)  # pandas copies what is written to

    def sql_file(self, name: str) -> str:
        """Return the `.sql` file behind a view of this edition."""
        return self.source.sql_file(self.view(name))

    def table(
        self,
        view: str,
        name: str,
        caption: str,
        columns: tuple[Column, ...],
        rows: pd.DataFrame,
        left_out: str = "",
        *,
        folded: bool = False,
        first: int = 0,
    ) -> Table:
        """Return rows of a view as a table, which says below how many of them are hidden."""
        told = f"{left_out} {hidden_rows(rows)}".strip()
        return Table(name, caption, columns, rows, told, self.sql_file(view), folded, first)

    def comments(self, name: str) -> Mapping[str, str]:
        """Return a comment for each column of a view of this edition."""
        return self.source.columns(self.view(name))

    @cached_property
    def course(self) -> pd.Series:
        """The one row of `own_course`."""
        frame = self.frame("course")
        return frame.iloc[0] if len(frame) else pd.Series(dtype=object)

    @property
    def title(self) -> str:
        """The course's title."""
        return str(self.course.get("title") or "Course")

    @property
    def limit(self) -> int:
        """Fewest students that a group must have to be shown."""
        return int(self.course.get("minimum_students") or 10)

    @cached_property
    def term(self) -> str:
        """The id of the term that the pages are about."""
        return str(self.course.get("current_term") or "")

    @property
    def term_title(self) -> str:
        """That term's name."""
        return str(self.course.get("current_term_title") or self.term or "this semester")

    @property
    def answers_of_term(self) -> str:
        """That term's answers, as a sentence names them; where no term is known, all answers."""
        return "all answers" if self.term_title == UNDATED else f"the answers of {self.term_title}"

    @cached_property
    def setting(self) -> str:
        """The setting with most judged first tries this term; no rate on a page mixes settings."""
        own = self.edition == "own"
        now = of_term(self.frame("headline" if own else "wrong"), self.term)
        if now.empty:
            return "practice"
        now["judged"] = now["first_right"] + now["first_wrong"] if own else now["answers"]
        order = now.sort_values(["judged", "setting"], ascending=[False, True])
        return str(order["setting"].iloc[0])

    def current(self, name: str) -> pd.DataFrame:
        """Return the rows of a view for this term and, where it has settings, the main one."""
        read = self.frame(name)
        whole, rows = self._now.get(name, (None, read))
        if whole is not self._read[name]:
            rows = of_term(read, self.term)
            if "setting" in rows:
                rows = rows[rows["setting"] == self.setting].reset_index(drop=True)
            self._now[name] = self._read[name], rows
        return rows.copy(deep=False)


def _printable(frame: pd.DataFrame) -> pd.DataFrame:
    """A view without signs that steer a terminal or turn a line round.

    What is written from right to left stands apart, so that figures beside it keep their order.
    """
    texts = frame.select_dtypes(["object", "str"])
    odd = [name for name in texts if any(map(_is_odd, texts[name]))]
    changed = {str(name): pd.Series([*map(_apart, texts[name])], frame.index) for name in odd}
    return frame.assign(**changed)


def _is_odd(value: object) -> bool:
    return isinstance(value, str) and _ODD.search(value) is not None


def _apart(value: object) -> object:
    if not isinstance(value, str):
        return value
    bare = _STEERING.sub(" ", value)
    return f"\u2068{bare}\u2069" if _RIGHT_TO_LEFT.search(bare) else bare


def of_term(frame: pd.DataFrame, term: str) -> pd.DataFrame:
    """Return the rows of one term."""
    return frame[frame["term"] == term].reset_index(drop=True)
