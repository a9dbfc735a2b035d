"""Exports into batches for the database: every row stored, a known duplicate, or rejected."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.course import Course, read_key
from pipeline.errors import InputError, InternalError
from pipeline.ingest.answer_keys import answer_keys
from pipeline.ingest.copies import write_copy
from pipeline.ingest.export_files import OpenedExport, date_order, export_paths, open_export
from pipeline.ingest.frames import Batch, duplicate_frame, response_frame, source_frame
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.plan import Plan
from pipeline.ingest.pseudonyms import Pseudonyms
from pipeline.ingest.questions import Questions
from pipeline.ingest.raw_answers import RawBatch, raw_batches
from pipeline.ingest.settle import Settling
from pipeline.ingest.sieve import Sieve
from pipeline.ingest.vet import Vetting

__all__ = ["LoadedFile", "load_exports"]

_CONFLICT = (
    "another answer to the same question, student and attempt is stored already: "
    "number the attempts, or take one of the two out"
)


@dataclass
class LoadedFile:
    """One export file on its way into the database.

    Args:
        file: its name, relative to the course folder.
        sha256: of its bytes; "" when it could not be opened.
        error: why nothing of it can be stored; then there are no batches.
        notes: sentences on what was found, complete once the batches are drawn.
    """

    file: str
    sha256: str
    error: InputError | None = None
    notes: tuple[str, ...] = ()
    _loading: _Loading | None = field(default=None, repr=False)

    @property
    def plan(self) -> Plan | None:
        """What each column was taken for; None when the file could not be opened."""
        return self._loading.opened.plan if self._loading else None

    def batches(self) -> Iterator[Batch]:
        """Draw the batches, once.

        Raises:
            InputError: the file breaks off; what was drawn of it must not be stored, and is
                forgotten here.
        """
        if self._loading is None:
            return
        try:
            yield from self._loading.batches()
        except InputError:
            self._loading.known.roll_back()
            raise
        self.notes = self._loading.notes()
        self._loading.known.add_file(self.file, self.sha256)

    def write_copy(self, path: Path) -> str | None:
        """Write a copy with pseudonyms in place of ids, after all batches are drawn.

        The copy loads to the same responses. It holds only the columns that are used.

        Args:
            path: where to write it.

        Returns:
            SHA-256 of its bytes; None when rows need a look, since these are mended in the raw
            file, or when one line belongs to several pseudonyms.
        """
        if self._loading is None or not (self._loading.done and self._loading.copyable):
            return None
        return write_copy(self._loading.opened, self._loading.students, path)

    def source_file(self) -> pd.DataFrame:
        """The accounting of the file, one row.

        Raises:
            InternalError: the batches are not all drawn, or the rows do not add up.
        """
        if self._loading is None or not self._loading.done:
            raise InternalError(f"{self.file}: its batches are not all drawn")
        counts = self._loading.counts
        if counts["read"] != counts["stored"] + counts["duplicates"] + counts["rejected"]:
            raise InternalError(f"{self.file}: rows do not add up: {counts}")
        return source_frame(self.file, self.sha256, counts, datetime.now(UTC))


@dataclass
class _Loading:
    """The work behind one file."""

    course: Course
    opened: OpenedExport
    vetting: Vetting
    settling: Settling
    known: KnownResponses
    counts: dict[str, int] = field(
        default_factory=lambda: dict.fromkeys(("read", "stored", "duplicates", "rejected"), 0)
    )
    done: bool = False
    sieve: Sieve | None = None
    students: dict[int, str] = field(default_factory=dict)
    copyable: bool = True

    def batches(self) -> Iterator[Batch]:
        notes = None
        for raw in raw_batches(self.opened.table, self.opened.plan):
            sieve = Sieve(self.opened.table.name, raw.answers)
            sieve.notes = notes or sieve.notes
            notes = sieve.notes
            batch = self._batch(raw, sieve)
            self.sieve = sieve
            self.counts["read"] += len(raw.answers) + len(raw.broken)
            self.counts["stored"] += len(batch.responses)
            self.counts["duplicates"] += len(batch.duplicates)
            self.counts["rejected"] += len(batch.rejected)
            yield batch
        self.done = True

    def _batch(self, raw: RawBatch, sieve: Sieve) -> Batch:
        sieve.notes.add("rows of totals, left out", raw.totals)
        sieve.notes.add("rows without any answer", raw.empty)
        if raw.broken:
            lines, reasons = zip(*raw.broken, strict=True)
            sieve.add_rejected(list(lines), None, list(reasons))
        self.vetting.vet(sieve)
        frame = self.settling.settle(sieve.frame)
        frame["quiz_other"] = _other_quiz(frame, self.settling)
        frame["slot"], frame["response"] = answer_keys(frame)
        frame["fate"] = self._fates(frame)
        sieve.frame = frame
        sieve.reject(frame["fate"] == "conflict", frame["column"], _CONFLICT)
        frame = sieve.frame
        self._remember(sieve)
        stored = self._with_setting(frame[frame["fate"] == "new"])
        self._note_outside(sieve, stored)
        self.known.add(stored["response"].to_numpy(), stored["slot"].to_numpy())
        return Batch(
            responses=response_frame(stored, sieve.file),
            rejected=sieve.rejected(),
            duplicates=duplicate_frame(frame[frame["fate"] == "duplicate"], sieve.file),
        )

    def _remember(self, sieve: Sieve) -> None:
        """Keep what a copy of the file needs: whose line is whose, by pseudonym."""
        if self.course.privacy.after_load != "pseudonymize":
            return
        pairs = sieve.frame[["line", "student"]].drop_duplicates()
        for line, student in pairs.itertuples(index=False):
            whose = "" if pd.isna(student) else self.vetting.pseudonyms.marked(student)
            self.copyable &= self.students.setdefault(int(line), whose) == whose
        self.copyable &= not sieve.rejected()["needs_look"].any()

    def _fates(self, frame: pd.DataFrame) -> npt.NDArray[np.str_]:
        """`new`, `duplicate` or `conflict` for each row; the first of a slot is the one stored."""
        keys, slots = frame["response"].to_numpy(), frame["slot"].to_numpy()
        first = frame.groupby("slot", sort=False)["response"].transform("first").to_numpy()
        again = frame["slot"].duplicated().to_numpy()
        stored, filled = self.known.holds(keys), self.known.fills(slots)
        return np.select(
            [stored, filled, ~again, first == keys],
            ["duplicate", "conflict", "new", "duplicate"],
            "conflict",
        )

    def _with_setting(self, frame: pd.DataFrame) -> pd.DataFrame:
        """Settings that the export leaves open, from the quiz; without any, a quiz is a quiz."""
        new = {}
        for name in ("setting", "supervised", "calculator"):
            by_quiz = {one.id: getattr(one, name) for one in self.course.quizzes}
            said = frame["quiz"].map(by_quiz).where(frame["quiz"].isin(by_quiz), None)
            new[name] = frame[name].where(frame[name].notna(), said)
        new["setting"] = new["setting"].where(new["setting"].notna(), "quiz")
        return frame.assign(**new)

    def _note_outside(self, sieve: Sieve, stored: pd.DataFrame) -> None:
        outside = stored["answered_on"].notna() & stored["answered_week"].isna()
        sieve.notes.add(
            "answers dated outside every term, or outside their own, stored without a week",
            stored.loc[outside, "line"],
        )
        unlisted = stored["place"] == "unlisted"
        sieve.notes.add(
            "answers to questions that no item lists, stored unjudged", stored.loc[unlisted, "line"]
        )

    def notes(self) -> tuple[str, ...]:
        found = self.sieve.notes.sentences() if self.sieve else ()
        said = {
            "columns not used": self.opened.plan.unused,
            "sheets not read": self.opened.other_sheets,
        }
        unused = [f"{what}: {', '.join(names)}" for what, names in said.items() if names]
        empty = [] if self.counts["read"] else ["no answer stands below the column names"]
        return (*unused, *empty, *found)


def _other_quiz(frame: pd.DataFrame, settling: Settling) -> pd.Series[Any]:
    """The quiz of a row where it is not the one that the item itself belongs to."""
    given = frame["quiz_given"]
    return given.where(given.to_numpy(object) != settling.own_quizzes(frame), None)


def load_exports(course: Course, known: KnownResponses) -> Iterator[LoadedFile]:
    """Load every export that is new or has changed, file by file in the order of their names.

    Args:
        course: with its terms settled (`settle_terms`).
        known: what the database that is being built holds; grows while batches are drawn.

    Yields:
        One LoadedFile per file. Draw its batches before the next one is asked for.

    Raises:
        CourseError: the pseudonym key is missing or protects nobody.
    """
    pseudonyms = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    questions, settling = Questions(course.items), Settling(course)
    for name, path in export_paths(course):
        loaded = _load(course, known, name, path, (questions, pseudonyms, settling))
        if loaded is not None:
            yield loaded


def _load(
    course: Course,
    known: KnownResponses,
    name: str,
    path: Path,
    shared: tuple[Questions, Pseudonyms, Settling],
) -> LoadedFile | None:
    questions, pseudonyms, settling = shared
    try:
        opened = open_export(course, questions, name, path, known)
        if opened is None:
            return None
        order = date_order(course, opened)
    except InputError as error:
        return LoadedFile(name, "", error)
    vetting = Vetting(
        course,
        questions,
        pseudonyms,
        settling,
        opened.plan,
        order,
        opened.table.is_workbook,
        known.erased,
    )
    loading = _Loading(course, opened, vetting, settling, known)
    return LoadedFile(name, opened.table.sha256, None, (), loading)
