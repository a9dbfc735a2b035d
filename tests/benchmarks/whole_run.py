"""A whole run against what the database alone needs: `python -m tests.benchmarks.whole_run`.

The floor is what DuckDB takes to load the same CSV and to count its distinct pairs of question and
answer, on the same machine in the same minute. Figures are times as long as that floor; compare
them with each other, never with those of another machine.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import duckdb

import reports
from pipeline.run import RunSummary, run_course
from pipeline.warehouse import reading
from synthetic_data import synth
from synthetic_data.benchmark import add_answers

ITEMS = 400
ANSWERS = 200_000
ANSWERS_PER_STUDENT = 40
FLOOR = (
    "create or replace table answer as select * from read_csv(?, header = true, "
    "all_varchar = true, quote = '\"')",
    "select count(*) from (select distinct item, answer from answer)",
)


@dataclass
class Watch:
    """Seconds of each step that a run says it takes."""

    seconds: dict[str, float] = field(default_factory=dict)
    step: str = "start"
    since: float = field(default_factory=time.perf_counter)

    def __call__(self, sentence: str, done: float | None = None) -> None:
        now = time.perf_counter()
        self.seconds[self.step] = self.seconds.get(self.step, 0.0) + now - self.since
        self.step, self.since = sentence.split(maxsplit=1)[0], now

    @property
    def total(self) -> float:
        self("end")
        return sum(self.seconds.values())


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def floor(export: Path, database: Path) -> float:
    """Return the better of two times that the database alone takes."""

    def load() -> None:
        with duckdb.connect(str(database)) as connection:
            for statement in FLOOR:
                connection.execute(statement, [str(export)] if "?" in statement else None)

    return min(timed(load) for _ in range(2))


def run(folder: Path) -> tuple[Watch, float, RunSummary]:
    """Run a course; return the watch, its seconds and the summary."""
    watch = Watch()
    summary = run_course(folder, watch)
    return watch, watch.total, summary


def write_pages(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        for edition in ("own", "shared"):
            reports.write(folder, warehouse, edition=edition)


def explain_once() -> None:
    words = ["explain", "--task", "solve", "--problem", "x^2 = 9", "--answer", "3"]
    command = [sys.executable, "-m", "pipeline.cli", *words]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def megabytes(who: int) -> float:
    """Return the peak memory of this process, or of its largest child."""
    peak = resource.getrusage(who).ru_maxrss
    return peak / (1 << 20 if sys.platform == "darwin" else 1 << 10)


def say(what: str, figure: str, target: str = "") -> None:
    print(f"  {what:<58}{figure:>16}   {target}")


def measure(folder: Path, answers: int) -> None:
    """Write a course, run it three times, and print the figures."""
    students = max(answers // ANSWERS_PER_STUDENT, 50)
    synth(folder, students=students, items=ITEMS, answers=answers)
    least = floor(folder / "exports" / "answers.csv", folder.parent / "floor.duckdb")
    watch, first, summary = run(folder)
    judging = watch.seconds.get("judging", 0.0)
    drawn = timed(lambda: write_pages(folder))
    more = (answers, answers + answers // 100)
    later = folder / "exports" / "later.csv"
    add_answers(later, students=students, items=ITEMS, answers=more)
    _, second, grown = run(folder)
    _, third, idle = run(folder)
    assert (summary.answers, grown.answers) == (answers, more[1])
    assert not idle.changed

    print(f"whole run, {answers:,} answers to {ITEMS} questions; floor {least:.2f} s")
    say("CSV to tables, without judging", f"{(first - judging) / least:.1f} floors", "at most 3")
    read = watch.seconds.get("reading", 0.0)
    say("  of it reading and storing the export", f"{read / least:.1f} floors")
    say("CSV to pages, all", f"{(first + drawn) / least:.1f} floors", "at most 8, better 5")
    say("  of it judging distinct answers", f"{judging:.1f} s")
    say("  of it both editions of the pages", f"{drawn:.1f} s", "at most 10 s")
    say("one percent of new rows, pages aside", f"{second / first:.0%} of first", "at most 15%")
    say("nothing new, pages aside", f"{third / first:.0%} of first")
    own, child = megabytes(resource.RUSAGE_SELF), megabytes(resource.RUSAGE_CHILDREN)
    say("peak memory; of the largest worker", f"{own:.0f}, {child:.0f} MB", "4,096 MB")
    for step, seconds in sorted(watch.seconds.items(), key=lambda pair: -pair[1]):
        say(f"    {step}", f"{seconds:.2f} s")
    explain_once()
    cold = min(timed(explain_once) for _ in range(3))
    say("explain from a cold start", f"{cold:.2f} s", "under 1 s")


def main(answers: int = ANSWERS) -> None:
    """Measure in a folder that goes away again."""
    with tempfile.TemporaryDirectory() as place:
        measure(Path(place) / "course", answers)


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--answers", type=int, default=ANSWERS, help="rows of the first export")
    main(options.parse_args().answers)
