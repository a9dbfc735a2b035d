"""Tables on disk as rows of text with their physical line: one way in for CSV and for workbooks."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pipeline.course.delimited import BrokenRow, delimited_rows, text_encoding
from pipeline.course.workbook import sheet_names, workbook_rows
from pipeline.errors import InputError

__all__ = ["BrokenRow", "TableFile", "TableRow", "open_table"]

TableRow = tuple[int, "list[str] | BrokenRow"]
_TEXT_ENDINGS = (".csv", ".tsv", ".tab", ".txt")
_BOOK_ENDINGS = (".xlsx", ".xlsm")
_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class TableFile:
    """A table that exists, can be opened and is in a known encoding.

    Args:
        path: where it lies.
        name: how messages call it, relative to the course folder.
        sha256: of its bytes, in hex.
        encoding: of a text file; None for a workbook.
        sheets: names of a workbook's visible sheets, in order.
    """

    path: Path
    name: str
    sha256: str
    encoding: str | None
    sheets: tuple[str, ...] = ()

    @property
    def is_workbook(self) -> bool:
        """Whether cells may carry the marks of `pipeline.course.workbook`."""
        return self.encoding is None

    def rows(self, sheet: str | None = None) -> Iterator[TableRow]:
        """Rows that are not empty, each with its physical line, from 1.

        Args:
            sheet: of a workbook; None takes the first visible one.

        Raises:
            InputError: the workbook has no such sheet, or breaks off.
        """
        if self.encoding is not None:
            return delimited_rows(self.path, self.name, self.encoding)
        wanted = sheet or self.sheets[0]
        if wanted not in self.sheets:
            raise InputError(
                f"{self.name}: there is no sheet {wanted!r}; it has {', '.join(self.sheets)}. "
                "Name one of these as `sheet`."
            )
        return workbook_rows(self.path, self.name, wanted)


def open_table(path: Path, name: str) -> TableFile:
    """Look at a table file and find out how it is to be read.

    Args:
        path: the file.
        name: how messages call it.

    Raises:
        InputError: missing, a directory, empty, of no known kind, or in an encoding that would
            have to be guessed; the text names the way out.
    """
    _refuse_unreadable(path, name)
    ending = path.suffix.lower()
    with path.open("rb") as stream:
        _refuse_disguise(stream.read(8), ending, name)
    if ending in _BOOK_ENDINGS:
        return TableFile(path, name, _sha256(path), None, sheet_names(path, name))
    if ending in _TEXT_ENDINGS:
        return TableFile(path, name, _sha256(path), text_encoding(path, name))
    raise InputError(
        f"{name}: files that end in {ending or 'nothing'!r} are not read; expected .csv or .xlsx. "
        "Save it as one of these."
    )


def _refuse_unreadable(path: Path, name: str) -> None:
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


def _sha256(path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()
