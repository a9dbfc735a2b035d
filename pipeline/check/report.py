"""What a look at a course folder found, and how it reads as text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from pipeline.course import ExportMap
from pipeline.course.keep_map import map_as_toml
from pipeline.errors import ExitCode
from pipeline.ingest.propose import ColumnRemark

__all__ = ["CheckReport", "FileReport"]

_MOST_LISTED = 10
_Counts = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class FileReport:
    """What was found of one export.

    Args:
        file: name inside the course folder.
        columns: what each column was taken for.
        header_line: line of the column names.
        layout: `long` or `wide`.
        counts: rows read, stored, duplicates, rejected, had this been a run on an empty database.
        rejected: one sentence per reason.
        notes: sentences on what was found.
        error: why it cannot be used at all.
    """

    file: str
    columns: tuple[ColumnRemark, ...] = ()
    header_line: int = 0
    layout: str = ""
    counts: _Counts = (0, 0, 0, 0)
    rejected: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    error: str | None = None

    def lines(self) -> Iterator[str]:
        """The report as lines of text."""
        yield self.file
        if self.error:
            yield f"  cannot be used: {self.error}"
            return
        row = "answer" if self.layout == "long" else "student"
        yield f"  a row per {row}; column names in line {self.header_line}"
        for column in self.columns:
            why = f" ({column.why})" if column.why else ""
            yield f"  {column.header!r}: {column.taken_for}{why}"
        read, stored, duplicates, rejected = self.counts
        yield (
            f"  {read:,} answers read: {stored:,} to be stored, {duplicates:,} there twice, "
            f"{rejected:,} rejected"
        )
        yield from (f"  rejected: {sentence}" for sentence in self.rejected)
        yield from (f"  {note}" for note in self.notes)


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What `check` found.

    Args:
        title: of the course.
        questions: place -> number of questions: `tagged`, `judged only`, `choice`, `skipped`.
        not_tagged: questions with an algebra task whose problem cannot be worked on, and why.
        unlisted: questions that no item lists -> number of answers, most answered first.
        files: one report per export.
        problems: what should be mended.
        proposals: maps that were worked out and are not kept yet.
        blind: what this set of items cannot see, from the tagging stage.
        defaults: what was assumed.
        written: name of the settings file that the maps went into; None when nothing was written.
    """

    title: str
    questions: dict[str, int]
    not_tagged: tuple[str, ...] = ()
    unlisted: dict[str, int] = field(default_factory=dict)
    files: tuple[FileReport, ...] = ()
    problems: tuple[str, ...] = ()
    proposals: tuple[ExportMap, ...] = ()
    blind: tuple[str, ...] = ()
    defaults: tuple[str, ...] = ()
    written: str | None = None

    @property
    def exit_code(self) -> ExitCode:
        """Bad input when a file cannot be used, a look when rows are rejected, else done."""
        if any(one.error for one in self.files):
            return ExitCode.BAD_INPUT
        rejected = any(one.rejected for one in self.files)
        return ExitCode.NEEDS_A_LOOK if rejected or self.problems else ExitCode.DONE

    def lines(self) -> Iterator[str]:
        """The whole report as lines of text."""
        yield self.title
        yield "questions: " + ", ".join(f"{n} {name}" for name, n in self.questions.items())
        yield from _listed("cannot be tagged", self.not_tagged)
        answers = [f"{name}: {n:,} answers" for name, n in self.unlisted.items()]
        yield from _listed("questions that no item lists (stored, not judged)", answers)
        for one in self.files:
            yield ""
            yield from one.lines()
        yield ""
        if not self.files:
            yield "exports/ is empty: put answer exports there."
        yield from self._map_lines()
        yield from _listed("what these questions cannot see", self.blind)
        yield from _listed("to mend", self.problems)
        yield from _listed("assumed", self.defaults)

    def _map_lines(self) -> Iterator[str]:
        if self.written:
            yield f"column maps written to {self.written}"
        elif self.proposals:
            yield "column maps worked out; `--write` keeps them in the settings:"
        for one in self.proposals:
            yield from (f"  {line}" for line in map_as_toml(one).splitlines())


def _listed(title: str, sentences: tuple[str, ...] | list[str]) -> Iterator[str]:
    if sentences:
        yield f"{title}:"
        yield from (f"  {sentence}" for sentence in sentences[:_MOST_LISTED])
        if len(sentences) > _MOST_LISTED:
            yield f"  and {len(sentences) - _MOST_LISTED} more"
