"""Bytes that can be opened again and again: a file, a packed one, or a member of an archive."""

from __future__ import annotations

import gzip
import hashlib
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, cast

__all__ = ["CHUNK", "Source"]

CHUNK = 1 << 20


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
        """The bytes from their begin."""
        if self.member is not None:
            with zipfile.ZipFile(self.path) as archive, archive.open(self.member) as inside:
                yield inside
        elif self.packed:
            with gzip.open(self.path) as unpacked:
                yield cast("IO[bytes]", unpacked)
        else:
            with self.path.open("rb") as stream:
                yield stream

    def sha256(self) -> str:
        """Of the bytes that `opened` gives, in hex."""
        digest = hashlib.sha256()
        with self.opened() as stream:
            while chunk := stream.read(CHUNK):
                digest.update(chunk)
        return digest.hexdigest()
