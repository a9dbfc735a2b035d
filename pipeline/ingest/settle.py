"""The place of an answer in the course: term and weeks by its date, question by its version."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.course import Course, Item, Term
from pipeline.ingest.distinct import coded, filled, plain, replaced, same, text_column, values_of

_Places = npt.NDArray[np.int64]
SETTLED_COLUMNS = (
    "term", "week", "answered_week", "topic", "item_from", "place", "task", "problem", "key",
    "form", "numbers", "method", "quiz",
)  # fmt: skip


def settle_responses(course: Course, frame: pd.DataFrame) -> pd.DataFrame:
    """Settle stored answers anew, after the items have changed.

    Args:
        course: with its terms settled.
        frame: one row per response: `item, term_given, problem_given, quiz_given` text or missing,
            `answered_on` the local day or missing.

    Returns:
        The same rows with `SETTLED_COLUMNS` filled; `answer` and `work`, where they are given, are
        emptied for questions whose text is not stored.
    """
    settled = Settling(course).settle(frame).drop(columns="quiz_own")
    for name in SETTLED_COLUMNS:
        if isinstance(settled[name].dtype, pd.CategoricalDtype):
            settled[name] = plain(settled[name])
    for name in ("answer", "work"):
        if name in settled:
            settled[name] = settled[name].where(settled["place"] != "skip", None)
    return settled


class Settling:
    """Terms and items of a course, laid out for whole columns of answers."""

    def __init__(self, course: Course) -> None:
        self._terms = course.terms
        self._by_id = {term.id: term for term in course.terms}
        self._quiz_weeks = course.quiz_weeks
        versions: dict[str, list[tuple[date, Item]]] = defaultdict(list)
        for item in course.items:
            versions[item.id].append((self._start(item), item))
        self._items: list[Item] = []
        self._first: dict[str, int] = {}
        self._starts: dict[str, npt.NDArray[np.datetime64]] = {}
        for name, dated in versions.items():
            dated.sort(key=lambda pair: pair[0])
            self._first[name] = len(self._items)
            self._items += [item for _, item in dated]
            if len(dated) > 1:
                self._starts[name] = np.array([start for start, _ in dated], "datetime64[D]")

    def _start(self, item: Item) -> date:
        if not item.start:
            return date.min
        term = self._by_id.get(item.start)
        return (term.first_day or date.min) if term else date.fromisoformat(item.start)

    def settle(self, frame: pd.DataFrame) -> pd.DataFrame:
        """Fill `SETTLED_COLUMNS`, and `quiz_own`, the item's quiz; see `settle_responses`."""
        frame = frame.copy()
        frame["term"], frame["answered_week"] = self._term_and_week(frame)
        places = pd.Series(self._places(frame), frame.index)
        own = frame["problem_given"]
        problem = self._of_items(places, "problem")
        for name, attribute in (("topic", "topic"), ("item_from", "start"), ("task", "task")):
            frame[name] = self._of_items(places, attribute)
        for name in ("form", "numbers", "method"):
            frame[name] = self._of_items(places, name)
        frame["place"] = replaced(self._of_items(places, "place"), places < 0, "unlisted")
        # A key belongs to the item's own numbers; other numbers have another right answer.
        other = own.notna() & ~same(own, problem)
        computed = other & (frame["place"] == "task")
        frame["key"] = replaced(self._of_items(places, "answer"), computed, None)
        frame["problem"] = filled(own, problem)
        frame["quiz_own"] = self._of_items(places, "quiz")
        frame["quiz"] = filled(frame["quiz_given"], frame["quiz_own"])
        weeks = pd.array([*(item.week for item in self._items), None], dtype="Int64")
        frame["week"] = pd.Series(weeks[places.to_numpy()], frame.index).fillna(
            values_of(frame["quiz"], self._quiz_weeks.get, "Int64")
        )
        return frame

    def terms(self, frame: pd.DataFrame) -> pd.Series[Any]:
        """Term of each answer; missing where it has none."""
        return self._term_and_week(frame)[0]

    def _of_items(self, places: pd.Series[Any], attribute: str) -> pd.Series[Any]:
        """A text of the item of each row; missing for an unlisted one, whose place is -1."""
        values = np.array([*(getattr(item, attribute) for item in self._items), None], dtype=object)
        codes, texts = pd.factorize(values)
        return text_column(codes[places.to_numpy()], texts, places.index)

    def _places(self, frame: pd.DataFrame) -> _Places:
        """Row of the item list that is in force for each answer; -1 when none lists the item.

        An answer without date and term is judged by the latest version.
        """
        codes, names = coded(frame["item"])
        first = np.array([self._first.get(str(name), -1) for name in names] + [-1], dtype=np.int64)
        places = first[codes]
        for code, name in enumerate(names):
            if (starts := self._starts.get(str(name))) is not None:
                rows = np.flatnonzero(codes == code)
                days = self._days(frame.iloc[rows])
                later = np.searchsorted(starts, days, side="right") - 1
                later = np.where(np.isnat(days), len(starts) - 1, later.clip(min=0))
                places[rows] += later
        return places

    def _days(self, frame: pd.DataFrame) -> npt.NDArray[np.datetime64]:
        """Day of each answer; the first day of its term where it has no date."""
        begins = {term.id: pd.Timestamp(term.first_day) for term in self._terms if term.first_day}
        terms = frame["term"] if "term" in frame else frame["term_given"]
        days = frame["answered_on"].fillna(values_of(terms, begins.get, "datetime64[us]"))
        return days.to_numpy("datetime64[D]")

    def _term_and_week(self, frame: pd.DataFrame) -> tuple[pd.Series[Any], pd.Series[Any]]:
        term_codes, given = coded(frame["term_given"])
        day_codes, days = pd.factorize(frame["answered_on"])
        inverse, pairs = pd.factorize((term_codes + 1) * (len(days) + 1) + day_codes + 1)
        found = [
            self._settle_one(
                str(given[pair // (len(days) + 1) - 1]) if pair > len(days) else None,
                pd.Timestamp(days[day - 1]).date() if (day := pair % (len(days) + 1)) else None,
            )
            for pair in pairs.tolist()
        ]
        codes, names = pd.factorize(np.array([term for term, _ in found], dtype=object))
        weeks = pd.array([week for _, week in found], dtype="Int64")
        return (
            text_column(codes[inverse], names, frame.index),
            pd.Series(weeks[inverse], frame.index),
        )

    def _settle_one(self, given: str | None, day: date | None) -> tuple[str | None, int | None]:
        if given is not None:
            term = self._by_id.get(given)
            return given, term.week_of(day) if term and day else None
        if day is None:
            return (self._terms[0].id if len(self._terms) == 1 else None), None
        held = next((term for term in self._terms if day in term), None)
        return (held.id, held.week_of(day)) if held else (None, None)


def term_names(terms: tuple[Term, ...]) -> dict[str, str]:
    """Ids and titles of terms, in lower case -> id."""
    return {name.casefold(): term.id for term in terms for name in (term.title, term.id)}
