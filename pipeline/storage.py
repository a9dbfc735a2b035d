"""Files written whole or not at all, and what a disk or a database refuses, in words."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pipeline.errors import CourseError

_KEPT = "What was there before is as it was."
_FULL = {errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)}
_DENIED = {errno.EROFS, errno.EACCES, errno.EPERM, errno.EBUSY}

_FULL_TEXTS = ("no space left", "not enough space", "file too large", "disk quota")
_DENIED_TEXTS = ("read-only file system", "permission denied", "access is denied")
_HELD_TEXTS = ("could not set lock", "being used by another process")
_VERSION_TEXTS = ("version number", "newer version", "storage version")
_DAMAGED_TEXTS = (
    "corrupt",
    "not a valid duckdb",
    "could not read enough bytes",
    "checksum",
    "could not be deserialized",
    "failed to deserialize",
)
"""Pieces of the messages of DuckDB 2.0, which have no codes; compared in lower case."""


@contextmanager
def written_whole(path: Path, *, for_owner: bool = False) -> Iterator[Path]:
    """Give a path beside a file; what the body writes there takes the file's place at the end.

    Args:
        path: the file, which stays as it is where the body fails or is killed.
        for_owner: whether only its owner may read it; the rights are set before the first byte.

    Raises:
        CourseError: it cannot be written.
    """
    fresh = path.with_name(f".{path.name}.new")
    try:
        fresh.unlink(missing_ok=True)
        if for_owner:
            os.close(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        yield fresh
        with fresh.open("rb+") as stream:
            os.fsync(stream.fileno())
        os.replace(fresh, path)
    except OSError as error:
        raise CourseError(
            f"{path.name}: cannot be written ({error.strerror or error}). Close it in other "
            f"programs, check its rights, and run again. {_KEPT}"
        ) from error


def of_disk(error: OSError, name: str) -> str | None:
    """Say why something cannot be written; None for an error of another kind.

    Args:
        error: what the system said.
        name: what was being written, where the error does not say so itself.
    """
    if error.errno in _FULL:
        return _full(name)
    if error.errno in _DENIED:
        return _denied(name, error.strerror or "not allowed")
    return None


def of_database(message: str, name: str) -> str | None:
    """Say what is wrong with a database file; None for an error of another kind.

    Args:
        message: the database library's own.
        name: of the file.
    """
    low, first = message.lower(), message.splitlines()[0] if message else ""
    if _any(_HELD_TEXTS, low):
        return f"{name} is held open by another program. Close that and run again. {_KEPT}"
    if _any(_FULL_TEXTS, low):
        return _full(name)
    if _any(_DENIED_TEXTS, low):
        return _denied(name, "not allowed")
    if _any(_VERSION_TEXTS, low):
        return (
            f"{name} was written by another version of the database library ({first}). Install "
            "the newest lostroot, or move the file away and run again: it is built anew from the "
            "exports."
        )
    if _any(_DAMAGED_TEXTS, low):
        return (
            f"{name} is damaged ({first}). Put it back from a backup; or move it away and run "
            "again: it is built anew from the exports. Put those that were moved out of exports/ "
            "back first. The exports and the pages were not touched."
        )
    return None


def _any(texts: tuple[str, ...], message: str) -> bool:
    return any(text in message for text in texts)


def _full(name: str) -> str:
    return f"{name} cannot be written: the disk is full. Make room and run again. {_KEPT}"


def _denied(name: str, why: str) -> str:
    return (
        f"{name} cannot be written ({why}). Check the rights of its folder, and whether another "
        f"program holds it open; then run again. {_KEPT}"
    )
