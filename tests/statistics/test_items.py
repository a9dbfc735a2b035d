"""Item statistics, computed by the database, against published data."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy import stats
from scipy.optimize import linprog

from pipeline.statistics.items import (
    correlation_limits,
    discrimination,
    feldt,
    item_rates,
    option_shares,
    quiz_scores,
)
from pipeline.warehouse import building

SIX = """00000 3 00001 6 00010 2 00011 11 00100 1 00101 1 00110 3 00111 4 01000 1 01001 8
01011 16 01101 3 01110 2 01111 15 10000 10 10001 29 10010 14 10011 81 10100 3 10101 28 10110 15
10111 80 11000 16 11001 56 11010 21 11011 173 11100 11 11101 61 11110 28 11111 298"""
"""Bock and Lieberman (1970), Psychometrika 35:179-197, section 6, 1,000 students, from memory."""

SEVEN = """00000 12 00001 19 00010 1 00011 7 00100 3 00101 19 00110 3 00111 17 01000 10 01001 5
01010 3 01011 7 01100 7 01101 23 01110 8 01111 28 10000 7 10001 39 10010 11 10011 34 10100 14
10101 51 10110 15 10111 90 11000 6 11001 25 11010 7 11011 35 11100 18 11101 136 11110 32
11111 308"""
"""The same, section 7."""

NO_LEAD = pd.DataFrame(columns=["term", "setting", "item", "leading_wrong"])
NONE_BLIND = pd.DataFrame(columns=["term", "setting", "item"])


def staged(patterns: str, folder: Path) -> dict[str, pd.DataFrame]:
    words = patterns.split()
    marks = [m for m, n in zip(words[::2], words[1::2], strict=True) for _ in range(int(n))]
    rows = [
        (f"{who:032x}", f"q{at}", mark)
        for who, pattern in enumerate(marks)
        for at, mark in enumerate(pattern)
    ]
    frame = pd.DataFrame(rows, columns=["student", "item", "answer"])
    frame = frame.assign(
        response=range(len(frame)), term="t", place="judge", task="judge", setting="exam",
        count=1, topic="x", week=1, quiz="test",
    )  # fmt: skip
    examined = pd.DataFrame(
        {"examined": [1, 2], "task": "judge", "answer": ["1", "0"], "verdict": ["right", "wrong"]}
    )
    with building(folder / "course.duckdb") as warehouse:
        warehouse.put("store.response", frame)
        warehouse.put("store.examined", examined)
        warehouse.build(computed=False)
        names = ("staging.item_sums", "staging.score_count", "staging.leading_wrong")
        return {name: warehouse.frame(name) for name in names}


@pytest.fixture(scope="module")
def six(tmp_path_factory: pytest.TempPathFactory) -> dict[str, pd.DataFrame]:
    return staged(SIX, tmp_path_factory.mktemp("six"))


@pytest.fixture(scope="module")
def seven(tmp_path_factory: pytest.TempPathFactory) -> dict[str, pd.DataFrame]:
    return staged(SEVEN, tmp_path_factory.mktemp("seven"))


def rates(tables: dict[str, pd.DataFrame]) -> pd.DataFrame:
    return item_rates(tables["staging.item_sums"], NO_LEAD, NONE_BLIND).sort_values("item")


def test_difficulty(six: dict[str, pd.DataFrame], seven: dict[str, pd.DataFrame]) -> None:
    """Share right by question, from the published counts."""
    found = [rates(tables)["difficulty"].to_numpy() for tables in (six, seven)]

    assert found[0] == pytest.approx([0.924, 0.709, 0.553, 0.763, 0.870])
    assert found[1] == pytest.approx([0.828, 0.658, 0.772, 0.606, 0.843])


def test_item_rest_correlation(
    six: dict[str, pd.DataFrame], seven: dict[str, pd.DataFrame]
) -> None:
    """Corrected item-total correlations as the R package psych gives them (r.drop)."""
    found = [rates(tables)["item_rest"].to_numpy() for tables in (six, seven)]

    assert found[0] == pytest.approx([0.1128, 0.1532, 0.1728, 0.1444, 0.1216], abs=5e-5)
    assert found[1] == pytest.approx([0.2457, 0.2467, 0.3132, 0.2228, 0.1748], abs=5e-5)


@pytest.mark.parametrize(
    ("name", "alpha", "low", "high", "deviation", "error"),
    [
        ("six", 0.2949972, 0.2235, 0.3618, 1.0350, 0.8691),
        ("seven", 0.4534087, 0.3980, 0.5052, 1.1986, 0.8861),
    ],
)
def test_alpha(
    request: pytest.FixtureRequest,
    name: str,
    alpha: float,
    low: float,
    high: float,
    deviation: float,
    error: float,
) -> None:
    """Alpha and its interval as R's psych (alpha, alpha.ci) gives them for these data."""
    row = quiz_scores(request.getfixturevalue(name)["staging.score_count"]).iloc[0]

    assert row["alpha"] == pytest.approx(alpha, abs=5e-8)
    assert (row["alpha_low"], row["alpha_high"]) == pytest.approx((low, high), abs=5e-5)
    assert (row["deviation"], row["score_error"]) == pytest.approx((deviation, error), abs=5e-5)
    assert (row["questions"], row["students"]) == (5, 1000)


