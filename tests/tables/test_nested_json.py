"""Records with objects in them become rows; what is mixed stays one cell."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from pipeline.tables import plain_text
from pipeline.tables.budgets import JSON_DEPTH
from tests.tables.test_typed_cells import rows_of

NESTED = [
    (
        [{"who": "a", "q": {"id": "q1", "text": {"en": "Solve"}}}, {"who": "b", "q": None}],
        [["who", "q.id", "q.text.en"], ["a", "q1", "Solve"], ["b", "", ""]],
    ),
    (
        [
            {"who": "a", "given": [{"q": "q1", "typed": "2"}, {"q": "q2", "typed": "3"}]},
            {"who": "b", "given": []},
        ],
        [["who", "given.q", "given.typed"], ["a", "q1", "2"], ["a", "q2", "3"], ["b", "", ""]],
    ),
    (
        [{"who": "a", "answer": "2"}, {"who": "b", "answer": {"box": "3"}}],
        [["who", "answer"], ["a", "2"], ["b", '{"box": "3"}']],
    ),
    (
        [{"who": "a", "x": [{"n": 1}], "y": [{"m": 2}]}],
        [["who", "x", "y"], ["a", '[{"n": "1"}]', '[{"m": "2"}]']],
    ),
    ([{"who": "a", "tags": ["u", "v"]}], [["who", "tags"], ["a", '["u", "v"]']]),
]


@pytest.mark.parametrize("ending", ["json", "jsonl"])
@pytest.mark.parametrize(("records", "told"), NESTED)
def test_objects_are_opened_where_all_records_have_them(
    tmp_path: Path, records: list[dict[str, Any]], told: list[list[str]], ending: str
):
    lines = "\n".join(map(json.dumps, records)) if ending == "jsonl" else json.dumps(records)
    (tmp_path / f"a.{ending}").write_text(lines)

    rows = [[plain_text(cell) for cell in cells] for _, cells in rows_of(tmp_path / f"a.{ending}")]
    assert rows == told


def test_records_nested_without_end_are_refused_by_name(tmp_path: Path):
    deep = "{}"
    for _ in range(3 * JSON_DEPTH):
        deep = f'{{"a": {deep}}}'
    (tmp_path / "a.jsonl").write_text(f'{{"who": "a", "q": {deep}}}\n{{"who": "b", "q": null}}\n')

    rows = dict(rows_of(tmp_path / "a.jsonl"))
    assert "nested deeper" in rows[1].reason
