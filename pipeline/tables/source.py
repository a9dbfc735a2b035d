"""Bytes that can be opened again and again: a file, a packed one, or a member of an archive."""

from __future__ import annotations

import gzip
import hashlib
import io
import shutil
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, cast

from pipeline.errors import InputError
from pipeline.tables.budgets import ARCHIVE_BYTES, ARCHIVE_MEMBERS, ARCHIVE_RATIO, SMALL_BYTES

CHUNK = 1 << 20
BROKEN = (EOFError, zlib.error, OSError, zipfile.BadZipFile, NotImplementedError, struct.error)
"""What reading a packed file, an archive or its members can raise when it is damaged."""


@dataclass(frozen=True, slots=True)
class Source:
    """What one table, or one set of tables, is read from.

    Args:
        path: of the file on the disk.
        name: how messages call it, relative to the course folder; a member of an archive is
            called `exports/week.zip/section 1.csv`.
        member: name inside the archive; None where the file is no archive.
        packed: whether the file itself is packed by gzip.
    """

    path: Path
    name: str
    member: str | None = None
    packed: bool = False

    @property
    def ending(self) -> str:
        """Such as `.csv`, in lower case; that of what is packed inside `.csv.gz`."""
        name = PurePosixPath(self.name.lower())
        return PurePosixPath(name.stem if self.packed else name.name).suffix

    @contextmanager
    def opened(self) -> Iterator[IO[bytes]]:
        """The bytes from their begin.

        Raises:
            InputError: what is packed breaks off, is damaged, or swells beyond the budgets.
        """
        try:
            if self.member is not None:
                with zipfile.ZipFile(self.path) as archive, archive.open(self.member) as inside:
                    yield inside
            elif self.packed:
                with gzip.open(self.path) as unpacked:
                    most = max(SMALL_BYTES, ARCHIVE_RATIO * self.path.stat().st_size)
                    bounded = _Bounded(unpacked, self.name, min(most, ARCHIVE_BYTES))
                    yield io.BufferedReader(bounded, CHUNK)
            else:
                with self.path.open("rb") as stream:
                    yield stream
        except BROKEN as error:
            raise InputError(
                f"{self.name}: it cannot be read, breaks off or is damaged ({error}). "
                "Download or pack it again."
            ) from error

    @contextmanager
    def anywhere(self) -> Iterator[IO[bytes]]:
        """The bytes in a form that can be read in any order, as workbooks are."""
        with self.opened() as stream:
            if self.member is None and not self.packed:
                yield stream
                return
            with tempfile.SpooledTemporaryFile(SMALL_BYTES) as copy:
                shutil.copyfileobj(stream, copy, CHUNK)
                copy.seek(0)
                yield cast("IO[bytes]", copy)

    def sha256(self) -> str:
        """Of the bytes that `opened` gives, in hex."""
        digest = hashlib.sha256()
        with self.opened() as stream:
            while chunk := stream.read(CHUNK):
                digest.update(chunk)
        return digest.hexdigest()


class _Bounded(io.RawIOBase):
    """Unpacked bytes, up to a number of them."""

    def __init__(self, unpacked: gzip.GzipFile, name: str, most: int) -> None:
        self._unpacked, self._name, self._left = unpacked, name, most

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object) -> int:
        size = self._unpacked.readinto(cast("bytearray", buffer))
        self._left -= size
        if self._left < 0:
            raise InputError(
                f"{self._name}: it unpacks to more than {ARCHIVE_RATIO} times its size, or to more "
                f"than {ARCHIVE_BYTES:,} bytes. Unpack it yourself if you trust it."
            )
        return size


_NESTED = (".zip", ".gz", ".7z", ".rar", ".tar", ".tgz", ".bz2", ".xz", ".zst")
_ENCRYPTED = 0x1


def archive_members(source: Source) -> list[Source]:
    """Members of a ZIP archive that are files, in the order of their names.

    Hidden ones and what file managers add (`__MACOSX/`, `.DS_Store`, `~$book.xlsx`) are left out.

    Raises:
        InputError: no such archive, a member that leaves it or is an archive itself, one with a
            password, or more in it than the budgets allow.
    """
    try:
        with zipfile.ZipFile(source.path) as archive:
            found = archive.infolist()
    except (*BROKEN, ValueError) as error:
        raise InputError(
            f"{source.name}: cannot be opened as a ZIP archive, or breaks off ({error}). "
            "Download or pack it again."
        ) from error
    if len(found) > ARCHIVE_MEMBERS:
        raise InputError(
            f"{source.name}: {len(found):,} members; expected at most {ARCHIVE_MEMBERS:,}. "
            "Pack them into several archives."
        )
    refuse_swelling(source.name, found, ARCHIVE_BYTES)
    files = [one for one in found if not one.is_dir() and not _left_out(one.filename)]
    for one in files:
        _refuse_member(source, one)
    names = sorted({one.filename for one in files})
    if len(names) < len(files):
        raise InputError(f"{source.name}: two members have one name. Pack its files again.")
    return [Source(source.path, f"{source.name}/{name}", name) for name in names]


def refuse_swelling(name: str, found: Sequence[zipfile.ZipInfo], most: int) -> None:
    """Refuse an archive, or a workbook, whose parts unpack to more than the budgets allow.

    Args:
        name: how messages call it.
        found: its parts; no more than the size told here is ever unpacked of one.
        most: bytes of all parts together.
    """
    unpacked = sum(one.file_size for one in found)
    packed = sum(one.compress_size for one in found)
    if unpacked > min(most, max(SMALL_BYTES, ARCHIVE_RATIO * packed)):
        raise InputError(
            f"{name}: {packed:,} bytes unpack to {unpacked:,}; expected at most "
            f"{ARCHIVE_RATIO} times as many, and {most:,}. Unpack it yourself, or save it as CSV, "
            "if you trust it."
        )


def _left_out(name: str) -> bool:
    parts = PurePosixPath(name).parts
    return any(part.startswith((".", "~$", "__MACOSX")) and part != ".." for part in parts)


def _refuse_member(source: Source, one: zipfile.ZipInfo) -> None:
    path = PurePosixPath(one.filename)
    leaves = path.is_absolute() or ".." in path.parts or "\\" in one.filename
    if leaves or ":" in one.filename.partition("/")[0]:
        raise InputError(
            f"{source.name}: the member {one.filename!r} would leave the archive. "
            "Pack its files again, without absolute names."
        )
    if path.suffix.lower() in _NESTED:
        raise InputError(
            f"{source.name}: the member {one.filename!r} is an archive itself; expected tables. "
            "Unpack it and pack the tables alone."
        )
    if one.flag_bits & _ENCRYPTED:
        raise InputError(
            f"{source.name}: the member {one.filename!r} needs a password. Pack it without one."
        )
