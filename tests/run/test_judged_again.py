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

pytestmark = pytest.mark.thorough

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
SLOPE = "Slope of y = 3x - 4"
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


def took(seen: dict[str, set[str]]) -> dict[str, set[str]]:
    """What was seen since the last look."""
    found = {name: set(problems) for name, problems in seen.items()}
    for problems in seen.values():
        problems.clear()
    return found


def assert_as_from_nothing(
    course: Path, forget: dict[str, set[str]] | None = None
) -> dict[str, pd.DataFrame]:
    """What is stored and shown is what a first run over the same folder gives."""
    found = tables(course)
    known = took(forget or {})
    other = course.with_name("from-nothing")
    shutil.copytree(course, other, ignore=shutil.ignore_patterns(DATABASE))
    run_course(other)
    assert_same(tables(other), found, history=False)
    for name, problems in (forget or {}).items():
        problems.clear()
        problems.update(known[name])
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


def write_items(course: Path, changes: dict[str, str]) -> None:
    text = ITEMS
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    (course / "items.csv").write_text(text, encoding="utf-8")


def write_own(course: Path, text: str) -> None:
    (course / "course.toml").write_text(SETTINGS + text, encoding="utf-8")


def shares(found: dict[str, pd.DataFrame], problem: str, answer: str) -> dict[str, float]:
    answers = found["main.answers"]
    mine = answers[(answers["problem"] == problem) & (answers["answer"] == answer)]
    tags = found["main.tags"]
    of_one = tags[tags["response"] == mine["response"].iloc[0]]
    return dict(zip(of_one["pattern"], of_one["share"], strict=True))


def others_are_as_they_were(
    before: dict[str, pd.DataFrame], after: dict[str, pd.DataFrame], but: str
) -> None:
    for old, new in zip(judgments(before, but), judgments(after, but), strict=True):
        pd.testing.assert_frame_equal(old, new)


def test_each_change_concerns_its_own_questions_alone(
    course: Path, seen: dict[str, set[str]]
) -> None:
    """An own error's formula, an option and a form change, one after the other."""
    first = tables(course)
    assert shares(first, SLOPE, "-4")["intercept-for-slope"] > 0.5
    write_own(course, OWN.format(sentence="Gives the other number.", wrong="2*q"))
    ruled = run_course(course)
    after_own, by_own = tables(course), took(seen)
    write_items(course, {"| 25 |": "| 25 | 12.5 |"})
    run_course(course)
    after_option, by_option = tables(course), took(seen)
    write_items(course, {"answer,options": "answer,options,form", "= 16,,": "= 16,,,exact"})
    run_course(course)
    by_form = took(seen)

    assert by_own == {"read": {SLOPE}, "predicted": {SLOPE}}
    assert by_option == {"read": {"x^2 = 25"}, "predicted": {"x^2 = 25"}}
    assert by_form == {"read": {"x^2 = 25", "(x - 3)^2 = 16"}, "predicted": {"x^2 = 25"}}
    assert "intercept-for-slope" not in shares(after_own, SLOPE, "-4")
    others_are_as_they_were(first, after_own, SLOPE)
    others_are_as_they_were(after_own, after_option, "x^2 = 25")
    assert any("own errors" in line for line in ruled.loads.moved)
    assert not any("all terms" in line for line in ruled.loads.moved)
    assert_as_from_nothing(course)


def test_a_tag_by_hand_reads_and_predicts_nothing_and_goes_as_it_came(
    course: Path, seen: dict[str, set[str]]
) -> None:
    """Beside it the sentence of an own error changes, which judges nothing either."""
    before = tables(course)
    wrong = before["store.examined"].query("verdict == 'wrong'")
    root = wrong.query("problem == 'x^2 = 49'")
    tag = HandTag("solve", "x^2 = 49", root["value_key"].iloc[0], ("half-not-squared",))
    rest = [
        HandTag(row["task"], row["problem"], row["value_key"], ("unexplained",))
        for row in wrong.to_dict("records")
        if row["problem"] != "x^2 = 49"
    ]
    write_tagged(course, [tag, *rest])
    write_own(course, OWN.format(sentence="Names the intercept.", wrong="q"))
    run_course(course)
    tagged = assert_as_from_nothing(course, forget=seen)
    catalogue = tagged["main.own_pattern"].set_index("pattern")
    (course / TAGGED).unlink()
    write_own(course, OWN_AS_IT_WAS)
    run_course(course)

    assert tagged["store.examined"]["by_hand"].sum() == len(wrong)
    assert shares(tagged, "x^2 = 49", "7") == {"half-not-squared": 1.0, "unexplained": 0.0}
    assert catalogue.loc["intercept-for-slope", "sentence"] == "Names the intercept."
    assert seen == {"read": set(), "predicted": set()}
    assert_same(before, tables(course))


def test_other_rules_of_the_program_judge_everything_again(
    course: Path, seen: dict[str, set[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rules, "JUDGES", ("reading",))
    summary = run_course(course)

    assert seen["read"] == set(tables(course)["store.examined"]["problem"])
    assert any("the answers of all terms were tagged anew" in one for one in summary.loads.moved)
