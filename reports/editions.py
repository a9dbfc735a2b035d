"""Editions that are kept: one folder each under `reports/kept/`, named by date.

`reports/own/` and `reports/shared/` hold the current pages. Whenever they differ from the last
kept ones, a copy is kept as `reports/kept/2026-05-03-own/`. An empty file `published` in such a
folder marks it as published: it is never rewritten. Editions for everyone are never rewritten
either, since others may have them, and each new one is safe together with those before it.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path

import pandas as pd

from pipeline.fingerprints import fingerprint
from reports.making import Making
from reports.source import Book, Published, Source
from reports.words import missing

KEPT = "kept"
FACTS = "edition.json"
MARK = "published"
ERASED = ".erased"


def edition_facts(book: Book, making: Making) -> dict[str, object]:
    """What an edition was made from, and a digest of its files.

    Args:
        book: the course's numbers.
        making: the complete edition.
    """
    course = book.course
    names = ("rule_set", "items", "exports", "last_answer")
    facts = {name: _plain(course[name]) for name in names if name in course}
    files = sorted(making.files.items())
    digest = fingerprint(*(f"{name} {content}" for name, (_, content) in files))
    return {"edition": book.edition, **facts, "limit": book.limit, "digest": digest}


def _plain(value: object) -> str | None:
    return None if value is None or missing(value) else str(value)


def keep(reports: Path, edition: str, day: date) -> Path | None:
    """Keep a copy of the current pages when they differ from the last kept ones.

    Args:
        reports: the folder of all editions.
        edition: `own` or `shared`.
        day: the date to keep it under.

    Returns:
        The folder of the copy; None when the pages are those of the last kept edition.
    """
    current, kept = reports / edition, reports / KEPT
    before = list(_kept(kept, edition))
    if before and _facts(before[-1]).get("digest") == _facts(current).get("digest"):
        return None
    name = f"{day.isoformat()}-{edition}"
    today = [path for path in before if path.name.startswith(name)]
    replaced = today[-1] if today and edition != "shared" and not _marked(today[-1]) else None
    target = replaced or kept / (f"{name}-{len(today) + 1}" if today else name)
    kept.mkdir(parents=True, exist_ok=True)
    kept.chmod(0o700)
    beside = kept / f".{target.name}"
    shutil.rmtree(beside, ignore_errors=True)
    shutil.copytree(current, beside)
    only_for_owner(beside)
    if replaced is not None:
        shutil.rmtree(replaced)
    beside.rename(target)
    return target


def only_for_owner(folder: Path) -> None:
    """Take the rights on a folder and all in it away from everybody else."""
    for path in (folder, *folder.rglob("*")):
        path.chmod(0o700 if path.is_dir() else 0o600)


def withdraw_shared(reports: Path, source: Source) -> tuple[str, ...]:
    """Take away all kept editions for everyone that count a student who is erased by now.

    A note beside them says who was erased when they were kept. It is written last: where this is
    killed, the next run does it again.

    Args:
        reports: the folder of all editions.
        source: knows who is erased.

    Returns:
        Their names, which begin with their dates.
    """
    kept = reports / KEPT
    note, erased = kept / ERASED, sorted(source.frame("store.erased")["student"])
    now = fingerprint(*erased) if erased else ""
    if now == (note.read_text(encoding="utf-8") if note.exists() else ""):
        return ()
    found = tuple(_kept(kept, "shared"))
    for path in (*found, *kept.glob(".????-??-??-shared*")):  # those with a dot were half copied
        shutil.rmtree(path)
    kept.mkdir(parents=True, exist_ok=True)
    kept.chmod(0o700)
    note.write_text(now, encoding="utf-8")
    note.chmod(0o600)
    return tuple(path.name for path in found)


def latest_published(reports: Path, edition: str) -> Published | None:
    """Return the latest kept edition that is marked as published."""
    marked = [path for path in _kept(reports / KEPT, edition) if _marked(path)]
    if not marked:
        return None
    tables = marked[-1] / "tables"
    frames = {
        path.stem.replace("-", "_"): pd.read_csv(path, dtype=str, keep_default_na=False)
        for path in sorted(tables.glob("*.csv"))
    }
    return Published(marked[-1].name, _facts(marked[-1]), frames)


def _kept(kept: Path, edition: str) -> Iterator[Path]:
    """Kept editions in the order of their dates, the ones of one day in the order of writing."""
    names = [path for path in kept.glob(f"????-??-??-{edition}*") if path.is_dir()]
    yield from sorted(names, key=lambda path: (path.name[:10], len(path.name), path.name))


def _marked(path: Path) -> bool:
    return (path / MARK).exists()


def _facts(path: Path) -> Mapping[str, object]:
    try:
        found: dict[str, object] = json.loads((path / FACTS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found
