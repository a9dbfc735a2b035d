"""JSON in pieces: what is read does not depend on where a piece ends, and memory on no length."""

from __future__ import annotations

import io
import json
import tracemalloc
from collections.abc import Iterator
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import InputError
from pipeline.standards import json_reading
from pipeline.standards.json_reading import JsonRecords, Record

values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=9) | st.floats(-9, 9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=6,
)
records = st.lists(st.dictionaries(st.sampled_from("abc"), values, max_size=3), max_size=4)
SHAPES = {
    "array": json.dumps,
    "indented": lambda found: json.dumps(found, indent=1),
    "page": lambda found: json.dumps({"more": "", "data": found}, ensure_ascii=False),
    "lines": lambda found: "".join(json.dumps(one) + "\n" for one in found) or "[]",
}


def read(data: bytes, size: int) -> list[Record] | str:
    with patch.object(json_reading, "_CHUNK", size):
        try:
            return list(JsonRecords(io.BytesIO(data), "a", frozenset({"data"})))
        except InputError as error:
            return str(error)


@pytest.mark.parametrize("shape", SHAPES)
@settings(max_examples=40)
@given(found=records, size=st.integers(2, 70), encoding=st.sampled_from(["utf-8", "utf-16"]))
def test_every_shape_gives_its_records(shape: str, found: list, size: int, encoding: str):
    data = SHAPES[shape](found).encode(encoding)
    again = read(data, size)

    assert isinstance(again, list)
    assert [json.dumps(one.value, default=float) for one in again] == list(map(json.dumps, found))


@settings(max_examples=150)
@given(
    found=records, shape=st.sampled_from(sorted(SHAPES)), size=st.integers(2, 40),
    cut=st.integers(0, 200), other=st.sampled_from(["", *'{"\n]1\\é', "NaN"]),
    skipped=st.integers(0, 5),
)  # fmt: skip
def test_damage_is_told_alike_wherever_a_piece_ends(
    found: list, shape: str, size: int, cut: int, other: str, skipped: int
):
    text = SHAPES[shape](found)
    data = (text[:cut] + other + text[cut + skipped :]).encode()

    assert read(data, size) == read(data, 1 << 16)


class Endless(io.RawIOBase):
    """A long array that is made while it is read."""

    def __init__(self, parts: Iterator[bytes]) -> None:
        self._parts = parts

    def read(self, _size: int = -1) -> bytes:
        return next(self._parts, b"")


def test_memory_does_not_grow_with_the_file():
    def parts(count: int) -> Iterator[bytes]:
        yield b"["
        for number in range(count):
            yield b'{"a": "%d %s"},\n' % (number, b"x" * 1000)
        yield b"{}]"

    def peak(count: int) -> int:
        tracemalloc.start()
        assert sum(1 for _ in JsonRecords(Endless(parts(count)), "a")) == count + 1  # type: ignore[arg-type]
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return most

    assert peak(4_000) < 2 * peak(400) + 100_000


def test_a_record_beyond_the_budget_is_refused(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(json_reading, "MAX_VALUE", 100)

    assert len(read(b'[{"a": 1}, {"b": 2}]', 8)) == 2
    assert str(read(b'[1,\n{"a": "' + b"x" * 400 + b'"}]', 8)).startswith(
        "a:2:1: a record of more than 100 characters"
    )
