"""Erasing one student: tombstone first, then a database that never held the student's rows.

Raw exports that still hold the student are named, with their lines, whatever the column.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path

from pipeline.course import Course, read_course
from pipeline.errors import InputError, UsageError
from pipeline.ingest import add_tombstones
from pipeline.ingest.export_files import export_sources, moved_exports, sources_of
from pipeline.ingest.standard_exports import recognizers
from pipeline.ingest.withheld import holds
from pipeline.run.conduct import DATABASE, LOCK, held
from pipeline.run.erasing import erase
from pipeline.run.judging import Progress
from pipeline.student.show import STUDENT_PAGE, Sought, refuse_outdated, seek
from pipeline.tables import Source, open_source, plain_text
from pipeline.warehouse import reading


def _export_lines(course: Course, sought: Sought) -> dict[str, list[int]]:
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


BEFORE_FORGETTING = (
    "Erasing cannot be undone. Do not erase while a request to see these records is open, or while "
    "a legal hold, an appeal or an inquiry covers them. Whether and when records may be erased is "
    "for your institution's policy and local law to say, not for this program.",
)
_FEW = 12


@dataclass(frozen=True)
class Forgotten:
    """What was erased, and where raw exports still hold the student.

    Args:
        answers: stored answers erased.
        exports: export -> lines, from 1; none for a file that could not be opened.
        sought: the student, in memory only.
    """

    answers: int
    exports: dict[str, list[int]]
    sought: Sought = field(repr=False)

    def lines(self) -> Iterator[str]:
        """Plain lines for a terminal; no id in them."""
        yield f"Erased: {self.answers:,} stored answers; the pages were written without them"
        if self.exports:
            yield "These exports still hold the student; take the rows out, of backups too:"
        for name, lines in self.exports.items():
            if lines:
                more = f" and {len(lines) - _FEW:,} more" if len(lines) > _FEW else ""
                yield f"  {name}: lines {', '.join(map(str, lines[:_FEW]))}{more}"
            else:
                yield f"  {name}: could not be opened; look through it by hand"
        yield (
            "A tombstone in erased-students.txt keeps these rows out of every later run. Backups, "
            "pages that were passed on, and the system that wrote the exports are yours to clear."
        )


def forget_student(folder: Path, student: str, progress: Progress | None = None) -> Forgotten:
    """Erase a student from a course's database. Whoever calls this writes the pages anew.

    Args:
        folder: the course folder.
        student: the id as typed.
        progress: told what is being done.

    Raises:
        UsageError: neither database nor exports know the student.
        CourseError: the course has to be run first, or another run holds it.
    """
    say = progress or (lambda _sentence, _done: None)
    course = read_course(folder)
    with held(folder / LOCK, lambda: say("waiting for another run to end", None)):
        refuse_outdated(course)
        with reading(folder / DATABASE) as warehouse:
            sought = seek(course, warehouse, student)
            answers = sought.answers(warehouse)
        say("looking through the exports", None)
        exports = _export_lines(course, sought)
        if answers.empty and not any(exports.values()) and not sought.was_erased(course):
            raise UsageError(
                "No stored answer and no export has this id. Check how it is spelled, and whether "
                "the exports use another one, such as a number in place of an e-mail address."
            )
        (folder / STUDENT_PAGE).unlink(missing_ok=True)
        _bury(course, sought)
        database, gone = folder / DATABASE, sought.pseudonyms
        erase(course, database, gone, say, partial(holds, student=sought.normal))
    return Forgotten(len(answers), exports, sought)


def _bury(course: Course, sought: Sought) -> None:
    """Tombstones come first: should the rest be killed, the next run finishes it."""
    marked = (sought.keyed.marked(one) for one in sought.pseudonyms)
    stones = [sought.keyed.tombstone(one) for one in (sought.normal, *marked)]
    stones.append(sought.keyed.stone_as_typed(sought.normal))
    add_tombstones(course.folder, sought.keyed, stones)
