"""Column maps worked out from a file: by its headers first, by what the columns hold next."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from pipeline.course import Course, ExportMap
from pipeline.course.tables import TableFile, open_table
from pipeline.course.workbook import plain_text
from pipeline.errors import InputError
from pipeline.ingest.columns import SYNONYMS, field_of, header_words, standard_field
from pipeline.ingest.header import HeaderRow, header_rows
from pipeline.ingest.questions import Questions

__all__ = ["ColumnRemark", "Proposal", "propose_map"]

_SAMPLED_ROWS = 400
_BOX = re.compile(r"^(?P<stem>.+?)[\s,:_-]*[(\[]?\s*(?:box|part|blank|field|answer|no\.?)?\s*"
                  r"(?P<number>[1-9]|[a-d])\s*[)\]]?$", re.I)  # fmt: skip
_FIRST_SECOND = re.compile(r"\b(?:first|second|third|1st|2nd|3rd)\b\s*", re.I)
_NUMBERED = re.compile(r"^(?:q|question|problem|item|exercise)\W*\d+\w?$", re.I)
_WIDE_FIELDS = ("student", "answered_at", "attempt", "section", "term", "quiz", "setting")


@dataclass(frozen=True, slots=True)
class ColumnRemark:
    """What one column was taken for, and why."""

    header: str
    taken_for: str
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """A map that the course could keep, and the reason for each column of it."""

    map: ExportMap
    header_line: int
    remarks: tuple[ColumnRemark, ...]

    @property
    def unused(self) -> tuple[str, ...]:
        """Headers that nothing was found for."""
        return tuple(one.header for one in self.remarks if one.taken_for == "not used")


def propose_map(course: Course, file: str) -> Proposal:
    """Work out how the columns of an export are to be taken.

    Args:
        course: its items tell question columns from others.
        file: name inside the course folder, such as `exports/week5.xlsx`.

    Raises:
        InputError: the file cannot be opened, or no row in it looks like column names for
            students and questions.
    """
    table = open_table(course.folder / file, file)
    questions = Questions(course.items)
    called = file.removeprefix("exports/")
    best: tuple[int, Proposal] | None = None
    for sheet in table.sheets or (None,):
        for row in header_rows(table, sheet):
            for score, proposal in _readings(row, questions, called, sheet, table):
                if best is None or score > best[0]:
                    best = (score, proposal)
    if best is None:
        raise InputError(
            f"{file}: no row among the first ones names a student and questions; expected column "
            "names such as student, question, answer, or the questions themselves as columns. "
            "Add a row of column names, or write the map by hand in [[exports]]."
        )
    return best[1]


def _readings(
    row: HeaderRow, questions: Questions, called: str, sheet: str | None, table: TableFile
) -> Iterator[tuple[int, Proposal]]:
    """The row taken as the header of a long file, and of a wide one, where it can be either."""
    fields = _fields(row)
    boxes = _answer_boxes(row, fields)
    if boxes:
        fields["answer"] = boxes
    kept_sheet = sheet if table.sheets and sheet != table.sheets[0] else None
    if "item" in fields and "answer" in fields and {"student", "count"} & set(fields):
        found = ExportMap((called,), "long", fields, sheet=kept_sheet)
        yield 10 + len(fields), Proposal(found, row.line, tuple(_remarks(row, fields, {})))
    named, why = _question_headers(row, questions, fields)
    wide = {name: headers for name, headers in fields.items() if name in _WIDE_FIELDS}
    wide = {name: headers for name, headers in wide.items() if headers[0] not in named}
    if named and "student" not in wide:
        wide |= _student_by_content(row, named, table, sheet)
    if named and "student" in wide:
        found = ExportMap((called,), "wide", wide, named, sheet=kept_sheet)
        score = 10 + len(wide) + sum(not reason.startswith("not") for reason in why.values())
        yield score, Proposal(found, row.line, tuple(_remarks(row, wide, named, why)))


def _fields(row: HeaderRow) -> dict[str, tuple[str, ...]]:
    """Field -> the header that means it best."""
    found: dict[str, list[str]] = defaultdict(list)
    for header in row.names:
        if header and (name := field_of(header)):
            found[name].append(header)

    def rank(header: str) -> int:
        words = header_words(header)
        known = SYNONYMS[str(field_of(header))]
        return known.index(words) if words in known else -1

    return {name: (min(headers, key=rank),) for name, headers in found.items()}


def _answer_boxes(row: HeaderRow, fields: Mapping[str, object]) -> tuple[str, ...]:
    """Headers such as `answer 1` and `answer 2`, or `first answer` and `second answer`."""
    if "answer" in fields:
        return ()
    boxes = []
    for header in row.names:
        bare = _FIRST_SECOND.sub("", header)
        split = _BOX.match(header)
        stem = bare if bare != header else split["stem"] if split else ""
        if stem and (field_of(stem) == "answer" or header_words(stem) in ("box", "blank")):
            boxes.append(header)
    return tuple(boxes)


def _question_headers(
    row: HeaderRow, questions: Questions, fields: Mapping[str, tuple[str, ...]]
) -> tuple[dict[str, str], dict[str, str]]:
    """Header -> item, and header -> why, for columns that are questions."""
    named: dict[str, str] = {}
    why: dict[str, str] = {}
    stems = Counter(split["stem"] for name in row.names if (split := _BOX.match(name)))
    taken = {headers[0] for name, headers in fields.items() if name in _WIDE_FIELDS}

    def has_other_box(stem: str) -> bool:
        return stems[stem] > 1 or stem in row.names

    for header in row.names:
        if not header or standard_field(header) in _WIDE_FIELDS:
            continue
        item = questions.find(header)
        split = _BOX.match(header)
        if item:
            same = header in questions.ids
            named[header], why[header] = item, "its id" if same else "its text"
        elif split and has_other_box(split["stem"]) and (item := questions.find(split["stem"])):
            named[header], why[header] = item, "one of the boxes of this question"
        elif header not in taken and (_NUMBERED.match(header) or "=" in header or "^" in header):
            named[header], why[header] = header, "not among the items: stored unjudged"
    for header, item in named.items():
        if list(named.values()).count(item) > 1 and why[header] in ("its id", "its text"):
            why[header] = "one of the boxes of this question"
    if all(reason.startswith("not") for reason in why.values()):
        return {}, {}
    return named, why


def _student_by_content(
    row: HeaderRow, named: Mapping[str, str], table: TableFile, sheet: str | None
) -> dict[str, tuple[str, ...]]:
    """The first column, outside the questions, that has another short text in every row."""
    columns: dict[str, list[str]] = {name: [] for name in row.names if name and name not in named}
    for line, cells in islice(table.rows(sheet), _SAMPLED_ROWS):
        if line > row.line and isinstance(cells, list):
            for name, cell in zip(row.names, cells, strict=False):
                if name in columns:
                    columns[name].append(plain_text(cell).strip())
    for name, texts in columns.items():
        filled = [text for text in texts if text]
        if len(filled) >= 2 and len(set(filled)) == len(filled) >= len(texts) - 2:
            return {"student": (name,)}
    return {}


def _remarks(
    row: HeaderRow,
    fields: Mapping[str, tuple[str, ...]],
    named: Mapping[str, str],
    why: Mapping[str, str] | None = None,
) -> Iterator[ColumnRemark]:
    meant = {header: name for name, headers in fields.items() for header in headers}
    for header in row.names:
        if header in named:
            yield ColumnRemark(header, f"answers to {named[header]}", (why or {}).get(header, ""))
        elif header in meant:
            name = meant[header]
            boxes = len(fields[name]) > 1
            reason = "by its name" if field_of(header) == name else "by what it holds"
            yield ColumnRemark(header, name, "one of the boxes" if boxes else reason)
        elif header:
            yield ColumnRemark(header, "not used", "no name that we know, and no question")
