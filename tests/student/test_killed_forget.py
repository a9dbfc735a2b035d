"""An erasure that is killed at any step: the next run finishes it, and nothing of it is left."""

from __future__ import annotations

import io
import shutil
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

import reports
from pipeline.cli import main
from pipeline.course import read_course
from pipeline.errors import ExitCode
from pipeline.student import prove_gone
from pipeline.student.forget import Forgotten
from pipeline.student.prove import bytes_hold
from pipeline.student.show import seek
from pipeline.warehouse import reading
from reports import editions
from tests.student.small_course import IDS, MAILS, SPRING, export_text, small_course

pytestmark = pytest.mark.thorough

GONE = MAILS[1]
HOME = "jane.roe@home.example"
OWN_WORDS = "student,item,answer,answered_at,setting\n" + "".join(
    f"{student},lin-1,{3 + place % 3},2026-02-05T15:00Z,asked {HOME}\n"
    for place, student in enumerate(IDS)
)
"""A setting in an export's own words, which names a person."""
STEPS = {
    "before the database": "pipeline.student.forget.erase",
    "before kept editions": "reports.withdraw_shared",
    "among kept editions": "reports.editions.shutil.rmtree",
    "before it is noted": "reports.editions.fingerprint",
    "before the pages": "reports.write",
}


class Killed(BaseException):
    """Stands for SIGKILL: nothing handles it."""


def killed(*_: object, **__: object) -> None:
    raise Killed


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course with its pages, two kept editions for everyone and half a copy of a third."""
    folder = small_course(
        tmp_path_factory.mktemp("small") / "course",
        "[privacy]\nshared_every = 'week'\nrelease = true\nlimit = 3\n",
        {"a.csv": export_text(SPRING) + f"{MAILS[0]},,sq-1,by {GONE},2026-02-04T15:00Z,A\n",
         "b.csv": OWN_WORDS},
    )  # fmt: skip
    assert main(["run", str(folder)]) == ExitCode.DONE
    kept = folder / "reports" / "kept"
    for name in ("2026-02-08-shared", ".2026-02-15-shared"):
        shutil.copytree(folder / "reports" / "shared", kept / name)
    return folder


def left(folder: Path) -> tuple[str, ...]:
    """Places that still hold the student."""
    course = read_course(folder)
    with reading(folder / "course.duckdb") as warehouse:
        sought = seek(course, warehouse, GONE)
    return prove_gone(folder, Forgotten(0, {}, sought)).found


def holding(folder: Path, text: str) -> list[str]:
    """Files that hold a text, raw exports apart; workbooks are unpacked."""
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return [
        path.name
        for path in files
        if folder / "exports" not in path.parents and bytes_hold(path, [text.encode()])
    ]


def forget(folder: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{GONE}\n{GONE}\n"))
    return main(["forget", str(folder)])


@pytest.fixture(autouse=True)
def without_pictures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: ())


@pytest.mark.parametrize("step", STEPS)
def test_the_next_run_finishes_what_was_killed(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    folder = tmp_path / "course"
    shutil.copytree(ran, folder)
    with monkeypatch.context() as patched:
        patched.setattr(STEPS[step], _second(killed) if "among" in step else killed)
        with pytest.raises(Killed):
            forget(folder, monkeypatch)
    assert main(["run", str(folder)]) == ExitCode.DONE

    assert holding(folder, HOME) == []
    names = sorted(path.name for path in (folder / "reports" / "kept").glob("*shared*"))
    assert left(folder) == ()
    assert names == [f"{date.today()}-shared"]
    with reading(folder / "course.duckdb") as warehouse:
        assert warehouse.check() == []
        assert len(warehouse.distinct("store.response", "student")) == len(IDS) - 1


def _second(stop: Callable[[], None]) -> Callable[..., None]:
    """The first of what is removed is removed; then the program is killed."""
    remove, calls = shutil.rmtree, []

    def removed(path: Path, **options: bool) -> None:
        calls.append(path)
        if len(calls) > 1:
            stop()
        remove(path, **options)

    return removed


def test_a_setting_in_an_exports_own_words_is_in_no_file(ran: Path) -> None:
    """It reached CSV, XLSX and HTML of both editions, and survived an erasure."""
    assert {"own", "shared", "kept"} <= {path.name for path in (ran / "reports").iterdir()}
    assert holding(ran, HOME) == []
    assert "another setting" in (ran / "reports" / "own" / "tables" / "headline.csv").read_text()


def test_who_is_there_is_found(ran: Path) -> None:
    assert {"column store.response.student", "store.shared_printed.marks"} & set(left(ran))


def test_editions_that_count_nobody_erased_stay(ran: Path, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(ran, folder)
    with reading(folder / "course.duckdb") as warehouse:
        assert reports.withdraw_shared(folder / "reports", warehouse) == ()
    assert (folder / "reports" / "kept" / "2026-02-08-shared").exists()
    assert not (folder / "reports" / "kept" / editions.ERASED).exists()
