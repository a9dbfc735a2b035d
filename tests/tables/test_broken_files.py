"""Whatever a file holds, it is read or refused in one clear sentence: no traceback, no hang."""

from __future__ import annotations

import gzip
import io
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from pipeline.errors import InputError
from pipeline.tables import (
    BrokenRow,
    Source,
    archive_members,
    budgets,
    json_rows,
    open_source,
    open_table,
    table_sources,
)
from pipeline.tables import delimited as delimited_module
from pipeline.tables import opendocument as opendocument_module
from pipeline.tables import opening as opening_module
from pipeline.tables import parquet as parquet_module
from pipeline.tables import rows as rows_module
from pipeline.tables import source as source_module
from pipeline.tables import workbook as workbook_module
from tests.tables.written import HEADER, in_every_format, ods, xlsx

ROWS = [[f"s{n}", "q1", f"x = {n}"] for n in range(400)]
STARTS = [b"", b"PK\x03\x04", b"PAR1", b"\x1f\x8b\x08", b"\xff\xfe", b"{", b"[{", b"sep=;\n", b"<"]
ENDINGS = [".csv", ".csv.gz", ".zip", ".xlsx", ".ods", ".parquet", ".json", ".jsonl", ".xls"]


def outcome(folder: Path, name: str, data: bytes) -> list[object]:
    """All rows of all tables of a file, and the sentences of what cannot be read."""
    path = folder / name
    path.write_bytes(data)
    found: list[object] = []
    try:
        for source in table_sources(path, name):
            try:
                table = open_source(source)
                for sheet in table.sheets or (None,):
                    found += table.rows(sheet)
            except InputError as error:
                found.append(str(error))
    except InputError as error:
        found.append(str(error))
    for one in found:
        if isinstance(one, str):
            assert one.startswith(name)
            assert str(folder) not in one
            assert one.endswith((".", '"'))
    return found


@given(st.sampled_from(STARTS), st.binary(max_size=300), st.sampled_from(ENDINGS))
@settings(max_examples=100)
def test_random_bytes_raise_nothing_but_our_error(start: bytes, data: bytes, ending: str):
    with tempfile.TemporaryDirectory() as folder:
        outcome(Path(folder), f"a{ending}", start + data)


