"""JSON of others, record by record: one value, an array, an envelope around one, or JSON Lines.

Source: RFC 8259. Numbers keep their digits; NaN and Infinity, which RFC 8259 does not know, are
refused. What is held in memory is one record and a piece of the file around it, however long the
file is.
"""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import IO, Any, NoReturn

from pipeline.errors import InputError

MAX_VALUE = 1 << 25
"""Characters of one record, and of any member of an envelope."""
MAX_DEPTH = 60
"""Objects and arrays inside each other in one record."""
_CHUNK = 1 << 16
_NEAR = 16
"""An error so near to the end of a piece may be a number, a word or an escape that is cut there."""
_BLANK = re.compile(r"[ \t\r\n]*")
_WAY_OUT = "Export it again, or mend this place."


@dataclass(frozen=True, slots=True)
class Record:
    """One value with its place; `broken` says why it is none."""

    line: int
    value: Any = None
    broken: str = ""


class _Broken(Exception):
    """Something that is no JSON, at a line and a column."""

    def __init__(self, line: int, column: int, what: str) -> None:
        super().__init__()
        self.line, self.column = line, column
        self.reason = f"not JSON ({what}). {_WAY_OUT}"


@dataclass
class JsonRecords:
    """Records of one file, drawn once.

    Args:
        stream: of its bytes.
        name: how messages call it.
        inside: names of the array that an envelope wraps around records.
        envelopes: what else stood in each envelope, complete once the records are drawn.
    """

    stream: IO[bytes]
    name: str
    inside: frozenset[str] = frozenset()
    envelopes: list[dict[str, Any]] = field(default_factory=list)

    def __iter__(self) -> Iterator[Record]:
        """Draw the records.

        Raises:
            InputError: no JSON, or over a budget; names file, line and column. In JSON Lines a
                broken line comes as a record of its own, and the lines after it are read.
        """
        self._text = _Text(self.stream, self.name)
        if not self._text.peek():
            raise InputError(f"{self.name}:1:1: there is no JSON in it. Export it again.")
        values = 0
        while self._text.peek():
            line = self._text.mark()
            try:
                yield from self._top(line)
            except _Broken as broken:
                if not self._text.skip_line(sure=values > 0):
                    place = f"{self.name}:{broken.line}:{broken.column}"
                    raise InputError(f"{place}: {broken.reason}") from None
                where = f"column {broken.column}" if broken.line == line else "its end"
                yield Record(line, broken=f"{where}: {broken.reason}")
            values += 1

    def _top(self, line: int) -> Iterator[Record]:
        match self._text.peek():
            case "[":
                yield from self._array()
            case "{":
                yield from self._object(line)
            case _:
                yield Record(line, self._text.value())

    def _object(self, line: int) -> Iterator[Record]:
        """One record, or those of the array that the object is an envelope of."""
        members: dict[str, Any] = {}
        wraps = False
        for name in self._members():
            if name in self.inside and self._text.peek() == "[":
                wraps = True
                self.envelopes.append(members)
                yield from self._array()
            else:
                members[name] = self._text.value()
        if not wraps:
            yield Record(line, members)

    def _members(self) -> Iterator[str]:
        for _ in self._listed("{", "}"):
            name = self._text.value() if self._text.peek() == '"' else None
            if name is None:
                self._text.refuse("expected a name in double quotes")
            self._text.take(":")
            yield name

    def _array(self) -> Iterator[Record]:
        self._text.unmark()
        for _ in self._listed("[", "]"):
            line = self._text.line
            yield Record(line, self._text.value())

    def _listed(self, opening: str, closing: str) -> Iterator[None]:
        """Stand before each element of a list, one after another."""
        self._text.take(opening)
        if self._text.peek() != closing:
            yield
            while self._text.peek() != closing:
                self._text.take(",")
                self._text.peek()
                yield
        self._text.take(closing)


