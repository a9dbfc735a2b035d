"""Delimited text: encoding told by its marks and proved, delimiter sniffed, lines counted."""

from __future__ import annotations

import codecs
import csv
import io
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import IO

from pipeline.errors import InputError, UnknownEncoding
from pipeline.tables.budgets import LINE_CHARACTERS
from pipeline.tables.rows import BrokenRow, TableRow, unguarded
from pipeline.tables.source import CHUNK, Source

DELIMITERS = (",", ";", "\t", "|")
SAID_ENCODINGS = ("windows-1252", "iso-8859-1", "iso-8859-15")
"""Encodings that hold any byte, so that a file can be in one only because somebody says so."""

_WESTERN, _RIVALS = "windows-1252", ("windows-1250", "windows-1251", "mac-roman", "cp850")
_PRINTED = frozenset("²³°±×÷·½¼¾–—‘’“”„…€«»¿¡ºª§√∞ \xa0")
_RELATIONS, _VALUE = frozenset("≤≥≠"), re.compile(r" ?[\w(.\-−–√]")

_SNIFFED_LINES = 60
_SEPARATOR = re.compile(r'"?sep=([,;\t|])"?\s*', re.I)
_CONTROL = re.compile("[\x80-\x9f]")  # as a letter of Windows-1252 looks in Latin-1
_WAY_OUT = "Save it as 'CSV UTF-8' in the program that wrote it."


def text_encoding(source: Source, said: str | None = None) -> str:
    """Tell UTF-8 and UTF-16, and prove it on the whole file.

    Args:
        source: its bytes.
        said: encoding of a text that is neither; one of `SAID_ENCODINGS`.

    Returns:
        A codec of the standard library that drops the byte order mark.

    Raises:
        InputError: any other encoding, with the line of the first byte that gives it away.
    """
    with source.opened() as stream:
        head = stream.read(4096)
    if head.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        raise InputError(f"{source.name}: encoded as UTF-32; expected UTF-8 or UTF-16. {_WAY_OUT}")
    encoding = _utf16(head) or "utf-8-sig"
    found = _not_in(source, encoding)
    if found is None:
        return encoding
    line, byte = found
    if encoding != "utf-8-sig":
        raise InputError(
            f"{source.name}, line {line}: byte {byte} is not UTF-16, as where a file breaks off: "
            f"export it again. {_WAY_OUT}"
        )
    if said is None:
        raise UnknownEncoding(
            f"{source.name}, line {line}: byte {byte} is not UTF-8, and another encoding would "
            f'be a guess. {_WAY_OUT} Or say which it is in [[exports]]: encoding = "windows-1252".',
            shown_encoding(source),
        )
    if (found := _not_in(source, said)) is not None:
        raise InputError(
            f"{source.name}, line {found[0]}: byte {found[1]} is not {said} either, which "
            f"[[exports]] says it is. {_WAY_OUT}"
        )
    return said


def shown_encoding(source: Source) -> str | None:
    """Windows-1252, where each sign beyond ASCII makes sense in it, and not so in its rivals.

    A letter makes sense inside a word in the case of its neighbours, a relation before a value,
    another sign in mathematics or print. Where another code page makes other sense of the same
    bytes, nothing is shown.
    """
    with source.opened() as stream:
        data = stream.read(CHUNK)
    read = {name: data.decode(name, errors="replace") for name in (_WESTERN, *_RIVALS)}
    ours = read.pop(_WESTERN)
    places = [place for place, byte in enumerate(data) if byte > 0x7F]
    rivals = (text for text in read.values() if any(text[at] != ours[at] for at in places))
    if all(_makes_sense(ours, at) for at in places):
        return None if any(all(_makes_sense(o, at) for at in places) for o in rivals) else _WESTERN
    return None


def _makes_sense(text: str, place: int) -> bool:
    sign, before, after = text[place], text[place - 1 : place], text[place + 1 : place + 3]
    if sign in _RELATIONS:  # `x²+5` of one encoding is `x≤+5` in another
        return bool(_VALUE.match(after))
    if sign in _PRINTED:
        return True
    if before.isdigit() or after[:1].isdigit():  # `2×3` of one encoding is `2Î3` in another
        return False
    lower = sign.islower() or not before.isalpha() or before.isupper()
    is_latin = unicodedata.name(sign, "").startswith("LATIN") and sign not in "ﬁﬂ"
    return sign.isalpha() and is_latin and lower


def _utf16(head: bytes) -> str | None:
    """UTF-16 by its mark, or by zero bytes that stand in every other place only."""
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if odd > len(head) // 8 and even <= odd // 16:
        return "utf-16-le"
    return "utf-16-be" if even > len(head) // 8 and odd <= even // 16 else None


