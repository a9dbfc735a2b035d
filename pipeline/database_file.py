"""The database's file: opened, built beside, put in place."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

import duckdb

from pipeline.errors import CourseError
from pipeline.storage import of_database, of_disk

_BESIDE, _FRESH = ".building", ".fresh"
_BLOCK_BYTES = 65_536
"""A quarter of the usual: most of hundreds of tables are small, and each column takes a block."""
_FOR_ONE_THREAD = 1 << 25
"""A file of fewer bytes has tables that are too small to be parted: a second thread only waits."""


@contextmanager
def opened_for_reading(path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open a finished database.

    Raises:
        CourseError: there is no such file, another program holds it, or it is damaged.
    """
    if not path.exists():
        raise CourseError(f"There is no {path.name} yet. Run the course first: lostroot run DIR")
    with _in_words(path), _connected(path, read_only=True) as connection:
        yield connection


@contextmanager
def kept_open(path: Path) -> Iterator[None]:
    """Open a database once for all that the body reads in it; whoever reads says what is wrong."""
    with ExitStack() as stack:
        with suppress(duckdb.Error):
            if path.is_file():
                stack.enter_context(_connected(path, read_only=True))
        yield


@contextmanager
def opened_beside(path: Path, begin: bytes | None = None) -> Iterator[duckdb.DuckDBPyConnection]:
    """Open a copy beside a database and put it in place when all went well.

    Args:
        path: the database to be; it is not touched before the end.
        begin: what to start from instead of a copy, nothing for an empty one.

    Raises:
        CourseError: the file that stands is damaged, or the disk is full or cannot be written.
    """
    beside = path.with_name(path.name + _BESIDE)
    with _in_words(path), _for_owner():
        try:
            clear_beside(path)
            if begin is None:
                shutil.copyfile(path, beside)
            elif begin:
                beside.write_bytes(begin)
            with _connected(beside, growing=begin is not None) as connection:
                yield connection
                connection.execute("checkpoint")
            if Path(f"{beside}{_FRESH}").exists():
                os.replace(f"{beside}{_FRESH}", beside)
            _settle(beside)
            os.replace(beside, path)
        except BaseException:
            with suppress(OSError):
                clear_beside(path)
            raise
        _settle_name(path)


def leave_no_old_bytes(connection: duckdb.DuckDBPyConnection) -> None:
    """Write a database that `opened_beside` opened anew: freed blocks keep what was replaced."""
    name, path = connection.execute(
        "select database_name, path from duckdb_databases() "
        "where database_name = current_database()"
    ).fetchall()[0]
    quoted = f"{path}{_FRESH}".replace("'", "''")
    connection.execute(f"attach '{quoted}' as fresh (block_size {_BLOCK_BYTES})")
    connection.execute(f'copy from database "{name}" to fresh')
    connection.execute("detach fresh")


def _connected(
    path: Path, *, read_only: bool = False, growing: bool = False
) -> duckdb.DuckDBPyConnection:
    """Open a file; its statements see no variables of the program."""
    config: dict[str, str | bool | int | float | list[str]] = {"python_enable_replacements": False}
    if not read_only:
        config["default_block_size"] = _BLOCK_BYTES
    if not growing and path.stat().st_size < _FOR_ONE_THREAD:
        config["threads"] = 1
    return duckdb.connect(str(path), read_only=read_only, config=config)


@contextmanager
def _for_owner() -> Iterator[None]:
    """Give new files the rights of their owner only."""
    before = os.umask(0o077)
    try:
        yield
    finally:
        os.umask(before)


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    if path.is_dir():
        raise CourseError(
            f"{path.name}: this is a directory, expected the database. Move it away and run again."
        )
    try:
        yield
    except duckdb.Error as error:
        sentence = of_database(str(error), path.name)
        if sentence is None:
            raise
        raise CourseError(sentence) from error
    except OSError as error:
        about = Path(error.filename).name if error.filename else path.name
        sentence = of_disk(error, str(path.with_name(about.removesuffix(_BESIDE))))
        if sentence is None:
            raise
        raise CourseError(sentence) from error


def clear_beside(path: Path) -> None:
    """Take away what a run that was killed, or failed, left beside a database."""
    beside = path.name + _BESIDE
    for ending in ("", ".wal", _FRESH, f"{_FRESH}.wal"):
        path.with_name(beside + ending).unlink(missing_ok=True)
    shutil.rmtree(path.with_name(beside + ".tmp"), ignore_errors=True)


def _settle(path: Path) -> None:
    """Have the bytes on the disk before the name points to them."""
    with path.open("rb+") as handle:
        os.fsync(handle.fileno())


def _settle_name(path: Path) -> None:
    """Have the new name on the disk too, where folders can be synced."""
    if os.name == "nt":
        return
    with suppress(OSError):
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
