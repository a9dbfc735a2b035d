"""A list of questions that loses rows, or is another one, un-judges no stored answer."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from pipeline.course import Item, Option
from pipeline.errors import ExitCode
from pipeline.run import run_course
from pipeline.run.versions import item_of, record_of, same_wording
from pipeline.warehouse import reading
from tests.run.disturbed import without_figures
from tests.student.small_course import FALL, PROBLEMS, export_text, items_text

OTHERS = {"n-1": "x^2 = 64", "n-2": "5x = 35"}


def frame(folder: Path, name: str) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def write_items(folder: Path, rows: dict[str, str], more: str = "") -> None:
    (folder / "items.csv").write_text(items_text(rows, more), encoding="utf-8")


def test_next_semesters_list_leaves_every_answer_and_tag_as_it_was(course: Path) -> None:
    before = {name: frame(course, name) for name in ("answers", "tags")}
    write_items(course, OTHERS)
    summary = run_course(course)
    said = "\n".join(summary.lines())

    assert summary.exit_code is ExitCode.DONE
    for name, table in before.items():
        pd.testing.assert_frame_equal(table, frame(course, name), obj=name)
    assert "no longer has 3 that judge 36 stored answers" in said
    assert "sq-1 (12), sq-2 (12), lin-1 (12)" in said
    assert frame(course, "shared_coverage")["questions"].sum() == len(OTHERS)  # of the list alone
    again = run_course(course)
    assert not again.changed
    assert "no longer has 3" in "\n".join(again.lines())


@without_figures()
def test_answers_kept_so_survive_settings_by_which_all_is_read_anew(course: Path) -> None:
    write_items(course, OTHERS)
    run_course(course)
    text = (course / "course.toml").read_text(encoding="utf-8")
    (course / "course.toml").write_text(text.replace("weeks = 15", "weeks = 14"), encoding="utf-8")
    run_course(course)

    assert (frame(course, "answers")["verdict"].notna()).all()


@without_figures()
def test_a_renamed_question_is_said_and_exports_may_use_either_name(course: Path) -> None:
    write_items(course, {("new-1" if name == "sq-1" else name): text.replace("^2", "²")
                         for name, text in PROBLEMS.items()})  # fmt: skip
    (course / "exports" / "fall.csv").write_text(export_text(FALL), encoding="utf-8")
    said = "\n".join(run_course(course).lines())
    answers = frame(course, "answers").query("item == 'sq-1'")

    assert "sq-1 reads as new-1 does now" in said
    assert "that judge 12 stored answers" in said
    assert len(answers) == 24
    assert answers["verdict"].isin(["right", "wrong"]).all()


@without_figures()
def test_the_owner_ends_it_by_a_row_to_skip(course: Path) -> None:
    rest = {name: text for name, text in PROBLEMS.items() if name != "sq-1"}
    write_items(course, rest)
    run_course(course)
    write_items(course, rest, f"sq-1,roots,skip,{PROBLEMS['sq-1']},,,yes\n")
    said = "\n".join(run_course(course).lines())
    answers = frame(course, "answers")

    assert "no longer has" not in said
    assert answers.loc[answers["item"] == "sq-1", "verdict"].isna().all()
    assert answers.loc[answers["item"] != "sq-1", "verdict"].notna().all()


@without_figures()
def test_a_question_without_judged_answers_goes_silently(course: Path) -> None:
    write_items(course, PROBLEMS | OTHERS)
    run_course(course)
    write_items(course, PROBLEMS)

    assert "no longer has" not in "\n".join(run_course(course).lines())


def test_a_rewording_stops_nobody(course: Path) -> None:
    before = frame(course, "tags")
    write_items(course, {name: text.replace("^2", "²").replace(" = ", "=")
                         for name, text in PROBLEMS.items()})  # fmt: skip
    summary = run_course(course)

    assert summary.exit_code is ExitCode.DONE
    assert set(frame(course, "answers")["problem"]) == {"x²=49", "(x - 3)²=16", "3x + 5=20"}
    pd.testing.assert_series_equal(before["share"], frame(course, "tags")["share"])


@pytest.mark.parametrize(
    ("task", "one", "other", "same"),
    [
        ("solve", "x^2 - 6x = 0", "x²−6x=0", True),
        ("solve", "x^12 = 3", "x¹² = 3", True),
        ("judge", "Slope of y = 3x - 4", "Slope of  y=3x-4", True),
        ("", "5, -5", "5,-5", True),
        ("solve", "x^2 - 6x = 0", "x^2 = 6x", False),
        ("evaluate", "1 2/3 + 1", "12/3 + 1", False),
        ("translate", "Five more than x is 12", "Five more than y is 12", False),
        ("", "2 5", "25", False),
        ("", "5", None, False),
    ],
)
def test_a_wording_is_spaces_and_signs_and_no_other_task(
    task: str, one: str, other: str | None, same: bool
) -> None:
    assert same_wording(task, one, other) is same


def test_a_record_holds_all_that_the_row_said() -> None:
    item = Item(
        id="pick", topic="roots", task="choice", problem="x^2 = 25", answer="5, -5",
        options=(Option("5", "plus-minus-dropped"), Option("5, -5")), week=3, start="2026-fall",
        keep="x > 0", wording="Solve.",
    )  # fmt: skip

    assert item_of(record_of(item)) == item
