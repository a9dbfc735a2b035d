"""One way in for every kind of file that holds tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any

from pipeline.errors import InputError
from pipeline.tables.budgets import COLUMNS
from pipeline.tables.delimited import delimited_rows, text_encoding
from pipeline.tables.json_rows import json_line_rows, json_rows
from pipeline.tables.opendocument import opendocument_rows, opendocument_sheets
from pipeline.tables.parquet import parquet_rows
from pipeline.tables.rows import TableRow
from pipeline.tables.source import Source, archive_members

_HEAD = 64
_LOOKED_AT = 60
_KEPT = 128
_PLAIN_TEXT = (".csv", ".tsv", ".tab", ".txt", ".psv", ".ssv", ".dat", ".data", ".asc", ".text")
_PACKED = "a workbook or archive"
_PARQUET = "Parquet"
_OLD = "a workbook of the old binary kind"
_KINDS = (
    (b"PK\x03\x04", _PACKED),
    (b"PK\x05\x06", _PACKED),
    (b"\xd0\xcf\x11\xe0", _OLD),
    (b"PAR1", _PARQUET),
    (b"\x1f\x8b", "packed by gzip"),
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "rich text"),
    (b"Rar!", "a RAR archive"),
    (b"7z\xbc\xaf", "a 7-Zip archive"),
)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a file turned out to hold.

    Args:
        rows: gives the rows that are not empty, of one sheet where there are sheets, from the
            first one on, each time it is called.
        sheets: names of the visible sheets, in order; none where a file holds one table.
        marked: whether cells may carry the marks of `pipeline.tables.rows`.
        encoding: codec of delimited text; None for every other kind.
        notes: gives sentences on the whole file, complete once its rows are drawn.
        later: gives what it says of answers that other files brought, likewise, as its recognizer
            has it.
    """

    rows: Callable[[str], Iterator[TableRow]]
    sheets: tuple[str, ...] = ()
    marked: bool = False
    encoding: str | None = None
    notes: Callable[[], Sequence[str]] = tuple
    later: Callable[[], Sequence[Any]] = tuple


Recognizer = Callable[[Source], Contents | None]
"""Tells a kind of file by what is in it; None when it is of another kind."""


