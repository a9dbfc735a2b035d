"""A full disk, a read-only folder, a damaged or held or older database: said clearly, nothing lost.

The tests may run as root, who passes over permission bits, so refusals are put in by hand; a disk
that fills up under the database library is a real limit on the size of a file.
"""

from __future__ import annotations

import errno
import os
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import pytest

from pipeline import database_file
from pipeline.cli import main
from pipeline.errors import CourseError, ExitCode
from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.run.disturbed import (
    DATABASE,
    add_fall,
    assert_same,
    pages,
    tables,
    without_figures,
)

pytestmark = pytest.mark.thorough


@pytest.fixture(scope="module", autouse=True)
def _stored_alone(with_pages: Path) -> Iterator[None]:
    """From here on; the course of all tests has its figures."""
    with without_figures():
        yield


@pytest.fixture
def course(with_pages: Path, tmp_path: Path) -> Path:
    """A course that ran, a new export waiting."""
    shutil.copytree(with_pages, tmp_path / "course")
    add_fall(tmp_path / "course")
    return tmp_path / "course"


@pytest.fixture(scope="module")
def loaded(with_pages: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = shutil.copytree(with_pages, tmp_path_factory.mktemp("loaded") / "course")
    add_fall(folder)
    run_course(folder)
    return folder


@pytest.fixture
def complete(loaded: Path, tmp_path: Path) -> Path:
    """A course whose exports are all in the database."""
    return shutil.copytree(loaded, tmp_path / "complete")


@contextmanager
def nothing_lost(folder: Path) -> Iterator[None]:
    """The body changes neither database nor pages nor exports, and leaves nothing beside them."""
    before = state(folder)
    yield
    assert state(folder) == before
    assert not list(folder.glob(f"{DATABASE}?*"))


def state(folder: Path) -> dict[str, bytes]:
    exports = {path.name: path.read_bytes() for path in (folder / "exports").iterdir()}
    return {DATABASE: (folder / DATABASE).read_bytes(), **pages(folder), **exports}


def refuse(number: int) -> Callable[..., None]:
    def refused(*arguments: object, **_: object) -> None:
        raise OSError(number, os.strerror(number), str(arguments[-1]))

    return refused


@pytest.mark.parametrize("step", ["shutil.copyfile", "os.fsync", "os.replace"])
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "the disk is full. Make room and run again"),
        (errno.EROFS, "cannot be written (Read-only file system)"),
        (errno.EACCES, "cannot be written (Permission denied)"),
    ],
)
def test_each_step_of_the_swap_may_be_refused(
    course: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    step: str,
    number: int,
    words: str,
) -> None:
    with nothing_lost(course), monkeypatch.context() as patch:
        module, name = step.split(".")
        patch.setattr(getattr(database_file, module), name, refuse(number))
        code = main(["run", str(course)])
    said = capsys.readouterr().err

    assert code == ExitCode.WRONG_USE
    assert said.count("\n") == 1
    assert words in said
    assert "What was there before is as it was" in said


def test_a_disk_that_fills_up_while_the_database_grows(course: Path) -> None:
    """Writes past the limit are refused by the system, as `setrlimit` of POSIX.1-2017 says."""
    size = (course / DATABASE).stat().st_size + 200_000

    def limited() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    command = [sys.executable, "-m", "pipeline.cli", "run", str(course)]
    with nothing_lost(course):
        ended = subprocess.run(
            command, preexec_fn=limited, capture_output=True, text=True, check=False
        )

    assert ended.returncode == ExitCode.WRONG_USE, ended.stderr
    assert "the disk is full" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert run_course(course).answers == 72


def test_a_folder_that_cannot_be_written_is_named(
    course: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    opened = Path.open

    def read_only(path: Path, mode: str = "r", *more: object, **named: object) -> object:
        if set(mode) & set("wax+") and course in path.parents:
            raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(path))
        return opened(path, mode, *more, **named)  # type: ignore[call-overload]

    with nothing_lost(course), monkeypatch.context() as patch:
        patch.setattr(Path, "open", read_only)
        code = main(["run", str(course)])
    said = capsys.readouterr().err

    assert code == ExitCode.WRONG_USE
    assert str(course) in said
    assert "Read-only file system" in said


