"""One run at a time in a course folder; the lock falls with its process, killed or not."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from pipeline.errors import CourseError

__all__ = ["PATIENCE", "held"]

PATIENCE = 120.0
"""Seconds that a second run waits for the first."""

_PAUSE = 0.2


@contextmanager
def held(path: Path, waiting: Callable[[], None], patience: float = PATIENCE) -> Iterator[None]:
    """Hold a lock file while the body runs.

    Args:
        path: the lock file; it stays where it is, empty.
        waiting: called once when another run holds it.
        patience: seconds to wait for that run.

    Raises:
        CourseError: the folder cannot be written, or the other run did not end in time.
    """
    try:
        handle = path.open("a+b")
    except OSError as error:
        message = f"{path.parent} cannot be written ({error.strerror}): check the folder's rights."
        raise CourseError(message) from error
    with handle:
        _wait_for(handle, path, waiting, patience)
        try:
            yield
        finally:
            _release(handle)


def _wait_for(handle: IO[bytes], path: Path, waiting: Callable[[], None], patience: float) -> None:
    end = time.monotonic() + patience
    told = False
    while not _acquired(handle):
        if not told:
            waiting()
            told = True
        if time.monotonic() >= end:
            message = (
                f"Another run is at work in {path.parent} for more than {patience:.0f} seconds. "
                "Let it finish, or end it, and run again."
            )
            raise CourseError(message)
        time.sleep(_PAUSE)


if sys.platform == "win32":
    import msvcrt

    def _acquired(handle: IO[bytes]) -> bool:
        try:
            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _release(handle: IO[bytes]) -> None:
        handle.seek(0)
        msvcrt.locking(handle.fileno(), msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _acquired(handle: IO[bytes]) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def _release(handle: IO[bytes]) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
