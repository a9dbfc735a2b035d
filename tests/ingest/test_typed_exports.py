"""Answers that a program has changed are sent back; what was typed is kept as it was."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from openpyxl import Workbook


def test_changed_answers_are_counted_and_sent_back_while_typed_ones_are_kept(load_of: Callable):
    records = [
        {"student": 7, "item": "root-1", "answer": "03-04"},
        {"student": 8.0, "item": "root-1", "answer": "3/4"},
        {"student": "0009", "item": "root-1", "answer": "1e2"},
    ]
    loaded = load_of({"a.json": json.dumps(records)})

    assert loaded.responses["answer"].tolist() == ["03-04", "3/4", "1e2"]
    assert loaded.rejected.empty


def test_a_workbook_of_changed_answers_loads_the_others(load_of: Callable, tmp_path: Path):
    book = Workbook()
    sheet = book.active
    sheet.append(["student", "item", "answer", "score"])
    for student, answer, number_format in (
        (11, "3/4", "@"),
        (12, 0.75, "# ?/?"),
        (13, datetime(2026, 4, 3), "d-mmm"),
        (14, "=1+1", "General"),
        (15, 2, "General"),
    ):
        sheet.append([student, "root-1", answer, 0.5])
        sheet.cell(sheet.max_row, 3).number_format = number_format
        sheet.cell(sheet.max_row, 4).number_format = "0%"
    book.save(tmp_path / "b.xlsx")
    loaded = load_of({"b.xlsx": (tmp_path / "b.xlsx").read_bytes()})

    assert sorted(loaded.responses["answer"]) == ["2", "3/4"]
    assert loaded.responses["score"].tolist() == [0.5, 0.5]
    reasons = loaded.rejected.sort_values("line")["reason"].tolist()
    assert [reason.split(":")[0].split("this answer ")[1] for reason in reasons] == [
        "into a number of another form",
        "into a date",
        "for a formula",
    ]
    assert all("as text" in reason for reason in reasons)
    assert loaded.sources["rows_read"].tolist() == [5]
