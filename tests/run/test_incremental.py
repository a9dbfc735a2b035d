"""A later run does only what is new, and ends where a first run from nothing would."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipeline.errors import CourseError
from pipeline.run import classify, conduct, judging, run_course
from pipeline.tagging import examine
from pipeline.tagging.predict import predictions
from tests.run.disturbed import DATABASE, assert_same, tables, without_figures
from tests.student.small_course import (
    FALL,
    IDS,
    PROBLEMS,
    SPRING,
    export_text,
    items_text,
)

pytestmark = pytest.mark.thorough


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """Problem and answer of every request that a run has judged."""
    seen: list[tuple[str, str]] = []

    def watched(requests: pd.DataFrame, *more: object) -> classify.Judged:
        seen.extend(zip(requests["problem"], requests["answer"], strict=True))
        return classify.judge_all(requests, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(judging, "judge_all", watched)
    return seen


def from_nothing(course: Path) -> dict[str, pd.DataFrame]:
    """What a first run over the same folder gives."""
    other = course.with_name("from-nothing")
    shutil.copytree(course, other, ignore=shutil.ignore_patterns(DATABASE))
    run_course(other)
    return tables(other)


def plain(frame: pd.DataFrame) -> pd.DataFrame:
    """The same values, whatever the kind of a column that is empty in one of two frames."""
    return frame.astype(object).where(frame.notna(), None)


def with_key(item: str, key: str) -> str:
    """The items file with another right answer to one question, as a correction."""
    text = items_text()
    line = f"{item},roots,solve,{PROBLEMS[item]}"
    assert f"{line},,," in text or f"{line},,\n" in text
    return text.replace(f"{line},,", f"{line},{key},").replace(
        f"{line},{key},,", f"{line},{key},,yes"
    )


def test_a_run_with_nothing_new_only_reads(
    course: Path, monkeypatch: pytest.MonkeyPatch, judged: list[tuple[str, str]]
) -> None:
    before = (course / DATABASE).read_bytes()
    changed_at = (course / DATABASE).stat().st_mtime_ns
    monkeypatch.setattr(conduct, "building", lambda *_, **__: pytest.fail("it builds"))
    summary = run_course(course)

    assert not summary.changed
    assert judged == []
    assert (course / DATABASE).read_bytes() == before
    assert (course / DATABASE).stat().st_mtime_ns == changed_at


def test_only_answers_never_met_are_judged(course: Path, judged: list[tuple[str, str]]) -> None:
    text = export_text(FALL, {("90425649", "sq-1"): "plus or minus 7"})
    (course / "exports" / "fall.csv").write_text(text, encoding="utf-8")
    summary = run_course(course)

    assert summary.loads.stored == 36
    assert judged == [(PROBLEMS["sq-1"], "plus or minus 7")]
    assert_same(from_nothing(course), tables(course), history=False)


@without_figures()
def test_a_value_that_was_explained_before_needs_no_predicting_but_a_decimal_does(
    course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed = {(IDS[0], "lin-1"): "8.33", (IDS[1], "lin-1"): "8.3", (IDS[2], "lin-1"): "25 / 3",
             (IDS[1], "sq-1"): "(7)", (IDS[2], "sq-2"): "(7)"}  # fmt: skip
    (course / "exports" / "fall.csv").write_text(export_text(FALL, typed), encoding="utf-8")
    walked: list[str] = []

    def watched(task: str, problem: str, *more: Any) -> Any:
        walked.append(problem)
        return predictions(task, problem, *more)

    with monkeypatch.context() as patched:
        patched.setattr(examine, "predictions", watched)
        run_course(course)

    assert set(typed.values()) <= set(tables(course)["store.examined"]["answer"])
    assert set(walked) == {PROBLEMS["lin-1"]}
    assert len(walked) == 2
    assert_same(from_nothing(course), tables(course), history=False)


def test_a_changed_key_judges_that_question_alone(
    course: Path, judged: list[tuple[str, str]]
) -> None:
    before = tables(course)
    (course / "items.csv").write_text(with_key("lin-1", "25/3"), encoding="utf-8")
    run_course(course)
    asked = {problem for problem, _ in judged}
    after = tables(course)
    other = after["main.answers"]["item"] != "lin-1"

    assert asked == {PROBLEMS["lin-1"]}
    pd.testing.assert_frame_equal(
        plain(before["main.answers"][other]), plain(after["main.answers"][other])
    )
    changed = after["main.answers"][~other]
    assert set(changed.loc[changed["answer"] == "25/3", "verdict"]) == {"right"}
    judged.clear()
    assert_same(from_nothing(course), after, history=False)


def test_a_key_that_comes_back_brings_back_the_tags(course: Path) -> None:
    before = tables(course)
    (course / "items.csv").write_text(with_key("lin-1", "25/3"), encoding="utf-8")
    run_course(course)
    (course / "items.csv").write_text(with_key("lin-1", "5"), encoding="utf-8")
    run_course(course)
    after = tables(course)

    for name in ("main.tags", "main.own_pattern_prevalence", "main.own_error_by_topic_week"):
        pd.testing.assert_frame_equal(before[name], after[name], obj=name)
    assert_same(from_nothing(course), after, history=False)


@without_figures()
def test_a_new_version_of_a_question_leaves_its_earlier_answers_alone(
    course: Path, judged: list[tuple[str, str]]
) -> None:
    before = tables(course)
    more = "lin-1,roots,solve,3x + 5 = 26,,2026-08-24,\n"
    (course / "items.csv").write_text(items_text(more=more), encoding="utf-8")
    run_course(course)

    assert judged == []
    pd.testing.assert_frame_equal(before["main.answers"], tables(course)["main.answers"])
    (course / "exports" / "fall.csv").write_text(export_text(FALL), encoding="utf-8")
    run_course(course)
    assert {problem for problem, _ in judged} == {"3x + 5 = 26"}
    assert_same(from_nothing(course), tables(course), history=False)


def test_a_question_left_out_stays_in_force_for_its_answers(course: Path) -> None:
    before = tables(course)
    rows = {name: text for name, text in PROBLEMS.items() if name != "lin-1"}
    (course / "items.csv").write_text(items_text(rows), encoding="utf-8")
    run_course(course)

    after = tables(course)
    for name in ("main.answers", "main.tags", "main.own_pattern_prevalence"):
        pd.testing.assert_frame_equal(before[name], after[name], obj=name)


def test_a_problem_changed_in_place_still_stops(course: Path) -> None:
    before = (course / DATABASE).read_bytes()
    rows = {**PROBLEMS, "lin-1": "3x + 5 = 26"}
    (course / "items.csv").write_text(items_text(rows), encoding="utf-8")

    with pytest.raises(CourseError, match=r"3x \+ 5 = 20.*3x \+ 5 = 26"):
        run_course(course)
    assert (course / DATABASE).read_bytes() == before


@without_figures()
def test_an_export_that_grew_adds_its_new_rows(course: Path, judged: list[tuple[str, str]]) -> None:
    export = course / "exports" / "spring.csv"
    lines = export_text(SPRING).splitlines(keepends=True)
    export.write_text("".join(lines[:20]), encoding="utf-8")
    (course / DATABASE).unlink()
    run_course(course)
    judged.clear()
    export.write_text("".join(lines), encoding="utf-8")
    summary = run_course(course)

    assert (summary.loads.stored, summary.loads.duplicates) == (17, 19)
    assert judged == []
    assert_same(from_nothing(course), tables(course), history=False)
