"""One run at a time in a course folder; the lock falls with its process, killed or not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from pipeline.errors import CourseError

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
        CourseError: there is no such folder, it cannot be written, or the other run did not end
            in time.
    """
    if not path.parent.is_dir():  # the library would make one
        message = f"{path.parent} is not a folder: name a course's, or make one by `lostroot new`."
        raise CourseError(message)
    lock = FileLock(path, mode=0o600)
    try:
        _acquire(lock, waiting, patience)
    except Timeout as error:
        message = (
            f"Another run is at work in {path.parent} for more than {patience:.0f} seconds. "
            "Let it finish, or end it, and run again."
        )
        raise CourseError(message) from error
    except OSError as error:
        message = f"{path.parent} cannot be written ({error.strerror}): check the folder's rights."
        raise CourseError(message) from error
    try:
        yield
    finally:
        lock.release()


def _acquire(lock: FileLock, waiting: Callable[[], None], patience: float) -> None:
    try:
        lock.acquire(blocking=False)
    except Timeout:
        waiting()
        lock.acquire(timeout=patience, poll_interval=_PAUSE)
