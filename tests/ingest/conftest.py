"""A small invented course, and a loader that draws every batch."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import pytest

from pipeline.course import Course, new_course, read_course
from pipeline.ingest import KnownResponses, load_exports, settle_terms

ITEMS = """\
item,topic,task,problem,answer,options,quiz,week
root-1,roots,solve,x^2 = 4,,,Quiz 1,2
quad-1,quadratics,solve,x^2 - 6x + 8 = 0,,,Quiz 1,
fact-1,factoring,factor,x^2 - 6x + 8,,,Quiz 2,
judge-1,words,judge,,24,,,
pick-1,words,choice,Which is larger?,1/2,1/2 | 1/3,,
graph-1,graphs,skip,,,,,
"""
SETTINGS = """\
title = "Algebra"
time_zone = "America/Chicago"
[[terms]]
id = "2026-spring"
title = "Spring 2026"
first_day = 2026-01-12
weeks = 15
breaks = [["2026-03-16", "2026-03-20"]]
"""

Contents = Mapping[str, "str | bytes"]


@dataclass
class Loaded:
    """Everything that came out of a load."""

    responses: pd.DataFrame
    rejected: pd.DataFrame
    duplicates: pd.DataFrame
    sources: pd.DataFrame
    errors: dict[str, str]
    notes: str
    left_out: dict[str, str]


def load(course: Course, known: KnownResponses | None = None) -> Loaded:
    known = KnownResponses.empty() if known is None else known
    course = settle_terms(course, known)
    frames: dict[str, list[pd.DataFrame]] = {"r": [], "x": [], "d": [], "s": []}
    errors: dict[str, str] = {}
    notes: list[str] = []
    left_out: dict[str, str] = {}
    for loaded in load_exports(course, known):
        if loaded.error:
            errors[loaded.file] = str(loaded.error)
            continue
        for batch in loaded.batches():
            frames["r"].append(batch.responses)
            frames["x"].append(batch.rejected)
            frames["d"].append(batch.duplicates)
        frames["s"].append(loaded.source_file())
        notes += loaded.notes
        left_out |= loaded.left_out
    joined = {
        key: pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()
        for key, parts in frames.items()
    }
    return Loaded(
        joined["r"], joined["x"], joined["d"], joined["s"], errors, "\n".join(notes), left_out
    )


def build(folder: Path, exports: Contents, items: str = ITEMS, settings: str = SETTINGS) -> Course:
    new_course(folder)
    (folder / "items.xlsx").unlink()
    (folder / "items.csv").write_text(items, encoding="utf-8")
    (folder / "course.toml").write_text(settings, encoding="utf-8")
    for name, content in exports.items():
        data = content if isinstance(content, bytes) else content.encode()
        (folder / "exports" / name).write_bytes(data)
    return read_course(folder)


@pytest.fixture
def course_of(tmp_path: Path) -> Callable[..., Course]:
    """Builds a course folder with these exports."""

    def make(exports: Contents, items: str = ITEMS, settings: str = SETTINGS) -> Course:
        return build(tmp_path / "algebra", exports, items, settings)

    return make


@pytest.fixture
def load_of(course_of: Callable[..., Course]) -> Callable[..., Loaded]:
    """Loads these exports into nothing."""

    def run(exports: Contents, items: str = ITEMS, settings: str = SETTINGS) -> Loaded:
        return load(course_of(exports, items, settings))

    return run


@pytest.fixture
def load_course() -> Callable[..., Loaded]:
    """Loads a course's exports on top of what is known."""
    return load


@pytest.fixture(scope="session")
def build_course() -> Callable[..., Course]:
    """Builds a course folder in a place of its own."""
    return build
