"""A small course whose exports come in open standards."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import pandas as pd
import pytest

from pipeline.course import Course, new_course, read_course
from pipeline.errors import InputError
from pipeline.ingest import KnownResponses, load_exports, settle_terms

ITEMS = """\
item,topic,task,problem,answer,options
root-1,roots,solve,x^2 = 4,,
quad-1,quadratics,solve,x^2 - 6x + 8 = 0,,
pick-1,words,choice,Which is larger?,1/2,1/2 | 1/3
own-1,like terms,simplify,{A}x + {B}x,,
"""
SETTINGS = 'title = "Algebra"\ntime_zone = "America/Chicago"\n'


def zipped(files: Mapping[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return stream.getvalue()


class Loaded:
    """All that came out of a load, one row an answer."""

    def __init__(self, course: Course) -> None:
        known = KnownResponses.empty()
        self.course = settle_terms(course, known)
        self.errors: dict[str, str] = {}
        self.notes: list[str] = []
        self.counts: dict[str, tuple[int, ...]] = {}
        stored, rejected = [], []
        for loaded in load_exports(self.course, known):
            if loaded.error:
                self.errors[loaded.file] = str(loaded.error)
                continue
            try:
                batches = list(loaded.batches())
            except InputError as error:
                self.errors[loaded.file] = str(error)
                continue
            stored += [batch.responses for batch in batches]
            rejected += [batch.rejected for batch in batches]
            self.notes += loaded.notes
            row = loaded.source_file().iloc[0]
            names = ("rows_read", "stored", "duplicates", "rejected")
            self.counts[loaded.file] = tuple(int(row[name]) for name in names)
        self.stored = pd.concat(stored) if stored else pd.DataFrame()
        self.rejected = pd.concat(rejected) if rejected else pd.DataFrame()

    def answers(self, *columns: str) -> list[tuple[object, ...]]:
        """Some columns of the stored answers, missing ones as None."""
        frame = self.stored[list(columns)].astype(object)
        return list(frame.where(frame.notna(), None).itertuples(index=False, name=None))


@pytest.fixture
def course_of(tmp_path: Path) -> Callable[..., Path]:
    """A course folder with these files in it."""

    def make(
        exports: Mapping[str, bytes], standards: Mapping[str, bytes] | None = None,
        items: str = ITEMS, settings: str = SETTINGS,
    ) -> Path:  # fmt: skip
        folder = tmp_path / "algebra"
        new_course(folder)
        (folder / "items.xlsx").unlink()
        (folder / "items.csv").write_text(items, encoding="utf-8")
        (folder / "course.toml").write_text(settings, encoding="utf-8")
        for place, files in (("exports", exports), ("standards", standards or {})):
            for name, data in files.items():
                path = folder / place / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
        return folder

    return make


@pytest.fixture
def load(course_of: Callable[..., Path]) -> Callable[..., Loaded]:
    """Loads exports of open standards into nothing."""
    return lambda *files, **how: Loaded(read_course(course_of(*files, **how)))