def _not_in(source: Source, encoding: str) -> tuple[int, str] | None:
    """Line and byte of the first place that an encoding does not have; None where all fits."""
    decoder = codecs.getincrementaldecoder(encoding)()
    lines = 1
    with source.opened() as stream:
        while True:
            chunk = stream.read(CHUNK)
            try:
                text = decoder.decode(chunk, final=not chunk)
            except UnicodeDecodeError as error:
                byte = "".join(f"0x{byte:02X}" for byte in error.object[error.start :][:1])
                lines += error.object[: error.start].count(b"\n")
                return lines, byte or "missing at the end"
            if encoding.startswith("iso") and (strange := _CONTROL.search(text)):
                return lines + text[: strange.start()].count("\n"), f"0x{ord(strange[0]):02X}"
            if not chunk:
                return None
            lines += text.count("\n")


def sniff_delimiter(lines: list[str]) -> str:
    """The delimiter under which most of the lines have the same number of fields, above one."""

    def agreement(delimiter: str) -> tuple[int, int]:
        try:
            widths = Counter(len(row) for row in csv.reader(lines, delimiter=delimiter))
        except csv.Error:
            return 0, 0
        widths.pop(0, None)
        widths.pop(1, None)
        width, rows = max(widths.items(), key=lambda pair: (pair[1], pair[0]), default=(0, 0))
        return rows, width

    return max(DELIMITERS, key=agreement)


def delimited_rows(source: Source, encoding: str) -> Iterator[TableRow]:
    """Rows that are not empty, each with the physical line where it begins, from 1.

    A row whose quotation marks are out of order, and one with a NUL byte, comes as a BrokenRow. A
    first line such as `sep=;` tells the delimiter and is no row.
    """
    delimiter = file_delimiter(source, encoding)
    with source.opened() as stream:
        text = io.TextIOWrapper(stream, encoding=encoding, newline="")
        yield from parsed_rows(BoundedLines(text), delimiter)


class LineTooLong(Exception):
    """Raised in place of a line that is longer than the budget; the next one can be drawn."""


class BoundedLines(Iterator[str]):
    """Lines of a text with their ends, of which none is larger than the budget.

    Raises:
        LineTooLong: in place of a longer one, of which no more than the budget is ever held.
    """

    def __init__(self, text: IO[str]) -> None:
        self._text = text

    def __next__(self) -> str:
        line = self._text.readline(LINE_CHARACTERS)
        if not line:
            raise StopIteration
        if len(line) < LINE_CHARACTERS or line[-1] in "\r\n":
            return line
        while line and line[-1] not in "\r\n":
            line = self._text.readline(LINE_CHARACTERS)
        raise LineTooLong


def parsed_rows(lines: Iterable[str], delimiter: str, before: int = 0) -> Iterator[TableRow]:
    """Rows of lines as `delimited_rows` has them; no more lines are drawn than the rows ask for.

    Args:
        lines: with their ends.
        delimiter: between two fields.
        before: how many lines stand before these.
    """
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    while True:
        line = before + reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except LineTooLong:
            last = before + reader.line_num + 1
            before += 1  # the reader has not counted it
            yield line, BrokenRow(_too_long(last))
            continue
        except csv.Error as error:
            yield line, _broken(error, line, before + reader.line_num)
            continue
        if "\0" in "".join(cells):
            yield line, BrokenRow("a NUL byte inside the row: export the file again")
        elif any(cells) and not (line == 1 and _SEPARATOR.fullmatch(delimiter.join(cells))):
            yield line, list(map(unguarded, cells))


def file_delimiter(source: Source, encoding: str) -> str:
    """The delimiter that the first line names, or the first lines show."""
    lines: list[str] = []
    with source.opened() as stream:
        text = io.TextIOWrapper(stream, encoding=encoding, newline="")
        drawn = BoundedLines(text)
        while len(lines) < _SNIFFED_LINES:
            try:
                lines.append(next(drawn))
            except StopIteration:
                break
            except LineTooLong:
                continue
    named = _SEPARATOR.fullmatch(lines[0].rstrip()) if lines else None
    return named[1] if named else sniff_delimiter(lines)


def _too_long(line: int) -> str:
    return (
        f"line {line} is longer than {LINE_CHARACTERS:,} characters, which no row of answers is: "
        "export it again"
    )


def _broken(error: csv.Error, first: int, last: int) -> BrokenRow:
    span = f"lines {first} to {last}" if last > first else f"line {first}"
    if "unexpected end of data" in str(error):
        return BrokenRow(
            f"a quotation mark opens and never closes, so {span} cannot be told apart: "
            'close it, or double it ("") inside a quoted field'
        )
    if "field larger" in str(error):
        return BrokenRow(f"a field of {span} is larger than {csv.field_size_limit():,} characters")
    return BrokenRow(
        f'a quotation mark inside a quoted field of {span}: double it ("") in the export'
    )
