"""JSON of others, record by record: one value, an array, an envelope around one, or JSON Lines.

Source: RFC 8259. Numbers keep their digits; NaN and Infinity, which RFC 8259 does not know, are
refused. What is held in memory is the text of the file and one record.
"""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, BinaryIO, NoReturn

from pipeline.errors import InputError

__all__ = ["MAX_JSON_BYTES", "JsonRecords", "Record"]

MAX_JSON_BYTES = 1 << 28
"""Bytes of one JSON file."""
MAX_DEPTH = 60
"""Objects and arrays inside each other in one record."""
_BLANK = re.compile(r"[ \t\r\n]*")
_WAY_OUT = "Export it again, or mend this place."


@dataclass(frozen=True, slots=True)
class Record:
    """One value with its place; `broken` says why it is none."""

    line: int
    value: Any = None
    broken: str = ""


class _NotJson(ValueError):
    """A constant that RFC 8259 does not know."""


def _constant(word: str) -> NoReturn:
    raise _NotJson(word)


@dataclass
class JsonRecords:
    """Records of one file, drawn once.

    Args:
        stream: of its bytes.
        name: how messages call it.
        inside: names of the array that an envelope wraps around records.
        envelopes: what else stood in each envelope, complete once the records are drawn.
    """

    stream: BinaryIO
    name: str
    inside: frozenset[str]
    envelopes: list[dict[str, Any]] = field(default_factory=list)

    def __iter__(self) -> Iterator[Record]:
        """Draw the records.

        Raises:
            InputError: no JSON, or over a budget; names file, line and column. In JSON Lines a
                broken line comes as a record of its own, and the lines after it are read.
        """
        self._text = _text(self.stream, self.name)
        self._decoder = json.JSONDecoder(parse_float=Decimal, parse_constant=_constant)
        self._counted, self._lines = 0, 1
        place, values = self._blanks(0), 0
        if place == len(self._text):
            raise InputError(f"{self.name}:1:1: there is no JSON in it. Export it again.")
        while place < len(self._text):
            start = place
            try:
                place = yield from self._top(place)
            except InputError as error:
                end = self._text.find("\n", start)
                if not self._is_lines(start, values):
                    raise
                yield Record(self._line(start), broken=_without_name(str(error), self.name))
                place = len(self._text) if end < 0 else end
            values += 1
            place = self._blanks(place)

    def _is_lines(self, start: int, values: int) -> bool:
        """Whether every value so far stands on a line of its own, and further lines follow."""
        end = self._text.find("\n", start)
        follows = end >= 0 and self._text[self._blanks(end) :][:1] in ("{", "[")
        alone = "\n" not in self._text[start : max(start, end)]
        return alone and self._text[start] == "{" and (values > 0 or follows)

    def _top(self, place: int) -> Generator[Record, None, int]:
        opening = self._text[place]
        if opening == "[":
            return (yield from self._array(place))
        if opening == "{" and (found := self._envelope_key(place)):
            return (yield from self._envelope(place, found))
        line = self._line(place)
        value, end = self._value(place)
        yield Record(line, value)
        return end

    def _envelope_key(self, place: int) -> str:
        """The name of the wrapped array, if it is one of this object's own names."""
        at = self._blanks(place + 1)
        while at < len(self._text) and self._text[at] == '"':
            key, at = self._value(at)
            at = self._after(at, ":")
            if key in self.inside and self._text[at : at + 1] == "[":
                return str(key)
            _, at = self._value(at)
            at = self._blanks(at)
            if self._text[at : at + 1] != ",":
                return ""
            at = self._blanks(at + 1)
        return ""

    def _envelope(self, place: int, wrapped: str) -> Generator[Record, None, int]:
        rest: dict[str, Any] = {}
        self.envelopes.append(rest)
        at = self._blanks(place + 1)
        while True:
            key, at = self._value(at)
            at = self._after(at, ":")
            if key == wrapped:
                at = yield from self._array(at)
            else:
                rest[str(key)], at = self._value(at)
            at = self._blanks(at)
            if self._text[at : at + 1] == "}":
                return at + 1
            at = self._after(at, ",")

    def _array(self, place: int) -> Generator[Record, None, int]:
        at = self._blanks(place + 1)
        if self._text[at : at + 1] == "]":
            return at + 1
        while True:
            line = self._line(at)
            value, at = self._value(at)
            yield Record(line, value)
            at = self._blanks(at)
            if self._text[at : at + 1] == "]":
                return at + 1
            at = self._after(at, ",")

    def _after(self, place: int, sign: str) -> int:
        at = self._blanks(place)
        if self._text[at : at + 1] != sign:
            self._refuse(at, f"expected {sign!r}")
        return self._blanks(at + 1)

    def _value(self, place: int) -> tuple[Any, int]:
        try:
            value, end = self._decoder.raw_decode(self._text, place)
        except json.JSONDecodeError as error:
            self._refuse(error.pos, error.msg)
        except _NotJson as error:
            self._refuse(place, f"{error} is no number of JSON")
        except RecursionError:
            self._refuse(place, f"more than {MAX_DEPTH} values inside each other")
        except ValueError:
            self._refuse(place, "a number of too many digits")
        if _depth(value) > MAX_DEPTH:
            self._refuse(place, f"more than {MAX_DEPTH} values inside each other")
        return value, end

    def _blanks(self, place: int) -> int:
        found = _BLANK.match(self._text, place)
        return found.end() if found else place

    def _line(self, place: int) -> int:
        """Line of a place; places come in order, so that each part is counted once."""
        if place >= self._counted:
            self._lines += self._text.count("\n", self._counted, place)
            self._counted = place
            return self._lines
        return self._text.count("\n", 0, place) + 1

    def _refuse(self, place: int, what: str) -> NoReturn:
        line = self._text.count("\n", 0, place) + 1
        column = place - self._text.rfind("\n", 0, place)
        raise InputError(f"{self.name}:{line}:{column}: not JSON ({what}). {_WAY_OUT}")


def _without_name(message: str, name: str) -> str:
    """Column and reason of a broken line, whose file and line stand beside it."""
    column, _, reason = message.removeprefix(f"{name}:").partition(":")[2].partition(": ")
    return f"column {column}: {reason}"


def _depth(value: Any) -> int:
    """How deep a value goes, as far as it matters."""
    level, depth = [value], 0
    while level and depth <= MAX_DEPTH:
        depth += 1
        level = [
            inner
            for one in level
            for inner in (
                one.values() if isinstance(one, dict) else one if isinstance(one, list) else ()
            )
            if isinstance(inner, dict | list)
        ]
    return depth


def _text(stream: BinaryIO, name: str) -> str:
    data = stream.read(MAX_JSON_BYTES + 1)
    if len(data) > MAX_JSON_BYTES:
        raise InputError(
            f"{name}:1:1: more than {MAX_JSON_BYTES >> 20} MB in one file, beyond what is read. "
            "Export it in smaller parts."
        )
    marked = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        return data.decode("utf-16" if marked else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = error.start - data.rfind(b"\n", 0, error.start)
        raise InputError(
            f"{name}:{line}:{column}: a byte that is not UTF-8, which JSON is written in "
            f"(RFC 8259, 8.1). {_WAY_OUT}"
        ) from error
