"""Delimited text: encoding told by its marks and proved, delimiter sniffed, lines counted."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice

from pipeline.errors import InputError
from pipeline.tables.rows import BrokenRow
from pipeline.tables.source import CHUNK, Source

__all__ = [
    "delimited_rows",
    "file_delimiter",
    "parsed_rows",
    "sniff_delimiter",
    "text_encoding",
]

DELIMITERS = (",", ";", "\t", "|")
_SNIFFED_LINES = 60
_WAY_OUT = "Save it as 'CSV UTF-8' in the program that wrote it."


def text_encoding(source: Source) -> str:
    """Tell UTF-8 and UTF-16 by their marks, and prove it on the whole file.

    Returns:
        A codec of the standard library that drops the byte order mark.

    Raises:
        InputError: any other encoding, with the line of the first byte that gives it away.
    """
    with source.opened() as stream:
        head = stream.read(4096)
    if head.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        raise InputError(f"{source.name}: encoded as UTF-32; expected UTF-8 or UTF-16. {_WAY_OUT}")
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        encoding = "utf-16"
    elif head.count(0) > len(head) // 10:
        raise InputError(
            f"{source.name}: many zero bytes, so this is UTF-16 without its mark, or no text at "
            f"all; expected UTF-8, or UTF-16 with a byte order mark. {_WAY_OUT}"
        )
    else:
        encoding = "utf-8-sig"
    _prove(source, encoding)
    return encoding


def _prove(source: Source, encoding: str) -> None:
    decoder = codecs.getincrementaldecoder(encoding)()
    proved = 0
    with source.opened() as stream:
        while True:
            chunk = stream.read(CHUNK)
            try:
                decoder.decode(chunk, final=not chunk)
            except UnicodeDecodeError as error:
                line = 1 + _newlines(source, proved) + error.object[: error.start].count(b"\n")
                shown = "".join(f"0x{byte:02X}" for byte in error.object[error.start :][:1])
                kind = "UTF-16" if encoding == "utf-16" else "UTF-8"
                raise InputError(
                    f"{source.name}, line {line}: byte {shown or 'missing at the end'} is not "
                    f"{kind}, and another encoding would be a guess. {_WAY_OUT}"
                ) from error
            if not chunk:
                return
            proved += len(chunk)


def _newlines(source: Source, size: int) -> int:
    """Line ends in the first bytes of a file."""
    with source.opened() as stream:
        return sum(
            stream.read(min(CHUNK, size - start)).count(b"\n") for start in range(0, size, CHUNK)
        )


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


def delimited_rows(source: Source, encoding: str) -> Iterator[tuple[int, list[str] | BrokenRow]]:
    """Rows that are not empty, each with the physical line where it begins, from 1.

    A row whose quotation marks are out of order, and one with a NUL byte, comes as a BrokenRow.
    """
    delimiter = file_delimiter(source, encoding)
    with source.opened() as stream:
        text = io.TextIOWrapper(stream, encoding=encoding, newline="")
        yield from parsed_rows(text, delimiter)


def parsed_rows(
    lines: Iterable[str], delimiter: str, before: int = 0
) -> Iterator[tuple[int, list[str] | BrokenRow]]:
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
        except csv.Error as error:
            yield line, _broken(error, line, before + reader.line_num)
            continue
        if "\0" in "".join(cells):
            yield line, BrokenRow("a NUL byte inside the row: export the file again")
        elif any(cells):
            yield line, cells


def file_delimiter(source: Source, encoding: str) -> str:
    """The delimiter that the first lines of a file show."""
    with source.opened() as stream:
        text = io.TextIOWrapper(stream, encoding=encoding, newline="")
        return sniff_delimiter(list(islice(text, _SNIFFED_LINES)))


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
