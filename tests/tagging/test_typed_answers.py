"""Answers in odd notation, missing brackets, and one wrong answer of each common error."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pipeline.records import Request
from pipeline.tagging.examine import examine

CASES = Path(__file__).parents[1] / "cases"
TAGGED = {"wrong", "right-if-meant"}


def rows(name: str, columns: int) -> Iterator[list[str]]:
    for line in (CASES / name).read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            yield line.split(" # ", columns - 1)


def test_every_typing_gets_its_verdict_and_no_right_one_a_tag() -> None:
    off = []
    for verdict, task, problem, answers in rows("typed_answers.txt", 4):
        for answer in answers.split(" ## "):
            found = examine(Request(task, problem, answer))
            if found.verdict != verdict or (verdict not in TAGGED and found.patterns):
                off.append((task, problem, answer, found.verdict, verdict))

    assert not off


def test_the_error_comes_first_or_tied_with_fresh_numbers() -> None:
    off = []
    for pattern, task, rest in rows("wrong_answers_with_fresh_numbers.txt", 3):
        for problem, answer in (one.split(" # ") for one in rest.split(" ## ")):
            found = examine(Request(task, problem, answer)).patterns
            first = {fault for one in found if one.share > found[0].share - 1e-6
                     for fault in one.faults}  # fmt: skip
            if pattern not in first:
                off.append((pattern, problem, answer, first))

    assert not off
