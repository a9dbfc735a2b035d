"""Erasing one student: tombstone first, then a database that never held the student's rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from pipeline.course import Course, read_course
from pipeline.errors import UsageError
from pipeline.ingest import add_tombstones
from pipeline.ingest.withheld import names_its_student
from pipeline.run.conduct import DATABASE, LOCK, count_all, judge_answers
from pipeline.run.lock import held
from pipeline.run.release import is_released, write_release
from pipeline.run.taken_out import OF_ANSWERS, count_as_rejected, withhold
from pipeline.statistics.disclosure import without_students
from pipeline.student.find import Sought, refuse_outdated, seek
from pipeline.student.show import STUDENT_PAGE
from pipeline.student.traces import export_lines
from pipeline.warehouse import building, reading

__all__ = ["BEFORE_FORGETTING", "Forgotten", "forget_student"]

BEFORE_FORGETTING = (
    "Erasing cannot be undone. Do not erase while a request to see these records is open, or while "
    "a legal hold, an appeal or an inquiry covers them. Whether and when records may be erased is "
    "for your institution's policy and local law to say, not for this program.",
)
_DERIVED = frozenset(
    {"examined", "candidate", "prediction", "untagged_candidate", "untagged_prediction", "share",
     "pattern", "erased", "counted_from"}
)  # fmt: skip
"""Tables that are worked out anew, so that no text that only this student typed stays."""

_REASON = "this student was erased and stays so"
_FEW = 12

Progress = Callable[[str, float | None], None]


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
        exports = export_lines(course, sought)
        if answers.empty and not any(exports.values()) and not sought.was_erased(course):
            raise UsageError(
                "No stored answer and no export has this id. Check how it is spelled, and whether "
                "the exports use another one, such as a number in place of an e-mail address."
            )
        _rebuild(course, sought, _bury(course, sought), say)
        if is_released(folder):
            with reading(folder / DATABASE) as warehouse:
                write_release(course, warehouse)
        (folder / STUDENT_PAGE).unlink(missing_ok=True)
    return Forgotten(len(answers), exports, sought)


def _bury(course: Course, sought: Sought) -> frozenset[str]:
    """Tombstones come first: should the rest be killed, no load brings the student back."""
    marked = (sought.keyed.marked(one) for one in sought.pseudonyms)
    stones = [sought.keyed.tombstone(one) for one in (sought.normal, *marked)]
    return add_tombstones(course.folder, sought.keyed, stones)


def _rebuild(course: Course, sought: Sought, stones: frozenset[str], say: Progress) -> None:
    """Build a fresh file from all rows but the student's; a deleted row would leave its bytes."""
    database = course.folder / DATABASE
    with reading(database) as before:
        mine = before.select("store.response", "student", sought.pseudonyms)
        keys = [int(key) for key in mine["response"]]
        again = before.select("store.duplicate", "response", keys)
        files = before.frame("store.source_file")
    with building(database, afresh=True) as warehouse:
        warehouse.create("store", "computed")
        stored = [m for m in warehouse.models.values() if m.schema == "store"]
        kept = [m.name for m in stored if m.table not in _DERIVED]
        without: dict[str, tuple[str, Sequence[str | int]]] = {
            "store.response": ("student", sought.pseudonyms),
            **{f"store.{table}": ("response", keys) for table in OF_ANSWERS},
        }
        warehouse.copy_tables(database, kept, without)
        count_as_rejected(warehouse, files, (mine, again), "student", _REASON)
        printed = without_students(warehouse.frame("store.shared_printed"), sought.pseudonyms)
        warehouse.put("store.shared_printed", printed)
        withhold(warehouse, lambda text: names_its_student(text, sought.normal))
        warehouse.put("store.erased", pd.DataFrame({"student": sorted(stones)}, dtype="object"))
        judge_answers(course, warehouse, say, again=True)
        count_all(course, warehouse, say)
