"""The demo in every format gives one database: `python -m tests.calibration.formats_agree [DIR]`.

Every export of a course is written anew in each format that is read, by that format's own library,
and loaded. All that is stored, and how many rows are rejected and known, must be as from plain CSV;
file and line alone may differ. Rows that are none, such as ragged ones, and rows above the column
names are left out of all of them, since most formats cannot hold such rows.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pandas as pd

from pipeline.course import Course, read_course
from pipeline.ingest import KnownResponses, load_exports, settle_terms
from pipeline.ingest.export_files import export_sources, open_export
from pipeline.ingest.questions import Questions
from pipeline.tables import plain_text
from synthetic_data import write_course
from tests.tables.written import WRITERS, in_format

_WHERE = ["file", "line", "source_place"]


@dataclass(frozen=True)
class Outcome:
    """All rows of a course as they would be stored, and the sums of its accounting."""

    stored: pd.DataFrame
    counts: tuple[int, ...]


def rewritten(course: Course) -> Iterator[tuple[str, list[list[str]]]]:
    """Stem and rows of each export, the column names first."""
    questions = Questions(course.items)
    for name, source in export_sources(course):
        opened = open_export(course, questions, source, KnownResponses.empty())
        assert opened is not None, name
        header = opened.plan.header
        width = len(header.names)
        rows = [[one or f"column {place}" for place, one in enumerate(header.names)]]
        for line, cells in opened.table.rows(opened.plan.sheet):
            if line > header.line and isinstance(cells, list):
                padded = cells + [""] * (width - len(cells) if opened.table.is_workbook else 0)
                if len(padded) == width:
                    rows.append([plain_text(cell) for cell in padded])
        yield Path(name).name.partition(".")[0], rows


def in_one_format(
    course: Course, folder: Path, exports: Iterable[tuple[str, list[list[str]]]], kind: str
) -> Course:
    """A copy of the course whose exports are of one kind."""
    shutil.copytree(course.folder, folder, ignore=shutil.ignore_patterns("exports", "*.duckdb*"))
    (folder / "exports").mkdir()
    ending = kind[1:]
    for stem, rows in exports:
        (folder / "exports" / f"{stem}{ending}").write_bytes(in_format(kind, rows))
    copy = read_course(folder)
    maps = tuple(
        replace(one, sheet=None, files=tuple(re.sub(r"\.\w+$", ".*", glob) for glob in one.files))
        for one in copy.exports
    )
    return replace(copy, exports=maps)


def loaded(course: Course) -> Outcome:
    """Load all exports into nothing."""
    known = KnownResponses.empty()
    frames, counts = [], []
    for one in load_exports(settle_terms(course, known), known):
        if one.error:
            raise one.error
        frames += [batch.responses for batch in one.batches()]
        counts.append(one.source_file().iloc[0])
    stored = pd.concat(frames, ignore_index=True).drop(columns=_WHERE)
    sums = pd.DataFrame(counts)[["rows_read", "stored", "duplicates", "rejected"]].sum()
    return Outcome(
        stored.sort_values(["response", "answer"]).reset_index(drop=True),
        tuple(int(one) for one in sums),
    )


def outcomes(course: Course, folder: Path, kinds: Iterable[str]) -> Iterator[tuple[str, Outcome]]:
    """Load the course in each kind of file."""
    exports = list(rewritten(course))
    for kind in kinds:
        yield kind, loaded(in_one_format(course, folder / kind, exports, kind))


def main() -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(place) / "demo"
        if len(sys.argv) < 2:
            write_course(folder)
        course = read_course(folder)
        first: Outcome | None = None
        start, differing = time.perf_counter(), []
        for kind, found in outcomes(course, Path(place) / "copies", WRITERS):
            first = first or found
            same = found.counts == first.counts and found.stored.equals(first.stored)
            differing += [] if same else [kind]
            seconds, start = time.perf_counter() - start, time.perf_counter()
            print(
                f"{kind:10} read, stored, known, rejected {found.counts}  "
                f"{'as plain CSV' if same else 'DIFFERS'}  {seconds:5.1f} s",
                flush=True,
            )
    sys.exit(f"not the same: {', '.join(differing)}" if differing else 0)


if __name__ == "__main__":
    main()
