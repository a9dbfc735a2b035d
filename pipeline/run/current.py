"""Whether a run has anything to do: told by reading alone, so that a second run is fast."""

from __future__ import annotations

from pathlib import Path

from pipeline.course import Course
from pipeline.run.load import as_loaded
from pipeline.run.marks import marks_of, must_start_afresh, stored_marks
from pipeline.warehouse import reading


def is_current(course: Course, database: Path) -> bool:
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