def cut(content: bytes) -> bytes:
    return content[: len(content) // 2]


def flip(content: bytes) -> bytes:
    """Change one bit in every 4,096 bytes behind the headers."""
    changed = bytearray(content)
    for place in range(3 * 4096 + 100, len(changed), 4096):
        changed[place] ^= 1
    return bytes(changed)


def empty(_: bytes) -> bytes:
    return b""


def other(_: bytes) -> bytes:
    return b"an unfinished letter\n" * 1000


@pytest.mark.parametrize("damage", [cut, flip, empty, other])
def test_a_damaged_database_is_reported_and_built_anew_from_the_exports(
    complete: Path, capsys: pytest.CaptureFixture[str], damage: Callable[[bytes], bytes]
) -> None:
    good = tables(complete)
    database = complete / DATABASE
    database.write_bytes(damage(database.read_bytes()))
    with nothing_lost(complete):
        code = main(["run", str(complete)])
    said = capsys.readouterr().err

    assert code == ExitCode.WRONG_USE
    assert f"{DATABASE} is damaged" in said
    assert "move it away and run again" in said
    database.rename(complete.parent / "damaged")
    run_course(complete)
    assert_same(good, tables(complete))


def test_a_database_that_another_program_holds_is_named(course: Path) -> None:
    program = (
        "import duckdb, sys; held = duckdb.connect(sys.argv[1]); print('held', flush=True);"
        " sys.stdin.read()"
    )
    command = [sys.executable, "-c", program, str(course / DATABASE)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        holder.stdout.readline()
        with pytest.raises(CourseError, match=r"held open by another program\. Close that"):
            run_course(course)
        holder.communicate()

    assert run_course(course).answers == 72


def change(folder: Path, *statements: str) -> None:
    with duckdb.connect(str(folder / DATABASE)) as connection:
        for statement in statements:
            connection.execute(statement)


OLDER = {
    "another layout": ["update store.course set layout = 'older'"],
    "a column less": ["alter table store.course drop column layout"],
    "tables less": [
        "alter table store.response drop column slot",
        "update store.course set layout = 'older'",
        "drop table staging.tag_total",
        "drop table store.note",
    ],
}


@pytest.mark.parametrize("statements", OLDER.values(), ids=OLDER)
def test_a_database_of_an_older_version_is_migrated(complete: Path, statements: list[str]) -> None:
    now = tables(complete)
    change(complete, *statements)
    assert run_course(complete).changed

    assert_same(now, tables(complete))


@pytest.mark.parametrize("statements", OLDER.values(), ids=OLDER)
def test_an_older_database_whose_exports_are_gone_is_refused(
    complete: Path, statements: list[str]
) -> None:
    change(complete, *statements)
    (complete / "exports" / "spring.csv").unlink()

    with (
        nothing_lost(complete),
        pytest.raises(CourseError, match=r"no longer there: exports/spring.csv.*Put them back"),
    ):
        run_course(complete)


def test_a_database_that_is_not_ours_is_never_replaced(course: Path) -> None:
    (course / DATABASE).unlink()
    change(course, "create table recipes as select 'soup' as dish")

    with (
        nothing_lost(course),
        pytest.raises(CourseError, match=r"is no database of this program.*Move it away"),
    ):
        run_course(course)


def test_a_database_of_a_later_library_is_refused(course: Path) -> None:
    """The words of DuckDB 2.0 for a file that it is too old to read."""
    message = (
        "IO Error: Trying to read a database file with version number 999, but we can only read "
        "versions between 64 and 67."
    )
    sentence = database_file.of_database(message, DATABASE)

    assert sentence is not None
    assert "another version of the database library" in sentence
    assert "Install the newest lostroot" in sentence


def test_an_error_of_our_own_is_not_laid_to_the_file() -> None:
    assert database_file.of_database("Catalog Error: Table nope does not exist!", DATABASE) is None
    assert database_file.of_disk(FileNotFoundError(errno.ENOENT, "no such file"), "x") is None


def test_a_run_that_was_refused_goes_through_later(
    course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(database_file.os, "replace", refuse(errno.ENOSPC))
        with pytest.raises(CourseError):
            run_course(course)
    run_course(course)
    with reading(course / DATABASE) as warehouse:
        loads = warehouse.frame("store.source_file")

    assert list(loads["stored"]) == [36, 36]
