"""The main job on a course small enough to check by hand."""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import pytest

import synthetic_data
from pipeline.course import Item
from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError, ExitCode
from pipeline.run import run_course
from pipeline.run.conduct import held
from pipeline.run.keys import derived_key
from pipeline.statistics import compute
from pipeline.warehouse import reading
from tests.run.disturbed import assert_same, tables, without_figures

SAMPLE = Path(synthetic_data.__file__).parent / "sample"


def fresh(folder: Path) -> Path:
    shutil.copytree(SAMPLE, folder)
    (folder / "pseudonym.key").unlink(missing_ok=True)
    write_key(folder / "pseudonym.key")
    return folder


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = fresh(tmp_path_factory.mktemp("sample") / "course")
    assert run_course(folder).exit_code is ExitCode.NEEDS_A_LOOK
    return folder


@pytest.fixture
def course(ran: Path, tmp_path: Path) -> Path:
    """A copy of the course that ran, to be changed."""
    shutil.copytree(ran, tmp_path / "course")
    return tmp_path / "course"


def test_rows_are_accounted_for(ran: Path) -> None:
    """76 rows: one repeats an earlier one, three must be rejected (README of the sample)."""
    with reading(ran / "course.duckdb") as warehouse:
        loads = warehouse.frame("store.source_file").iloc[0]
        shown = warehouse.frame("own_loads").iloc[0]

    columns = ["rows_read", "stored", "duplicates", "rejected"]
    assert loads[columns].tolist() == [76, 72, 1, 3]
    assert shown[columns].notna().tolist() == [False, True, False, False]  # 76 - 72 - 1 would tell


def test_planted_right_answers_are_right_and_carry_no_tag(ran: Path) -> None:
    planted = pd.read_csv(ran / "truth" / "answers.csv", dtype=str)
    with reading(ran / "course.duckdb") as warehouse:
        answers, tags = warehouse.frame("answers"), warehouse.frame("tags")
    both = answers.assign(line=answers["line"].astype(str)).merge(
        planted[["file", "line", "planted"]], on=["file", "line"]
    )
    right = both[both["planted"] == "right"]

    assert len(right)
    assert set(right["verdict"]) == {"right"}
    assert not set(right["response"]) & set(tags["response"])


def test_each_planted_error_is_among_the_explanations(ran: Path) -> None:
    planted = pd.read_csv(ran / "truth" / "answers.csv", dtype=str)
    with reading(ran / "course.duckdb") as warehouse:
        answers, tags = warehouse.frame("answers"), warehouse.frame("tags")
        known = set(warehouse.frame("store.pattern")["pattern"])
    both = answers.assign(line=answers["line"].astype(str)).merge(
        planted[["file", "line", "planted"]], on=["file", "line"]
    )
    wrong = both[both["planted"].isin(known) & (both["verdict"] == "wrong")]
    explained = (
        tags[tags["share"] > 0]
        .groupby("response")["faults"]
        .agg(lambda faults: {one for some in faults for one in some})
    )

    assert len(wrong) > 15
    for row in wrong.itertuples():
        assert row.planted in explained[row.response], (row.problem, row.answer)


def test_a_second_run_changes_nothing(course: Path) -> None:
    before = (course / "course.duckdb").read_bytes()
    summary = run_course(course)

    assert summary.exit_code is ExitCode.DONE
    assert not summary.changed
    assert (course / "course.duckdb").read_bytes() == before
    assert summary.rejected == 3


def test_a_run_from_nothing_gives_the_same_database(course: Path) -> None:
    before = tables(course)
    (course / "course.duckdb").unlink()
    run_course(course)

    assert_same(before, tables(course))


