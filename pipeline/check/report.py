"""What a look at a course folder found, and how it reads as text."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from textwrap import wrap

from pipeline.check.item_set import IN_A_FILE, BlindSpots
from pipeline.course import ExportMap
from pipeline.course.keep_map import map_as_toml
from pipeline.errors import ExitCode
from pipeline.ingest.propose import ColumnRemark

NOT_USED = "not used"
_MOST_LISTED = 8
_MOST_ALIKE = 2
_MOST_ASSUMED = 4
_WIDTH = 100
_Counts = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Rejected:
    """Rows of one file that were rejected for one reason, the first of them in words."""

    reason: str
    rows: int
    first: str

    def __str__(self) -> str:
        """As one sentence."""
        return f"{self.rows:,} × {self.reason} (first in {self.first})"


@dataclass(frozen=True, slots=True)
class FileReport:
    """What was found of one export.

    Args:
        file: name inside the course folder.
        columns: what each column was taken for.
        header_line: line of the column names.
        by_number: whether there are none, so that columns go by number.
        layout: `long` or `wide`.
        counts: rows read, stored, duplicates, rejected, had this been a run on an empty database.
        rejected: one entry per reason.
        notes: sentences on what was found.
        error: why it cannot be used at all.
        proposed: whether the columns were worked out and want a look.
        left_out: columns that are worth a question and are not read: header -> what they hold.
        samples: some answers as they would be stored.
        termless: how many answers no page counts, since they have neither a date nor a semester.
    """

    file: str
    columns: tuple[ColumnRemark, ...] = ()
    header_line: int = 0
    by_number: bool = False
    layout: str = ""
    counts: _Counts = (0, 0, 0, 0)
    rejected: tuple[Rejected, ...] = ()
    notes: tuple[str, ...] = ()
    error: str | None = None
    proposed: bool = False
    left_out: Mapping[str, str] = field(default_factory=dict)
    samples: tuple[str, ...] = ()
    termless: int = 0

    def lines(self, whole: bool = False) -> Iterator[str]:
        """The report as lines of text; columns that need no look take one line, unless asked."""
        yield self.file
        if self.error:
            yield f"  cannot be used: {self.error}"
            return
        row = "answer" if self.layout == "long" else "student"
        names = f"in line {self.header_line}" if self.header_line else "beside the values"
        told = "no row of column names: they go by number" if self.by_number else ""
        yield f"  a row per {row}; {told or f'column names {names}'}"
        yield from self._column_lines(whole)
        read, stored, duplicates, rejected = self.counts
        yield (
            f"  {_counted(read, 'answer')} read: {stored:,} to be stored, "
            f"{duplicates:,} there twice, {rejected:,} rejected"
        )
        for sample in self.samples if whole or self.proposed else ():
            yield from _fitted(f"as stored: {sample}")
        rejected_for = [f"rejected: {one}" for one in self.rejected] if whole else []
        for sentence in (*rejected_for, *self.notes):
            yield from _fitted(sentence)

    def to_mend(self) -> Iterator[str]:
        """Columns that are not read and look as if they should be."""
        for header, what in self.left_out.items():
            yield (
                f"{self.file}: {header!r} is not used and may hold {what}: name it in the map, or "
                "put it under `left_out` to leave it out on purpose"
            )

    def _column_lines(self, whole: bool) -> Iterator[str]:
        if not whole and not self.proposed:
            yield from _fitted(f"columns: {', '.join(self._columns_in_short())}")
            return
        alike: dict[str, list[ColumnRemark]] = defaultdict(list)
        for column in self.columns:
            if whole or column.taken_for != NOT_USED:
                alike[column.header if whole else _kind_of(column)].append(column)
        for columns in alike.values():
            shown = columns[:_MOST_ALIKE]
            for column in shown:
                why = f" ({column.why})" if column.why else ""
                taken = column.taken_for.removesuffix("" if whole else f" to {column.header}")
                yield from _fitted(f"{column.header!r}: {taken}{why}")
            if len(columns) > len(shown):
                yield f"    and {len(columns) - len(shown)} more like these"

    def _columns_in_short(self) -> Iterator[str]:
        """Columns of whole rows with their headers; those of single questions by number."""
        questions = about = 0
        for one in self.columns:
            if one.taken_for.startswith("answers to "):
                questions += 1
            elif " of " in one.taken_for:
                about += 1
            elif one.taken_for != NOT_USED:
                same = one.header == one.taken_for
                yield one.taken_for if same else f"{one.header!r} = {one.taken_for}"
        if questions:
            yield _counted(questions, "column") + " of answers"
        if about:
            yield _counted(about, "column") + " about single answers"


def _kind_of(column: ColumnRemark) -> str:
    """What columns of wide files have in common: the answers, or what is said of them."""
    if column.taken_for.startswith("answers to "):
        return f"answers, {column.why}"
    named = column.taken_for.partition(" of ")
    return named[0] if named[2] else column.header


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What `check` found.

    Args:
        title: of the course.
        questions: place -> number of questions: `tagged`, `judged only`, `choice`, `skipped`, and
            `not to be judged` where there are such.
        not_tagged: questions with an algebra task whose problem cannot be worked on, and why.
        unlisted: questions that no item lists -> number of answers, most answered first.
        files: one report per export.
        problems: what should be mended.
        proposals: maps that were worked out and are not kept yet.
        blind: what this set of items cannot see, from the tagging stage.
        defaults: what was assumed.
        written: name of the settings file that the maps went into; None when nothing was written.
        list_errors: cells of the list of questions that have to be mended first.
        drafts: what was drafted into the list of questions, or can be.
        unfinished: how many drafted questions wait for a person.
        to_look_at: drafted questions that want a look.
        sections: names of files that may tell class sections.
    """

    title: str
    questions: dict[str, int]
    not_tagged: tuple[str, ...] = ()
    unlisted: dict[str, int] = field(default_factory=dict)
    files: tuple[FileReport, ...] = ()
    problems: tuple[str, ...] = ()
    proposals: tuple[ExportMap, ...] = ()
    blind: BlindSpots = field(default_factory=BlindSpots)
    defaults: tuple[str, ...] = ()
    written: str | None = None
    list_errors: tuple[str, ...] = ()
    drafts: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()
    to_look_at: tuple[str, ...] = ()
    sections: tuple[str, ...] = ()

    @property
    def exit_code(self) -> ExitCode:
        """Wrong use when the list has errors, bad input when a file cannot be used.

        A look when rows are rejected or something is to be mended, else done.
        """
        if self.list_errors:
            return ExitCode.WRONG_USE
        if any(one.error for one in self.files):
            return ExitCode.BAD_INPUT
        rejected = any(one.rejected or one.left_out or one.termless for one in self.files)
        looks = rejected or self.problems or self.to_look_at or self.sections or not self.questions
        return ExitCode.NEEDS_A_LOOK if looks else ExitCode.DONE

    def lines(self, whole: bool = False) -> Iterator[str]:
        """The report as lines of text, as short as it can be used, or in full.

        Args:
            whole: name every column, map, error and default, however many there are.
        """
        yield self.title
        yield from (line for one in self.drafts for line in _fitted(one))
        yield from _listed("to mend in the list of questions", self.list_errors, whole)
        if not self.questions:
            return
        yield "questions: " + ", ".join(f"{n} {name}" for name, n in self.questions.items())
        yield from (line for one in self.unfinished for line in _fitted(one))
        unread = tuple(line for one in self.files for line in one.to_mend())
        yield from _listed("to mend", (*unread, *self.problems), whole)
        seen = "to look at (judged as they stand; set `status` to `sure` once seen)"
        yield from _listed(f"drafted questions {seen}", self.to_look_at, whole)
        yield from _listed("may be class sections", self.sections, whole)
        yield from _listed("cannot be tagged", self.not_tagged, whole)
        answers = [f"{name}: {_counted(n, 'answer')}" for name, n in self.unlisted.items()]
        yield from _listed("questions that no item lists (stored, not judged)", answers, whole)
        for one in self.files:
            yield ""
            yield from one.lines(whole)
        yield ""
        if not self.files:
            yield "exports/ is empty: put answer exports there."
        yield from self._map_lines(whole)
        yield from _listed("rejected rows", () if whole else tuple(self._rejected()), whole)
        yield from _listed("what these questions cannot see", self.blind.lines(whole), whole)
        yield from _listed("assumed", self.defaults, whole, _MOST_ASSUMED)

    def _rejected(self) -> Iterator[str]:
        """What rows of all files were rejected for, most frequent first."""
        rows: Counter[str] = Counter()
        first: dict[str, str] = {}
        for one in self.files:
            for found in one.rejected:
                rows[found.reason] += found.rows
                first.setdefault(found.reason, f"{one.file}, {found.first}")
        for reason, count in rows.most_common():
            yield str(Rejected(reason, count, first[reason]))

    def _map_lines(self, whole: bool) -> Iterator[str]:
        if self.written:
            yield f"column maps written to {self.written}"
        elif self.proposals:
            yield "column maps worked out, as said above. Look at them, then give the command again"
            yield "with `--write`, which keeps them in the settings: `run` needs them there."
        for one in self.proposals if whole else ():
            yield from (f"  {line}" for line in map_as_toml(one).splitlines())


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}" if number == 1 else f"{number:,} {what}s"


def _fitted(sentence: str) -> list[str]:
    """A sentence as indented lines that fit a screen."""
    return wrap(
        sentence, _WIDTH, initial_indent="  ", subsequent_indent="    ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def _listed(
    title: str, sentences: Sequence[str], whole: bool, most: int = _MOST_LISTED
) -> Iterator[str]:
    """Sentences under a title: the first ones, or all."""
    if not sentences:
        return
    yield f"{title}:"
    shown = sentences if whole else sentences[:most]
    for sentence in shown:
        yield from _fitted(sentence)
    if len(sentences) > len(shown):
        yield f"  and {len(sentences) - len(shown)} more ({IN_A_FILE})"
