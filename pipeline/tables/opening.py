"""One way in for every kind of file that holds tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import InputError
from pipeline.tables.archives import archive_members
from pipeline.tables.delimited import delimited_rows, text_encoding
from pipeline.tables.rows import TableRow
from pipeline.tables.source import Source
from pipeline.tables.workbook import sheet_names, workbook_rows

__all__ = [
    "Contents",
    "Recognizer",
    "TableFile",
    "open_source",
    "open_table",
    "table_sources",
]

_TEXT_ENDINGS = (".csv", ".tsv", ".tab", ".txt")
_BOOK_ENDINGS = (".xlsx", ".xlsm")


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
    """

    rows: Callable[[str], Iterator[TableRow]]
    sheets: tuple[str, ...] = ()
    marked: bool = False
    encoding: str | None = None
    notes: Callable[[], Sequence[str]] = tuple


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
            return self.contents.rows("")
        wanted = sheet or self.sheets[0]
        if wanted not in self.sheets:
            raise InputError(
                f"{self.name}: there is no sheet {wanted!r}; it has {', '.join(self.sheets)}. "
                "Name one of these as `sheet`."
            )
        return self.contents.rows(wanted)


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


def open_source(source: Source, recognizers: Sequence[Recognizer] = ()) -> TableFile:
    """Find out what a source holds.

    Args:
        source: one of `table_sources`.
        recognizers: further kinds of files, asked first.

    Raises:
        InputError: of no known kind, not what its ending says, or in an encoding that would have
            to be guessed; the text names the way out.
    """
    found = _recognized(source, recognizers)
    return TableFile(source, found if found is not None else _contents(source))


def open_table(path: Path, name: str) -> TableFile:
    """Open a file that holds one table, such as the list of questions.

    Args:
        path: the file; that of an archive followed by the name of a member is one, too.
        name: how messages call it.

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
    return open_source(found[0])


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


def _contents(source: Source) -> Contents:
    with source.opened() as stream:
        _refuse_disguise(stream.read(8), source.ending, source.name)
    if source.ending in _BOOK_ENDINGS:
        sheets = sheet_names(source)
        return Contents(lambda sheet: workbook_rows(source, sheet), sheets, marked=True)
    if source.ending in _TEXT_ENDINGS:
        encoding = text_encoding(source)
        return Contents(lambda _: delimited_rows(source, encoding), encoding=encoding)
    raise InputError(
        f"{source.name}: files that end in {source.ending or 'nothing'!r} are not read; expected "
        ".csv or .xlsx. Save it as one of these."
    )


def _refuse_disguise(head: bytes, ending: str, name: str) -> None:
    is_zip, is_old = head.startswith(b"PK\x03\x04"), head.startswith(b"\xd0\xcf\x11\xe0")
    if is_old:
        raise InputError(
            f"{name}: this is a workbook of the old binary kind (or one with a password). "
            "Save it as .xlsx or as CSV UTF-8, without a password."
        )
    if is_zip and ending in _TEXT_ENDINGS:
        raise InputError(f"{name}: the name says text, the content is a workbook. Rename to .xlsx.")
    if not is_zip and ending in _BOOK_ENDINGS:
        raise InputError(f"{name}: the name says workbook, the content is not. Save it as .xlsx.")
