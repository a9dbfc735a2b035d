"""Seconds and peak memory of loading one large file: `python -m tests.benchmarks.ingest [MB ...]`.

Each size is loaded in a process of its own, twice: as CSV, and packed by gzip. Memory is bounded if
the peak does not grow with the size, but for two keys of eight bytes an answer.
"""

from __future__ import annotations

import gzip
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import IO

from pipeline.course import new_course, read_course
from pipeline.ingest import KnownResponses, load_exports, settle_terms

SIZES = (75, 300)
ITEMS = "item,topic,task,problem\n" + "".join(
    f"q{n},roots,solve,x^2 = {n * n}\n" for n in range(1, 41)
)
TERM = '[[terms]]\nid = "2026"\ntitle = "2026"\nfirst_day = 2026-01-12\nweeks = 15\n'
BLOCK = 20_000


def write_answers(stream: IO[bytes], size: int) -> None:
    """A long file of about so many bytes: students, questions, answers, times."""
    stream.write(b"student,item,answer,answered_at,attempt\n")
    written, row = 0, 0
    while written < size:
        lines = [
            f's{n // 40},q{n % 40 + 1},"x = {n % 97}, x = -{n % 89}",2026-02-03 10:{n % 60:02},1\n'
            for n in range(row, row + BLOCK)
        ]
        data = "".join(lines).encode()
        stream.write(data)
        written, row = written + len(data), row + BLOCK


def load(megabytes: int, ending: str) -> None:
    """Load a file of this size and print what it took."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "course"
        new_course(folder)
        (folder / "items.xlsx").unlink()
        (folder / "items.csv").write_text(ITEMS)
        (folder / "course.toml").write_text(TERM)
        path = folder / "exports" / f"answers{ending}"
        with gzip.open(path, "wb", 1) if ending == ".csv.gz" else path.open("wb") as stream:
            write_answers(stream, megabytes << 20)
        known = KnownResponses.empty()
        start = time.perf_counter()
        course = settle_terms(read_course(folder), known)
        for loaded in load_exports(course, known):
            if loaded.error:
                sys.exit(str(loaded.error))
            for _ in loaded.batches():
                pass
            count = loaded.source_file().iloc[0]
        seconds = time.perf_counter() - start
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{ending:8} {megabytes:5} MB  {count['rows_read']:>10,} rows, all stored: "
            f"{count['stored'] == count['rows_read']}  {seconds:6.1f} s  peak {peak:6,.0f} MB",
            flush=True,
        )


def main() -> None:
    if sys.argv[1:2] == ["load"]:
        load(int(sys.argv[2]), sys.argv[3])
        return
    for size in map(int, sys.argv[1:] or SIZES):
        for ending in (".csv", ".csv.gz"):
            command = [sys.executable, "-m", "tests.benchmarks.ingest", "load", str(size), ending]
            subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
