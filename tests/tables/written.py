"""A table of answers as each format's own library writes it."""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile

import pandas as pd
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.teletype import addTextToElement
from odf.text import P
from openpyxl import Workbook

HEADER = ["student", "item", "answer"]


def written(rows: list[list[str]], **dialect: object) -> str:
    stream = io.StringIO(newline="")
    csv.writer(stream, **dialect).writerows([HEADER, *rows])  # type: ignore[arg-type]
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


def in_every_format(rows: list[list[str]]) -> dict[str, bytes]:
    """The table as each format's own library writes it."""
    frame = pd.DataFrame(rows, columns=HEADER, dtype="str")
    text = written(rows)
    parquet, packed, archive = io.BytesIO(), io.BytesIO(), io.BytesIO()
    frame.to_parquet(parquet)
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as inside:
        inside.writestr("week 1/a.csv", text)
    packed.write(gzip.compress(text.encode()))
    return {
        "a.csv": text.encode(),
        "a.tsv": frame.to_csv(sep="\t", index=False).encode(),
        "a.csv.gz": packed.getvalue(),
        "a.zip": archive.getvalue(),
        "a.xlsx": xlsx([HEADER, *rows]),
        "a.ods": ods([HEADER, *rows]),
        "a.parquet": parquet.getvalue(),
        "a.json": frame.to_json(orient="records").encode(),
        "b.json": json.dumps({"quiz": "Quiz 1", "answers": frame.to_dict("records")}).encode(),
        "c.json": frame.to_json().encode(),
        "d.json": frame.to_json(orient="split").encode(),
        "e.json": json.dumps({name: frame[name].tolist() for name in HEADER}).encode(),
        "a.jsonl": frame.to_json(orient="records", lines=True).encode(),
        "a.ndjson": frame.to_json(orient="records", lines=True, force_ascii=False).encode(),
    }
