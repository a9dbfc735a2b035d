from __future__ import annotations

import numpy as np
import pandas as pd

from reports.tables import Column, Table, hidden_rows

FRAME = pd.DataFrame(
    {
        "pattern": ["half-not-squared", "slip-sign"],
        "rate": [0.21027, None],
        "low": [0.17, None],
        "high": [0.25, None],
        "students": [212, None],
        "joint": [np.array(["a-b", "c-d"], dtype=object), np.array([], dtype=object)],
        "note": [None, "hidden: fewer than 10 students"],
    }
)
TABLE = Table(
    "errors",
    "Known errors",
    (
        Column("error", ("pattern",), "pattern"),
        Column("how common", ("rate",), "percent"),
        Column("likely range", ("low", "high"), "range"),
        Column("students", ("students",), "count"),
        Column("with", ("joint",), "list"),
    ),
    FRAME,
)


def test_a_cell_prints_words_and_keeps_the_value_of_the_database() -> None:
    cells = TABLE.rows[0].cells

    assert [cell.text for cell in cells[1:]] == ["21%", "17% to 25%", "212", "a b, c d"]
    assert float(cells[1].value) == 0.21027


def test_a_hidden_row_prints_no_figure_and_says_why() -> None:
    row = TABLE.rows[1]

    assert [cell.text for cell in row.cells[1:4]] == ["–", "–", "–"]
    assert [cell.value for cell in row.cells[1:4]] == ["", "", ""]
    assert row.note == "hidden: fewer than 10 students"


def test_why_rows_are_hidden_is_said_once_where_the_line_below_says_it() -> None:
    rows = FRAME.assign(note=["few answers", "hidden: fewer than 10 students"])
    table = Table("t", "c", TABLE.columns, rows, left_out=hidden_rows(rows))

    assert table.left_out == "The figures of 1 row are hidden: fewer than 10 students."
    assert [row.note for row in table.rows] == ["few answers", "hidden"]


def test_what_all_rows_say_alike_is_said_once() -> None:
    notes = ["weeks pooled; few answers"] + ["weeks pooled"] * (len(FRAME) - 1)
    table = Table("t", "c", TABLE.columns, FRAME.assign(note=notes))

    assert table.shared_notes == ("weeks pooled",)
    assert [row.note for row in table.rows] == ["few answers", *[""] * (len(FRAME) - 1)]
    assert TABLE.shared_notes == ()


def test_a_long_table_shows_its_first_rows_and_folds_the_whole() -> None:
    frame = pd.concat([FRAME] * 4, ignore_index=True)
    head, whole = Table("t", "Errors", TABLE.columns, frame, first=2).shown

    assert (len(head.rows), head.folded) == (2, False)
    assert (len(whole.rows), whole.folded) == (8, True)
    assert head.name != whole.name
    assert len(Table("t", "Errors", TABLE.columns, frame, first=7).shown) == 1


def test_a_table_says_how_many_rows_are_hidden() -> None:
    assert hidden_rows(FRAME) == "The figures of 1 row are hidden: fewer than 10 students."
    assert hidden_rows(FRAME.head(1)) == ""
    assert hidden_rows(FRAME.drop(columns="note")) == ""


def test_a_name_from_a_file_cannot_bring_markup() -> None:
    frame = FRAME.assign(pattern="<script>x</script>")
    table = Table("t", "c", (Column("error", ("pattern",), "pattern"),), frame)

    assert "<script>" not in table.rows[0].cells[0].text
