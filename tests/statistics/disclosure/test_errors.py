"""Which errors everyone sees, and which jointly, follows from the questions alone."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from pipeline.statistics.disclosure.errors import error_parts
from tests.statistics.test_separation import ALIKE, PARTED, Given, Questions, evidence_of

NO_SHARES = pd.DataFrame({"term": ["none"], "setting": ["quiz"], "topic": ["t"], "examined": [0],
                          "pattern": ["A"], "share": [1.0]})  # fmt: skip


def named(questions: Questions, given: Given, students: int = 10) -> dict[str, int]:
    """Error -> answers that could show it."""
    evidence = evidence_of(questions, given)
    dated = evidence.opportunities.assign(week=1.0, answered_week=1.0)
    parts = error_parts(replace(evidence, opportunities=dated), NO_SHARES, 1, students)
    return {part.names[4]: int(part.n.sum()) for part in parts}


@pytest.mark.parametrize(
    "q3", [{"right": 30}, {"right": 29, "a": 1}, {"a": 20, "b": 10}, {"other": 30}]
)
def test_no_answer_changes_what_is_named_or_which_jointly(q3: dict[str, int]) -> None:
    """Two errors were listed as one until the answer came that told them apart: whose it was."""
    given = {"fall q1": {"right": 20, "u": 10}, "fall q2": {"right": 30}, "fall q3": q3}

    assert named(PARTED, given) == {"A": 90, "B": 90}


def test_errors_of_the_same_answers_on_all_questions_are_listed_together() -> None:
    assert named(ALIKE, {"fall q1": {"right": 30}, "fall q2": {"u": 30}}) == {"A / B": 60}


def test_a_question_that_nobody_answered_tells_no_errors_apart() -> None:
    assert named(PARTED, {"fall q1": {"right": 30}}) == {"A / B": 30}


def test_an_error_that_few_answers_could_show_is_not_listed() -> None:
    given = {"fall q1": {"right": 30}, "fall q2": {"right": 9}}
    questions = {"q1": {"A": "u"}, "q2": {"B": "v"}}

    assert named(questions, given) == {"A": 30}
