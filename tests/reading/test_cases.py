"""Typed answers of every kind are read as a mathematician would read them (tests/cases/reading)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from pipeline.exact.values import value_key
from pipeline.reading.answer import read_answer
from pipeline.reading.records import AnswerKind, ReadingContext

CASES = Path(__file__).parents[1] / "cases" / "reading"
KINDS: dict[str, AnswerKind] = {"set": "roots", "point": "point", "region": "region"}


@dataclass(frozen=True)
class Case:
    place: str
    answer: str
    kind: str
    expected: str
    alternatives: tuple[str, ...]


def cases() -> list[Case]:
    found = []
    for path in sorted(CASES.glob("*.txt")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if line and not line.startswith("# "):
                answer, kind, expected, alternatives, _ = (
                    line.split(" ; ")
                    if line.count(" ; ") == 4
                    else [*line.removesuffix(" ;").split(" ; "), ""]
                )
                others = tuple(filter(None, alternatives.strip().split(" || ")))
                answer = answer.replace("⏎", "\n")
                found.append(Case(f"{path.name}:{number}", answer, kind, expected, others))
    return found


CASES_READ = cases()


def key_of_source(source: str, kind: str) -> str:
    read = read_answer(source, ReadingContext(kind=KINDS.get(kind, "roots")))
    assert read.readings, f"the expected source {source!r} is unread: {read.reason}"
    return value_key(read.readings[0].value)


@pytest.mark.parametrize("case", CASES_READ, ids=lambda case: case.place)
def test_answer_is_read_as_meant(case: Case) -> None:
    read = read_answer(case.answer)
    found = [value_key(reading.value) for reading in read.readings]
    if case.expected == "UNREADABLE":
        assert found == []
        assert read.reason
        return
    assert found, f"{case.answer!r} is unread: {read.reason}"
    kind = "point" if case.expected.startswith("(") else case.kind
    assert found[0] == key_of_source(case.expected, kind)
    for other in case.alternatives:
        assert key_of_source(other, "point" if other.startswith("(") else "set") in found[1:]
    assert not case.alternatives or len(found) > 1


def test_there_are_hundreds_of_cases_and_as_many_refusals_as_a_reader_needs() -> None:
    refused = [case for case in CASES_READ if case.expected == "UNREADABLE"]
    assert len(CASES_READ) > 700
    assert len(refused) > 100
