from __future__ import annotations

import codecs
import zipfile
from datetime import datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from pipeline.errors import ExitCode, InputError
from pipeline.tables import DATE_CELL, FORMULA_CELL, NUMBER_CELL, BrokenRow, open_table
from pipeline.tables.delimited import sniff_delimiter

TEXT = "student,item,answer\na1,root-1,x = ±2 √3\n"


def rows_of(path: Path) -> list:
    return list(open_table(path, path.name).rows())


@pytest.mark.parametrize(
    "data",
    [
        TEXT.encode(),
        codecs.BOM_UTF8 + TEXT.encode(),
        codecs.BOM_UTF16_LE + TEXT.encode("utf-16-le"),
        codecs.BOM_UTF16_BE + TEXT.encode("utf-16-be"),
        TEXT.encode("utf-16-le"),
        TEXT.encode("utf-16-be"),
        TEXT.replace("\n", "\r\n").encode(),
        TEXT.replace("\n", "\r").encode(),
        TEXT.rstrip().encode(),
    ],
    ids=[
        *("utf-8", "utf-8 with mark", "utf-16 le", "utf-16 be", "utf-16 le without mark"),
        *("utf-16 be without mark", "crlf", "cr", "no last newline"),
    ],
)
def test_the_same_text_is_read_whatever_its_encoding(tmp_path: Path, data: bytes):
    (tmp_path / "a.csv").write_bytes(data)

    assert rows_of(tmp_path / "a.csv") == [
        (1, ["student", "item", "answer"]),
        (2, ["a1", "root-1", "x = ±2 √3"]),
    ]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"student,item\na1,caf\xe9\n", "line 2: byte 0xE9 is not UTF-8"),
        (codecs.BOM_UTF8 + b"a\nb\nc\xff\n", "line 3: byte 0xFF is not UTF-8"),
        (b"a,b\n" * 400_000 + b"\x80\n", "line 400001: byte 0x80 is not UTF-8"),
        (b"a,b\nc,d\xe2\x82", "line 2: byte 0xE2 is not UTF-8"),
        (codecs.BOM_UTF32_LE + "a".encode("utf-32-le"), "UTF-32"),
        (b"", "the file is empty (0 bytes)"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old binary kind"),
        (b"PK\x03\x04rest", "the content is a workbook"),
    ],
)
def test_a_text_that_would_have_to_be_guessed_is_refused(tmp_path: Path, data: bytes, words: str):
    (tmp_path / "a.csv").write_bytes(data)

    with pytest.raises(InputError, match=r"^a\.csv") as caught:
        rows_of(tmp_path / "a.csv")
    assert words in str(caught.value)
    assert caught.value.exit_code == ExitCode.BAD_INPUT
    assert str(tmp_path) not in str(caught.value)


def test_what_is_no_file_is_refused(tmp_path: Path):
    (tmp_path / "week.csv").mkdir()
    (tmp_path / "notes.pdf").write_bytes(b"%PDF-1.7")
    (tmp_path / "odd.xlsx").write_bytes(b"student,item\n")
    (tmp_path / "torn.xlsx").write_bytes(b"PK\x03\x04" + bytes(40))

    for name, words in (
        ("week.csv", "this is a directory, expected a file"),
        ("gone.csv", "there is no such file"),
        ("notes.pdf", "expected .csv, .tsv"),
        ("odd.xlsx", "the content is text"),
        ("torn.xlsx", "cannot be opened as a workbook"),
    ):
        with pytest.raises(InputError, match=words):
            rows_of(tmp_path / name)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_the_one_that_makes_equal_rows(delimiter: str):
    rows = [["student", "item", "answer"], ["a", "q", '"1, 2; 3"'], ["b", "q", '"x|y"']]
    lines = ["Week 5, section 2\n"] + [delimiter.join(row) + "\n" for row in rows]

    assert delimiter == sniff_delimiter(lines)


def test_lines_are_counted_as_an_editor_counts_them(tmp_path: Path):
    """RFC 4180 section 2, rule 6: a quoted field may hold line breaks."""
    (tmp_path / "a.csv").write_text('a,b\n1,"x\ny\nz"\n\n2,w\n3,"u"v\n4,t\n')

    rows = rows_of(tmp_path / "a.csv")
    assert [line for line, _ in rows] == [1, 2, 6, 7, 8]
    assert rows[1][1] == ["1", "x\ny\nz"]
    assert isinstance(rows[3][1], BrokenRow)
    assert rows[4][1] == ["4", "t"]


def test_doubled_quotes_and_blanks_stay_as_they_are(tmp_path: Path):
    """RFC 4180 section 2, rules 4 and 7: blanks belong to a field, a doubled quote is one."""
    (tmp_path / "a.csv").write_text('a,b\n  x ,"say ""2"""\n')

    assert rows_of(tmp_path / "a.csv")[1] == (2, ["  x ", 'say "2"'])


def test_a_workbook_marks_what_a_spreadsheet_program_made_its_own(tmp_path: Path):
    book = Workbook()
    sheet = book.active
    sheet.append(["text", "number", "whole", "date", "yes", "formula"])
    sheet.append(["3/4", 0.5, 7.0, datetime(2026, 1, 2), True, "=3+2"])
    sheet["G2"] = "=2"
    sheet["G2"].data_type = "s"
    sheet.append([])
    sheet.append([" 007 ", None, 1e300])
    book.save(tmp_path / "a.xlsx")

    rows = rows_of(tmp_path / "a.xlsx")
    assert rows[1][0] == 2
    assert rows[1][1][:5] == [
        "3/4", NUMBER_CELL + "0.5", NUMBER_CELL + "7", DATE_CELL + "2026-01-02T00:00:00",
        NUMBER_CELL + "TRUE",
    ]  # fmt: skip
    assert rows[1][1][5].startswith(FORMULA_CELL)
    assert rows[1][1][6] == "=2"
    assert rows[2] == (4, [" 007 ", "", NUMBER_CELL + "1e+300"])


def test_a_hidden_sheet_is_not_read(tmp_path: Path):
    book = Workbook()
    book.active.append(["hidden"])
    book.active.sheet_state = "hidden"
    book.create_sheet("Answers").append(["seen"])
    book.save(tmp_path / "a.xlsx")
    table = open_table(tmp_path / "a.xlsx", "a.xlsx")

    assert table.sheets == ("Answers",)
    assert list(table.rows()) == [(1, ["seen"])]
    with pytest.raises(InputError, match="no sheet 'Other'; it has Answers"):
        table.rows("Other")


def test_a_damaged_sheet_is_told(tmp_path: Path):
    book = Workbook()
    book.active.append(["a"])
    book.save(tmp_path / "good.xlsx")
    with (
        zipfile.ZipFile(tmp_path / "good.xlsx") as good,
        zipfile.ZipFile(tmp_path / "bad.xlsx", "w") as bad,
    ):
        for part in good.namelist():
            data = good.read(part)
            bad.writestr(part, data[:-30] if "sheet1" in part else data)

    with pytest.raises(InputError, match="damaged"):
        rows_of(tmp_path / "bad.xlsx")
