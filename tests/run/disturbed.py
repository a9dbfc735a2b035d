"""Runs that are disturbed, and what a course folder holds after them."""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path

import pandas as pd
import pytest

from pipeline.cli import main
from pipeline.errors import ExitCode
from pipeline.run import judging
from pipeline.warehouse import Warehouse, reading
from reports import figures
from tests.student.small_course import FALL, export_text

DATABASE = "course.duckdb"
FORKED = multiprocessing.get_context("forkserver")
FORKED.set_forkserver_preload([
    __name__, "pipeline.run", "pipeline.run.discover", "pipeline.statistics.compute",
    "scipy.stats", "statsmodels.stats.proportion", "reports.everyone", "reports.export",
    "reports.render", "reports.word_file", "xlsxwriter",
])  # fmt: skip
"""Processes that need not import what a run imports, as late as it may."""

HISTORY = (
    "rejected", "duplicate", "source_file", "note", "loads", "counted_from", "shared_printed",
)  # fmt: skip
"""Tables that tell how the rows came in or what was printed when, so that they differ between
histories; so does `exports`,
the fingerprint of all loads."""


def tables(folder: Path) -> dict[str, pd.DataFrame]:
    """Every table of the database that is stored or shown; when a load took place is left out."""
    with reading(folder / DATABASE) as warehouse:
        names = [m.name for m in warehouse.models.values() if m.schema in {"main", "store"}]
        frames = {name: warehouse.frame(name) for name in names}
    return {
        name: frame.drop(columns=[c for c in ("loaded_at",) if c in frame])
        for name, frame in frames.items()
    }


def assert_same(
    first: dict[str, pd.DataFrame], second: dict[str, pd.DataFrame], *, history: bool = True
) -> None:
    assert first.keys() == second.keys()
    for name, frame in first.items():
        if history or not name.endswith(HISTORY):
            left = [] if history else [one for one in ("exports",) if one in frame]
            pd.testing.assert_frame_equal(
                frame.drop(columns=left), second[name].drop(columns=left), obj=name
            )


def broken_promises(folder: Path) -> list[str]:
    with reading(folder / DATABASE) as warehouse:
        return warehouse.check()


def pages(folder: Path) -> dict[str, bytes]:
    """Page -> its bytes, of both editions."""
    found = sorted((folder / "reports").glob("[a-z]*/*.html"))
    return {str(path.relative_to(folder)): path.read_bytes() for path in found}


def run_with_pages(folder: Path) -> None:
    """The command `run`, without the pictures, which take longest."""
    drawn, figures.export_figures = figures.export_figures, lambda *_: None
    try:
        assert main(["run", str(folder)]) == ExitCode.DONE
    finally:
        figures.export_figures = drawn


@contextmanager
def without_figures() -> Iterator[None]:
    """Runs in the body store, judge and keep all promises; what is wrong stays unexplained.

    For tests of what is stored or judged: figures take half of a run. Decorates a test, too.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judging, "work_out_figures", _left_unexplained)
        yield


def _left_unexplained(warehouse: Warehouse, _: object) -> None:
    for name, model in warehouse.models.items():
        if model.is_filled and model.schema != "store":
            warehouse.put(name, pd.DataFrame())
    wrong = warehouse.frame("staging.wrong_value")
    shares = wrong.loc[~wrong["if_meant"], ["term", "setting", "topic", "examined"]]
    warehouse.put("store.share", shares.assign(pattern="unexplained", share=1.0))
    warehouse.put("store.counted_from", pd.DataFrame())


def _told(folder: Path, told: Connection, killed_after: float) -> None:
    told.send("ready")
    start = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, killed_after)
    run_with_pages(folder)
    told.send(time.process_time() - start)


def seconds_of_run(folder: Path) -> float:
    """Seconds of CPU that a run takes which nobody disturbs."""
    with _started(folder, 0.0) as (process, told):
        seconds: float = told.recv()
        process.join()
    assert process.exitcode == 0
    return seconds


@contextmanager
def running(folder: Path, killed_after: float = 0.0) -> Iterator[BaseProcess]:
    """A run in a process of its own; the body begins when all is imported.

    Args:
        folder: the course.
        killed_after: seconds of its own CPU after which the kernel ends it (SIGPROF), whatever it
            is at and however busy the machine is; 0 for never.
    """
    with _started(folder, killed_after) as (process, _):
        yield process


@contextmanager
def _started(folder: Path, killed_after: float) -> Iterator[tuple[BaseProcess, Connection]]:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([__name__, "pipeline.run", "reports"])
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=_told, args=(folder, there, killed_after))
    process.start()
    there.close()
    try:
        here.recv()
        yield process, here
    finally:
        process.kill()
        process.join()
        here.close()


def add_fall(folder: Path) -> None:
    (folder / "exports" / "fall.csv").write_text(export_text(FALL), encoding="utf-8")
