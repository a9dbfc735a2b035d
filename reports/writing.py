"""Writes an edition beside the old one and swaps: a reader never meets half a set of pages."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from reports.export import export_tables
from reports.figures import export_figures
from reports.pages import build_pages
from reports.render import KEEP, render
from reports.source import Book, Source

__all__ = ["write"]


def write(course: Path, connection: Source, edition: str = "own") -> tuple[Path, ...]:
    """Write the pages, tables and figures of one edition under `<course>/reports/<edition>/`.

    The old edition stays until the new one is complete. Where a file of the old one is open in
    another program and cannot be replaced, the new one is left beside it with ` (new)` in its name.

    Args:
        course: the course folder.
        connection: a read-only connection to the course's database.
        edition: which edition; `own` is the one for those who teach these students.

    Returns:
        The files written, the five pages first.

    Raises:
        ValueError: no such edition.
    """
    if edition not in KEEP:
        raise ValueError(f"no edition {edition!r}: expected one of {', '.join(KEEP)}")
    folder = course / "reports"
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / edition
    fresh, old = folder / f".{edition}-new", folder / f".{edition}-old"
    _recover(target, old)
    shutil.rmtree(fresh, ignore_errors=True)
    names = _fill(fresh, Book(connection, edition))
    return _swap(fresh, target, old, names)


def _fill(fresh: Path, book: Book) -> list[Path]:
    """Write everything into a folder of its own; return the files' paths in it."""
    for name in ("tables", "figures"):
        (fresh / name).mkdir(parents=True)
    pages = build_pages(book)
    written = []
    for page in pages:
        path = fresh / page.file
        path.write_text(render(page, pages, book), encoding="utf-8")
        written.append(path)
    written += export_tables(fresh / "tables", book)
    written += export_figures(fresh / "figures", [f for page in pages for f in page.figures])
    return [path.relative_to(fresh) for path in written]


def _recover(target: Path, old: Path) -> None:
    """Bring back the last complete edition if a run was killed between the two renames."""
    if old.exists() and not target.exists():
        old.rename(target)
    shutil.rmtree(old, ignore_errors=True)


def _swap(fresh: Path, target: Path, old: Path, names: list[Path]) -> tuple[Path, ...]:
    try:
        if target.exists():
            target.rename(old)
        fresh.rename(target)
    except OSError:
        # A file of the old edition is open, and this system does not move folders then.
        _recover(target, old)
        return _replace_each(fresh, target, names)
    shutil.rmtree(old, ignore_errors=True)
    return tuple(target / name for name in names)


def _replace_each(fresh: Path, target: Path, names: list[Path]) -> tuple[Path, ...]:
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
