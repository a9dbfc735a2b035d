"""The proof that nothing of a student is left: tables by value, files by byte."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pipeline.course import read_course
from pipeline.errors import ExitCode
from pipeline.ingest.withheld import bare, can_be_found, holds
from pipeline.statistics.disclosure import marks_students
from pipeline.student.forget import Forgotten
from pipeline.warehouse import reading

_SHORTEST_ID = 6
"""Shorter ids occur in the bytes of any large file by chance."""

_WRITTEN = ("column ", "reports/", "course.duckdb", "release/")
"""Places that a run writes anew; any other file is the course's own, such as its titles."""
_CHUNK = 1 << 22
_RAW = "exports"


@dataclass(frozen=True, slots=True)
class Proof:
    """What was searched and what was found.

    Args:
        files: files searched, byte for byte.
        columns: columns of text searched, of all tables and views of the database.
        found: places that still hold the student; none when all is well.
        by_id: whether the raw id is long enough to be told from an answer.
        unopened: whether an export could not be opened, so that someone has to.
    """

    files: int
    columns: int
    found: tuple[str, ...]
    by_id: bool
    unopened: bool = False

    @property
    def exit_code(self) -> ExitCode:
        """DONE, or that someone has to look."""
        well = self.by_id and not self.found and not self.unopened
        return ExitCode.DONE if well else ExitCode.NEEDS_A_LOOK

    def lines(self) -> Iterator[str]:
        """Plain lines for a terminal."""
        if not self.found:
            yield (
                f"{'Proved: pseudonym and id' if self.by_id else 'Without proof: pseudonym'} "
                f"searched in all {self.columns:,} text columns of the database and in the bytes "
                f"of {self.files:,} files (there an id of {_SHORTEST_ID} signs or more), the "
                "pseudonym in the marks of what was printed for everyone; none holds them"
            )
        if not self.by_id:
            yield (
                "This id is so short that it may be an answer, so it was neither searched for nor "
                "taken out of what others typed. Look through their answers by hand."
            )
        for place in self.found:
            written = place.startswith(_WRITTEN)
            way_out = "Delete it, or" if written else "It is yours: take the id out of it, and"
            yield f"Still there: {place}. {way_out} run the course again."


def prove_gone(folder: Path, forgotten: Forgotten) -> Proof:
    """Search all that a run writes for a student who was erased.

    Args:
        folder: the course folder.
        forgotten: what `forget_student` returned.
    """
    sought = forgotten.sought
    normal, by_id = sought.normal, can_be_found(sought.normal)
    texts = (*sought.pseudonyms, normal) if len(normal) >= _SHORTEST_ID else sought.pseudonyms
    needles = [text.encode() for text in texts]
    raw = {folder / _RAW, read_course(folder).loaded_folder}
    written = list(_written(folder, raw))
    found = [name for name in written if bytes_hold(folder / name, needles)]
    with reading(folder / "course.duckdb") as warehouse:
        names = partial(holds, student=normal) if by_id else None
        columns = warehouse.holding(sought.pseudonyms, names, bare(normal))
        if marks_students(warehouse.frame("store.shared_printed"), sought.pseudonyms):
            columns.append("store.shared_printed.marks")
        looked = len(warehouse.text_columns())
    places = (*(f"column {one}" for one in columns), *found)
    unopened = not all(forgotten.exports.values())
    return Proof(len(written), looked, places, by_id, unopened)


def _written(folder: Path, raw: set[Path]) -> Iterator[str]:
    """Every file of the course folder but raw exports, which are named apart, and the key."""
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.suffix != ".key" and not raw & set(path.parents):
            yield path.relative_to(folder).as_posix()


def bytes_hold(path: Path, needles: list[bytes]) -> bool:
    """Whether a file, or a part of a zipped one such as a workbook, holds one of some texts."""
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            return any(_hold(archive.read(name), needles) for name in archive.namelist())
    longest = max((len(needle) for needle in needles), default=0)
    before = b""
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            data = before + chunk
            if _hold(data, needles):
                return True
            before = data[-longest:]
    return False


def _hold(data: bytes, needles: list[bytes]) -> bool:
    folded = data.lower()
    return any(needle in data or needle in folded for needle in needles)
