"""Cells that a program has made its own carry a mark; merged cells stand for their range."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableProperties
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P
from openpyxl import Workbook

from pipeline.tables import (
    DATE_CELL,
    FORMATTED_CELL,
    FORMULA_CELL,
    NUMBER_CELL,
    open_table,
)


def rows_of(path: Path, sheet: str | None = None) -> list[tuple[int, object]]:
    return list(open_table(path, path.name).rows(sheet))


@pytest.mark.parametrize(
    ("number_format", "mark"),
    [
        ("General", NUMBER_CELL),
        ("0.00", NUMBER_CELL),
        ("# ?/?", FORMATTED_CELL),
        ("# ??/16", FORMATTED_CELL),
        ("0%", FORMATTED_CELL),
        ("0.00E+00", FORMATTED_CELL),
        ("d-mmm", DATE_CELL),
    ],
)
def test_a_number_shown_in_another_form_is_marked(tmp_path: Path, number_format: str, mark: str):
    book = Workbook()
    book.active["A1"] = 0.75
    book.active["A1"].number_format = number_format
    book.save(tmp_path / "a.xlsx")

    ((_, (cell,)),) = rows_of(tmp_path / "a.xlsx")
    assert cell[0] == mark


def test_merged_cells_stand_for_their_range_but_a_title_stands_once(tmp_path: Path):
    book = Workbook()
    sheet = book.active
    for row in [
        ["Quiz 1, all sections", None, None, None],
        ["Student", "Q1", None, "Q2"],
        [None, "answer", "points", "answer"],
        ["Section 2", None, None, None],
        ["ann", "2", "1", "3"],
        [None, "4", "0", "5"],
    ]:
        sheet.append(row)
    for span in ("A1:D1", "A2:A3", "B2:C2", "A4:D4", "A5:A6"):
        sheet.merge_cells(span)
    book.save(tmp_path / "a.xlsx")

    assert [cells for _, cells in rows_of(tmp_path / "a.xlsx")] == [
        ["Quiz 1, all sections"],
        ["Student", "Q1", "Q1", "Q2"],
        ["Student", "answer", "points", "answer"],
        ["Section 2"],
        ["ann", "2", "1", "3"],
        ["ann", "4", "0", "5"],
    ]


def test_a_last_row_far_below_and_error_cells(tmp_path: Path):
    book = Workbook()
    book.active.append(["student", "q1"])
    book.active.append(["ann", "#DIV/0!"])
    book.active["A2"].number_format = "@"
    book.active.cell(1_048_576, 1).number_format = "@"
    book.save(tmp_path / "a.xlsx")

    assert rows_of(tmp_path / "a.xlsx") == [(1, ["student", "q1"]), (2, ["ann", "#DIV/0!"])]


def open_document(path: Path) -> None:
    """A sheet with all types of cells, a merged header, repeated cells; another that is hidden."""
    book = OpenDocumentSpreadsheet()
    hidden = Style(name="hidden", family="table")
    hidden.addElement(TableProperties(display="false"))
    book.automaticstyles.addElement(hidden)
    book.spreadsheet.addElement(Table(name="Notes", stylename=hidden))
    sheet = Table(name="Answers")
    book.spreadsheet.addElement(sheet)

    def cell(shown: str, **attributes: object) -> TableCell:
        made = TableCell(**attributes)
        made.addElement(P(text=shown))
        return made

    rows = [
        [cell("id", valuetype="string"), cell("Q1", valuetype="string", numbercolumnsspanned=2),
         CoveredTableCell(), cell("Q2", valuetype="string")],
        [cell("7", valuetype="float", value="7"), cell("3/4", valuetype="float", value="0.75"),
         cell("50%", valuetype="percentage", value="0.5"),
         cell("0.5", valuetype="float", value="0.5")],
        [TableCell(numbercolumnsrepeated=1000)],
        [cell("x", valuetype="string", numbercolumnsrepeated=2),
         cell("3 Apr", valuetype="date", datevalue="2026-04-03"),
         cell("TRUE", valuetype="boolean", booleanvalue="true"),
         cell("5", valuetype="float", value="5", formula="of:=2+3")],
    ]  # fmt: skip
    for number, cells in enumerate(rows):
        row = TableRow(numberrowsrepeated=3) if number == 2 else TableRow()
        for one in cells:
            row.addElement(one)
        sheet.addElement(row)
    book.save(str(path))


def test_an_opendocument_spreadsheet_marks_its_cells(tmp_path: Path):
    open_document(tmp_path / "a.ods")

    assert open_table(tmp_path / "a.ods", "a.ods").sheets == ("Answers",)
    assert rows_of(tmp_path / "a.ods") == [
        (1, ["id", "Q1", "Q1", "Q2"]),
        (2, [NUMBER_CELL + "7", FORMATTED_CELL + "0.75", FORMATTED_CELL + "0.5",
             NUMBER_CELL + "0.5"]),
        (6, ["x", "x", DATE_CELL + "2026-04-03", NUMBER_CELL + "TRUE", FORMULA_CELL + "5"]),
    ]  # fmt: skip


def test_a_parquet_file_marks_its_typed_values(tmp_path: Path):
    values = [7, 7.0, 0.5, Decimal("1.50"), True, date(2026, 4, 3), datetime(2026, 4, 3, 9),
              time(9, 5), "007", ["2", "3"], None]  # fmt: skip
    names = [f"c{n}" for n in range(len(values))]
    pq.write_table(
        pa.table({name: pa.array([value]) for name, value in zip(names, values, strict=True)}),
        tmp_path / "a.parquet",
    )

    assert rows_of(tmp_path / "a.parquet") == [
        (0, names),
        (1, [NUMBER_CELL + "7", NUMBER_CELL + "7", NUMBER_CELL + "0.5", NUMBER_CELL + "1.50",
             NUMBER_CELL + "TRUE", DATE_CELL + "2026-04-03", DATE_CELL + "2026-04-03T09:00:00",
             DATE_CELL + "09:05:00", "007", '["2", "3"]', ""]),
    ]  # fmt: skip


def test_json_keeps_the_digits_of_numbers_and_names_broken_records(tmp_path: Path):
    lines = [
        '{"student": 12345678901234567890.0, "item": "q", "answer": "007"}',
        '{"student": 5, "item": "q", "answer": 0.50}',
        '{"student": 5, "item": "q", "answer": ',
        "[1]",
        '{"student": 5, "student": 6}',
        "",
        '{"student": null, "answer": {"box": ["2", 3]}, "more": true}',
    ]
    (tmp_path / "a.jsonl").write_text("\n".join(lines))

    rows = rows_of(tmp_path / "a.jsonl")
    told = {line: cells for line, cells in rows if isinstance(cells, list)}
    broken = {line: cells.reason for line, cells in rows if not isinstance(cells, list)}
    assert told == {
        0: ["student", "item", "answer", "more"],
        1: [NUMBER_CELL + "12345678901234567890", "q", "007", ""],
        2: [NUMBER_CELL + "5", "q", NUMBER_CELL + "0.50", ""],
        7: ["", "", '{"box": ["2", "3"]}', NUMBER_CELL + "TRUE"],
    }
    assert list(broken) == [3, 4, 5]
    assert "column 38" in broken[3]
    assert "'student' stands twice" in broken[5]
