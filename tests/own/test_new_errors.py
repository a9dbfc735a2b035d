"""From answers that nothing explains to an error of the course's own, on the sheet alone."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from openpyxl import load_workbook

from pipeline.cli import main
from pipeline.course import read_course
from pipeline.course.keyfile import write_key
from pipeline.discovery import evidence
from pipeline.discovery.search import led_to
from pipeline.errors import CourseError, ExitCode
from pipeline.reading.problems import Problem
from pipeline.run import run_course
from pipeline.run.tag import tag_course
from pipeline.warehouse import reading
from synthetic_data.surds import Surd
from synthetic_data.typing_habits import spellings
from synthetic_data.unnamed_rules import UNNAMED
from synthetic_data.values import Number
from synthetic_data.wrong_rules import parabola as pa
from synthetic_data.wrong_rules import squares as sq

pytestmark = pytest.mark.thorough

PROBLEMS = (
    *(sq.square_constant(b) for b in (6, -10, 12, -14, 18, 7)),
    *(pa.discriminant(*abc) for abc in ((2, -7, 3), (3, 5, -6), (4, 3, -5), (3, 7, -4), (5, 4, -3),
                                        (2, 9, -3))),
    *(pa.vertex_expanded(*abc) for abc in ((4, -24, 9), (3, 12, -5), (5, 20, 4), (1, -6, 5),
                                           (3, -18, 9), (4, 24, -7))),
)  # fmt: skip
SETTINGS = """
title = "Small"  # stays
[[terms]]
id = "t1"
first_day = 2026-01-12
weeks = 10
"""


def begun(folder: Path, problems: Sequence[Any], given: Callable[[Any, int], Any]) -> Path:
    """A course of 36 students with their answers, not run."""
    (folder / "exports").mkdir(parents=True)
    items, rows = ["item,topic,task,problem"], ["student,item,answer,answered_at"]
    for place, problem in enumerate(problems):
        items.append(f"q{place},all,{problem.task},{problem.text}")
        for student in range(36):
            _, text, _ = spellings(given(problem, student))[0]
            rows.append(f's{student:03},q{place},"{text}",2026-01-20')
    (folder / "items.csv").write_text("\n".join(items) + "\n", encoding="utf-8")
    (folder / "exports" / "quiz.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    write_key(folder / "pseudonym.key")
    return folder


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twelve students each follow one of three rules that no catalogue has. Run once."""

    def given(problem: Any, student: int) -> Any:
        (rule,) = problem.unnamed
        return (
            problem.unnamed[rule] if tuple(UNNAMED).index(rule) == student // 12 else problem.right
        )

    folder = begun(tmp_path_factory.mktemp("unnamed") / "course", PROBLEMS, given)
    tag_course(folder)
    return folder


@pytest.mark.parametrize(("students", "proposed"), [(12, ["-r"]), (2, [])])
def test_what_many_do_again_and_again_is_no_slip(
    tmp_path: Path, students: int, proposed: list[str]
) -> None:
    """The sign of the result is lost: by twelve each time, or as often as slips come."""

    def given(problem: Any, student: int) -> Any:
        right = problem.right.value.whole
        return Number(Surd(-right if student < students else right))

    asked = [one for one in PROBLEMS if one.task == "discriminant"]
    course = begun(tmp_path / "course", asked, given)
    tag_course(course)

    with reading(course / "course.duckdb") as warehouse:
        found = warehouse.frame("computed.proposal")["rule"]
    assert [one.rpartition(": ")[2] for one in found] == proposed


def sheet_rows(folder: Path) -> list[dict[str, str]]:
    book = load_workbook(folder / "to-tag.xlsx")
    if "new errors" not in book.sheetnames:
        return []
    header, *rows = book["new errors"].values
    return [dict(zip(header, row, strict=True)) for row in rows]


def fill(folder: Path, *lines: tuple[str, str]) -> None:
    book = load_workbook(folder / "to-tag.xlsx")
    for line, cells in enumerate(lines, start=2):
        for place, text in enumerate(cells, start=1):
            book["new errors"].cell(line, place, text)
    book.save(folder / "to-tag.xlsx")


def tagged(folder: Path) -> set[str]:
    with reading(folder / "course.duckdb") as warehouse:
        return set(warehouse.frame("tags")["pattern"])