def test_the_same_export_under_another_name_adds_nothing(
    course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = tables(course)
    del before["main.rejected_rows"]  # they come again
    monkeypatch.setattr(compute, "compute", lambda *_: pytest.fail("it works figures out again"))
    shutil.copy(course / "exports" / "answers.csv", course / "exports" / "again.csv")
    summary = run_course(course)
    after = tables(course)
    rejected = after.pop("main.rejected_rows")

    assert summary.loads.stored == 0
    assert len(rejected) == 2 * 3
    assert_same(before, after, history=False)
    assert not run_course(course).changed


@without_figures()
def test_an_export_that_grew_adds_its_new_rows(course: Path) -> None:
    export = course / "exports" / "answers.csv"
    text = export.read_text(encoding="utf-8")
    row = "871500001,A,Quiz 2,SRP-1,2,2026-01-29T10:00,7,0\n"
    export.write_text(text + row, encoding="utf-8")
    summary = run_course(course)

    assert (summary.loads.stored, summary.loads.fresh) == (1, 0)
    assert summary.answers == 73
    assert summary.exit_code is ExitCode.DONE


def test_a_changed_question_stops_the_run_with_both_texts(course: Path) -> None:
    items = course / "items.csv"
    before = (course / "course.duckdb").read_bytes()
    text = items.read_text(encoding="utf-8")
    items.write_text(text.replace("x^2 + 6x = 16", "x^2 + 6x = 27"), encoding="utf-8")

    with pytest.raises(CourseError, match=r"x\^2 \+ 6x = 16.*x\^2 \+ 6x = 27.*answers"):
        run_course(course)
    assert (course / "course.duckdb").read_bytes() == before


@without_figures()
def test_a_correction_judges_old_answers_anew(course: Path) -> None:
    items = course / "items.csv"
    lines = items.read_text(encoding="utf-8").splitlines()
    lines = [
        line + (",correction" if place == 0 else ",yes" if line.startswith("JDG-1") else ",")
        for place, line in enumerate(lines)
    ]
    text = "\n".join(lines).replace("Slope of y = 3x - 4,3", "Slope of y = 3x - 4,-4")
    items.write_text(text + "\n", encoding="utf-8")
    before = tables(course)["main.answers"]
    run_course(course)
    after = tables(course)["main.answers"]
    mended = after["item"] == "JDG-1"

    assert not (after.loc[mended, "verdict"] == before.loc[mended, "verdict"]).all()
    pd.testing.assert_frame_equal(before[~mended], after[~mended])


def test_another_key_stops_the_run(course: Path) -> None:
    (course / "pseudonym.key").unlink()
    write_key(course / "pseudonym.key")

    with pytest.raises(CourseError, match="another pseudonym key"):
        run_course(course)


def test_no_raw_id_is_in_the_database(ran: Path) -> None:
    raw = pd.read_csv(ran / "exports" / "answers.csv", usecols=["student"], dtype=str)
    ids = {one for one in raw["student"].dropna() if len(one) > 5}
    content = (ran / "course.duckdb").read_bytes()
    text = "\n".join(frame.astype(str).to_csv(index=False) for frame in tables(ran).values())

    assert ids
    for one in ids:
        assert one not in text
        assert one.encode() not in content


@without_figures()
def test_a_broken_file_leaves_the_others_and_is_named(course: Path) -> None:
    (course / "exports" / "broken.csv").write_bytes(b"")
    summary = run_course(course)

    assert summary.exit_code is ExitCode.BAD_INPUT
    assert any("broken.csv" in line for line in summary.lines())
    assert summary.answers == 72


def test_a_second_run_at_once_waits_then_says_so(tmp_path: Path) -> None:
    told = []
    lock = tmp_path / ".run.lock"
    with (
        held(lock, lambda: None),
        pytest.raises(CourseError, match="Another run"),
        held(lock, lambda: told.append("waiting"), patience=0.3),
    ):
        pass
    with held(lock, lambda: told.append("never")):
        pass

    assert told == ["waiting"]


@pytest.mark.thorough
def test_a_killed_run_leaves_the_last_good_database(course: Path) -> None:
    """Killed at three moments of a rebuild; the next run finds everything in place."""
    shutil.copy(course / "exports" / "answers.csv", course / "exports" / "again.csv")
    program = (
        "import pathlib, sys; from pipeline.run import run_course; "
        "run_course(pathlib.Path(sys.argv[1]))"
    )
    for seconds in (1.0, 1.8, 2.6):
        process = subprocess.Popen([sys.executable, "-c", program, str(course)])
        time.sleep(seconds)
        process.send_signal(signal.SIGKILL)
        process.wait()
        with reading(course / "course.duckdb") as warehouse:
            assert len(warehouse.frame("answers")) == 72
    summary = run_course(course)

    assert summary.answers == 72
    assert not (course / "course.duckdb.building").exists()


@pytest.mark.parametrize(
    ("problem", "asked", "keep", "key"),
    [
        ("x(x + 4) = 96", None, "x > 0", "8"),
        ("x(x + 4) = 96", "x + 4", "x > 0", "12"),
        ("x^2 - 6x + 8 = 0", "2x", None, "[4, 8]"),
        ("x^2 - 6x + 8 = 0", None, "x > 9", None),
        ("a story without an equation", None, "x > 0", None),
    ],
)
def test_a_word_problem_is_judged_by_what_it_keeps_and_asks(
    problem: str, asked: str | None, keep: str | None, key: str | None
) -> None:
    """Worked by hand: x(x + 4) = 96 has the solutions 8 and -12."""
    item = Item("story", "t", "solve", problem, asked=asked, keep=keep)

    assert derived_key(item, problem) == key
