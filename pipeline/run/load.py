"""From exports into the database that is being built, and stored answers settled anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pandas as pd

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest import (
    KnownResponses,
    LoadedFile,
    load_exports,
    settle_responses,
    settle_terms,
)
from pipeline.run.keys import with_derived_keys
from pipeline.warehouse import Warehouse

__all__ = ["Loads", "load_course", "settle_stored"]

SETTLED_FROM = ["item", "term_given", "problem_given", "quiz_given", "answered_on", "answer"]
REJECTION = ["file", "line", "column", "reason"]


@dataclass
class Loads:
    """What a run read.

    Args:
        read: rows read now.
        stored: rows stored now.
        duplicates: rows known before.
        rejected: rows rejected now.
        fresh: rows rejected now, to be looked at, that no earlier run had rejected.
        files: files loaded now.
        failed: files of which nothing could be taken, with the reason.
    """

    read: int = 0
    stored: int = 0
    duplicates: int = 0
    rejected: int = 0
    fresh: int = 0
    files: list[str] = field(default_factory=list)
    failed: list[InputError] = field(default_factory=list)


def load_course(
    course: Course, warehouse: Warehouse, say: Callable[[str], None]
) -> tuple[Course, Loads]:
    """Load what is new.

    Args:
        course: as read from its folder.
        warehouse: the database that is being built; holds what earlier runs stored.
        say: told what is being done.

    Returns:
        The course with its terms settled, and what was read.
    """
    known = _known(warehouse)
    course = settle_terms(course, known)
    before = _rejections(warehouse)
    loads = Loads()
    for loaded in load_exports(course, known):
        say(f"reading {loaded.file}")
        if loaded.error is not None:
            loads.failed.append(loaded.error)
            continue
        _load_file(course, loaded, warehouse, loads)
    loads.fresh = len(_rejections(warehouse) - before)
    return course, loads


def _known(warehouse: Warehouse) -> KnownResponses:
    stored = warehouse.frame("store.response")
    files = warehouse.frame("store.source_file").sort_values("loaded_at")
    dated = stored.dropna(subset=["term", "answered_on"])
    spans = dated.groupby("term")["answered_on"].agg(["min", "max"])
    return KnownResponses(
        keys=stored["response"].to_numpy(dtype="int64"),
        slots=stored["slot"].to_numpy(dtype="int64"),
        erased=frozenset(warehouse.frame("store.erased")["student"]),
        files=dict(zip(files["file"], files["sha256"], strict=True)),
        first_answers={
            str(term): (pd.Timestamp(first).date(), pd.Timestamp(last).date())
            for term, first, last in spans.itertuples()
        },
    )


def _rejections(warehouse: Warehouse) -> set[tuple[object, ...]]:
    table = warehouse.frame("store.rejected")
    table = table[table["needs_look"].fillna(True).astype(bool)]
    return set(table[REJECTION].fillna("").astype(str).itertuples(index=False, name=None))


def _load_file(course: Course, loaded: LoadedFile, warehouse: Warehouse, loads: Loads) -> None:
    """Store one file whole or not at all; what was said of an earlier load of it is replaced."""
    try:
        batches = list(loaded.batches())
    except InputError as error:
        loads.failed.append(error)
        return
    for table in ("rejected", "duplicate", "note"):
        warehouse.remove(f"store.{table}", "file", [loaded.file])
    for batch in batches:
        responses = with_derived_keys(course, batch.responses)
        warehouse.put("store.response", responses, replace=False)
        warehouse.put("store.rejected", batch.rejected, replace=False)
        warehouse.put("store.duplicate", batch.duplicates, replace=False)
    notes = pd.DataFrame({"file": loaded.file, "sentence": list(loaded.notes)}, dtype="object")
    warehouse.put("store.note", notes, replace=False)
    account = loaded.source_file()
    warehouse.put("store.source_file", account, replace=False)
    loads.files.append(loaded.file)
    loads.read += int(account["rows_read"].iloc[0])
    loads.stored += int(account["stored"].iloc[0])
    loads.duplicates += int(account["duplicates"].iloc[0])
    loads.rejected += int(account["rejected"].iloc[0])


def settle_stored(course: Course, warehouse: Warehouse) -> None:
    """Give every stored answer the question, term and week that the items now say."""
    stored = warehouse.frame("store.response")
    if len(stored):
        settled = settle_responses(course, stored[SETTLED_FROM])
        for name in settled.columns:
            stored[name] = settled[name]
        warehouse.put("store.response", with_derived_keys(course, stored))
