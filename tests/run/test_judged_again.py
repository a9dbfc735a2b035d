"""A change of the rules judges again just what depends on it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipeline.course.hand_tags import TAGGED, HandTag, write_tagged
from pipeline.run import classify, rules, run_course
from tests.run.disturbed import DATABASE, assert_same, tables
from tests.student.small_course import IDS, SETTINGS, SPRING, small_course

ITEMS = """\
item,topic,task,problem,answer,options
sq-1,roots,solve,x^2 = 49,,
sq-2,roots,solve,(x - 3)^2 = 16,,
slope,lines,judge,Slope of y = 3x - 4,3,
pick,roots,choice,x^2 = 25,"5, -5","5, -5 | 5 | 25 | none"
"""
WRONG = {"sq-1": "7", "sq-2": "7", "slope": "-4", "pick": "5"}
RIGHT = {"sq-1": "7, -7", "sq-2": "7, -1", "slope": "3", "pick": "5, -5"}
OWN = """
[[patterns]]
id = "intercept-for-slope"
sentence = "{sentence}"
task = "judge"
wrong = "{wrong}"
"""
OWN_AS_IT_WAS = OWN.format(sentence="Gives the other number.", wrong="q")


def export() -> str:
    rows = [
        f'{student},{item},"{(RIGHT if place % 3 else WRONG)[item]}",{SPRING}'
        for place, student in enumerate(IDS)
        for item in RIGHT
    ]
    return "\n".join(["student,item,answer,answered_at", *rows]) + "\n"


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("judged") / "course"
    small_course(folder, exports={"spring.csv": export()})
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS + OWN_AS_IT_WAS, encoding="utf-8")
    run_course(folder)
    return folder


@pytest.fixture
def course(ran: Path, tmp_path: Path) -> Path:
    shutil.copytree(ran, tmp_path / "course")
    return tmp_path / "course"


@pytest.fixture
def seen(monkeypatch: pytest.MonkeyPatch) -> dict[str, set[str]]:
    """Problems of which an answer was read, and of which wrong answers were predicted."""
    found: dict[str, set[str]] = {"read": set(), "predicted": set()}

    def read(row: dict[str, Any], *more: Any) -> Any:
        found["read"].add(row["problem"])
        return examined(row, *more)

    def predict(row: dict[str, Any], *more: Any) -> Any:
        found["predicted"].add(row["problem"])
        return expected(row, *more)

    examined, expected = classify._examined, classify.expected_answers
    monkeypatch.setattr(classify, "_examined", read)
    monkeypatch.setattr(classify, "expected_answers", predict)
    return found


def assert_as_from_nothing(course: Path) -> dict[str, pd.DataFrame]:
    """What is stored and shown is what a first run over the same folder gives."""
    other = course.with_name("from-nothing")
    shutil.copytree(course, other, ignore=shutil.ignore_patterns(DATABASE))
    run_course(other)
    found = tables(course)
    assert_same(tables(other), found, history=False)
    return found


def judgments(found: dict[str, pd.DataFrame], without: str) -> Iterator[pd.DataFrame]:
    """Stored judgments of all questions but one."""
    examined = found["store.examined"]
    mine = examined[examined["problem"] != without]
    yield mine.reset_index(drop=True)
    candidates = found["store.candidate"]
    yield candidates[candidates["examined"].isin(mine["examined"])].reset_index(drop=True)
    predictions = found["store.prediction"]
    yield predictions[predictions["problem"] != without].reset_index(drop=True)


def write_own(course: Path, text: str) -> None:
    (course / "course.toml").write_text(SETTINGS + text, encoding="utf-8")


def shares(found: dict[str, pd.DataFrame], problem: str, answer: str) -> dict[str, float]:
    answers = found["main.answers"]
    mine = answers[(answers["problem"] == problem) & (answers["answer"] == answer)]
    tags = found["main.tags"]
    of_one = tags[tags["response"] == mine["response"].iloc[0]]
    return dict(zip(of_one["pattern"], of_one["share"], strict=True))


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(OWN.format(sentence="Gives the other number.", wrong="2*q"), id="formula"),
        pytest.param("", id="taken out"),
    ],
)
def test_an_own_error_concerns_its_own_questions_alone(
    course: Path, seen: dict[str, set[str]], text: str
) -> None:
    before = tables(course)
    assert shares(before, "Slope of y = 3x - 4", "-4")["intercept-for-slope"] > 0.5
    write_own(course, text)
    summary = run_course(course)
    touched = {name: set(problems) for name, problems in seen.items()}
    after = assert_as_from_nothing(course)

    assert touched == {"read": {"Slope of y = 3x - 4"}, "predicted": {"Slope of y = 3x - 4"}}
    assert "intercept-for-slope" not in shares(after, "Slope of y = 3x - 4", "-4")
    for old, new in zip(
        judgments(before, "Slope of y = 3x - 4"),
        judgments(after, "Slope of y = 3x - 4"),
        strict=True,
    ):
        pd.testing.assert_frame_equal(old, new)
    assert any("own errors" in line and "intercept" not in line for line in summary.loads.moved)
    assert not any("all terms" in line for line in summary.loads.moved)


def test_another_sentence_of_an_own_error_judges_nothing_again(
    course: Path, seen: dict[str, set[str]]
) -> None:
    write_own(course, OWN.format(sentence="Names the intercept.", wrong="q"))
    run_course(course)
    catalogue = tables(course)["main.own_pattern"].set_index("pattern")

    assert seen == {"read": set(), "predicted": set()}
    assert catalogue.loc["intercept-for-slope", "sentence"] == "Names the intercept."
    assert_as_from_nothing(course)


def test_another_option_concerns_its_question_alone(
    course: Path, seen: dict[str, set[str]]
) -> None:
    before = tables(course)
    (course / "items.csv").write_text(ITEMS.replace("| 25 |", "| 25 | 12.5 |"), encoding="utf-8")
    run_course(course)
    touched = {name: set(problems) for name, problems in seen.items()}
    after = assert_as_from_nothing(course)

    assert touched == {"read": {"x^2 = 25"}, "predicted": {"x^2 = 25"}}
    for old, new in zip(judgments(before, "x^2 = 25"), judgments(after, "x^2 = 25"), strict=True):
        pd.testing.assert_frame_equal(old, new)


def test_another_form_reads_the_answers_again_and_predicts_nothing(
    course: Path, seen: dict[str, set[str]]
) -> None:
    text = ITEMS.replace("answer,options", "answer,options,form")
    text = text.replace("(x - 3)^2 = 16,,", "(x - 3)^2 = 16,,,exact")
    (course / "items.csv").write_text(text, encoding="utf-8")
    run_course(course)
    touched = {name: set(problems) for name, problems in seen.items()}

    assert touched == {"read": {"(x - 3)^2 = 16"}, "predicted": set()}
    assert_as_from_nothing(course)


def test_a_tag_by_hand_is_laid_over_without_reading_or_predicting(
    course: Path, seen: dict[str, set[str]]
) -> None:
    before = tables(course)
    key = before["store.examined"].query("problem == 'x^2 = 49' and answer == '7'")["value_key"]
    tag = HandTag("solve", "x^2 = 49", key.iloc[0], ("half-not-squared",))
    write_tagged(course, [tag])
    run_course(course)
    touched = {name: set(problems) for name, problems in seen.items()}
    after = assert_as_from_nothing(course)
    others = [frame["store.examined"].query("problem != 'x^2 = 49'") for frame in (before, after)]

    assert touched == {"read": set(), "predicted": set()}
    assert shares(after, "x^2 = 49", "7") == {"half-not-squared": 1.0, "unexplained": 0.0}
    pd.testing.assert_frame_equal(*(frame.reset_index(drop=True) for frame in others))


def test_a_tag_taken_back_brings_back_what_was_found(
    course: Path, seen: dict[str, set[str]]
) -> None:
    before = tables(course)
    wrong = before["store.examined"].query("verdict == 'wrong'")
    for names in (("half-not-squared",), ("unexplained",)):
        tags = [
            HandTag(row["task"], row["problem"], row["value_key"], names)
            for row in wrong.to_dict("records")
        ]
        write_tagged(course, tags)
        run_course(course)
        tagged = tables(course)["store.examined"]
        assert tagged["by_hand"].sum() == len(wrong)
    (course / TAGGED).unlink()
    run_course(course)

    assert seen == {"read": set(), "predicted": set()}
    assert_same(before, tables(course))


def test_other_rules_of_the_program_judge_everything_again(
    course: Path, seen: dict[str, set[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rules, "JUDGES", ("reading",))
    summary = run_course(course)

    assert seen["read"] == set(tables(course)["store.examined"]["problem"])
    assert any("the answers of all terms were tagged anew" in one for one in summary.loads.moved)
    assert not run_course(course).changed