class _Text:
    """A piece of a text that slides over the file; line and column of its place are known."""

    def __init__(self, stream: IO[bytes], name: str) -> None:
        self._stream, self._name = stream, name
        self._decoder = json.JSONDecoder(parse_float=Decimal, parse_constant=self._no_number)
        head = stream.read(_CHUNK)
        marked = head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
        self._decode = codecs.getincrementaldecoder("utf-16" if marked else "utf-8-sig")().decode
        self._piece, self._at, self._ended = "", 0, False
        self.line, self._begin = 1, 0  # of the line, in the piece; before it when negative
        self._mark: tuple[int, int, int] | None = None
        self._append(head)

    def mark(self) -> int:
        """Remember this place, a line, so that `skip_line` can come back to it."""
        self._mark = self._at, self.line, self._begin
        return self.line

    def unmark(self) -> None:
        """Let go of the text since the mark."""
        self._mark = None

    def skip_line(self, *, sure: bool) -> bool:
        """Go back to the mark and on to the end of its line, if the file is JSON Lines.

        Args:
            sure: whether earlier lines were records; else the next line has to look like one.
        """
        if self._mark is None:
            return False
        self._at, self.line, self._begin = self._mark
        if self._piece[self._at] != "{":
            return False
        while (end := self._piece.find("\n", self._at)) < 0 and self._more():
            pass
        self._go(end if end >= 0 else len(self._piece))
        return self.peek() in ("{", "[") or sure

    def peek(self) -> str:
        """The next sign that is no blank; "" at the end of the file."""
        while True:
            found = _BLANK.match(self._piece, self._at)
            self._go(found.end() if found else self._at)
            if self._at < len(self._piece):
                return self._piece[self._at]
            if not self._more():
                return ""

    def take(self, sign: str) -> None:
        """Go past a sign, which must be the next one."""
        if self.peek() != sign:
            self.refuse(f"expected {sign!r}")
        self._go(self._at + 1)

    def value(self) -> Any:
        """The value that begins here, as far as the file has to be read for it."""
        self.peek()
        while True:
            try:
                value, end = self._decoder.raw_decode(self._piece, self._at)
                if isinstance(value, dict | list) and _depth(value) > MAX_DEPTH:
                    raise RecursionError
            except json.JSONDecodeError as error:
                cut = error.msg.startswith("Unterminated") or (
                    error.pos >= len(self._piece) - _NEAR
                )
                if not cut or not self._more():
                    self._go(error.pos)
                    self.refuse(error.msg)
            except RecursionError:
                self.refuse(f"more than {MAX_DEPTH} values inside each other")
            except ValueError:
                self.refuse("a number of too many digits")
            else:
                if end < len(self._piece) or not self._more():
                    self._go(end)
                    return value

    def refuse(self, what: str) -> NoReturn:
        """Say that there is no JSON at this place."""
        raise _Broken(self.line, self._at - self._begin + 1, what)

    def _no_number(self, word: str) -> NoReturn:
        self.refuse(f"{word} is no number of JSON")

    def _go(self, place: int) -> None:
        if lines := self._piece.count("\n", self._at, place):
            self.line += lines
            self._begin = self._piece.rindex("\n", self._at, place) + 1
        self._at = place

    def _more(self) -> bool:
        """Draw as much again as the piece holds, without what is done with; False at the end."""
        if self._ended:
            return False
        done = self._mark[0] if self._mark else self._at
        self._piece = self._piece[done:]
        self._at, self._begin = self._at - done, self._begin - done
        if self._mark:
            self._mark = 0, self._mark[1], self._mark[2] - done
        if len(self._piece) > MAX_VALUE:
            raise InputError(
                f"{self._name}:{self.line}:{self._at - self._begin + 1}: a record of more than "
                f"{MAX_VALUE:,} characters, beyond what is read. Export it in smaller parts."
            )
        self._append(self._stream.read(max(_CHUNK, len(self._piece))))
        return True

    def _append(self, data: bytes) -> None:
        self._ended = not data
        try:
            self._piece += self._decode(data, final=self._ended)
        except UnicodeDecodeError as error:
            self._piece += error.object[: error.start].decode(error.encoding)
            self._go(len(self._piece))
            raise InputError(
                f"{self._name}:{self.line}:{self._at - self._begin + 1}: a byte that is not UTF-8, "
                f"which JSON is written in (RFC 8259, 8.1). {_WAY_OUT}"
            ) from error


def _depth(value: Any) -> int:
    """How many objects and arrays stand inside each other."""
    inner = value.values() if isinstance(value, dict) else value
    return 1 + max((_depth(one) for one in inner if isinstance(one, dict | list)), default=0)


Paths = Mapping[str, tuple[Callable[[Any], Any], tuple[str, ...]]]
"""Field of a record -> how its value is read, and the paths where it may stand, best first."""

_LARGEST = 1_000_000
"""A larger number of points is none."""


def mapping(value: Any) -> Mapping[str, Any]:
    """An object; empty for anything else."""
    return value if isinstance(value, dict) else {}


def text(value: Any) -> str:
    """A string, outer blanks gone; "" for anything else."""
    return value.strip() if isinstance(value, str) else ""


def plain(value: Any) -> str:
    """A string, a number with its digits, true or false; "" for anything else."""
    if isinstance(value, bool):
        return str(value).lower()
    return str(value).strip() if isinstance(value, str | int | Decimal) else ""


def number(value: Any) -> float | None:
    """A number of points; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    return float(value) if abs(Decimal(value)) < _LARGEST else None


def at(value: Any, path: str) -> Any:
    """What stands at a path such as `result.score.raw`; of a list on the way, its first element."""
    for name in path.split("."):
        if isinstance(value, list):
            value = value[0] if value else None
        value = mapping(value).get(name)
    return value


def read_at(value: Any, paths: Paths) -> dict[str, Any]:
    """The fields of a record, each from the first of its paths that holds something."""
    return {
        name: next((found for path in places if (found := read(at(value, path)))), read(None))
        for name, (read, places) in paths.items()
    }
