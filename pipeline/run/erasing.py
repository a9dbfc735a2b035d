"""A database that never held the rows of some students: what `forget` asks, and a run finishes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pandas as pd

from pipeline.course import Course, read_key
from pipeline.ingest import Pseudonyms, read_tombstones
from pipeline.ingest.withheld import names_someone
from pipeline.run.judging import Progress, count_all, judge_answers
from pipeline.run.release import is_released, write_release
from pipeline.run.scores import OF_ANSWERS, count_as_rejected, withhold
from pipeline.warehouse import building, reading

_DERIVED = frozenset(
    {"examined", "candidate", "prediction", "untagged_candidate", "untagged_prediction", "share",
     "pattern", "erased", "counted_from", "judgment"}
)  # fmt: skip
"""Tables that are worked out anew, so that no text that only these students typed stays."""

_REASON = "this student was erased and stays so"
FINISHED = "An erasure that had been interrupted was finished: these answers are gone"


def still_stored(course: Course, database: Path) -> tuple[str, ...]:
    """Pseudonyms of students who have a tombstone and yet are stored: an erasure was killed."""
    keyed = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    stones = read_tombstones(course.folder, keyed)
    if not stones or not database.exists():
        return ()
    with reading(database) as warehouse:
        if not warehouse.holds("store.response"):
            return ()
        students = map(str, warehouse.distinct("store.response", "student"))
        return tuple(one for one in students if keyed.tombstone(keyed.marked(one)) in stones)


def printed_before(course: Course, database: Path) -> pd.DataFrame:
    """What was printed for everyone out of a database that is to be built anew from exports."""
    if not database.exists():
        return pd.DataFrame()
    return _printed(database, still_stored(course, database))


def _printed(database: Path, students: Sequence[str]) -> pd.DataFrame:
    """The same without some students; none where another version printed it."""
    from pipeline.statistics.disclosure import without_students  # heavy, as in `count_all`

    with reading(database) as warehouse:
        name = "store.shared_printed"
        printed = warehouse.frame(name) if warehouse.holds(name) else pd.DataFrame()
        return without_students(printed, students) if "fewest" in printed else pd.DataFrame()


def erase(
    course: Course,
    database: Path,
    students: Sequence[str],
    say: Progress,
    names: Callable[[str], bool] | None = None,
) -> None:
    """Build a fresh file from all rows but some students'; a deleted row would leave its bytes.

    Their tombstones stand. The extract for research is written before the file takes its place,
    so that a kill leaves either all as it was, for the next run to finish, or all done.

    Args:
        course: the course.
        database: its file.
        students: pseudonyms.
        say: told what is being done.
        names: whether a text names one of them; by the tombstones unless given.
    """
    keyed = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    stones = read_tombstones(course.folder, keyed)
    with reading(database) as before:
        mine = before.select("store.response", "student", students)
        keys = [int(key) for key in mine["response"]]
        again = before.select("store.duplicate", "response", keys)
        files = before.frame("store.source_file")
    printed = _printed(database, students)
    with building(database, afresh=True) as warehouse:
        stored = [m for m in warehouse.models.values() if m.schema == "store"]
        # What is put in anew below is not copied first: its bytes would stay in the file.
        kept = [m.name for m in stored if m.table not in {*_DERIVED, "shared_printed"}]
        without: dict[str, tuple[str, Sequence[str | int]]] = {
            "store.response": ("student", students),
            **{f"store.{table}": ("response", keys) for table in OF_ANSWERS},
        }
        warehouse.copy_tables(database, kept, without)
        count_as_rejected(warehouse, files, (mine, again), "student", _REASON)
        if len(printed):
            warehouse.put("store.shared_printed", printed)
        withhold(warehouse, names or (lambda text: names_someone(text, keyed.among(stones))))
        warehouse.put("store.erased", pd.DataFrame({"student": sorted(stones)}, dtype="object"))
        judge_answers(course, warehouse, say, again=True)
        count_all(course, warehouse, say)
        if is_released(course.folder):
            write_release(course, warehouse)
