"""Archives: their members as sources, none of which leaves the archive or swells without bound."""

from __future__ import annotations

import zipfile
from collections.abc import Sequence
from pathlib import PurePosixPath

from pipeline.errors import InputError
from pipeline.tables.budgets import ARCHIVE_BYTES, ARCHIVE_MEMBERS, ARCHIVE_RATIO, SMALL_BYTES
from pipeline.tables.source import BROKEN, Source

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
