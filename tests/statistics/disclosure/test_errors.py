"""Which errors everyone sees, and which jointly, follows from the questions alone."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.disclosure.cells import UNIT, Laid, Part, Rules
from pipeline.statistics.showings import share_table
from pipeline.tagging.evidence import Evidence
from pipeline.tagging.shares import attribute
from tests.statistics.test_separation import ALIKE, KEYS, PARTED, Given, Questions, evidence_of

NO_SHARES = pd.DataFrame({"term": ["none"], "setting": ["quiz"], "topic": ["t"], "examined": [0],
                          "pattern": ["A"], "share": [1.0]})  # fmt: skip
FEW, KEY = 10, bytes(range(32))


def units(evidence: Evidence, shares: pd.DataFrame) -> dict[str, float]:
    """Error -> answers laid to it before any change."""
    rows = np.arange(len(evidence.opportunities))
    student = evidence.opportunities["student"].to_numpy(dtype=np.uint64)
    mark = (student << np.uint64(32)) + rows.astype(np.uint64)
    part = Part(("wrong", "fall", "quiz", "t"), np.ones_like(rows), mark, rows, rows, rows)
    laid = Laid(evidence, share_table(evidence, shares, evidence.opportunities))
    return {name: added.sum() / UNIT for name, added in laid.of(part, Rules(KEY, FEW))}


def named(questions: Questions, given: Given) -> set[str]:
    return set(units(evidence_of(questions, given), NO_SHARES))


@pytest.mark.parametrize(
    "q3", [{"right": 30}, {"right": 29, "a": 1}, {"a": 20, "b": 10}, {"other": 30}]
)
def test_no_answer_changes_what_is_named_or_which_jointly(q3: dict[str, int]) -> None:
    """Two errors were listed as one until the answer came that told them apart: whose it was."""
    given = {"fall q1": {"right": 20, "u": 10}, "fall q2": {"right": 30}, "fall q3": q3}

    assert named(PARTED, given) == {"A", "B"}


def test_errors_of_the_same_answers_on_all_questions_are_listed_together() -> None:
    assert named(ALIKE, {"fall q1": {"right": 30}, "fall q2": {"u": 30}}) == {"A / B"}


def test_a_question_that_nobody_answered_tells_no_errors_apart() -> None:
    assert named(PARTED, {"fall q1": {"right": 30}}) == {"A / B"}


def test_an_error_that_few_students_could_show_is_not_listed() -> None:
    given = {"fall q1": {"right": 30}, "fall q2": {"right": 9}}
    questions = {"q1": {"A": "u"}, "q2": {"B": "v"}}

    assert named(questions, given) == {"A"}


def laid(q3: dict[str, int]) -> dict[str, float]:
    """Error -> answers laid to it, where 30 of 60 others fit both errors."""
    fits_both = {"right": 15, "u": 15}, {"right": 15, "v": 15}
    given = {"fall q1": fits_both[0], "fall q2": fits_both[1], "fall q3": q3}
    evidence = evidence_of(PARTED, given)
    rows = evidence.opportunities
    wrong = rows.loc[rows["wrong"] == 1, [*KEYS, "examined", "question", "value_key"]]
    wrong = wrong.drop_duplicates().assign(unexplained=0.1, if_meant=False)
    candidates = pd.DataFrame(
        [(one.examined, [error], error, 1.0, False)
         for one in wrong.itertuples() for error in "AB"
         if one.value_key in PARTED[f"q{one.question + 1}"][error]],
        columns=["examined", "faults", "pattern", "weight", "general"],
    )  # fmt: skip
    return units(evidence, attribute(evidence, (), wrong, candidates, KEYS))


@pytest.mark.parametrize("q3", [{"right": 29, "a": 1}, {"right": 29, "b": 1}])
def test_one_answer_moves_no_share_of_the_answers_of_others(q3: dict[str, int]) -> None:
    """By weights of the class, one answer that parts two errors moved eleven of thirty others."""
    before, after = laid({"right": 30}), laid(q3)

    assert before == pytest.approx({"A": 13.5, "B": 13.5}, abs=1e-4)
    assert sum(after.values()) - sum(before.values()) == pytest.approx(0.9, abs=1e-4)
    assert all(0 <= after[error] - before[error] <= 1 for error in before)
