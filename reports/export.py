"""The same numbers as files: lossless CSV, a workbook for spreadsheets, and their description.

CSV holds answers as they were typed, and guards other texts that begin like a formula; the
workbook marks every text as text, so that no spreadsheet program takes `=2` or `-3` for a formula.
Source: RFC 4180 for CSV, OWASP ASVS 1.2.10 for formulas, Data Package 2.0 for the description.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import partial
from hashlib import sha256
from io import BytesIO
from math import isfinite
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from pipeline.tables.rows import guarded
from reports.making import Making, drawn_from
from reports.source import KEEP, Book

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.worksheet import Worksheet

VIEWS = {
    "own": (
        "course",
        "term",
        "topic",
        "default",
        "headline",
        "wrong_by_topic_week",
        "wrong_by_section",
        "wrong_by_try",
        "outcome_by_try",
        "retry_change",
        "learning_curve",
        "learning_slope",
        "error_by_topic_week",
        "error_by_try",
        "pattern_prevalence",
        "error_by_section",
        "error_by_section_week",
        "transition",
        "pattern",
        "term_comparison",
        "term_change",
        "question_change",
        "term_series",
        "outcome_results",
        "outcome_topics",
        "item_statistics",
        "quiz_score",
        "option_share",
        "coverage",
        "unlisted",
        "unreadable",
        "meant",
        "following",
        "rejected",
        "loads",
        "note",
        "disagreements",
        "masked",
        "unexplained",
        "proposal",
        "agreement",
        "lesson_effect",
        "next_lesson_summary",
    ),
    "shared": (
        "course",
        "term",
        "default",
        "wrong",
        "pattern_prevalence",
        "pattern",
        "term_comparison",
        "outcome_results",
        "outcome_topics",
        "coverage",
    ),
}
"""Views of each edition."""

AS_TYPED = ("accepted", "answer", "as_typed", "read_as")
GUARDED = (
    "A text that begins with = + - @ or a tab has an added ' in front, for spreadsheet programs; "
    "answers stand as they were typed."
)
NO_DAY = datetime(1980, 1, 1)
"""When a workbook was made, whenever that is: the same tables give the same file."""
SHEET_LETTERS = 31
LEAST_WIDTH, MOST_WIDTH = 9, 60
FRACTIONS = re.compile(
    r"(\w+_)?(rate|share|difficulty|persistence|difference|recent|bar|target|margin|added|before|"
    r"after|crude|trend|change|visible|usual|modeled|steadied|discrimination)(_(low|high|lower|higher|"
    r"before|after|counted|beyond_chance|without_chance|if_\w+|unexplained))*"
    r"|(first|last)_wrong|wrong_(first|last)|by_(rates|mix)|smallest_visible"
)
"""Names of columns that hold fractions of a whole, or differences of these, where not whole."""
CELL_LETTERS = 32_767


def export_tables(making: Making, book: Book) -> None:
    """Write every view of the edition as CSV, all as one workbook, and `datapackage.json`.

    Args:
        making: the edition that they go into.
        book: the course's numbers.
    """
    frames = {view: _plain(book.frame(view)) for view in VIEWS[book.edition]}
    resources = []
    for view, frame in frames.items():
        name = f"{view.replace('_', '-')}.csv"
        content = making.write(f"tables/{name}", partial(_csv, frame))
        comments = book.comments(view)
        resources.append(_resource(name, content, frame, comments, book.sql_file(view)))
    package = json.dumps(_package(book, resources), indent=2) + "\n"
    hashes = (str(resource["hash"]) for resource in resources)
    making.write("tables/all-tables.xlsx", lambda: _workbook(frames), drawn_from(*hashes))
    making.write("tables/datapackage.json", package.encode)


def _csv(frame: pd.DataFrame) -> bytes:
    return guarded(frame, AS_TYPED).to_csv(index=False, lineterminator="\r\n").encode()


def _plain(frame: pd.DataFrame) -> pd.DataFrame:
    """Turn lists into text with ` | ` between entries, and times into days."""
    plain = {}
    for name, column in frame.items():
        if pd.api.types.is_datetime64_any_dtype(column):
            plain[str(name)] = column.dt.date.astype(object).where(column.notna(), None)
        elif column.dtype == object:
            plain[str(name)] = column.map(_entry)
    return frame.assign(**plain)


def _entry(value: object) -> object:
    if isinstance(value, list | tuple | np.ndarray):
        return " | ".join(str(part) for part in value)
    return value


def _workbook(frames: Mapping[str, pd.DataFrame]) -> bytes:
    from xlsxwriter import Workbook

    stream = BytesIO()
    # Row by row with each text in its cell: an index of texts could be taken for a figure.
    with Workbook(stream, {"constant_memory": True}) as workbook:
        workbook.set_properties({"author": "lostroot", "created": NO_DAY})
        for view, frame in frames.items():
            _fill(workbook, workbook.add_worksheet(view.replace("_", " ")[:SHEET_LETTERS]), frame)
    return stream.getvalue()


def _fill(workbook: Workbook, sheet: Worksheet, frame: pd.DataFrame) -> None:
    """Write a table that `_plain` made; a text never is a number or a formula."""
    text = {"num_format": "@", "quote_prefix": True}
    head = workbook.add_format({**text, "bold": True})
    plain, day = workbook.add_format(text), workbook.add_format({"num_format": "yyyy-mm-dd"})
    sheet.freeze_panes(1, 0)
    columns, looks = [], []
    for place, (name, column) in enumerate(frame.items()):
        columns.append(column.tolist())
        looks.append(workbook.add_format({"num_format": _look(str(name), column)}))
        sheet.set_column(place, place, _width(str(name), columns[-1]))
        sheet.write_string(0, place, name, head)
    for line, row in enumerate(zip(*columns, strict=True), 1):
        for place, value in enumerate(row):
            if isinstance(value, bool):
                sheet.write_boolean(line, place, value)
            elif isinstance(value, int | float):
                if isfinite(value):
                    sheet.write_number(line, place, value, looks[place])
            elif isinstance(value, date):
                sheet.write_datetime(line, place, value, day)
            elif value is not None and value is not pd.NA and value != "":
                sheet.write_string(line, place, str(value)[:CELL_LETTERS], plain)


def _look(name: str, column: pd.Series) -> str:
    """How a spreadsheet shows the numbers of a column: fractions in percent."""
    return "0.0%" if column.dtype.kind == "f" and FRACTIONS.fullmatch(name) else "General"


def _width(name: str, values: Sequence[object]) -> int:
    """A width in letters that holds the heading and most texts of a column."""
    texts = (len(str(value)) for value in values if isinstance(value, str | date))
    return min(max(LEAST_WIDTH, len(name) + 1, *texts), MOST_WIDTH)


def _resource(
    name: str, content: bytes, frame: pd.DataFrame, comments: Mapping[str, str], sql_file: str
) -> dict[str, object]:
    return {
        "name": name.removesuffix(".csv"),
        "path": name,
        "description": f"Made by {sql_file}. {GUARDED}",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": len(content),
        "hash": f"sha256:{sha256(content).hexdigest()}",
        "schema": {
            "fields": [_field(frame, name, comments.get(name, "")) for name in frame.columns],
            "missingValues": [{"value": "", "label": "unknown, or hidden: see the column note"}],
        },
    }


def _field(frame: pd.DataFrame, name: str, comment: str) -> dict[str, object]:
    field: dict[str, object] = {"name": name, "type": _type(frame[name])}
    return {**field, "description": comment} if comment else field


def _type(column: pd.Series) -> str:
    kinds = {"i": "integer", "u": "integer", "f": "number", "b": "boolean"}
    return kinds.get(column.dtype.kind, "string")


def _package(book: Book, resources: list[dict[str, object]]) -> dict[str, object]:
    return {
        "$schema": "https://datapackage.org/profiles/2.0/datapackage.json",
        "name": f"{book.edition}-tables",
        "title": f"{book.title}: tables behind the pages",
        "description": (
            "Figures of groups under the limit of students are hidden: their cells are empty and "
            f"the column note says so. {KEEP[book.edition]}"
        ),
        "resources": resources,
    }