def test_the_interval_of_alpha() -> None:
    """Feldt, Woodruff and Salih (1987): alpha .79, 26 questions, 41 students, 90 %."""
    assert feldt(0.79, 41, 26, 0.90) == pytest.approx((0.7047, 0.8616), abs=5e-5)


def test_discrimination(six: dict[str, pd.DataFrame], seven: dict[str, pd.DataFrame]) -> None:
    """Tails of exactly 27 % by fractional ties; computed once from the same counts by hand."""
    found = [
        discrimination(tables["staging.score_count"]).sort_values("item")["discrimination"]
        for tables in (six, seven)
    ]

    assert found[0].to_numpy() == pytest.approx([0.1966, 0.6315, 0.8109, 0.5370, 0.3203], abs=5e-5)
    assert found[1].to_numpy() == pytest.approx([0.4330, 0.7198, 0.5816, 0.7421, 0.3754], abs=5e-5)


def test_discrimination_does_not_depend_on_the_order_of_rows(
    six: dict[str, pd.DataFrame],
) -> None:
    scores = six["staging.score_count"]
    turned = discrimination(scores.sample(frac=1, random_state=3)).sort_values("item")
    straight = discrimination(scores).sort_values("item")

    assert turned["discrimination"].to_numpy() == pytest.approx(
        straight["discrimination"].to_numpy(), rel=1e-12
    )


def test_tails_of_27_percent_are_kelleys() -> None:
    """Kelley (1939), from memory: the tail q that maximizes phi(z_q) / sqrt(q) is .2703."""
    q = np.linspace(0.2, 0.35, 15_001)
    best = q[(stats.norm.pdf(stats.norm.ppf(q)) / np.sqrt(q)).argmax()]

    assert best == pytest.approx(0.2703, abs=5e-5)


def test_correlation_limits_are_scipys() -> None:
    generator = np.random.default_rng(1)
    x = generator.normal(size=40)
    y = x + generator.normal(size=40)
    library = stats.pearsonr(x, y)
    low, high = correlation_limits(library.statistic, 40)

    assert (low, high) == pytest.approx(tuple(library.confidence_interval()))
    assert np.isnan(correlation_limits(0.3, 3)).all()


def test_good_questions_carry_no_flag(
    six: dict[str, pd.DataFrame], seven: dict[str, pd.DataFrame]
) -> None:
    assert rates(six)["flag"].isna().all()
    assert rates(seven)["flag"].isna().all()


def test_incomplete_scores_give_no_alpha(seven: dict[str, pd.DataFrame]) -> None:
    scores = seven["staging.score_count"]
    few = scores[scores["score"] == 0]
    row = quiz_scores(few).iloc[0]

    assert row["students"] == 12
    assert "alpha" not in row.index
    assert "answered every question" in row["note"]
    assert discrimination(few)["discrimination"].isna().all()


def test_students_who_answered_a_part_of_a_quiz_are_counted_beside_its_scores(
    tmp_path: Path,
) -> None:
    scores = quiz_scores(staged("11 20 10 15 1 3", tmp_path)["staging.score_count"])

    assert scores[["students", "others"]].to_numpy().tolist() == [[35, 3]]


def sums(**columns: object) -> pd.DataFrame:
    base: dict[str, object] = {"term": "t", "setting": "quiz", "item": ["q"], "students": 100,
                               "answers": 100, "right_answers": 60, "pairs": 100,
                               "item_rest": 0.4}  # fmt: skip
    return pd.DataFrame(base | columns)


