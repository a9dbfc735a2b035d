"""Records with objects in them as rows without: `question.id` for the id of a question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from pipeline.tables.budgets import JSON_DEPTH
from pipeline.tables.rows import BrokenRow

_Path = tuple[str, ...]


@dataclass
class Shape:
    """Where the values of records stand, over all records of a file.

    An object is opened where every record has an object, or nothing, in its place; so is the one
    list of objects, as of a student's answers, which gives a row for each of them.
    """

    _seen: dict[_Path, None] = field(default_factory=dict)
    _plain: set[_Path] = field(default_factory=set)
    _lists: set[_Path] = field(default_factory=set)

    @classmethod
    def of(cls, records: Iterable[dict[str, Any] | BrokenRow]) -> Shape:
        """The shape of some records."""
        shape = cls()
        for record in records:
            if isinstance(record, dict):
                shape._see(record, ())
        if len(shape._lists) > 1:
            shape._plain |= shape._lists
        return shape

    @property
    def names(self) -> list[str]:
        """Of the columns, in the order in which the values come."""
        parents = {path[:-1] for path in self._seen}
        return [
            ".".join(path)
            for path in self._seen
            if (path in self._plain or path not in parents)
            and not any(path[:end] in self._plain for end in range(1, len(path)))
        ]

    def rows(self, record: dict[str, Any]) -> Iterator[dict[str, Any]]:
        """The rows of one record, by the names of the columns."""
        flat: dict[str, Any] = {}
        many: list[dict[str, Any]] = []
        self._open(record, (), flat, many)
        yield from ({**flat, **one} for one in many) if many else [flat]

    def _see(self, record: dict[str, Any], above: _Path) -> None:
        for name, value in record.items():
            path = (*above, name)
            self._seen.setdefault(path)
            if isinstance(value, dict) and len(path) <= JSON_DEPTH:
                self._see(value, path)
            elif _holds_objects(value) and len(path) <= JSON_DEPTH:
                self._lists.add(path)
                for one in value:
                    self._see(one, path)
            elif value is not None and value != []:
                self._plain.add(path)

    def _open(
        self, record: dict[str, Any], above: _Path, flat: dict[str, Any], many: list[dict[str, Any]]
    ) -> None:
        for name, value in record.items():
            path = (*above, name)
            if path in self._plain or not isinstance(value, (dict, list)):
                flat[".".join(path)] = value
            elif isinstance(value, dict):
                self._open(value, path, flat, many)
            else:
                for one in value:
                    own: dict[str, Any] = {}
                    self._open(one, path, own, [])
                    many.append(own)


def _holds_objects(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)
