"""Blocks of a file read at once give what reading row by row gives."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.course import Course
from pipeline.ingest import KnownResponses, blocks, file_rows, load_exports
from pipeline.ingest.blocks import WORD, field_codes, lay_out
from pipeline.ingest.plan import sheet_plans
from pipeline.ingest.questions import Questions
from pipeline.tables import open_table

LONG = "student,item,answer,answered_at,attempt,score,work\n"
WIDE = "student,answered_at,root-1,quad-1,root-1 score\n"
CELLS = st.sampled_from(
    [
        *("", "ada", "Ada ", "grace@x.example", "root-1", "quad-1", "other-9", "graph-1", "Mean"),
        *("2", "-2", "x = 2, x = -2", "1/2", "2-Jan", "no real solution", "I am ada-lovelace-99"),
        *("2026-02-03 10:05", "2026-02-03T10:05:00Z", "3/4/2026", "soon", "1", "2", "0", "8/10"),
        *('5" long', 'a\nb', "a\r\nb", "a\rb", '""', '"', " ", "\0", "é", "x" * 40, "²" * 17),
    ]
)  # fmt: skip
QUOTED = CELLS.map(lambda cell: '"' + cell.replace('"', '""') + '"')
BREAKS = st.sampled_from(["\n"] * 8 + ["\r\n", "\r", "\n\n", ' ,"\n', "\n \n"])
LONG_ROW = st.lists(CELLS | QUOTED, min_size=7, max_size=7)
WIDE_ROW = st.lists(CELLS | QUOTED, min_size=5, max_size=5)
ODD_ROW = st.lists(CELLS | QUOTED, max_size=9)


def files_of(header: str, row: st.SearchStrategy[list[str]]) -> st.SearchStrategy[str]:
    """Messy files: rows that fit and rows that do not, quoted by the rules or not."""
    rows = st.lists(st.tuples(row | row | ODD_ROW, BREAKS), max_size=12)
    body = rows.map(lambda found: "".join(",".join(cells) + end for cells, end in found))
    return st.tuples(body, st.booleans()).map(
        lambda pair: header + (pair[0] if pair[1] else pair[0].rstrip("\n"))
    )


def loaded(course: Course, block: int | None) -> list[object]:
    """All that a load hands over; `block` bytes at once, or row by row."""
    with pytest.MonkeyPatch.context() as patch:
        if block is None:
            patch.setattr(file_rows, "_ENCODING", "read no file in blocks")
        else:
            patch.setattr(file_rows, "BLOCK_BYTES", block)
        handed: list[object] = []
        for file in load_exports(course, KnownResponses.empty()):
            if file.error is not None:
                handed.append(str(file.error))
                continue
            drawn = list(file.batches())
            for name in ("responses", "rejected", "duplicates"):
                whole = pd.concat([getattr(batch, name) for batch in drawn], ignore_index=True)
                rows = whole.astype(object).where(whole.notna(), None)
                handed.append(sorted(rows.itertuples(index=False, name=None), key=repr))
            handed += [file.source_file().drop(columns="loaded_at").to_dict(), sorted(file.notes)]
        return handed


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory, build_course: Callable) -> Course:
    course: Course = build_course(tmp_path_factory.mktemp("blocks") / "algebra", {})
    return course


def rows_read(course: Course, block: int | None) -> list[tuple[int, object]]:
    """Line and cells of every row below the header, or why it is none."""
    path = course.folder / "exports" / "a.csv"
    table = open_table(path, "exports/a.csv")
    plan = next(sheet_plans(course, Questions(course.items), table, "a.csv"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(file_rows, "BLOCK_BYTES", block)
        if block is None:
            return [row for row in table.rows() if row[0] > plan.header.line]
        found: list[tuple[int, object]] = []
        for rows in file_rows.file_rows(table, plan):
            lines = rows.lines.tolist()
            found += [*zip(lines, map(rows.cells, range(len(lines))), strict=True), *rows.odd]
            for place, column in rows.columns.items():
                assert column.tolist() == [rows.cells(row)[place] for row in range(len(lines))]
        return sorted(found, key=lambda row: row[0])


FILES = files_of(LONG, LONG_ROW) | files_of(WIDE, WIDE_ROW)
SIZES = st.sampled_from([40, 150, 1 << 24])


@given(FILES, SIZES)
@settings(max_examples=80)
def test_blocks_and_rows_are_read_the_same(course: Course, text: str, block: int):
    (course.folder / "exports" / "a.csv").write_bytes(text.encode())

    assert rows_read(course, block) == rows_read(course, None)


@given(FILES, SIZES)
@settings(max_examples=12)
def test_blocks_and_rows_load_the_same(course: Course, text: str, block: int):
    (course.folder / "exports" / "a.csv").write_bytes(text.encode())

    assert loaded(course, block) == loaded(course, None)


TIDY = st.lists(
    st.lists(st.text(alphabet='ab",\n é²', max_size=20), min_size=3, max_size=3), max_size=30
)


@given(TIDY, st.sampled_from(["\n", "\r\n"]), st.sampled_from([csv.QUOTE_ALL, csv.QUOTE_MINIMAL]))
@settings(max_examples=60)
def test_a_block_is_laid_out_as_the_standard_library_reads_it(
    rows: list[list[str]], end: str, quoting: int
):
    stream = io.StringIO()
    csv.writer(stream, lineterminator=end, quoting=quoting).writerows([["head", "", ""], *rows])
    block = lay_out(stream.getvalue().encode(), ",", 3)

    assert block is not None
    kept = [row for row in [["head", "", ""], *rows] if any(row)]
    assert [block.cells(row) for row in range(len(kept))] == kept
    columns = [block.column(place) for place in range(3)]
    assert [list(row) for row in zip(*columns, strict=True)] == kept
    assert not list(block.other_rows(0))


@pytest.mark.parametrize(
    "text",
    [
        *('a,b"c\n', 'a,"b"c\n', 'a, "b"\n', 'a,"b\n', "a,b\rc,d\n", "a,\0\n", "a,b"),
        "a," + "b" * 140_000 + "\n",
    ],
)
def test_what_is_odd_is_left_to_the_reader_of_rows(text: str):
    assert lay_out(text.encode(), ",", 2) is None


def test_a_row_of_another_width_alone_leaves_the_block():
    block = lay_out(b'a,b\n"x\ny",1,2\n\nc,d\n', ",", 2)

    assert block is not None
    assert (block.lines.tolist(), block.line_ends) == ([0, 4], 5)
    assert list(block.other_rows(10)) == [(12, ["x\ny", "1", "2"])]


@given(st.lists(st.binary(max_size=40).map(lambda field: field.replace(b"\0", b"")), min_size=1))
def test_fields_are_the_same_where_their_bytes_are(fields: list[bytes]):
    sizes = np.array([len(field) for field in fields])
    starts = np.cumsum(sizes) - sizes
    found = field_codes(b"".join(fields) + bytes(WORD), starts, sizes)

    assert found is not None
    codes, first = found
    assert [fields[first[code]] for code in codes] == fields
    assert len(first) == len(set(fields))


def test_two_fields_of_one_mixture_are_not_taken_for_one(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(blocks, "_mixed", lambda state, _: state)
    data = b"aaaaaaaa1aaaaaaaa2"

    assert field_codes(data + bytes(WORD), np.array([0, 9]), np.array([9, 9])) is None
    block = lay_out(b"x,aaaaaaaa1\nx,aaaaaaaa2\n", ",", 2)
    assert block is not None
    assert block.column(1) is None


def test_withheld_texts_are_in_no_list_of_texts(course_of: Callable, tmp_path: Path):
    text = "student,item,answer\nada-lovelace,root-1,mail ada-lovelace\nada-lovelace,root-1,2\n"
    course = course_of({"a.csv": text})
    (batch,) = next(load_exports(course, KnownResponses.empty())).batches()

    lists = [str(column.cat.categories.tolist()) for _, column in batch.stored.items()
             if isinstance(column.dtype, pd.CategoricalDtype)]  # fmt: skip
    assert "withheld" in "".join(lists)
    assert "lovelace" not in "".join(lists)
