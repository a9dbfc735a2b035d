"""Where raw exports still hold a student: file and lines, whatever the column."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest.export_files import export_sources, moved_exports, sources_of
from pipeline.ingest.standard_exports import recognizers
from pipeline.ingest.withheld import holds
from pipeline.student.find import Sought
from pipeline.tables import Source, open_source, plain_text


def export_lines(course: Course, sought: Sought) -> dict[str, list[int]]:
    """Find the rows of all exports, moved ones included, with the student in any cell: by whomever.

    Returns:
        File -> its lines, from 1. A file that cannot be opened has no lines: it has to be looked
        through by hand.
    """
    found: dict[str, list[int]] = {}
    for name, source in (*export_sources(course), *sources_of(course, moved_exports(course))):
        try:
            lines = list(_lines(course, source, sought))
        except InputError:
            found[name] = []
            continue
        if lines:
            found[name] = lines
    return found


def _lines(course: Course, source: Source | InputError, sought: Sought) -> Iterator[int]:
    if isinstance(source, InputError):
        raise source
    table = open_source(source, recognizers(course))
    mine = {sought.normal, *map(sought.keyed.marked, sought.pseudonyms)}

    @cache
    def names(cell: str) -> bool:
        return sought.keyed.normal(cell) in mine or holds(plain_text(cell), sought.normal)

    for sheet in table.sheets or (None,):
        for line, cells in table.rows(sheet):
            if isinstance(cells, list) and any(map(names, cells)):
                yield line
