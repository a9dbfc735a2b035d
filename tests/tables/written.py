"""A table as each format's own library writes it."""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile
from collections.abc import Callable

import pandas as pd
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.teletype import addTextToElement
from odf.text import P
from openpyxl import Workbook

HEADER = ["student", "item", "answer"]


def written(rows: list[list[str]], **dialect: object) -> str:
    stream = io.StringIO(newline="")
    csv.writer(stream, **dialect).writerows(rows)  # type: ignore[arg-type]
    return stream.getvalue()


def ods(rows: list[list[str]]) -> bytes:
    book = OpenDocumentSpreadsheet()
    sheet = Table(name="Answers")
    for cells in rows:
        row = TableRow()
        for text in cells:
            cell = TableCell(valuetype="string")
            for line in text.split("\n"):
                paragraph = P()
                addTextToElement(paragraph, line)
                cell.addElement(paragraph)
            row.addElement(cell)
        sheet.addElement(row)
    book.spreadsheet.addElement(sheet)
    stream = io.BytesIO()
    book.write(stream)
    return stream.getvalue()


def xlsx(rows: list[list[str]]) -> bytes:
    book = Workbook()
    for line, cells in enumerate(rows, 1):
        for column, text in enumerate(cells, 1):
            cell = book.active.cell(line, column)
            cell.value = text or None
            if text:
                cell.data_type = "s"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def packed(rows: list[list[str]]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as inside:
        inside.writestr("week 1/a.csv", written(rows))
    return stream.getvalue()


def parquet(rows: list[list[str]]) -> bytes:
    stream = io.BytesIO()
    frame(rows).to_parquet(stream)
    return stream.getvalue()


def frame(rows: list[list[str]]) -> pd.DataFrame:
    return pd.DataFrame(rows[1:], columns=rows[0], dtype="str")


def inside_an_object(rows: list[list[str]]) -> str:
    return json.dumps({"quiz": "Quiz 1", "answers": frame(rows).to_dict("records")})


def lists(rows: list[list[str]]) -> str:
    return json.dumps({name: column.tolist() for name, column in frame(rows).items()})


WRITERS: dict[str, Callable[[list[list[str]]], bytes | str]] = {
    "a.csv": written,
    "b.csv": lambda rows: written(rows, delimiter=";").encode("utf-16"),
    "a.tsv": lambda rows: frame(rows).to_csv(sep="\t", index=False),
    "a.csv.gz": lambda rows: gzip.compress(written(rows).encode()),
    "a.zip": packed,
    "a.xlsx": xlsx,
    "a.ods": ods,
    "a.parquet": parquet,
    "a.json": lambda rows: frame(rows).to_json(orient="records"),
    "b.json": inside_an_object,
    "c.json": lambda rows: frame(rows).to_json(),
    "d.json": lambda rows: frame(rows).to_json(orient="split"),
    "e.json": lists,
    "a.jsonl": lambda rows: frame(rows).to_json(orient="records", lines=True),
    "a.ndjson": lambda rows: frame(rows).to_json(orient="records", lines=True, force_ascii=False),
}
"""Name of a file -> what writes it from rows, the first of which holds the column names."""


def in_format(name: str, rows: list[list[str]]) -> bytes:
    data = WRITERS[name](rows)
    return data.encode() if isinstance(data, str) else data


def in_every_format(rows: list[list[str]]) -> dict[str, bytes]:
    """A table of answers with the column names `HEADER` in every format."""
    return {name: in_format(name, [HEADER, *rows]) for name in WRITERS}
