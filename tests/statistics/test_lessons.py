"""Lessons and the next one: differences against controls, rankings with their words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from scipy import stats

from pipeline.statistics.lessons import (
    APART,
    CAUTION,
    NO_BEFORE,
    ONE_CLASS,
    lesson_changes,
    limits_of,
)
from pipeline.statistics.next_lesson import Now, chances_ahead, now, rank_lessons, verdicts
from pipeline.tagging.evidence import Evidence, gather
from tests.calibration.simulated_class import Frames, draw

DAY = pd.Timestamp("2026-02-10")


def evidence_of(frames: Frames) -> Evidence:
    return gather(
        frames.opportunities,
        frames.candidates,
        frames.predicted,
        frames.catalogue,
    )


def around_lesson(drop: bool) -> Frames:
    """Everyone answers before and after; with `drop`, single roots become right afterwards."""
    frames = draw(150, np.random.default_rng(21))
    before = frames.opportunities.assign(answered_on=DAY - pd.Timedelta(days=5))
    after = frames.opportunities.assign(answered_on=DAY + pd.Timedelta(days=5))
    if drop:
        single = frames.candidates.loc[frames.candidates["pattern"] == "one-root", "examined"]
        after.loc[after["examined"].isin(single), "wrong"] = 0
    both = pd.concat([before, after], ignore_index=True)
    keyed = both.assign(term="t", setting="quiz", section="A", item=both["question"].astype(str))
    return replace(frames, opportunities=keyed)


def lesson(**changed: object) -> pd.DataFrame:
    row = {"lesson": "l1", "term": "t", "day": DAY, "topics": [], "patterns": ["one-root"],
           "sections": []}  # fmt: skip
    return pd.DataFrame([{**row, **changed}])


def test_a_lesson_that_worked_shows_against_the_other_errors() -> None:
    table = lesson_changes(evidence_of(around_lesson(drop=True)), lesson(), frozenset())
    row = table.iloc[0]

    assert row["pattern"] == "one-root"
    assert row["after"] < 0.01 < row["before"]
    assert row["difference_high"] < 0
    assert row["difference_note"] == CAUTION


def test_a_lesson_without_effect_shows_none() -> None:
    table = lesson_changes(evidence_of(around_lesson(drop=False)), lesson(), frozenset())

    assert table.iloc[0]["difference"] == pytest.approx(0, abs=1e-9)


def test_without_a_before_there_is_no_difference() -> None:
    frames = around_lesson(drop=False)
    late = frames.opportunities[frames.opportunities["answered_on"] > DAY]
    table = lesson_changes(evidence_of(replace(frames, opportunities=late)), lesson(), frozenset())

    assert table.iloc[0]["difference_note"] == NO_BEFORE
    assert "difference" not in table or np.isnan(table.iloc[0]["difference"])


def test_a_lesson_of_another_term_finds_nothing() -> None:
    frames = around_lesson(drop=False)

    assert lesson_changes(evidence_of(frames), lesson(term="u"), frozenset()).empty


def recent(rates: list[float], chances: int = 400) -> pd.DataFrame:
    wide = 0.02
    return pd.DataFrame(
        {
            "term": "t", "setting": "quiz", "pattern": [f"p{n}" for n in range(len(rates))],
            "members": [[f"p{n}"] for n in range(len(rates))], "students": 100,
            "opportunities": chances, "rate": rates,
            "rate_low": [max(r - wide, 0) for r in rates], "rate_high": [r + wide for r in rates],
            "recent_from": 4, "recent_to": 5, "lately": True, "class_students": 100,
            "usual_chances": 2.0,
        }
    )  # fmt: skip


def held(back: list[float]) -> pd.DataFrame:
    return pd.DataFrame(
        {"term": "t", "setting": "quiz", "pattern": [f"p{n}" for n in range(len(back))],
         "persistence": back, "showed": 50.0, "again": [50 * share for share in back]}
    )  # fmt: skip


def ahead(chances: list[float | None]) -> pd.DataFrame:
    return pd.DataFrame(
        {"pattern": [f"p{n}" for n in range(len(chances))], "chances_ahead": chances,
         "weight": 1.0, "topics_ahead": [[] for _ in chances]}
    )  # fmt: skip


def test_what_comes_back_and_lies_ahead_goes_first() -> None:
    """The most frequent error is not the one to treat when it goes away by itself."""
    rates = [0.20, 0.12, 0.12, 0.12, 0.02]
    ranking = rank_lessons(
        recent(rates), held([0.05, 0.6, 0.6, 0.1, 0.6]), ahead([2.0, 4.0, 1.0, 2.0, 4.0])
    )

    assert ranking["pattern"].tolist()[0] == "p1"
    assert ranking["rank"].tolist() == [1, 2, 3, 4, 5]
    assert ranking.iloc[0]["certainty"] == "clear"


def test_where_nothing_is_known_of_the_weeks_ahead_the_term_counts_once_more() -> None:
    once = recent([0.2, 0.15]).assign(usual_chances=[2.0, 4.0])
    ranking = rank_lessons(once, held([0.3, 0.3]), ahead([None, None]))

    assert ranking["note"].str.startswith("no later question with a known week").all()
    assert ranking["pattern"].tolist() == ["p1", "p0"]
    back = ranking["persistence_counted"]
    assert ranking["answers_ahead"].tolist() == pytest.approx(
        [100 * 0.15 * back[0] * 4, 100 * 0.2 * back[1] * 2], rel=1e-4
    )


@pytest.mark.parametrize(
    ("rates", "chances", "verdict"),
    [
        ([0.3, 0.05, 0.05, 0.05, 0.04], 400, "clear"),
        ([0.01, 0.005, 0.0, 0.0], 400, "nothing stands out"),
        ([0.3, 0.1, 0.1, 0.1], 12, "cannot tell yet"),
    ],
)
def test_the_verdict_is_in_words(rates: list[float], chances: int, verdict: str) -> None:
    size = len(rates)
    ranking = rank_lessons(recent(rates, chances), held([0.3] * size), ahead([2.0] * size))
    names = pd.DataFrame({"term": ["t"], "setting": ["quiz"]})

    assert verdicts(ranking, names, 10)["verdict"].tolist() == [verdict]


def test_errors_that_nobody_made_leave_a_clear_first_one_clear() -> None:
    """One error in a fifth of 240 answers, and forty that could have been made and were not."""
    rates = [0.2, *[0.0] * 40]
    every = recent(rates, 240).assign(rate_high=[0.25, *[0.093] * 40])
    ranking = rank_lessons(every, held([0.15] * 41), ahead([2.0] * 41))

    assert ranking["certainty"].tolist() == ["clear", *["open"] * 40]


def test_no_group_under_the_limit_is_named() -> None:
    ranking = rank_lessons(recent([0.3, 0.1]), held([0.3, 0.3]), ahead([2.0, 2.0]))
    names = pd.DataFrame({"term": ["t"], "setting": ["quiz"]})
    told, hidden = (verdicts(ranking.assign(students=size), names, 10).iloc[0] for size in (10, 9))

    assert "“p0”" in told["sentence"]
    assert hidden["verdict"] == "cannot tell yet"
    assert "fewer than 10 students" in hidden["sentence"]
    assert "p0" not in hidden["sentence"]


def test_no_answers_give_no_verdict_but_say_so() -> None:
    names = pd.DataFrame({"term": ["t"], "setting": ["quiz"]})

    assert verdicts(pd.DataFrame(), names, 10)["verdict"].tolist() == ["cannot tell yet"]


def test_chances_ahead_count_later_items_that_were_ever_asked() -> None:
    frames = around_lesson(drop=False)
    evidence = evidence_of(frames)
    items = pd.DataFrame(
        {"item": ["0", "1", "5", "new"], "topic": ["a", "b", "c", "d"], "week": [1, 9, 9, 9],
         "position": [1, 2, 3, 4]}
    )  # fmt: skip
    groups = pd.DataFrame({"pattern": ["radical-only"], "members": [["radical-only"]]})
    table = chances_ahead(evidence, groups, items, Now("t", 5))

    # Question 5, x^2 = 9, has no b: dividing the radical alone changes nothing. Question 1 can.
    assert table["chances_ahead"].iloc[0] == 1.0
    assert table["topics_ahead"].iloc[0] == ["b"]
    assert now(pd.DataFrame({"term": ["t"], "week": [3]}), ["s", "t"]) == Now("t", 3)
    assert now(pd.DataFrame({"term": [], "week": []}), ["s", "t"]) is None


def test_a_declared_weight_counts_by_the_chances_ahead() -> None:
    """Questions 1 and 5 lie ahead; only question 1, of topic b, can show the error."""
    evidence = evidence_of(around_lesson(drop=False))
    items = pd.DataFrame(
        {"item": ["0", "1", "5"], "topic": ["a", "b", "c"], "week": [1, 9, 9],
         "position": [1, 2, 3]}
    )  # fmt: skip
    groups = pd.DataFrame({"pattern": ["radical-only"], "members": [["radical-only"]]})
    stated = {"a": 1.0, "b": 2.5, "c": 7.0}
    weights = [
        chances_ahead(evidence, groups, items, Now("t", week), stated)["weight"].iloc[0]
        for week in (5, 12)
    ]

    assert weights == pytest.approx([2.5, (1.0 + 2.5) / 2])
    heavy = ahead([2.0, 2.0]).assign(weight=[1.0, 3.0])
    ranking = rank_lessons(recent([0.2, 0.1]), held([0.3, 0.3]), heavy)
    assert ranking["pattern"].tolist() == ["p1", "p0"]
    assert ranking["weight"].tolist() == [3.0, 1.0]


def drifting(before: int, students: int = 150) -> Frames:
    """Three spells of answers; single roots become right from spell number `before` on."""
    frames = draw(students, np.random.default_rng(21))
    single = frames.candidates.loc[frames.candidates["pattern"] == "one-root", "examined"]
    spells = []
    for number, days in enumerate((-30, -5, 5)):
        spell = frames.opportunities.assign(answered_on=DAY + pd.Timedelta(days=days))
        if number >= before:
            spell.loc[spell["examined"].isin(single), "wrong"] = 0
        spells.append(spell)
    answers = pd.concat(spells, ignore_index=True)
    keyed = answers.assign(
        term="t", setting="quiz", item=answers["question"].astype(str),
        section=[f"S{student % 4}" for student in answers["student"]],
    )  # fmt: skip
    return replace(frames, opportunities=keyed)


def test_both_trends_before_the_lesson_are_shown_and_alike() -> None:
    row = lesson_changes(evidence_of(drifting(2)), lesson(), frozenset()).iloc[0]

    assert row["trend_before"] == pytest.approx(0, abs=1e-9)
    assert row["control_trend_before"] == pytest.approx(0, abs=1e-9)
    assert row["difference_high"] < 0
    assert row["difference_note"] == CAUTION


def test_a_fall_from_before_the_lesson_is_not_laid_to_it() -> None:
    """The error had vanished before the lesson: nothing is left to change, and the note says so."""
    row = lesson_changes(evidence_of(drifting(1)), lesson(), frozenset()).iloc[0]

    assert row["trend_before"] < -0.05
    assert row["trend_high"] < 0
    assert row["difference_note"].startswith(APART)
    assert row["difference"] == pytest.approx(0, abs=0.02)


def test_an_error_not_yet_seen_has_not_moved_apart() -> None:
    """Never seen before the lesson, as the trend of the others is not quite 0: no claim of it."""
    frames = drifting(0)
    answers = frames.opportunities.copy()
    others = answers["wrong"].eq(1) & answers["answered_on"].lt(DAY - pd.Timedelta(days=21))
    answers.loc[answers.index[others][::9], "wrong"] = 0
    row = lesson_changes(
        evidence_of(replace(frames, opportunities=answers)), lesson(), frozenset()
    ).iloc[0]

    assert row["trend_before"] == pytest.approx(0, abs=1e-6)
    assert row["control_trend_before"] > 0
    assert row["trend_low"] < 0 < row["trend_high"]
    assert row["difference_note"] == CAUTION


def test_regression_to_the_mean_is_named() -> None:
    assert "tends to recover by itself" in CAUTION


def test_a_lesson_for_some_classes_counts_classes() -> None:
    """Four classes are four units: wider than by students, and with three degrees of freedom."""
    evidence = evidence_of(drifting(2))
    everyone = lesson_changes(evidence, lesson(), frozenset()).iloc[0]
    four = lesson(sections=["S0", "S1", "S2", "S3"])
    classes = lesson_changes(evidence, four, frozenset()).iloc[0]

    assert classes["difference"] == pytest.approx(everyone["difference"])
    assert classes["difference_low"] != pytest.approx(everyone["difference_low"])
    assert classes["difference_low"] < classes["difference"] < classes["difference_high"]


def test_one_class_gives_no_interval() -> None:
    row = lesson_changes(evidence_of(drifting(2)), lesson(sections=["S1"]), frozenset()).iloc[0]

    assert np.isnan(row["difference_low"])
    assert row["difference_note"].startswith(ONE_CLASS)


def test_units_by_student_equal_clustered_least_squares() -> None:
    """Wrong ~ treated x after of statsmodels, clustered: by students, and by classes."""
    generator = np.random.default_rng(12)
    students, frame = 60, []
    own = generator.normal(0, 0.3, students)
    for student in range(students):
        for treated in (0, 1):
            for after in (0, 1):
                chance = np.clip(0.4 + own[student] - 0.1 * treated * after, 0.02, 0.98)
                y = int(generator.random() < chance)
                frame.append((student, student % 6, treated, after, y))
    table = pd.DataFrame(frame, columns=["student", "section", "treated", "after", "y"])
    cells = table.groupby(["treated", "after"])["y"]
    sign = np.where(table["treated"] == table["after"], 1.0, -1.0)
    pull = sign * (table["y"] - cells.transform("mean")) / cells.transform("size")
    influence = pull.groupby(table["student"]).sum().to_numpy()
    mean = cells.mean()
    difference = mean[1, 1] - mean[1, 0] - mean[0, 1] + mean[0, 0]
    for name, units in (
        ("student", np.arange(students)),
        ("section", np.arange(students) % 6),
    ):
        model = smf.ols("y ~ treated * after", table).fit(
            cov_type="cluster",
            cov_kwds={"groups": table[name], "use_correction": False},
        )
        m = len(set(units))
        reach = stats.t.ppf(0.975, m - 1) * model.bse["treated:after"] * np.sqrt(m / (m - 1))
        low, high = limits_of(difference, influence, np.ones(students, dtype=bool), units)

        assert difference == pytest.approx(model.params["treated:after"])
        assert (low, high) == pytest.approx((difference - reach, difference + reach))
