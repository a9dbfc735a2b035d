"""Kinds of wrong answers that published lists name: shown in every arrangement, else silent."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine

CASES = Path(__file__).parent.parent / "cases" / "kinds_of_wrong_answers.txt"


class Case(NamedTuple):
    """An answer and what it must or must not be laid to."""

    kind: str
    task: str
    problem: str
    answer: str
    expected: str


def cases() -> list[Case]:
    found, kind = [], ""
    for line in CASES.read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            kind = line[3:].partition(":")[0]
        elif line and not line.startswith("#"):
            found.append(Case(kind, *line.split(" | ")))
    return found


@cache
def examined(task: str, problem: str, answer: str) -> Explanation:
    return examine(Request(task, problem, answer))


def holds(case: Case) -> bool:
    found = examined(case.task, case.problem, case.answer)
    if case.expected == "right":
        return found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM) and not found.patterns
    sets = {frozenset(one.faults) for one in found.patterns}
    wanted = case.expected.removeprefix("not ")
    listed = any(frozenset(one.split(" + ")) in sets for one in wanted.split(" / "))
    return found.verdict is Verdict.WRONG and listed != case.expected.startswith("not ")


@pytest.mark.parametrize("case", cases(), ids=lambda case: " | ".join(case[1:4]))
def test_a_kind_of_wrong_answer(case: Case) -> None:
    assert holds(case), examined(case.task, case.problem, case.answer)
