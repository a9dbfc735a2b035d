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
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, cast

from pipeline.errors import InputError
from pipeline.tables.budgets import ARCHIVE_BYTES, ARCHIVE_RATIO, SMALL_BYTES

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
