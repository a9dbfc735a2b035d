"""The export files of a course folder, and what is to be known of each before its rows are read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, islice
from pathlib import Path
from typing import Any

import pandas as pd

from pipeline.course import Course
from pipeline.errors import CourseError, InputError
from pipeline.ingest.dates import DateOrder, NumericOrder, local_days, parse_times
from pipeline.ingest.distinct import coded, trimmed
from pipeline.ingest.facts import attempt_of
from pipeline.ingest.forms import said_encoding
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.plan import Plan, sheet_plans
from pipeline.ingest.questions import Questions
from pipeline.ingest.raw_answers import raw_batches
from pipeline.ingest.result_sets import MANY_FILES, ResultFolder, result_files
from pipeline.ingest.standard_exports import recognizers
from pipeline.tables import TABLE_ENDINGS, Source, TableFile, open_source, plain_text, table_sources

_FOLDER = "exports"
_PEEKED_ROWS = 2_000
_ORDERS: tuple[DateOrder, ...] = ("MDY", "DMY")
_TELLING_DAYS, _ONE_SITTING, _MONTHS_APART = 3, 10, 50
"""So many different days that lie within ten tell the order, where the other makes it months."""


@dataclass(frozen=True, slots=True)
class OpenedExport:
    """A file that can be read, and where everything stands in it.

    Args:
        table: the file.
        sha256: of its bytes.
        plan: of its one table, or of the first sheet that is read.
        further: of the other sheets of the same form.
    """

    table: TableFile
    sha256: str
    plan: Plan
    further: tuple[Plan, ...] = ()

    @property
    def plans(self) -> tuple[Plan, ...]:
        """Of all its sheets that are read, in order."""
        return self.plan, *self.further

    @property
    def other_sheets(self) -> tuple[str, ...]:
        """Visible sheets of a workbook that are not read."""
        taken = {one.sheet for one in self.plans}
        return tuple(sheet for sheet in self.table.sheets if sheet not in taken)


def exports_in(course_folder: Path) -> Iterator[tuple[str, Path]]:
    """Export files in the order of their names, each with its name relative to the course folder.

    Many XML files in one folder are one export, called `*.xml`, whose path is the folder. Files
    whose name begins with a dot, or with `~$` as spreadsheet programs write them beside an
    open workbook, are left out.

    Raises:
        CourseError: `exports` is no folder.
    """
    folder = course_folder / _FOLDER
    if folder.exists() and not folder.is_dir():
        raise CourseError("exports: this is a file, expected a folder with the answer exports.")
    sets: dict[Path, bool] = {}
    for path in sorted(folder.rglob("*")):
        parts = path.relative_to(course_folder).parts
        if any(part.startswith((".", "~$")) for part in parts):
            continue
        if path.suffix.lower() == ".xml" and path.is_file():
            if path.parent not in sets:
                sets[path.parent] = len(result_files(path.parent)) > MANY_FILES
                if sets[path.parent]:
                    yield "/".join((*parts[:-1], "*.xml")), path.parent
            if sets[path.parent]:
                continue
        if path.is_file() or path.suffix.lower() in TABLE_ENDINGS:
            yield "/".join(parts), path


def export_sources(course: Course) -> Iterator[tuple[str, Source | InputError]]:
    """What exports are read from, each with its name: files, and members of archives.

    In place of a file that cannot be used stands the error that says why.

    Raises:
        CourseError: `exports` is no folder.
    """
    yield from sources_of(course, exports_in(course.folder))


def sources_of(
    course: Course, paths: Iterable[tuple[str, Path]]
) -> Iterator[tuple[str, Source | InputError]]:
    """The same of any files, such as loaded ones that were moved."""
    for name, path in paths:
        if name.endswith("/*.xml"):
            yield name, ResultFolder(path, name)
            continue
        try:
            for source in table_sources(path, name, recognizers(course)):
                yield source.name, source
        except InputError as error:
            yield name, error


def open_export(
    course: Course, questions: Questions, source: Source | InputError, known: KnownResponses
) -> OpenedExport | None:
    """Open a source and plan its columns.

    A file with the bytes of one that was loaded under another name is read by that one's map.

    Returns:
        None when the file was loaded as it is, so that there is nothing to do.

    Raises:
        InputError: the file cannot be used.
    """
    if isinstance(source, InputError):
        raise source
    digest = source.sha256()
    if known.files.get(source.name) == digest:
        return None
    called = known.first_name(digest) or source.name
    bare = called.removeprefix(f"{_FOLDER}/")
    kinds = recognizers(course, known.addresses)
    table = open_source(source, kinds, said_encoding(course.exports, bare))
    plan, *further = sheet_plans(course, questions, table, bare)
    return OpenedExport(table, digest, plan, tuple(further))


def date_order(course: Course, opened: OpenedExport) -> DateOrder | None:
    """Order of day and month in a file: declared, or shown by its own dates.

    A file without a telling date is tried both ways against the declared terms; then other files
    of the same form are asked, those that were moved after their load among them.

    Raises:
        InputError: numeric dates that leave the order open.
    """
    plan = opened.plan
    if plan.map.date_order is not None or not _first_dates(opened).numeric:
        return plan.map.date_order
    evidence = NumericOrder()
    distinct: set[str] = set()
    for batch in chain.from_iterable(raw_batches(opened.table, one) for one in opened.plans):
        texts = pd.Series(coded(trimmed(batch.answers["answered_at"]))[1], dtype=object)
        evidence.see(texts)
        distinct.update(texts.str.extract(r"^(\d{1,2}\D\d{1,2}\D\d{2,4})")[0].dropna())
    _see_title(opened, evidence)
    order = evidence.order or _by_terms(course, distinct)
    if order is None and not evidence.month_first:
        order = _by_closeness(distinct)
    if order is None and not evidence.month_first:
        order = _by_siblings(course, opened)
    if order is None and evidence.numeric:
        wrong = (
            "have day and month in both orders; expected one order"
            if evidence.month_first
            else "do not tell day from month; expected one above 12"
        )
        raise InputError(
            f"{opened.table.name}: dates such as {min(distinct)} in column "
            f"{plan.header_of('answered_at')!r} {wrong}. "
            'Say date_order = "MDY" or "DMY" in [[exports]], for this file alone with '
            f'files = ["{opened.table.name.removeprefix(f"{_FOLDER}/")}"] beside it.'
        )
    return order


def _first_dates(opened: OpenedExport) -> NumericOrder:
    """What the dates of the first rows say of their order."""
    evidence = NumericOrder()
    _see_title(opened, evidence)
    evidence.see(pd.Series(_first_cells(opened, "answered_at"), dtype="str"))
    return evidence


def first_try(opened: OpenedExport) -> int:
    """The number of a first try in a file: 0 where many of its first rows have it, else 1.

    A lone 0 among other numbers, or beside words, is a mistake to be mended.
    """
    tries = [attempt_of(text) for text in _first_cells(opened, "attempt") if text]
    return 0 if None not in tries and 4 * tries.count(0) > len(tries) else 1


def _first_cells(opened: OpenedExport, field: str) -> list[str]:
    """What stands in the columns of a field, in the first rows."""
    cells: list[str] = []
    for plan in opened.plans:
        places = {*plan.fields.get(field, ())}
        places |= {one.about[field] for one in plan.questions if field in one.about}
        rows = islice(opened.table.rows(plan.sheet), _PEEKED_ROWS if places else 0)
        cells += [plain_text(row[place]).strip() for line, row in rows
                  if isinstance(row, list) and line > plan.header.line
                  for place in places if place < len(row)]  # fmt: skip
    return cells


def _see_title(opened: OpenedExport, evidence: NumericOrder) -> None:
    """Dates above the column names, such as that of the export."""
    for line, cells in opened.table.rows(opened.plan.sheet):
        if line >= opened.plan.header.line:
            return
        for cell in cells if isinstance(cells, list) else ():
            evidence.see_title(plain_text(cell))


def _by_closeness(texts: set[str]) -> DateOrder | None:
    """The order by which several days lie together, where the other would part them by months."""
    column = pd.Series(sorted(texts), dtype=object)
    spans = {order: _span(parse_times(column, order, "UTC")) for order in _ORDERS}
    fitting = [order for order, span in spans.items() if span <= _ONE_SITTING]
    apart = max(spans.values()) >= _MONTHS_APART
    return fitting[0] if len(texts) >= _TELLING_DAYS and apart and len(fitting) == 1 else None


def _span(days: pd.Series[Any]) -> float:
    whole = days.notna().all() and len(days) > 0
    return float((days.max() - days.min()) / pd.Timedelta(days=1)) if whole else math.inf


def _by_siblings(course: Course, opened: OpenedExport) -> DateOrder | None:
    """The one order that other files with the same columns show."""
    questions, nothing = Questions(course.items), KnownResponses.empty()
    orders = set()
    for _, source in (*export_sources(course), *sources_of(course, moved_exports(course))):
        try:
            other = open_export(course, questions, source, nothing)
        except InputError:
            continue
        if other and _is_sibling(other.plan, opened.plan):
            orders.add(_first_dates(other).order)
    orders.discard(None)
    return orders.pop() if len(orders) == 1 else None


def _is_sibling(one: Plan, other: Plan) -> bool:
    """Whether two files are of one form: the same columns, those of questions apart."""
    ours, theirs = (
        {
            (name, plan.header.names[place])
            for name, places in plan.fields.items()
            for place in places
        }
        for plan in (one, other)
    )
    return ours == theirs and one.map.layout == other.map.layout


def moved_exports(course: Course) -> Iterator[tuple[str, Path]]:
    """Loaded exports that were moved out of the course's `exports`."""
    folder = course.loaded_folder
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        if path.is_file() and not path.name.startswith((".", "~$")):
            yield f"{folder.name}/{path.relative_to(folder).as_posix()}", path


def _by_terms(course: Course, texts: set[str]) -> DateOrder | None:
    """The one order under which every date lies in a declared term."""
    if not course.declared_terms or not texts:
        return None
    column = pd.Series(sorted(texts), dtype=object)
    fitting = [order for order in _ORDERS if _all_in_terms(course, column, order)]
    return fitting[0] if len(fitting) == 1 else None


def _all_in_terms(course: Course, texts: pd.Series[Any], order: DateOrder) -> bool:
    days = local_days(parse_times(texts, order, course.time_zone), course.time_zone)
    return all(
        not pd.isna(day) and any(day.date() in term for term in course.terms) for day in days
    )