def test_the_rules_are_proposed_and_nothing_is_tagged_by_them(folder: Path) -> None:
    rows = {row["task"]: row for row in sheet_rows(folder)}

    assert {task: row["rule"].partition(":")[0] for task, row in rows.items()} == {
        "square-constant": "square", "discriminant": "four_a_c", "vertex": "square",
    }  # fmt: skip
    assert [(row["answers"], row["students"], row["questions"]) for row in rows.values()] == [
        ("72", "12", "6")
    ] * 3
    assert "4ac" in rows["discriminant"]["what these answers have in common"]
    assert tagged(folder) == {"unexplained"}


def test_the_page_on_trust_rounds_its_figures_down(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        rows = warehouse.frame("own_proposal")

    assert set(zip(rows["answers"], rows["students"], rows["questions"], strict=True)) == {
        (70, 10, 6)
    }


def searched_whole(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Questions that are searched for all rules from here on, as they come."""
    found: list[str] = []

    def noted(problem: Problem, *args: Any, **named: Any) -> Any:
        if not named.get("rules"):
            found.append(problem.text)
        return led_to(problem, *args, **named)

    monkeypatch.setattr(evidence, "led_to", noted)
    return found


@pytest.mark.parametrize(
    ("more", "again"),
    [
        (['s900,q6,"73",2026-01-21'], 0),  # what others gave, now once more
        (['s900,q6,"501",2026-01-21', 's901,q6,"501",2026-01-21'], 1),  # alike, by two
    ],
)
def test_a_question_is_searched_again_for_an_answer_that_is_new_to_it_alone(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, more: list[str], again: int
) -> None:
    """The other questions of the task are not; and it all is as if searched from nothing."""
    copy = shutil.copytree(folder, tmp_path / "course")
    lines = ["student,item,answer,answered_at", *more]
    (copy / "exports" / "later.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    afresh = shutil.copytree(copy, tmp_path / "afresh")
    (afresh / "course.duckdb").unlink()

    searched = searched_whole(monkeypatch)
    run_course(copy)
    assert len(searched) == again
    run_course(afresh)
    assert len(searched) > again + 2
    with reading(copy / "course.duckdb") as one, reading(afresh / "course.duckdb") as other:
        for table in ("led_to", "searched_task", "proposal"):
            mine, theirs = (each.frame(f"computed.{table}") for each in (one, other))
            assert len(mine)
            pd.testing.assert_frame_equal(mine, theirs)


def test_a_run_takes_up_what_the_sheet_names_once(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who names a rule on the sheet and double-clicks the run has named it."""
    copy = shutil.copytree(folder, tmp_path / "course")
    _, second, _ = (row["task"] for row in sheet_rows(copy))
    fill(copy, ("Rule One", "Does one thing."), ("", ""), ("no", ""))

    assert main(["run", str(copy)]) == ExitCode.DONE
    assert "rule-one added to the course's own errors" in capsys.readouterr().out
    assert tagged(copy) == {"rule-one", "unexplained"}
    assert [row["task"] for row in sheet_rows(copy)] == [second]
    (copy / "course.toml").write_text(SETTINGS, encoding="utf-8")  # taken out again, it stays out
    assert main(["run", str(copy)]) == ExitCode.DONE
    assert tagged(copy) == {"unexplained"}


def test_a_name_that_cannot_be_used_does_not_stop_a_run(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = shutil.copytree(folder, tmp_path / "course")
    fill(copy, ("half-not-squared", "Does one thing."))

    assert main(["run", str(copy)]) == ExitCode.NEEDS_A_LOOK
    said = capsys.readouterr().out
    assert "sheet 'new errors', line 2" in said
    assert "pages: " in said


def test_a_name_without_a_sentence_is_refused_by_line(folder: Path) -> None:
    fill(folder, ("new-rule", ""))

    with pytest.raises(CourseError, match="line 2: 'new-rule' has no sentence"):
        tag_course(folder)


def test_named_they_are_errors_of_the_course_and_refused_they_stay_away(folder: Path) -> None:
    first, second, third = (row["task"] for row in sheet_rows(folder))
    fill(folder, ("rule-one", "Does one thing."), ("rule-two", "Does another."), ("no", ""))
    report = tag_course(folder)

    assert [(own.id, own.task) for own in read_course(folder).patterns] == [
        ("rule-one", first), ("rule-two", second),
    ]  # fmt: skip
    assert any("rule-one, rule-two" in line for line in report.lines())
    assert "# stays" in (folder / "course.toml").read_text("utf-8")
    assert tagged(folder) == {"rule-one", "rule-two", "unexplained"}
    assert third not in {row["task"] for row in sheet_rows(folder)}
