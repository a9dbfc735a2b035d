"""Whatever a file holds: one clear message or an account of its rows, never anything else."""

from __future__ import annotations

import csv
import gzip
import io
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from pipeline.errors import InputError
from pipeline.ingest.propose import propose_map

QUIET = settings(
    max_examples=30,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
words = st.sampled_from(
    ["student", "Student ID", "item", "answer", "answer 1", "answer 2", "date", "root-1", "quad-1",
     "root-1 score", "x^2 = 4", "Total", "", "Average", "2", "2/3/2026", "13/3/2026", "1-Mar",
     "ann", "bob", "term", "=1+1", "'-3", "count"]
)  # fmt: skip
tables = st.lists(st.lists(words, max_size=7), max_size=10)
any_bytes = st.one_of(
    st.binary(max_size=200),
    st.text(max_size=120).map(lambda text: text.encode("utf-8", "surrogatepass")),
    st.text("student,item,answer\n\"';\t|\r\0 123", max_size=160).map(str.encode),
    st.text("aé√±\n,", max_size=40).map(lambda text: text.encode("utf-16")),
)


def outcome(load_course: Callable, build_course: Callable, exports: dict[str, bytes]) -> None:
    with tempfile.TemporaryDirectory() as place:
        course = build_course(Path(place) / "c", exports)
        loaded = load_course(course)
        for name in exports:
            file = f"exports/{name}"
            stored = [] if loaded.sources.empty else loaded.sources["file"].tolist()
            assert (file in loaded.errors) != (file in stored)
            with suppress(InputError):
                assert propose_map(course, file).map.columns
        for message in loaded.errors.values():
            assert place not in message
            assert message.endswith((".", "]]"))
        if not loaded.sources.empty:
            counts = loaded.sources[["stored", "duplicates", "rejected"]].sum(axis=1)
            assert counts.tolist() == loaded.sources["rows_read"].tolist()


def wide(columns: int) -> bytes:
    names = ["student", "root-1", *(f"c{number}" for number in range(columns - 2))]
    rows = [names, *([f"s{row}", "2", *["x"] * (columns - 2)] for row in range(3))]
    return "\n".join(map(",".join, rows)).encode()


@pytest.mark.parametrize(
    ("name", "data", "stored", "said"),
    [
        ("10,000 columns.csv", wide(10_000), 3, "c11 and 9,986 more"),
        ("17,000 columns.csv", wide(17_000), 0, "17,000 columns; expected at most 16,384"),
        ("a.csv", b"student,item,answer,answer\na,root-1,2,3\n", 1, "not used: answer (2)"),
        ("a.csv", b"student,item,answer\na,root-1,2\nb,root-1,caf\xe9\n", 0, "line 3: byte 0xE9"),
        (
            "a.csv",
            "student,item,answer\n".encode("utf-16") + b"a,root-1,2\n",
            0,
            "0x0A is not UTF-16",
        ),
        ("a.json", b'[{"verb": {"id": ' + b"[" * 5_000, 0, "values inside each other"),
        (
            "a.jsonl.gz",
            gzip.compress(b'{"verb": {"' + b"a" * (65 << 20), mtime=0),
            0,
            "unpacks to more",
        ),
        ("a.xml", b'<!DOCTYPE a [<!ENTITY b "cc">]><assessmentResult/>', 0, "a document type"),
    ],
    ids=lambda value: str(value)[:24],
)
def test_what_hostile_files_are_told(
    load_course: Callable, build_course: Callable, tmp_path: Path,
    name: str, data: bytes, stored: int, said: str,
):  # fmt: skip
    loaded = load_course(build_course(tmp_path / "c", {name: data}))
    reasons = loaded.rejected["reason"].tolist() if len(loaded.rejected) else []

    assert len(loaded.responses) == stored
    assert said in " ".join([*loaded.errors.values(), *reasons, loaded.notes])


@pytest.mark.thorough
@QUIET
@given(data=any_bytes)
def test_any_bytes(build_course: Callable, load_course: Callable, data: bytes):
    outcome(load_course, build_course, {"a.csv": data})


@pytest.mark.thorough
@QUIET
@given(table=tables)
def test_any_table_of_trade_words(build_course: Callable, load_course: Callable, table: list):
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows(table)
    book = Workbook()
    for row in table:
        book.active.append([cell or None for cell in row])
    workbook = io.BytesIO()
    book.save(workbook)

    outcome(
        load_course,
        build_course,
        {"a.csv": stream.getvalue().encode(), "b.xlsx": workbook.getvalue()},
    )


@QUIET
@given(data=st.binary(max_size=300))
def test_any_bytes_called_a_workbook(build_course: Callable, load_course: Callable, data: bytes):
    outcome(load_course, build_course, {"a.xlsx": b"PK\x03\x04" + data, "b.xlsx": data})
