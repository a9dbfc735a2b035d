"""Dates of terms, and names of classes, out of OneRoster CSV; no file on persons is ever read.

Source: 1EdTech OneRoster CSV tables 1.1 and 1.2: academicSessions.csv (types gradingPeriod,
semester, schoolYear, term; status active or tobedeleted) and classes.csv (termSourcedIds: a list
with commas in one field).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from pipeline.errors import InputError
from pipeline.tables import BrokenRow, TableRow, plain_text

_TEACHING = ("semester", "term")
_SESSION_COLUMNS = ("sourcedId", "title", "type", "startDate", "endDate")
_CLASS_COLUMNS = ("sourcedId", "title", "termSourcedIds")


@dataclass(frozen=True, slots=True)
class Session:
    """An academic session.

    Args:
        sourced_id: its name in other tables.
        title: for people.
        kind: semester, term, gradingPeriod or schoolYear.
        first, last: its days; the last one may be the day after, which counts alike.
        above: sourced_id of the session that it is a part of; "" for none.
        line: where it stands, from 1.
    """

    sourced_id: str
    title: str
    kind: str
    first: date
    last: date
    above: str
    line: int

    @property
    def weeks(self) -> int:
        """Weeks of seven days from the first day on, the last one perhaps not whole."""
        return max(1, -(-(self.last - self.first).days // 7))


@dataclass(frozen=True, slots=True)
class ClassOfRoster:
    """A class: its name in other tables, the one for people, and its sessions."""

    sourced_id: str
    title: str
    sessions: tuple[str, ...]


def read_sessions(rows: Iterable[TableRow], name: str) -> tuple[Session, ...]:
    """Active sessions of academicSessions.csv.

    Raises:
        InputError: a column is missing, or a date cannot be read; names file and line.
    """
    return tuple(_session(one, line, name) for line, one in _records(rows, name, _SESSION_COLUMNS))


def read_classes(rows: Iterable[TableRow], name: str) -> tuple[ClassOfRoster, ...]:
    """Active classes of classes.csv.

    Raises:
        InputError: a column is missing; names file and line.
    """
    return tuple(
        ClassOfRoster(
            one["sourcedId"],
            one["title"],
            tuple(part.strip() for part in one["termSourcedIds"].split(",") if part.strip()),
        )
        for _, one in _records(rows, name, _CLASS_COLUMNS)
    )


def teaching(sessions: tuple[Session, ...], classes: tuple[ClassOfRoster, ...]) -> list[Session]:
    """The sessions that are terms of a course, in order of time.

    Those that classes name; without any, semesters and terms. Of a session and its parts the
    whole one is taken.
    """
    named = {one for each in classes for one in each.sessions}
    chosen = [one for one in sessions if one.sourced_id in named] or [
        one for one in sessions if one.kind in _TEACHING
    ]
    ids = {one.sourced_id for one in chosen}
    return sorted((one for one in chosen if one.above not in ids), key=lambda one: one.first)


def _records(
    rows: Iterable[TableRow], name: str, needed: tuple[str, ...]
) -> Iterator[tuple[int, Mapping[str, str]]]:
    names: list[str] = []
    for line, cells in rows:
        if isinstance(cells, BrokenRow):
            raise InputError(f"{name}:{line}:1: {cells.reason}.")
        texts = [plain_text(cell).strip() for cell in cells]
        if not names:
            names = texts
            if missing := [one for one in needed if one not in names]:
                raise InputError(
                    f"{name}:{line}:1: no column {missing[0]}; expected {', '.join(needed)} "
                    "(OneRoster CSV). Export it again."
                )
            continue
        one = dict(zip(names, texts, strict=False))
        if one.get("status", "").casefold() != "tobedeleted":
            yield line, dict.fromkeys(needed, "") | one


def _session(one: Mapping[str, str], line: int, name: str) -> Session:
    first, last = _day(one, "startDate", line, name), _day(one, "endDate", line, name)
    if last < first:
        raise InputError(
            f"{name}:{line}:1: endDate {last} is before startDate {first}. Mend one of the two."
        )
    above = one.get("parentSourcedId", "")
    return Session(one["sourcedId"], one["title"], one["type"], first, last, above, line)


def _day(one: Mapping[str, str], column: str, line: int, name: str) -> date:
    try:
        return date.fromisoformat(one[column][:10])
    except ValueError:
        raise InputError(
            f"{name}:{line}:1: {column} is {one[column]!r}; expected a date such as 2026-01-12."
        ) from None
