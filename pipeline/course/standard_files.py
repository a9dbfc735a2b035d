"""The folder `standards` of a course: what other programs say of its questions, outcomes and terms.

Files are told by what is in them: QTI items and packages, CASE packages, and of OneRoster CSV
academicSessions.csv and classes.csv. Every other file of OneRoster is on persons and stays closed.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, cast

from pipeline.course.calendar import Term
from pipeline.errors import CourseError, InputError
from pipeline.standards import QtiItem, read_qti_package
from pipeline.standards.case import CaseItem, cited, read_case_package
from pipeline.standards.oneroster import (
    ClassOfRoster,
    Session,
    read_classes,
    read_sessions,
    teaching,
)
from pipeline.tables import Source, TableRow, archive_members, open_source

STANDARDS_FOLDER = "standards"
_SESSIONS, _CLASSES = "academicsessions.csv", "classes.csv"


@dataclass(frozen=True, slots=True)
class StandardFiles:
    """What the folder holds.

    Args:
        packages: name in results -> question of a QTI package.
        outcomes: identifier, address or code -> statement of a CASE package.
        terms: of OneRoster, in order of time.
        classes: sourcedId -> title of a class of OneRoster.
        remarks: what could not be taken, a sentence each.
        digest: of all that answers rest on; "" for an empty folder.
    """

    packages: Mapping[str, QtiItem] = field(default_factory=dict)
    outcomes: Mapping[str, CaseItem] = field(default_factory=dict)
    terms: tuple[Term, ...] = ()
    classes: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()
    digest: str = ""


@dataclass(slots=True)
class _Read:
    packages: dict[str, QtiItem] = field(default_factory=dict)
    outcomes: dict[str, CaseItem] = field(default_factory=dict)
    sessions: tuple[Session, ...] = ()
    classes: tuple[ClassOfRoster, ...] = ()
    remarks: list[str] = field(default_factory=list)


def read_standard_files(folder: Path) -> StandardFiles:
    """Read the folder `standards` of a course folder; nothing where there is none.

    Raises:
        CourseError: a file of it is broken; names file, line and column. Files of other kinds are
            passed over.
    """
    found = _Read()
    digest = hashlib.sha256()
    try:
        sources = list(_sources(folder / STANDARDS_FOLDER))
        for source in sources:
            if _read(source, found):
                digest.update(source.sha256().encode())
        loose = [source for source in sources if source.ending == ".xml"]
        _read_package(loose, STANDARDS_FOLDER, found)
    except InputError as error:
        raise CourseError(str(error)) from error
    terms = tuple(_term(one) for one in teaching(found.sessions, found.classes))
    return StandardFiles(
        found.packages,
        found.outcomes,
        terms,
        {one.sourced_id: one.title for one in found.classes if one.title},
        tuple(found.remarks),
        digest.hexdigest()[:16] if found.packages or found.classes else "",
    )


def _sources(folder: Path) -> Iterator[Source]:
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        inside = path.relative_to(folder).as_posix()
        if path.is_file() and not path.name.startswith((".", "~$")):
            yield Source(path, f"{STANDARDS_FOLDER}/{inside}")


def _read(source: Source, found: _Read) -> bool:
    """Read one file; whether it was of a kind that is read."""
    name = source.path.name.casefold()
    if source.ending == ".zip" and source.member is None:
        members = archive_members(source)
        _read_package([one for one in members if one.ending == ".xml"], source.name, found)
        for one in members:
            if one.ending != ".xml":
                _read(one, found)
        return True
    if source.ending == ".json":
        with source.opened() as stream:
            items = read_case_package(cast("BinaryIO", io.BytesIO(stream.read())), source.name)
        found.outcomes |= cited(items)
    elif name == _SESSIONS or source.name.casefold().endswith(f"/{_SESSIONS}"):
        found.sessions += read_sessions(_rows(source), source.name)
    elif name == _CLASSES or source.name.casefold().endswith(f"/{_CLASSES}"):
        found.classes += read_classes(_rows(source), source.name)
    else:
        return source.ending == ".xml"
    return True


def _rows(source: Source) -> Iterator[TableRow]:
    return open_source(source).rows()


def _read_package(sources: list[Source], name: str, found: _Read) -> None:
    if not sources:
        return
    package = read_qti_package(_members(sources, name), name)
    found.packages = {**package.named(), **found.packages}
    found.remarks += package.not_read


def _members(sources: list[Source], name: str) -> Iterator[tuple[str, Callable[[], BinaryIO]]]:
    for source in sources:

        def opened(source: Source = source) -> BinaryIO:
            with source.opened() as stream:
                return cast("BinaryIO", io.BytesIO(stream.read()))

        yield source.name.removeprefix(f"{name}/"), opened


def _term(session: Session) -> Term:
    title = session.title or session.sourced_id
    return Term(title, title, session.first, session.weeks)
