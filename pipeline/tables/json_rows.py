"""JSON and JSON Lines as rows of texts: one record a row, the names of its values as columns.

Numbers keep the digits that the file has. Names stand beside the values, so the row of column names
is line 0; below it, a record has its physical line in JSON Lines, its number from 1 in JSON.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from pipeline.errors import InputError
from pipeline.tables.budgets import JSON_BYTES, JSON_DEPTH, LINE_CHARACTERS
from pipeline.tables.delimited import BoundedLines, LineTooLong
from pipeline.tables.rows import NUMBER_CELL, BrokenRow, TableRow, cell_text, whole_row
from pipeline.tables.source import Source

_Path = tuple[str, ...]


@dataclass
class _Shape:
    """Where the values of records stand, over all records of a file.

    An object is opened where every record has an object, or nothing, in its place; so is the one
    list of objects, as of a student's answers, which gives a row for each of them.
    """

    _seen: dict[_Path, None] = field(default_factory=dict)
    _plain: set[_Path] = field(default_factory=set)
    _lists: set[_Path] = field(default_factory=set)

    @classmethod
    def of(cls, records: Iterable[dict[str, Any] | BrokenRow]) -> _Shape:
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
            elif _is_list_of_objects(value) and len(path) <= JSON_DEPTH:
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


def _is_list_of_objects(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


_SHAPES = (
    "an array of objects, an object with one array of objects, or an object with a list of equal "
    "length for each column"
)
_Record = dict[str, Any]


class _Number(str):
    """A number as the file writes it."""

    __slots__ = ()


def json_line_rows(source: Source, encoding: str) -> Callable[[str], Iterator[TableRow]]:
    """Rows of JSON Lines, which are read line by line, once for the names and then each time.

    Raises:
        InputError: no line holds an object.
    """
    shape = _Shape.of(record for _, record in _records_of_lines(source, encoding))
    if not shape.names:
        raise InputError(
            f"{source.name}: no line holds a JSON object; expected one on each line. Export it "
            "again as JSON Lines, or rename it to .json if it is one document."
        )
    return lambda _: _rows(shape, _records_of_lines(source, encoding))


def _records_of_lines(source: Source, encoding: str) -> Iterator[tuple[int, _Record | BrokenRow]]:
    with source.opened() as stream:
        lines = BoundedLines(io.TextIOWrapper(stream, encoding=encoding, newline=""))
        number = 0
        while True:
            number += 1
            try:
                line = next(lines)
            except StopIteration:
                return
            except LineTooLong:
                reason = f"the line is longer than {LINE_CHARACTERS:,} characters: shorten it"
                yield number, BrokenRow(reason)
                continue
            if line.strip():
                yield number, _record(line)


def _record(line: str) -> _Record | BrokenRow:
    try:
        found = _parsed(line.rstrip())
    except json.JSONDecodeError as error:
        return BrokenRow(
            f"column {error.colno}: this is no JSON ({error.msg}): export the record again"
        )
    except (ValueError, RecursionError) as error:
        return BrokenRow(_why(error))
    if not isinstance(found, dict):
        return BrokenRow("expected a JSON object with a name for each value")
    return found


def json_rows(source: Source, encoding: str) -> Callable[[str], Iterator[TableRow]]:
    """Rows of a JSON document, which is read at once.

    Raises:
        InputError: larger than the budget, broken, or of another shape.
    """
    with source.opened() as stream:
        data = stream.read(JSON_BYTES + 1)
    if len(data) > JSON_BYTES:
        raise InputError(
            f"{source.name}: larger than {JSON_BYTES:,} bytes, and JSON has to be read at once. "
            "Export it as JSON Lines or as CSV."
        )
    try:
        found = _parsed(data.decode(encoding))
    except json.JSONDecodeError as error:
        raise InputError(
            f"{source.name}, line {error.lineno}, column {error.colno}: this is no JSON, or it "
            f"breaks off ({error.msg}). Export it again."
        ) from error
    except (ValueError, RecursionError) as error:
        raise InputError(f"{source.name}: {_why(error)}. Export it again.") from error
    records = _records(found)
    if not records:
        raise InputError(f"{source.name}: no table in it; expected {_SHAPES}.")
    return lambda _: _rows(_Shape.of(records), enumerate(records, 1))


def _parsed(text: str) -> Any:
    return json.loads(
        text,
        parse_int=_Number,
        parse_float=_Number,
        parse_constant=lambda _: None,
        object_pairs_hook=_object,
    )


def _object(pairs: list[tuple[str, Any]]) -> _Record:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        doubled = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"the name {doubled!r} stands twice in one object")
    return found


def _why(error: Exception) -> str:
    return "nested too deep" if isinstance(error, RecursionError) else str(error)


def _records(found: Any) -> list[_Record | BrokenRow]:
    """The records of a document in any of the shapes that exports have; none of another shape."""
    if isinstance(found, list):
        if not any(isinstance(one, dict) for one in found):
            return []
        wrong = BrokenRow("expected a JSON object with a name for each value")
        return [one if isinstance(one, dict) else wrong for one in found]
    if not isinstance(found, dict) or not found:
        return []
    if isinstance(found.get("columns"), list) and isinstance(found.get("data"), list):
        rows = [one if isinstance(one, list) else [] for one in found["data"]]
        return [dict(zip(map(str, found["columns"]), row, strict=False)) for row in rows]
    tables = [one for one in found.values() if isinstance(one, list) and _holds_objects(one)]
    if len(tables) == 1:
        return _records(tables[0])
    return _of_columns(found)


def _holds_objects(values: Iterable[Any]) -> bool:
    return any(isinstance(one, dict) for one in values)


def _of_columns(found: _Record) -> list[_Record | BrokenRow]:
    """Records of a document that holds a list, or an object by row, for each column."""
    columns = list(found.values())
    if all(isinstance(one, dict) for one in columns):
        keys = list(columns[0])
        if any(list(one) != keys for one in columns):
            return []
        columns = [list(one.values()) for one in columns]
    if any(not isinstance(one, list) or len(one) != len(columns[0]) for one in columns):
        return []
    return [dict(zip(found, row, strict=True)) for row in zip(*columns, strict=True)]


def _rows(shape: _Shape, records: Iterable[tuple[int, _Record | BrokenRow]]) -> Iterator[TableRow]:
    names = shape.names
    yield 0, names
    for number, record in records:
        if isinstance(record, BrokenRow):
            yield number, record
            continue
        try:
            rows = [[_text(flat.get(name)) for name in names] for flat in shape.rows(record)]
        except RecursionError:
            yield number, BrokenRow(f"nested deeper than {JSON_DEPTH}")
            continue
        yield from (whole_row(number, cells) for cells in rows if any(cells))


def _text(value: Any) -> str:
    if isinstance(value, _Number):
        return NUMBER_CELL + re.sub(r"^(-?\d+)\.0+$", r"\1", value)
    if isinstance(value, (dict, list)):
        if _depth(value) > JSON_DEPTH:
            raise RecursionError
        return json.dumps(value, ensure_ascii=False)
    return cell_text(value)


def _depth(value: Any) -> int:
    below = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max(map(_depth, below), default=0)
