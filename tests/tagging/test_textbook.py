"""Answers printed in textbooks are judged right, except printed keys that are wrong."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pipeline.exact.values import value_source
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import read_problem, solved

TEXTBOOK = Path(__file__).parent.parent / "cases" / "textbook_solve.csv"
"""OpenStax Elementary, Intermediate and College Algebra 2e, Rice University, CC BY 4.0."""

MISPRINTED = {
    ("OpenStax Elementary Algebra 2e", "10.3", "2x^2+12x-3=0"): {
        "-3 + sqrt(42)/2",
        "-3 - sqrt(42)/2",
    },
    ("OpenStax Intermediate Algebra 2e", "9.8", "-x^2+2x+1≥0"): {
        "Interval(1 - sqrt(2), 1 + sqrt(2))"
    },
}
"""Book, section, problem -> the computed answer, where the printed one is wrong."""
COMPLEX_ASKED = {"x^4-13x^2-30=0", "x^4-8x^2-9=0"}
"""Printed answers that hold i although the exercise does not say so."""


def rows() -> list[dict[str, str]]:
    with TEXTBOOK.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def key_of(row: dict[str, str]) -> tuple[str, str, str]:
    return row["book"], row["section"].split()[0], row["problem"]


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['section'][:4]} {row['problem']}")
def test_printed_answer(row: dict[str, str]) -> None:
    over = "(complex allowed)" in row["task"] or row["problem"] in COMPLEX_ASKED
    numbers = "complex" if over else "real"
    found = examine(Request("solve", row["problem"], row["answer"], numbers=numbers))

    if key_of(row) in MISPRINTED:
        assert found.verdict is Verdict.WRONG
        answer = solved(read_problem(row["problem"]), numbers).answer
        assert answer is not None
        text = value_source(answer.value).strip("[]")
        assert all(part in text for part in MISPRINTED[key_of(row)])
    else:
        assert found.verdict is Verdict.RIGHT, found
        assert found.patterns == ()


def test_every_misprint_is_still_in_the_file() -> None:
    assert set(MISPRINTED) <= {key_of(row) for row in rows()}
