from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

CASES = Path(__file__).parents[1] / "cases" / "exports"
LINES = [
    [part.strip() for part in line.split("|")]
    for line in (CASES / "expected.txt").read_text("utf-8").splitlines()
    if line and not line.startswith("#")
]


def test_every_case_file_is_expected_somewhere():
    expected = {path.name for path in CASES.glob("*.csv")}

    assert expected == {line[0] for line in LINES}


@pytest.mark.parametrize("line", LINES, ids=[line[0] for line in LINES])
def test_a_file_ends_as_expected(load_of: Callable, line: list[str]):
    name, first, *rest = line
    loaded = load_of({name: (CASES / name).read_bytes()})
    if first.startswith("cannot be read"):
        assert first.partition(": ")[2] in loaded.errors[f"exports/{name}"]
        assert loaded.responses.empty
        return
    duplicates, *reasons = rest
    reasons = [reason for reason in reasons if reason]

    assert (int(first), int(duplicates)) == (len(loaded.responses), len(loaded.duplicates))
    found = loaded.rejected.sort_values("line").to_dict("records")
    assert len(reasons) == len(found)
    for reason, row in zip(reasons, found, strict=True):
        number, _, words = reason.partition(": ")
        words, _, value = words.partition(" = ")
        assert int(number) == row["line"]
        assert words in row["reason"]
        assert (value or None) == (row["value"] if isinstance(row["value"], str) else None)
    assert loaded.sources["rows_read"].sum() == sum(
        map(len, (loaded.responses, loaded.duplicates, loaded.rejected))
    )


@pytest.mark.parametrize("line", LINES, ids=[line[0] for line in LINES])
def test_no_raw_id_leaves_the_ingest(load_of: Callable, line: list[str]):
    loaded = load_of({line[0]: (CASES / line[0]).read_bytes()})
    frames = (loaded.responses, loaded.rejected, loaded.duplicates, loaded.sources)
    text = "\n".join(frame.to_csv() for frame in frames) + loaded.notes + str(loaded.errors)

    for student in ("a1", "a2", "a3", "A1"):
        assert f",{student}," not in text
        assert f"'{student}'" not in text
