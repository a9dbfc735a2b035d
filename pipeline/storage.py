"""What a disk or a database file refuses, in words that name the way out."""

from __future__ import annotations

import errno

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
