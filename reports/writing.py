"""Writes an edition beside the old one and swaps: a reader never meets half a set of pages."""

from __future__ import annotations

import json
import os
import shutil
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.errors import CourseError
from pipeline.fingerprints import fingerprint_of_bytes
from reports.editions import (
    FACTS,
    edition_facts,
    keep,
    latest_published,
    only_for_owner,
    withdraw_shared,
)
from reports.exchange import exchanged
from reports.making import Making, drawn_from
from reports.source import KEEP, Book, Published, Source

if TYPE_CHECKING:
    from reports.parts import Page


def write(
    course: Path, connection: Source, edition: str = "own", day: date | None = None
) -> tuple[Path, ...]:
    """Write the pages, tables and figures of one edition under `<course>/reports/<edition>/`.

    The old edition stays until the new one is complete. Where a file of the old one is open in
    another program and cannot be replaced, the new one is left beside it with ` (new)` in its name.

    Args:
        course: the course folder.
        connection: a read-only connection to the course's database.
        edition: `own` is the one for those who teach these students, `shared` that for everyone.
        day: the date under which a copy is kept; today unless given.

    Returns:
        The files written, the five pages first. A copy is kept as `reports.editions` says.

    Raises:
        ValueError: no such edition.
        CourseError: the folder cannot be written; the last pages are as they were.
    """
    if edition not in KEEP:
        raise ValueError(f"no edition {edition!r}: expected one of {', '.join(KEEP)}")
    folder = course / "reports"
    target = folder / edition
    fresh, old = folder / f".{edition}-new", folder / f".{edition}-old"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _recover(target, old)
        shutil.rmtree(fresh, ignore_errors=True)
        if edition == "shared":
            withdraw_shared(folder, connection)
        book = Book(connection, edition, latest_published(folder, edition))
        inputs = drawn_from(connection.fingerprint(), _told(book.published))
        making = Making(fresh, target, folder / f".{edition}-made.json", inputs)
        if making.stands:
            written = tuple(target / name for name in _names(making))
        else:
            written = _swap(fresh, target, old, _fill(making, book))
            making.keep_table()
        if edition == "own":
            only_for_owner(target)
    except OSError as error:
        shutil.rmtree(fresh, ignore_errors=True)
        raise CourseError(_failure(folder, "the pages could not be written", error)) from error
    try:
        keep(folder, edition, day or date.today())
    except OSError as error:
        raise CourseError(_failure(folder, "a copy could not be kept by date", error)) from error
    return written


def _failure(folder: Path, what: str, error: OSError) -> str:
    place = Path(error.filename).name if error.filename else folder.name
    return (
        f"{folder}: {what} ({place}: {error.strerror or error}). The database is complete and "
        "nothing that was there is lost. Make room, or check the folder's rights, and run again."
    )


def _told(published: Published | None) -> str:
    return repr((published.name, published.facts)) if published else ""


def _fill(making: Making, book: Book) -> list[str]:
    """Write everything into a folder of its own; return the files' names in it."""
    from reports.export import export_tables
    from reports.figures import chart_library, export_figures
    from reports.render import render

    making.folder.mkdir(mode=0o700 if book.edition == "own" else 0o777)
    for name in ("tables", "figures"):
        (making.folder / name).mkdir()
    pages = _pages(book)
    library = chart_library(making) if any(page.figures for page in pages) else ""
    for page in pages:
        making.write(page.file, render(page, pages, book, library).encode)
    export_tables(making, book)
    figures = (figure for page in pages for figure in page.figures)
    export_figures(making, figures, KEEP[book.edition])
    _export_outcomes(making, pages, book)
    facts = json.dumps(edition_facts(book, making), indent=2) + "\n"
    making.write(FACTS, facts.encode)
    if book.edition == "own":
        only_for_owner(making.folder)
    return _names(making)


def _export_outcomes(making: Making, pages: tuple[Page, ...], book: Book) -> None:
    """Write the page on outcomes as a Word file, too; figures are in the edition already."""
    from reports.word_file import word_file

    page = next(page for page in pages if page.file == "outcomes.html")
    paths = {f.name: making.folder / f"figures/{f.name}.png" for f in page.figures}
    images = {name: path.read_bytes() for name, path in paths.items() if path.exists()}
    texts = (
        (making.folder / page.file).read_text("utf-8"),
        *map(fingerprint_of_bytes, images.values()),
    )
    inputs = drawn_from(*texts)
    making.write("outcomes.docx", lambda: word_file(page, KEEP[book.edition], images.get), inputs)


def _names(making: Making) -> list[str]:
    """All files of an edition, pages first."""
    return sorted(making.files, key=lambda name: not name.endswith(".html"))


def _pages(book: Book) -> tuple[Page, ...]:
    """Build the pages; charts are held against their schema by the tests, not once more here."""
    from altair.utils.schemapi import debug_mode

    from reports.everyone import build_shared_pages
    from reports.pages import build_pages

    with debug_mode(False):
        return {"own": build_pages, "shared": build_shared_pages}[book.edition](book)


def _recover(target: Path, old: Path) -> None:
    """Bring back the last complete edition if a run was killed between the two renames.

    These are needed only where `exchanged` cannot be had, on Windows above all.
    """
    if old.exists() and not target.exists():
        old.rename(target)
    shutil.rmtree(old, ignore_errors=True)


def _swap(fresh: Path, target: Path, old: Path, names: list[str]) -> tuple[Path, ...]:
    try:
        if target.exists() and exchanged(fresh, target):
            shutil.rmtree(fresh, ignore_errors=True)  # now the old edition
            return tuple(target / name for name in names)
        if target.exists():
            target.rename(old)
        fresh.rename(target)
    except OSError:
        # A file of the old edition is open, and this system does not move folders then.
        _recover(target, old)
        return _replace_each(fresh, target, names)
    shutil.rmtree(old, ignore_errors=True)
    return tuple(target / name for name in names)


def _replace_each(fresh: Path, target: Path, names: list[str]) -> tuple[Path, ...]:
    placed = []
    for name in names:
        wanted = target / name
        wanted.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.replace(fresh / name, wanted)
        except OSError:
            wanted = wanted.with_name(f"{wanted.stem} (new){wanted.suffix}")
            shutil.copyfile(fresh / name, wanted)
        placed.append(wanted)
    shutil.rmtree(fresh, ignore_errors=True)
    return tuple(placed)
