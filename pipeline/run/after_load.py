"""What becomes of exports that were loaded: they stay, are moved, or give way to a copy."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from pipeline.course import Course
from pipeline.errors import CourseError, InputError
from pipeline.ingest import LoadedFile
from pipeline.ingest.export_files import export_sources, exports_in, sources_of
from pipeline.ingest.result_sets import result_files
from pipeline.tables import Source
from pipeline.warehouse import Warehouse


def latest_loads(warehouse: Warehouse) -> pd.DataFrame:
    """What is stored of the latest load of each file, by its name."""
    loads = warehouse.frame("store.source_file").sort_values("loaded_at")
    return loads.drop_duplicates("file", keep="last").set_index("file")


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy with pseudonyms that waits beside its export; a leading dot keeps loads off it."""

    raw: Path
    path: Path
    sha256: str


def copy_of(course: Course, loaded: LoadedFile) -> Copy | None:
    """Write the copy of an export that was just loaded; None where it cannot be replaced yet."""
    raw = course.folder / loaded.file
    path = raw.with_name(f".{raw.name}.copy{raw.suffix}")
    digest = loaded.write_copy(path)
    return Copy(raw, path, digest) if digest else None


def put_in_place(copies: list[Copy]) -> Iterator[str]:
    """Let each copy take the place of its export, once the database is published.

    Yields:
        Sentences on what could not be done.
    """
    for copy in copies:
        target = copy.raw.resolve() if copy.raw.is_symlink() else None
        try:
            os.replace(copy.path, copy.raw)
            if target is not None:
                yield (
                    f"{copy.raw.name} was a link to {target}, which still holds ids: the copy took "
                    "the place of the link alone. Delete that file or see to it yourself."
                )
        except OSError as error:
            copy.path.unlink(missing_ok=True)
            yield (
                f"{copy.raw.name} still holds ids: it could not be replaced by its copy "
                f"({error.strerror}). Close it in other programs and run again."
            )


def discard(copies: list[Copy]) -> None:
    """Take copies away that no database was published for."""
    for copy in copies:
        copy.path.unlink(missing_ok=True)


def move_loaded(course: Course, known: dict[str, str]) -> Iterator[str]:
    """Move exports that are loaded, byte for byte, out of the course's `exports`.

    Args:
        course: says where to.
        known: file -> SHA-256 of every load that the published database holds.

    Yields:
        Sentences on what could not be done.
    """
    for name, path in list(exports_in(course.folder)):
        try:
            found = list(sources_of(course, [(name, path)]))
            if any(
                isinstance(one, InputError) or one.sha256() != known.get(called)
                for called, one in found
            ):
                continue
            for each in result_files(path) if path.is_dir() else [path]:
                _move(course, each)
        except OSError as error:
            yield f"{name} was loaded but could not be moved: {error}"


def _move(course: Course, path: Path) -> None:
    target = _free(course.loaded_folder / path.relative_to(course.folder / "exports"))
    for folder in reversed((target.parent, *target.parent.parents)):
        if not folder.exists():
            folder.mkdir(mode=0o700)
    shutil.move(path, target)
    target.chmod(0o600)


def _free(path: Path) -> Path:
    """A name that no file has: an export of the same name may have been moved before."""
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem} ({number}){path.suffix}")
    return free


def stop_for_missing_exports(course: Course, known: dict[str, str]) -> None:
    """Refuse to start again from the exports while some of them are elsewhere.

    Args:
        course: holds the exports.
        known: file -> SHA-256 of every load of the database that would be built anew.

    Raises:
        CourseError: names the exports that are missing.
    """
    sources = dict(export_sources(course))
    missing = {
        name: digest
        for name, digest in known.items()
        if name not in sources and not (course.folder / name).is_file()
    }
    if missing:
        found = [one for one in sources.values() if isinstance(one, Source)]
        there = {one.sha256() for one in found}
        missing = {name: digest for name, digest in missing.items() if digest not in there}
    if missing:
        names = ", ".join(sorted(missing)[:5]) + (" ..." if len(missing) > 5 else "")
        raise CourseError(
            f"The settings by which exports are read, or the program, have changed, so that all "
            f"exports have to be read again, but {len(missing)} of them are no longer there: "
            f"{names}. Put them back into exports/ (moved ones lie in "
            f"{course.loaded_folder.name}/) and run again; or move course.duckdb away to start "
            "without them. Nothing was changed."
        )
