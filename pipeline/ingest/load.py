"""Exports into batches for the database: every row stored, a known duplicate, or rejected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.course import Course, read_key
from pipeline.errors import InputError, InternalError
from pipeline.ingest.copies import can_be_copied, write_copy
from pipeline.ingest.export_files import date_order, export_sources, first_try, open_export
from pipeline.ingest.forms import read_by
from pipeline.ingest.frames import Batch, source_frame
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.loading import Loading
from pipeline.ingest.plan import Plan
from pipeline.ingest.pseudonyms import Pseudonyms
from pipeline.ingest.questions import Questions
from pipeline.ingest.settle import Settling
from pipeline.ingest.vet import Vetting
from pipeline.standards.answer_records import LaterWord
from pipeline.tables import Source


@dataclass
class LoadedFile:
    """One export file on its way into the database.

    Args:
        file: its name, relative to the course folder.
        sha256: of its bytes; "" when it could not be opened.
        error: why nothing of it can be stored; then there are no batches.
        notes: sentences on what was found, complete once the batches are drawn.
        left_out: columns that are worth a question and were not read, likewise: header -> what it
            holds.
    """

    file: str
    sha256: str
    error: InputError | None = None
    notes: tuple[str, ...] = ()
    left_out: Mapping[str, str] = field(default_factory=dict, kw_only=True)
    _loading: Loading | None = field(default=None, repr=False)

    @property
    def plan(self) -> Plan | None:
        """What each column was taken for; None when the file could not be opened."""
        return self._loading.opened.plan if self._loading else None

    @property
    def file_time(self) -> datetime:
        """When the file was last written, as its file system has it.

        A date in its name or inside it is not asked: anyone may have typed it.
        """
        path = self._loading.opened.table.path if self._loading else Path(self.file)
        return datetime.fromtimestamp(path.stat().st_mtime, UTC)

    @property
    def seen(self) -> npt.NDArray[np.int64] | None:
        """Keys of all answers in the file, once drawn; None if no earlier one was loaded."""
        parts = self._loading.seen if self._loading else None
        return None if parts is None else np.concatenate([*parts, np.empty(0, dtype=np.int64)])

    @property
    def later(self) -> LaterWord:
        """What it says of answers that other files brought, by `source_id`, once drawn."""
        return self._loading.later() if self._loading else LaterWord()

    @property
    def may_break_off(self) -> bool:
        """Whether `batches` may raise half-way, as a damaged workbook does; text is proved."""
        return self._loading is not None and self._loading.opened.table.is_workbook

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
        self.left_out = self._loading.left_out()
        self.notes = self._loading.notes()
        self._loading.known.add_file(self.file, self.sha256)
        self._loading.known.addresses = {**self._loading.known.addresses, **self.later.addresses}

    def write_copy(self, path: Path) -> str | None:
        """Write a copy with pseudonyms in place of ids, after all batches are drawn.

        The copy loads to the same responses. It holds only the columns that are used.

        Args:
            path: where to write it.

        Returns:
            SHA-256 of its bytes; None when rows need a look, since these are mended in the raw
            file, when one line belongs to several pseudonyms, or when the file is of a kind that
            no copy is written of.
        """
        if self._loading is None or not (self._loading.done and self._loading.copyable):
            return None
        if not can_be_copied(self._loading.opened):
            return None
        vetting = self._loading.vetting
        students, opened = self._loading.students, self._loading.opened
        return write_copy(opened, students, path, vetting.is_student, vetting.questions.find)

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
        return source_frame(
            self.file,
            self.sha256,
            counts,
            {"loaded_at": datetime.now(UTC), "file_time": self.file_time},
            read_by(self._loading.opened.plan.map),
        )


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
    for name, source in export_sources(course):
        loaded = _load(course, known, name, source, (questions, pseudonyms, settling))
        if loaded is not None:
            yield loaded


def _load(
    course: Course,
    known: KnownResponses,
    name: str,
    source: Source | InputError,
    shared: tuple[Questions, Pseudonyms, Settling],
) -> LoadedFile | None:
    questions, pseudonyms, settling = shared
    try:
        opened = open_export(course, questions, source, known)
        if opened is None:
            return None
        order = date_order(course, opened)
    except InputError as error:
        return LoadedFile(name, "", error)
    vetting = Vetting(
        course,
        questions.in_file(name, opened.plan.sheet),
        pseudonyms,
        settling,
        opened.plan,
        order,
        opened.table.is_workbook,
        known.erased,
        known.students,
        known.met,
        first_try(opened),
    )
    loading = Loading(course, opened, vetting, settling, known)
    return LoadedFile(name, opened.sha256, None, (), loading)
