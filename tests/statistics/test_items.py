"""Item statistics, computed by the database, against published data."""

from __future__ import annotations

import pandas as pd
import pytest

from pipeline.statistics.observed import item_rates
from pipeline.warehouse import building

PATTERNS = """00000 3 00001 6 00010 2 00011 11 00100 1 00101 1 00110 3 00111 4 01000 1 01001 8
01011 16 01101 3 01110 2 01111 15 10000 10 10001 29 10010 14 10011 81 10100 3 10101 28 10110 15
10111 80 11000 16 11001 56 11010 21 11011 173 11100 11 11101 61 11110 28 11111 298"""
"""Bock and Lieberman (1970), Psychometrika 35:179-197, section 6, 1,000 students, from memory."""


@pytest.fixture(scope="module")
def statistics(tmp_path_factory: pytest.TempPathFactory) -> pd.DataFrame:
    words = PATTERNS.split()
    marks = [m for m, n in zip(words[::2], words[1::2], strict=True) for _ in range(int(n))]
    rows = [
        (f"{who:032x}", f"q{at}", mark)
        for who, pattern in enumerate(marks)
        for at, mark in enumerate(pattern)
    ]
    frame = pd.DataFrame(rows, columns=["student", "item", "answer"])
    frame = frame.assign(
        response=range(len(frame)), term="t", place="judge", task="judge", setting="exam",
        count=1, topic="x", week=1,
    )  # fmt: skip
    examined = pd.DataFrame(
        {"examined": [1, 2], "task": "judge", "answer": ["1", "0"], "verdict": ["right", "wrong"]}
    )
    path = tmp_path_factory.mktemp("items") / "course.duckdb"
    with building(path) as warehouse:
        warehouse.create("store", "computed")
        warehouse.put("store.response", frame)
        warehouse.put("store.examined", examined)
        warehouse.build(computed=False)
        return item_rates(warehouse.frame("staging.item_sums")).sort_values("item")


def test_difficulty(statistics: pd.DataFrame) -> None:
    """Share right by question, from the published counts."""
    expected = [0.924, 0.709, 0.553, 0.763, 0.870]

    assert statistics["difficulty"].to_numpy() == pytest.approx(expected)


def test_item_rest_correlation(statistics: pd.DataFrame) -> None:
    """Corrected item-total correlations as the R package psych gives them (r.drop)."""
    expected = [0.1128, 0.1532, 0.1728, 0.1444, 0.1216]

    assert statistics["item_rest"].to_numpy() == pytest.approx(expected, abs=5e-5)


def test_good_questions_carry_no_flag(statistics: pd.DataFrame) -> None:
    assert statistics["flag"].isna().all()


def test_a_question_that_hardly_anyone_gets_is_flagged() -> None:
    sums = pd.DataFrame(
        {
            "term": "t", "setting": "quiz", "item": ["key", "against", "all", "few"],
            "students": [100, 100, 100, 8], "answers": [100, 100, 100, 8],
            "right_answers": [4, 60, 100, 0], "item_rest": [-0.1, -0.2, None, None],
        }
    )  # fmt: skip
    flags = item_rates(sums)["flag"]

    assert "check the right answer" in flags[0]
    assert "worse here" in flags[1]
    assert "tells students no more apart" in flags[2]
    assert flags[3] is None or pd.isna(flags[3])
