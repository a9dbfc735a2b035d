"""No row is lost or doubled, whatever the order of runs, kills, renamed and grown exports."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from unittest import mock

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline import database_file
from pipeline.course import read_course
from pipeline.run import conduct, load
from pipeline.run.load import Loads, load_course
from pipeline.warehouse import Warehouse, building, reading
from tests.run.disturbed import FORKED
from tests.student.small_course import ITEMS, RIGHT, SETTINGS, SPRING, small_course

pytestmark = pytest.mark.thorough

STUDENTS = tuple(f"s{number:02d}@larkfield.example" for number in range(6))
HEADER = "student,item,answer,answered_at\n"
ROWS = tuple(
    f'{student},{item},"{RIGHT[item]}",{SPRING}\n' for student in STUDENTS for item in ITEMS
)
BROKEN = (f"{STUDENTS[0]},sq-1,7,soon\n", f",sq-1,7,{SPRING}\n")
"""A date that is none, and a row without a student: rejected, always."""

HOOKS = {
    "while the copy is made": (database_file.shutil, "copyfile"),
    "after a file's rows were drawn": (load, "with_derived_keys"),
    "while rows are written": (Warehouse, "put"),
    "before the bytes are settled": (database_file, "_settle"),
    "before the swap": (database_file.os, "replace"),
}


class Killed(BaseException):
    """Stands for a kill: nothing catches it."""


def stop() -> None:
    raise Killed


def kill() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@contextmanager
def killed_at(hook: str, after: int, die: Callable[[], None]) -> Iterator[None]:
    """Let the body die when it has passed a place some times."""
    owner, name = HOOKS[hook]
    original, left = getattr(owner, name), [after]

    def passing(*arguments: object, **named: object) -> object:
        if not left[0]:
            die()
        left[0] -= 1
        return original(*arguments, **named)

    with mock.patch.object(owner, name, passing):
        yield


def bring_in(folder: Path) -> Loads:
    """The part of a run that takes in rows, from the lock to the swap."""
    loads = Loads()
    course = read_course(folder)
    with building(folder / conduct.DATABASE) as warehouse:
        load_course(course, warehouse, loads, lambda _: None)
    return loads


@dataclass
class History:
    """A folder and what was put into it.

    Args:
        rows: export -> its lines.
    """

    folder: Path
    rows: dict[str, list[str]] = field(default_factory=dict)
    names: int = 0

    def write(self, name: str) -> None:
        text = HEADER + "".join(self.rows[name])
        (self.folder / "exports" / name).write_text(text, encoding="utf-8")

    def add(self, rows: list[str]) -> None:
        self.names += 1
        self.rows[f"export-{self.names}.csv"] = list(rows)
        self.write(f"export-{self.names}.csv")

    def grow(self, which: int, rows: list[str]) -> None:
        if self.rows:
            name = sorted(self.rows)[which % len(self.rows)]
            self.rows[name] += rows
            self.write(name)

    def rename(self, which: int) -> None:
        if self.rows:
            name = sorted(self.rows)[which % len(self.rows)]
            self.names += 1
            self.rows[f"export-{self.names}.csv"] = self.rows.pop(name)
            (self.folder / "exports" / name).rename(
                self.folder / "exports" / f"export-{self.names}.csv"
            )

    def run(self) -> None:
        bring_in(self.folder)

    def kill(self, hook: str, after: int) -> None:
        before = stored(self.folder)
        with killed_at(hook, after, stop):
            try:
                bring_in(self.folder)
            except Killed:
                assert stored(self.folder) == before
        self.check()

    def check(self) -> None:
        """Every row read is stored, known or rejected, and stored once."""
        if not (self.folder / conduct.DATABASE).exists():
            return
        with reading(self.folder / conduct.DATABASE) as warehouse:
            loads = warehouse.frame("store.source_file")
            responses = warehouse.frame("store.response")
            rejected = warehouse.frame("store.rejected")
            known = warehouse.frame("store.duplicate")
        parts = loads[["stored", "duplicates", "rejected"]].sum(axis=1)
        assert (loads["rows_read"] == parts).all()
        assert loads["stored"].sum() == len(responses)
        assert responses["response"].is_unique
        assert_accounted(loads, responses, rejected, known)


def assert_accounted(
    loads: pd.DataFrame, responses: pd.DataFrame, rejected: pd.DataFrame, known: pd.DataFrame
) -> None:
    """Of each file's latest load every line has one place."""
    latest = loads.sort_values("loaded_at").groupby("file").last()
    for name, row in latest.iterrows():
        of_file = [frame[frame["file"] == name]["line"] for frame in (responses, rejected, known)]
        lines = Counter(int(line) for frame in of_file[1:] for line in frame)
        lines.update({int(line) for line in of_file[0]} - set(lines))
        assert sum(lines.values()) == row["rows_read"]
        assert set(lines.values()) <= {1}