def flag(
    table: pd.DataFrame, lead: pd.DataFrame = NO_LEAD, blind: pd.DataFrame = NONE_BLIND
) -> str:
    found = item_rates(table, lead, blind)["flag"].iloc[0]
    return "" if pd.isna(found) else str(found)


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        pytest.param({"right_answers": 4, "item_rest": -0.1}, "check the right answer", id="key"),
        pytest.param({"item_rest": -0.4}, "wrong answers elsewhere", id="against"),
        pytest.param({"right_answers": 100, "item_rest": None}, "tells nothing", id="all"),
        pytest.param({"item_rest": -0.15}, "hardly go with", id="tells-little"),
    ],
)
def test_reasons_for_a_look(columns: dict[str, object], words: str) -> None:
    assert words in flag(sums(**columns))


@pytest.mark.parametrize(
    "columns",
    [
        pytest.param({}, id="in-order"),
        pytest.param({"item_rest": 0.15}, id="interval-reaches-the-threshold"),
        pytest.param({"item_rest": -0.05, "pairs": 29, "students": 29, "answers": 29,
                      "right_answers": 1}, id="too-few-students"),
        pytest.param({"right_answers": 4, "item_rest": 0.5}, id="hard-but-telling"),
        pytest.param({"right_answers": 97, "item_rest": 0.05}, id="easy-is-no-fault"),
    ],
)  # fmt: skip
def test_no_reason_for_a_look(columns: dict[str, object]) -> None:
    assert not flag(sums(**columns))


def test_one_wrong_answer_ahead_of_the_right_one_points_to_the_key() -> None:
    lead = pd.DataFrame({"term": ["t"], "setting": "quiz", "item": "q", "leading_wrong": 55})

    assert "agree on one wrong value" in flag(sums(right_answers=30, item_rest=0.0), lead)
    assert not flag(sums(right_answers=30, item_rest=0.5), lead), "a common error, not the key"
    assert "agree" not in flag(sums(right_answers=60, item_rest=0.0), lead)


def test_a_question_blind_for_its_lessons_is_told() -> None:
    blind = pd.DataFrame({"term": ["t"], "setting": "quiz", "item": "q"})

    assert "lessons on its topic" in flag(sums(), blind=blind)


def test_under_thirty_students_there_is_no_correlation() -> None:
    row = item_rates(sums(students=29, pairs=29, answers=29, right_answers=9), NO_LEAD, NONE_BLIND)

    assert row["item_rest"].isna().all()
    assert row["item_rest_note"].tolist() == ["too few students: fewer than 30"]


def test_options() -> None:
    """Wilson for 0 of 100 ends at .037: hardly ever chosen; 3 of 100 may be 8 %: silence."""
    counts = pd.DataFrame(
        {"term": "t", "setting": "quiz", "item": "q", "item_from": "", "option": list("abc"),
         "is_right": [True, False, False], "students": 100, "chosen": [97, 3, 0]}
    )  # fmt: skip
    table = option_shares(counts, 10)

    assert table["share"].tolist() == pytest.approx([0.97, 0.03, 0.0])
    assert table["share_high"].iloc[2] == pytest.approx(0.0370, abs=5e-5)
    assert pd.isna(table["share_note"].iloc[1])
    assert "hardly ever chosen" in table["share_note"].iloc[2]


@pytest.mark.parametrize(
    ("chosen", "shown"),
    [
        ([197, 27, 10, 9], [True, False, True, False]),  # 243 - 197 - 27 - 10 told the nine
        ([60, 30, 20, 10], [True] * 4),
        ([80, 20, 8, 7], [True, True, False, False]),  # fifteen together: either may be 0 to 9
        ([80, 20, 2, 1], [True, False, False, False]),
        ([80, 3], [False, False]),
    ],
)
def test_a_hidden_option_cannot_be_subtracted(chosen: list[int], shown: list[bool]) -> None:
    """Each hidden count may be anything up to the limit; found by linear programs."""
    size = len(chosen)
    counts = pd.DataFrame(
        {"term": "t", "setting": "quiz", "item": "q", "item_from": "",
         "option": list("abcd")[:size],
         "is_right": [True] + [False] * (size - 1), "students": sum(chosen), "chosen": chosen}
    )  # fmt: skip
    table = option_shares(counts, 10)
    hidden = table.loc[~table["shown"], "chosen"]

    assert table["shown"].tolist() == shown
    for at in range(len(hidden)):
        aim = np.eye(len(hidden))[at]
        low, high = (
            sign * linprog(sign * aim, A_eq=[np.ones(len(hidden))], b_eq=[hidden.sum()]).fun
            for sign in (1, -1)
        )
        assert high - low >= 9