@dataclass(frozen=True, slots=True)
class TableFile:
    """A table that exists, can be opened and is of a known kind.

    Args:
        source: its bytes.
        contents: what they hold.
    """

    source: Source
    contents: Contents
    _heads: dict[str, list[TableRow]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def name(self) -> str:
        """How messages call it, relative to the course folder."""
        return self.source.name

    @property
    def path(self) -> Path:
        """The file on the disk."""
        return self.source.path

    @property
    def encoding(self) -> str | None:
        """Of delimited text; None for every other kind."""
        return self.contents.encoding

    @property
    def sheets(self) -> tuple[str, ...]:
        """Names of the visible sheets, in order; none where the file holds one table."""
        return self.contents.sheets

    @property
    def is_workbook(self) -> bool:
        """Whether cells may carry the marks of `pipeline.tables.rows`."""
        return self.contents.marked

    def rows(self, sheet: str | None = None) -> Iterator[TableRow]:
        """Rows that are not empty, each with its line or row number, from 1.

        Args:
            sheet: of a workbook; None takes the first visible one.

        Raises:
            InputError: there is no such sheet, or the file breaks off.
        """
        if not self.sheets:
            return self._rows("")
        wanted = sheet or self.sheets[0]
        if wanted not in self.sheets:
            raise InputError(
                f"{self.name}: there is no sheet {wanted!r}; it has {', '.join(self.sheets)}. "
                "Name one of these as `sheet`."
            )
        return self._rows(wanted)

    def _rows(self, sheet: str) -> Iterator[TableRow]:
        """Rows of a sheet, of which the first are kept: they are looked at again and again."""
        if sheet not in self._heads:
            self._heads[sheet] = list(islice(self.contents.rows(sheet), _KEPT))
        yield from self._heads[sheet]
        if len(self._heads[sheet]) == _KEPT:
            yield from islice(self.contents.rows(sheet), _KEPT, None)


def table_sources(path: Path, name: str, recognizers: Sequence[Recognizer] = ()) -> list[Source]:
    """What a file gives tables from: itself, or each member of an archive of tables.

    Args:
        path: the file.
        name: how messages call it.
        recognizers: further kinds of files; an archive that is one of them stays whole.

    Raises:
        InputError: missing, a directory, empty, or an archive that cannot be used.
    """
    whole = _file(path, name)
    if whole.ending != ".zip" or _recognized(whole, recognizers) is not None:
        return [whole]
    members = archive_members(whole)
    if not members:
        raise InputError(f"{name}: the archive holds no file. Pack the tables again.")
    return members


def open_source(
    source: Source, recognizers: Sequence[Recognizer] = (), encoding: str | None = None
) -> TableFile:
    """Find out what a source holds.

    Args:
        source: one of `table_sources`.
        recognizers: further kinds of files, asked first.
        encoding: of a text that is neither UTF-8 nor UTF-16, where somebody has said it.

    Raises:
        InputError: of no known kind, not what its ending says, or in an encoding that would have
            to be guessed; the text names the way out.
    """
    found = _recognized(source, recognizers)
    table = TableFile(source, found if found is not None else _contents(source, encoding))
    for line, cells in islice(table.rows(), _LOOKED_AT):
        if isinstance(cells, list) and len(cells) > COLUMNS:
            raise InputError(
                f"{source.name}, line {line}: {len(cells):,} columns; expected at most "
                f"{COLUMNS:,}. Export it without the columns that are not needed."
            )
    return table


def open_table(path: Path, name: str, encoding: str | None = None) -> TableFile:
    """Open a file that holds one table, such as the list of questions.

    Args:
        path: the file; that of an archive followed by the name of a member is one, too.
        name: how messages call it.
        encoding: as `open_source` has it.

    Raises:
        InputError: missing, a directory, empty, of no known kind, an archive with other than one
            member, or in an encoding that would have to be guessed; the text names the way out.
    """
    archive = next((one for one in path.parents if one.suffix.lower() == ".zip"), None)
    if archive is not None and archive.is_file():
        member = path.relative_to(archive).as_posix()
        called = name.removesuffix(f"/{member}")
        found = [one for one in table_sources(archive, called) if one.member == member]
    else:
        found = table_sources(path, name)
    if len(found) != 1:
        raise InputError(f"{name}: {len(found)} tables; expected one. Take the others out.")
    return open_source(found[0], encoding=encoding)


def _recognized(source: Source, recognizers: Sequence[Recognizer]) -> Contents | None:
    found = (recognize(source) for recognize in recognizers)
    return next((one for one in found if one is not None), None)


def _file(path: Path, name: str) -> Source:
    if not path.exists():
        raise InputError(f"{name}: there is no such file. Check the name and the folder.")
    if path.is_dir():
        raise InputError(
            f"{name}: this is a directory, expected a file. Move the files in it one level up."
        )
    try:
        empty = path.stat().st_size == 0
        path.open("rb").close()
    except OSError as error:
        raise InputError(
            f"{name}: cannot be opened ({error.strerror}). Check its rights."
        ) from error
    if empty:
        raise InputError(f"{name}: the file is empty (0 bytes). Export it again.")
    return Source(path, name, packed=path.suffix.lower() == ".gz")


def _contents(source: Source, said: str | None) -> Contents:
    opener = _OPENERS.get(source.ending)
    if opener is None:
        raise InputError(
            f"{source.name}: files that end in {source.ending or 'nothing'!r} are not read; "
            f"expected {', '.join(_OPENERS)}, text packed as .gz, or tables in a .zip. "
            f"{_WAYS_OUT.get(source.ending, 'Save it as one of these.')}"
        )
    with source.opened() as stream:
        head = stream.read(_HEAD)
    if not head:
        raise InputError(f"{source.name}: the file is empty (0 bytes). Export it again.")
    _refuse_disguise(head, source)
    return opener(source, said)


def _text(source: Source, said: str | None) -> Contents:
    encoding = text_encoding(source, said)
    return Contents(lambda _: delimited_rows(source, encoding), encoding=encoding)


def _workbook(source: Source, _: str | None) -> Contents:
    from pipeline.tables.workbook import sheet_names, workbook_rows  # slow to import

    sheets = sheet_names(source)
    return Contents(lambda sheet: workbook_rows(source, sheet), sheets, marked=True)


def _opendocument(source: Source, _: str | None) -> Contents:
    sheets = opendocument_sheets(source)
    return Contents(lambda sheet: opendocument_rows(source, sheet), sheets, marked=True)


def _parquet(source: Source, _: str | None) -> Contents:
    return Contents(parquet_rows(source), marked=True)


def _json(source: Source, said: str | None) -> Contents:
    return Contents(json_rows(source, text_encoding(source, said)), marked=True)


def _json_lines(source: Source, said: str | None) -> Contents:
    return Contents(json_line_rows(source, text_encoding(source, said)), marked=True)


_OPENERS: dict[str, Callable[[Source, str | None], Contents]] = {
    **dict.fromkeys(_PLAIN_TEXT, _text),
    **dict.fromkeys((".xlsx", ".xlsm"), _workbook),
    ".ods": _opendocument,
    ".parquet": _parquet,
    ".json": _json,
    **dict.fromkeys((".jsonl", ".ndjson"), _json_lines),
}
TABLE_ENDINGS = (*_OPENERS, ".gz", ".zip")
_WAYS_OUT = {
    ".xls": "It is a workbook of the old binary kind: open it and save it as .xlsx.",
    ".xlsb": "It is a binary workbook: open it and save it as .xlsx.",
    ".numbers": "Export it as .xlsx or CSV.",
    ".docx": "If it is a worksheet, put it into `questions/`, and `check --write` drafts from it.",
    ".pdf": "A page has no cells: export the answers as .xlsx or CSV.",
}


def _refuse_disguise(head: bytes, source: Source) -> None:
    """Refuse a file that is not what its ending says, by the first bytes of common kinds."""
    found = next((kind for start, kind in _KINDS if head.startswith(start)), "text")
    if head.lstrip(b"\xef\xbb\xbf \t\r\n")[:14].lower().startswith((b"<!doctype html", b"<html")):
        found = "a web page, such as that of a login that has run out"
    if found == _OLD:
        raise InputError(
            f"{source.name}: this is {_OLD} (or one with a password). "
            "Save it as .xlsx or as CSV UTF-8, without a password."
        )
    expected = {**dict.fromkeys((".xlsx", ".xlsm", ".ods"), _PACKED), ".parquet": _PARQUET}
    wanted = expected.get(source.ending, "text")
    if found != wanted:
        way = "Rename it to what it is, or export it again."
        raise InputError(f"{source.name}: the name says {wanted}, the content is {found}. {way}")
