"""Parquet files as rows of texts, batch by batch.

Names stand beside the values, so the row of column names is line 0; rows below it count from 1.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pyarrow as pa
import pyarrow.parquet

from pipeline.errors import InputError
from pipeline.tables.budgets import ARCHIVE_BYTES, PARQUET_ROWS
from pipeline.tables.rows import TableRow, cell_text, whole_row
from pipeline.tables.source import Source

_BATCH_ROWS = 20_000
_BROKEN = (pa.ArrowException, OSError, ValueError, OverflowError)


def parquet_rows(source: Source) -> Callable[[str], Iterator[TableRow]]:
    """Rows of a Parquet file; typed values carry the marks of `pipeline.tables.rows`.

    Raises:
        InputError: no such file, damaged, or beyond the budgets.
    """
    with _opened(source) as file:
        texts = [one.name for one in file.schema_arrow if _is_text(one.type)]
    return lambda _: _rows(source, texts)


def _rows(source: Source, texts: list[str]) -> Iterator[TableRow]:
    with _opened(source, texts) as file:
        yield 0, list(file.schema_arrow.names)
        number = 0
        for batch in file.iter_batches(batch_size=_BATCH_ROWS):
            columns = [_texts(column, source.name) for column in batch.columns]
            for cells in zip(*columns, strict=True):
                number += 1
                if any(cells):
                    yield whole_row(number, list(cells))


@contextmanager
def _opened(source: Source, texts: list[str] | None = None) -> Iterator[Any]:
    with source.anywhere() as stream:
        try:
            # Texts stay in their dictionary, so that a long one that repeats is held once.
            file = pa.parquet.ParquetFile(stream, read_dictionary=texts)
            groups = map(file.metadata.row_group, range(file.metadata.num_row_groups))
            size = sum(group.total_byte_size for group in groups)
            if file.metadata.num_rows > PARQUET_ROWS or size > ARCHIVE_BYTES:
                raise InputError(
                    f"{source.name}: {file.metadata.num_rows:,} rows, {size:,} bytes unpacked; "
                    f"expected at most {PARQUET_ROWS:,} and {ARCHIVE_BYTES:,}. "
                    "Export it in several files."
                )
            yield file
        except _BROKEN as error:
            raise InputError(
                f"{source.name}: the Parquet file breaks off or is damaged ({error}). "
                "Export it again."
            ) from error


def _is_text(kind: Any) -> bool:
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind))


def _texts(column: Any, name: str) -> list[str]:
    if pa.types.is_dictionary(column.type):
        texts = [*(_text(value, name) for value in column.dictionary.to_pylist()), ""]
        return [texts[-1 if code is None else code] for code in column.indices.to_pylist()]
    return [_text(value, name) for value in column.to_pylist()]


def _text(value: Any, name: str) -> str:
    if isinstance(value, bytes):
        try:
            return value.decode("utf-8")
        except UnicodeDecodeError as error:
            raise InputError(
                f"{name}: a column of bytes that are no UTF-8 text. Export it as a column of text."
            ) from error
    if isinstance(value, (dict, list)):
        return json.dumps(value, ensure_ascii=False, default=str)
    return cell_text(value)