def stored(folder: Path) -> bytes:
    path = folder / conduct.DATABASE
    return path.read_bytes() if path.exists() else b""


ROW_LISTS = st.lists(st.sampled_from(ROWS + BROKEN), max_size=8)
EVENTS = st.one_of(
    st.tuples(st.just("add"), ROW_LISTS),
    st.tuples(st.just("grow"), st.integers(0, 9), ROW_LISTS),
    st.tuples(st.just("rename"), st.integers(0, 9)),
    st.tuples(st.just("run")),
    st.tuples(st.just("kill"), st.sampled_from(sorted(HOOKS)), st.integers(0, 5)),
)


@pytest.fixture(scope="module")
def empty_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = small_course(tmp_path_factory.mktemp("interleaved") / "course")
    (folder / "exports" / "spring.csv").unlink()
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    return folder


@settings(
    max_examples=50,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(events=st.lists(EVENTS, min_size=2, max_size=6))
def test_rows_are_neither_lost_nor_doubled(
    empty_course: Path, events: list[tuple[str, object]]
) -> None:
    with tempfile.TemporaryDirectory(dir=empty_course.parent) as place:
        history = History(Path(place) / "course")
        shutil.copytree(empty_course, history.folder)
        for name, *details in events:
            getattr(history, name)(*details)
        history.run()
        history.check()
        assert_everything_is_stored(history)


def assert_everything_is_stored(history: History) -> None:
    """Each good row of the exports is in the database once, and no other."""
    with reading(history.folder / conduct.DATABASE) as warehouse:
        responses = warehouse.frame("store.response")
        rejected = warehouse.frame("store.rejected")
    good = {row for rows in history.rows.values() for row in rows if row in ROWS}
    bad = sum(row in BROKEN for rows in history.rows.values() for row in rows)
    now = rejected["file"].isin([f"exports/{name}" for name in history.rows])

    assert len(responses) == len(good)
    assert responses.groupby(["student", "item"]).size().eq(1).all()
    assert int(now.sum()) == bad


def _bring_in_and_die(folder: Path, hook: str) -> None:
    with killed_at(hook, 1 if hook == "while rows are written" else 0, kill):
        bring_in(folder)


@pytest.mark.parametrize("hook", sorted(HOOKS))
def test_a_real_kill_loses_nothing_either(empty_course: Path, tmp_path: Path, hook: str) -> None:
    """The process is gone before it can tidy up behind itself."""
    history = History(tmp_path / "course")
    shutil.copytree(empty_course, history.folder)
    history.add([*ROWS[:5], BROKEN[0]])
    history.run()
    history.add([*ROWS[3:9], BROKEN[1]])
    before = stored(history.folder)
    process = FORKED.Process(target=_bring_in_and_die, args=(history.folder, hook))
    process.start()
    process.join()

    assert process.exitcode == -signal.SIGKILL
    assert stored(history.folder) == before
    history.run()
    history.check()
    assert_everything_is_stored(history)
