"""Column maps worked out from a file: by its headers first, by what the columns hold next."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import islice

from pipeline.course import Course, ExportMap
from pipeline.errors import InputError
from pipeline.ingest.columns import SYNONYMS, field_of, header_words
from pipeline.ingest.header import HeaderRow, header_rows
from pipeline.ingest.proposal import ColumnRemark, Proposal
from pipeline.ingest.question_headers import BOX, WIDE_FIELDS, question_headers
from pipeline.ingest.questions import Questions
from pipeline.tables import TableFile, open_table, plain_text

__all__ = ["ColumnRemark", "Proposal", "propose_map"]

_SAMPLED_ROWS = 400
_FIRST_SECOND = re.compile(r"\b(?:first|second|third|1st|2nd|3rd)\b\s*", re.I)


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
        sampled = _sampled(table, sheet)
        for row in header_rows(table, sheet):
            below = [cells for line, cells in sampled if line > row.line]
            if _repeated(row, below):
                continue
            for score, proposal in _readings(row, below, questions, called, sheet, table):
                if best is None or score > best[0]:
                    best = (score, proposal)
    if best is None:
        raise InputError(
            f"{file}: no row among the first ones names a student and questions; expected column "
            "names such as student, question, answer, or the questions themselves as columns. "
            "Add a row of column names, or write the map by hand in [[exports]]."
        )
    return best[1]


def _sampled(table: TableFile, sheet: str | None) -> list[tuple[int, list[str]]]:
    rows = islice(table.rows(sheet), _SAMPLED_ROWS)
    return [
        (line, [plain_text(cell).strip() for cell in cells])
        for line, cells in rows
        if isinstance(cells, list)
    ]


def _repeated(row: HeaderRow, below: list[list[str]]) -> bool:
    """Whether a row says in one column what most rows below it say: then it names no columns.

    The first student's row can look like names where the question stands in a column of its own.
    """
    for place, name in enumerate(row.names):
        same = sum(place < len(cells) and cells[place] == name for cells in below)
        if name and same >= 2 and 2 * same > len(below):
            return True
    return False


def _readings(
    row: HeaderRow,
    below: list[list[str]],
    questions: Questions,
    called: str,
    sheet: str | None,
    table: TableFile,
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
    taken = {headers[0] for name, headers in fields.items() if name in WIDE_FIELDS}
    named, why = question_headers(row, below, questions, taken)
    wide = {name: headers for name, headers in fields.items() if name in WIDE_FIELDS}
    wide = {name: headers for name, headers in wide.items() if headers[0] not in named}
    if named and "student" not in wide:
        wide |= _student_by_content(row, below, named)
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
        split = BOX.match(header)
        stem = bare if bare != header else split["stem"] if split else ""
        if stem and (field_of(stem) == "answer" or header_words(stem) in ("box", "blank")):
            boxes.append(header)
    return tuple(boxes)


def _student_by_content(
    row: HeaderRow, below: list[list[str]], named: Mapping[str, str]
) -> dict[str, tuple[str, ...]]:
    """The first column, outside the questions, that has another short text in every row."""
    columns: dict[str, list[str]] = {name: [] for name in row.names if name and name not in named}
    for cells in below:
        for name, cell in zip(row.names, cells, strict=False):
            if name in columns:
                columns[name].append(cell)
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
