"""Any table comes back as it was written, in every dialect and every format, whatever wrote it."""

from __future__ import annotations

import csv
import tempfile
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.tables import open_source, open_table, table_sources
from tests.tables.written import HEADER, in_every_format, written, xlsx

# Answers that a program would like to take for a number, a date, a truth or a formula.
TYPED = ["3/4", "1e2", "TRUE", "03-04", "007", "-x", "=2", "+1", "x = 2; x = -2", "½", "1,5", "NA"]
CELLS = st.sampled_from(TYPED) | st.text("ab1 ,;|\t\"'é²√−=+-@/^\n", max_size=8).filter(
    lambda cell: not cell.startswith('="')  # a guard, which is left out
)
TABLES = st.lists(
    st.tuples(st.integers(1, 9).map(lambda n: f"0{n}"), CELLS, CELLS).map(list), min_size=1
)
DIALECTS = st.fixed_dictionaries(
    {
        "delimiter": st.sampled_from([",", ";", "\t", "|"]),
        "lineterminator": st.sampled_from(["\n", "\r\n"]),
        "quoting": st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC]),
    }
)
ENCODINGS = st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])


def rows_of(name: str, data: bytes) -> list[list[str]]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        return [cells for _, cells in open_table(path, name).rows() if isinstance(cells, list)]


@given(TABLES, DIALECTS, ENCODINGS, st.booleans())
@settings(max_examples=60)
def test_what_csv_writes_comes_back(
    rows: list[list[str]], dialect: dict[str, object], encoding: str, said: bool
):
    text = written([HEADER, *rows], **dialect)
    if said:
        text = f"sep={dialect['delimiter']}\n{text}"

    assert rows_of("a.txt", text.encode(encoding)) == [HEADER, *rows]


# That a spreadsheet program takes `="007"` for the text 007: common practice in exports.
@pytest.mark.parametrize(
    ("cell", "text"),
    [('="007"', "007"), ('="11/12"', "11/12"), ('="a""b"', 'a"b'), ('=""', ""),
     ('="a"&"b"', '="a"&"b"'), ('="', '="'), ('x="1"', 'x="1"'), ("=2", "=2")],
)  # fmt: skip
def test_a_cell_guarded_against_spreadsheet_programs_is_the_text_inside(cell: str, text: str):
    data = written([HEADER, ["01", cell, "7"]]).encode()

    assert rows_of("a.csv", data) == [HEADER, ["01", text, "7"]]


@given(TABLES.map(lambda rows: [[one.strip() for one in row] for row in rows]))
@settings(max_examples=15)
def test_every_format_gives_the_same_rows(rows: list[list[str]]):
    found = {name: rows_of(name, data) for name, data in in_every_format(rows).items()}

    wanted = [HEADER, *rows]
    for name, read in found.items():
        padded = [row + [""] * (3 - len(row)) for row in read]
        assert padded == wanted, name


def test_an_archive_gives_a_table_for_each_member(tmp_path: Path):
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as inside:
        inside.writestr("section 2/b.csv", "student,item,answer\na,q,2\n")
        inside.writestr("section 1/a.xlsx", xlsx([HEADER, ["a", "q", "1"]]))
        inside.writestr("__MACOSX/a.csv", "no table")
        inside.writestr("notes.pdf", "%PDF-1.7")
    sources = table_sources(tmp_path / "a.zip", "exports/a.zip")

    assert [one.name for one in sources] == [
        "exports/a.zip/notes.pdf",
        "exports/a.zip/section 1/a.xlsx",
        "exports/a.zip/section 2/b.csv",
    ]
    assert [list(open_source(one).rows())[1][1] for one in sources[1:]] == [
        ["a", "q", "1"],
        ["a", "q", "2"],
    ]
    one = open_table(tmp_path / "a.zip" / "section 2" / "b.csv", "exports/a.zip/section 2/b.csv")
    assert one.source == sources[2]


@pytest.mark.parametrize(
    ("said", "data", "answer"),
    [
        ("windows-1252", "student;item\na;½ – 2 €\n".encode("cp1252"), "½ – 2 €"),
        ("iso-8859-1", "student;item\na;½\n".encode("latin-1"), "½"),
        ("windows-1252", "student;item\na;½ – 2 €\n".encode(), "½ – 2 €"),
    ],
    ids=["said and so", "latin-1", "said, but it is utf-8"],
)
def test_an_encoding_that_is_said_is_used(tmp_path: Path, said: str, data: bytes, answer: str):
    (tmp_path / "a.csv").write_bytes(data)
    (source,) = table_sources(tmp_path / "a.csv", "a.csv")

    assert list(open_source(source, encoding=said).rows())[1] == (2, ["a", answer])