@given(st.integers(1, 99), st.integers(0, 400), st.binary(max_size=6))
@settings(max_examples=25)
def test_a_file_that_is_cut_or_changed_is_read_or_refused(percent: int, place: int, other: bytes):
    with tempfile.TemporaryDirectory() as folder:
        for name, data in in_every_format(ROWS[:3]).items():
            outcome(Path(folder), name, data[: len(data) * percent // 100])
            start = place * len(data) // 401
            outcome(Path(folder), name, data[:start] + other + data[start + len(other) :])


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("a.csv.gz", "breaks off or is damaged"),
        ("a.zip", "cannot be opened as a ZIP archive, or breaks off"),
        ("a.xlsx", "cannot be opened as a workbook"),
        ("a.ods", "cannot be opened as a spreadsheet"),
        ("a.parquet", "the Parquet file breaks off"),
        ("a.json", "line 1, column "),
    ],
)
def test_a_truncated_file_says_so(tmp_path: Path, name: str, words: str):
    data = in_every_format(ROWS)[name]

    (said,) = outcome(tmp_path, name, data[: len(data) // 2])
    assert words in str(said)


def zipped(**members: bytes | str) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return stream.getvalue()


NO_TABLES: list[tuple[str, bytes, str]] = [
    ("a.zip", zipped(**{"../a.csv": "x"}), "would leave the archive"),
    ("a.zip", zipped(**{"/etc/a.csv": "x"}), "would leave the archive"),
    ("a.zip", zipped(**{"b\\..\\a.csv": "x"}), "would leave the archive"),
    ("a.zip", zipped(**{"C:/a.csv": "x"}), "would leave the archive"),
    ("a.zip", zipped(**{"b.zip": b"x"}), "is an archive itself"),
    ("a.zip", zipped(), "holds no file"),
    ("a.xls", b"\xd0\xcf\x11\xe0" + bytes(600), "save it as .xlsx"),
    ("a.xlsx", b"\xd0\xcf\x11\xe0" + bytes(600), "with a password"),
    ("a.csv", b"PAR1" + bytes(60), "the content is Parquet"),
    ("a.csv", b"%PDF-1.7\n", "the content is a PDF"),
    ("a.csv", b"<!DOCTYPE html><html></html>", "a web page"),
    ("a.csv", gzip.compress(b"a,b\n", mtime=0), "the content is packed by gzip"),
    ("a.parquet", b"student,item\n", "the content is text"),
    ("a.csv.gz", b"student,item\n", "breaks off or is damaged"),
    ("a.json", b'{"a": 1}', "no table in it"),
    ("a.json", b"[1, 2]", "no table in it"),
    ("a.json", b"[" * 100_000, "nested too deep"),
    ("a.jsonl", b"[1]\n{\n", "no line holds a JSON object"),
    ("a.csv", b"a,b\n1,caf\xe9\n", 'encoding = "windows-1252"'),
    ("a.csv", b"a,b\n1,caf\xc3\xa9\n2,caf\xe9\n", "line 3: byte 0xE9 is not UTF-8"),
]


# Packed bytes hold the time they were packed at, so they make no name of a test.
@pytest.mark.parametrize(
    ("name", "data", "words"), NO_TABLES, ids=[f"{name} {words}" for name, _, words in NO_TABLES]
)
def test_what_is_no_table_is_refused_by_name(tmp_path: Path, name: str, data: bytes, words: str):
    (said,) = outcome(tmp_path, name, data)
    assert words in str(said)


def test_an_encoding_that_is_said_is_checked(tmp_path: Path):
    (tmp_path / "a.csv").write_bytes(b"a,b\n1,\x81\n")
    (tmp_path / "b.csv").write_bytes(b"a,b\n1,2\x96\n")
    for name, said in (("a.csv", "windows-1252"), ("b.csv", "iso-8859-1")):
        (source,) = table_sources(tmp_path / name, name)
        with pytest.raises(InputError, match=rf"line 2: byte 0x\w\w is not {said} either"):
            open_source(source, encoding=said)


def entities(book: bytes, part: str) -> bytes:
    """The same workbook with entities that swell."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(stream, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part:
                body = data.rpartition(b"?>")[2]
                data = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaa">]>' + body
            new.writestr(name, data)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("name", "write", "part"),
    [("a.xlsx", xlsx, "xl/worksheets/sheet1.xml"), ("a.ods", ods, "content.xml")],
)
def test_entities_are_refused(tmp_path: Path, name: str, write: Callable, part: str):
    (said,) = outcome(tmp_path, name, entities(write([HEADER, *ROWS[:2]]), part))
    assert "declares entities" in str(said)


@pytest.mark.parametrize(
    ("module", "budget", "most", "name", "words"),
    [
        (opening_module, "COLUMNS", 2, "a.csv", "line 1: 3 columns; expected at most 2"),
        (opendocument_module, "COLUMNS", 2, "a.ods", "row 1: more than 2 columns"),
        (workbook_module, "WORKBOOK_ROWS", 90, "a.xlsx", "has a row beyond 90"),
        (opendocument_module, "WORKBOOK_ROWS", 90, "a.ods", "has a row beyond 90"),
        (parquet_module, "PARQUET_ROWS", 90, "a.parquet", "401 rows"),
        (json_rows, "JSON_BYTES", 90, "a.json", "larger than 90 bytes"),
        (source_module, "ARCHIVE_MEMBERS", 0, "a.zip", "1 members; expected at most 0"),
        (source_module, "ARCHIVE_BYTES", 90, "a.zip", "bytes unpack to"),
        (source_module, "ARCHIVE_BYTES", 90, "a.csv.gz", "unpacks to more than"),
        (workbook_module, "WORKBOOK_BYTES", 90, "a.xlsx", "bytes unpack to"),
        (opendocument_module, "WORKBOOK_BYTES", 90, "a.ods", "bytes unpack to"),
    ],
)
def test_what_is_beyond_a_budget_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, module: object, budget: str, most: int,
    name: str, words: str,
):  # fmt: skip
    assert hasattr(budgets, budget)
    monkeypatch.setattr(module, budget, most)

    said = outcome(tmp_path, name, in_every_format([*ROWS, ROWS[0]])[name])
    assert words in str(said[-1])


def test_bombs_are_refused_by_their_ratio(tmp_path: Path):
    zeros = bytes(budgets.SMALL_BYTES + 1)

    (said,) = outcome(tmp_path, "a.zip", zipped(**{"a.csv": zeros}))
    assert "bytes unpack to 67,108,865" in str(said)
    (said,) = outcome(tmp_path, "a.csv.gz", gzip.compress(zeros, 9))
    assert "unpacks to more than 200 times its size" in str(said)


def test_too_many_merged_cells_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    book = Workbook()
    for row in range(1, 4):
        book.active.cell(row, 1).value = "a"
        book.active.merge_cells(f"A{row}:B{row}")
    book.save(tmp_path / "a.xlsx")
    monkeypatch.setattr(workbook_module, "MERGED_RANGES", 2)

    with pytest.raises(InputError, match="more than 2 merged cells"):
        list(open_table(tmp_path / "a.xlsx", "a.xlsx").rows())


@pytest.mark.parametrize("name", ["a.xlsx", "a.ods", "a.parquet", "a.json", "a.jsonl"])
def test_a_cell_beyond_the_budget_takes_its_row_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
):
    monkeypatch.setattr(rows_module, "CELL_CHARACTERS", 10)
    rows = [["a", "q", "1"], ["b", "q", "x" * 11], ["c", "q", "3"]]
    (tmp_path / name).write_bytes(in_every_format(rows)[name])

    found = [cells for _, cells in open_table(tmp_path / name, name).rows()]
    assert [found[1], found[3]] == [rows[0], rows[2]]
    assert isinstance(found[2], BrokenRow)
    assert "the cell in column 3 is larger than 10 characters" in found[2].reason


def test_a_line_beyond_the_budget_takes_its_row_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(delimited_module, "LINE_CHARACTERS", 30)
    text = (
        "student,item,answer\na,q,1\n"
        + "b,q,"
        + "x" * 100
        + '\nc,q,"3\ny'
        + "z" * 50
        + '"\nd,q,4\n'
    )
    (tmp_path / "a.csv").write_text(text)

    rows = list(open_table(tmp_path / "a.csv", "a.csv").rows())
    assert [line for line, _ in rows] == [1, 2, 3, 4, 6]
    assert rows[4][1] == ["d", "q", "4"]
    assert "line 3 is longer than 30" in rows[2][1].reason
    assert "line 5 is longer than 30" in rows[3][1].reason


def test_values_nested_beyond_the_budget_take_their_record_alone(tmp_path: Path):
    deep = "[" * 40 + "]" * 40
    (tmp_path / "a.jsonl").write_text(f'{{"a": "1"}}\n{{"a": {deep}}}\n{{"a": [[1]]}}\n')

    rows = list(open_table(tmp_path / "a.jsonl", "a.jsonl").rows())
    assert [isinstance(cells, BrokenRow) for _, cells in rows] == [False, False, True, False]


def test_members_of_an_archive_are_sources_of_their_own(tmp_path: Path):
    (tmp_path / "a.zip").write_bytes(zipped(**{"b.xml": "<b/>"}))
    (member,) = archive_members(Source(tmp_path / "a.zip", "exports/a.zip"))

    with member.opened() as stream:
        assert stream.read() == b"<b/>"
    assert (member.name, member.ending) == ("exports/a.zip/b.xml", ".xml")
