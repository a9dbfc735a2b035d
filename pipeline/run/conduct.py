"""The conductor: ingest, judge, attribute, count, publish.

Whether there is anything to do is told by reading alone, so that a second run is fast.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path

import pandas as pd
from filelock import FileLock, Timeout

from pipeline.course import Course, read_course
from pipeline.database_file import clear_beside, kept_open
from pipeline.errors import CourseError
from pipeline.run.after_load import discard, move_loaded, put_in_place
from pipeline.run.course_frames import course_frames
from pipeline.run.erasing import FINISHED, erase, printed_before, still_stored
from pipeline.run.judging import Progress, count_all, judge_answers, mark_following
from pipeline.run.load import (
    Loads,
    as_loaded,
    hold_questions,
    load_course,
    settle_stored,
    stored_files,
)
from pipeline.run.news import moved, tagged_before, tagged_now
from pipeline.run.read_again import vanished_of
from pipeline.run.release import is_released, write_release
from pipeline.run.rules import (
    Marks,
    earlier_answers,
    marks_of,
    must_start_afresh,
    stored_marks,
)
from pipeline.run.summary import RunSummary, summarize, unread_questions
from pipeline.run.versions import with_removed
from pipeline.warehouse import Warehouse, building, reading

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


def _is_current(course: Course, database: Path) -> bool:
    """Whether a database holds every export as it is, by the settings and rules of today.

    Args:
        course: as read from its folder.
        database: the file; it is only read.

    Raises:
        CourseError: as `must_start_afresh`.
    """
    if must_start_afresh(course, database):
        return False
    with reading(database) as warehouse:
        now = as_loaded(course, warehouse)
        return now is not None and stored_marks(warehouse) == marks_of(now, warehouse)


DATABASE = "course.duckdb"
LOCK = ".run.lock"


class _NothingNew(Exception):
    """The database holds all there is."""


def run_course(folder: Path, progress: Progress | None = None) -> RunSummary:
    """Bring a course's database up to date with its folder.

    Args:
        folder: the course folder.
        progress: told what is being done, and how much of it is done, 0 to 1 or None.

    Returns:
        What was done; its lines fill one screen.

    Raises:
        CourseError: the folder cannot be used, another run holds it, or the key is another one.
        InputError: an input file cannot be read at all.
    """
    say = progress or (lambda _sentence, _done: None)
    course = read_course(folder)
    database = folder / DATABASE
    with held(folder / LOCK, lambda: say("waiting for another run to end", None)):
        say("opening the database", None)
        clear_beside(database)
        listed, loads = course, Loads()
        with kept_open(database):
            course, removed = with_removed(course, database)
            gone = still_stored(course, database)
            changed = bool(gone) or not _is_current(course, database)
        if gone:
            if not must_start_afresh(course, database):
                erase(course, database, gone, say)
                loads.warnings.append(FINISHED)
            changed = not _is_current(course, database)
        if changed:
            try:
                _build(course, database, say, loads)
            except _NothingNew:
                changed = False
        with reading(database) as warehouse:
            if course.privacy.after_load == "move":
                loads.warnings += move_loaded(course, stored_files(warehouse))
            changed |= bool(gone)
            released = is_released(folder)
            if (released and gone) or (course.privacy.release and (changed or not released)):
                write_release(course, warehouse)
            loads.warnings += (*removed, *course.unfinished)
            summary = summarize(warehouse, database, loads, changed=changed)
            unread = unread_questions(warehouse, listed)
            return replace(summary, tags_left_out=course.tags_left_out, unread=unread)


def _build(course: Course, database: Path, say: Progress, loads: Loads) -> None:
    try:
        _publish(course, database, say, loads)
    finally:
        discard(loads.copies)


def _publish(course: Course, database: Path, say: Progress, loads: Loads) -> None:
    """Build the database; only when it is in place may raw exports give way."""
    with kept_open(database):
        afresh = must_start_afresh(course, database)
        earlier = earlier_answers(database) if afresh else None
        vanished = vanished_of(course, database) if afresh else None
        printed = printed_before(course, database) if afresh else None
        before = tagged_before(database)
    with building(database, afresh=afresh) as warehouse:
        course = load_course(course, warehouse, loads, lambda sentence: say(sentence, None))
        if printed is not None:
            warehouse.put("store.shared_printed", printed)
        if vanished is not None:
            vanished.keep(warehouse, partial(_as_of_today, course))
        old, new = stored_marks(warehouse), marks_of(course, warehouse)
        if old == new and not loads.files:
            raise _NothingNew
        if old is not None and old.inputs == new.inputs:
            warehouse.keep_shapes()
        if old is not None and old.items != new.items:
            loads.warnings += settle_stored(course, warehouse)
        elif earlier is not None and len(earlier):
            loads.warnings += hold_questions(course, earlier)[1]
        _put_course(course, warehouse, new)
        judge_answers(course, warehouse, say, again=old is None or old.program != new.program)
        mark_following(course, warehouse)
        count_all(course, warehouse, say)
        loads.moved += moved(before, tagged_now(warehouse))
        if loads.withheld:
            warehouse.leave_no_old_bytes()
    loads.warnings += put_in_place(loads.copies)


def _as_of_today(course: Course, stored: pd.DataFrame) -> pd.DataFrame:
    return hold_questions(course, stored)[0]


def _put_course(course: Course, warehouse: Warehouse, marks: Marks) -> None:
    for name, frame in course_frames(course).items():
        warehouse.put(name, frame)
    row = {
        "title": course.title,
        "minimum_students": course.privacy.limit,
        "shared_weeks": course.privacy.shared_weeks,
        "declared_terms": course.declared_terms,
        "margin": course.margin,
        "time_zone": str(course.time_zone),
        "key_fingerprint": course.key_fingerprint,
        **asdict(marks),
    }
    warehouse.put("store.course", pd.DataFrame([row]))
