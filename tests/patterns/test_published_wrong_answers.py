"""Wrong answers that others have published and labelled: the label's rule is among the candidates.

Otero, Druga and Lan 2024, MIT License; `tests/cases/published_wrong_answers.csv` says how they were
chosen.
"""

from __future__ import annotations

import csv
from functools import cache
from itertools import dropwhile
from pathlib import Path

import pytest

from pipeline.patterns.catalogue import pattern_of
from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.priors import is_specific
from tests.patterns.sources import Strength, strength_of

CASES = Path(__file__).parent.parent / "cases" / "published_wrong_answers.csv"
WANTED = 0.7
"""Share of the published answers for which a candidate's sentence has to fit the label."""


def rows() -> list[dict[str, str]]:
    with CASES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(dropwhile(lambda line: line.startswith("#"), file)))


def named(row: dict[str, str]) -> str:
    return f"label {row['label']}, example {row['example']}"


@cache
def found(task: str, problem: str, answer: str, work: str) -> Explanation:
    return examine(Request(task, problem, answer, work=work or None))


def explained(row: dict[str, str]) -> Explanation:
    return found(row["task"], row["problem"], row["answer"], row["work"])


def fits(row: dict[str, str]) -> bool:
    return any(one.faults == (row["pattern"],) for one in explained(row).patterns)


@pytest.mark.parametrize("row", [row for row in rows() if row["pattern"]], ids=named)
def test_the_published_rule_is_among_the_candidates(row: dict[str, str]) -> None:
    assert explained(row).verdict is Verdict.WRONG
    assert fits(row), explained(row)


def test_a_pattern_that_a_published_answer_shows_cites_what_is_published() -> None:
    named_there = {row["pattern"] for row in rows() if row["pattern"]}
    cited = {one: strength_of(pattern_of(one).source) for one in named_there}

    assert {one for one in cited if cited[one] is not Strength.STUDY} == set()


@pytest.mark.parametrize("row", [row for row in rows() if not row["pattern"]], ids=named)
def test_a_guess_is_laid_to_no_one_error(row: dict[str, str]) -> None:
    answer = explained(row)

    assert answer.verdict is Verdict.WRONG
    assert answer.unexplained is not None
    errors = [one for one in answer.patterns if is_specific(frozenset(one.faults))]
    assert all(one.share < answer.unexplained for one in errors), answer


@pytest.mark.parametrize("row", rows(), ids=named)
def test_the_right_answer_is_right(row: dict[str, str]) -> None:
    answer = found(row["task"], row["problem"], row["right"], "")

    assert answer.verdict is Verdict.RIGHT, answer
    assert answer.patterns == ()


def test_most_published_answers_get_a_fitting_candidate() -> None:
    assert sum(fits(row) for row in rows()) >= WANTED * len(rows())
