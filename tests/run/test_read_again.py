"""A changed map reads again only the files that it touches, and ends where a first run would."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.run.disturbed import DATABASE, without_figures
from tests.student.small_course import SETTINGS, SPRING, export_text, small_course

OURS = export_text(SPRING)
THEIRS = "Login,Task,Typed,Marks\nk1,sq-1,7,1\nk2,sq-1,-7,0\nk3,lin-1,5,1\n"
MAP = '[[exports]]\ncolumns = { student = "Login", item = "Task", answer = "Typed" }\n'


def rows(folder: Path) -> list[tuple[object, ...]]:
    with reading(folder / DATABASE) as warehouse:
        table = warehouse.part("store.response", ["response", "file", "line", "quiz", "score"])
    plain = table.astype(object).where(table.notna(), None)
    return sorted(plain.itertuples(index=False, name=None))


@pytest.fixture(scope="module", autouse=True)
def _stored_alone() -> Iterator[None]:
    with without_figures():
        yield


@pytest.fixture(scope="module")
def ran(_stored_alone: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("mapped") / "course"
    small_course(folder, MAP, {"ours.csv": OURS, "theirs.csv": THEIRS})
    summary = run_course(folder)
    assert summary.loads.files == ["exports/ours.csv", "exports/theirs.csv"]
    return folder


def test_only_the_files_of_the_map_are_read_again(course: Path, tmp_path: Path) -> None:
    said = SETTINGS + MAP.replace(" }", ', score = "Marks" }') + 'quiz = "Extra"\n'
    (course / "course.toml").write_text(said)
    summary = run_course(course)
    again = run_course(course)
    shutil.copytree(course, tmp_path / "new", ignore=shutil.ignore_patterns(DATABASE))
    run_course(tmp_path / "new")

    assert summary.loads.files == summary.loads.again == ["exports/theirs.csv"]
    assert summary.loads.news.answers == 0  # none of them is new
    assert not again.changed
    assert rows(course) == rows(tmp_path / "new")
    assert [row[3] for row in rows(course) if row[1] == "exports/theirs.csv"] == ["Extra"] * 3


def test_answers_that_waited_are_judged_once_their_question_is_listed(
    course: Path, tmp_path: Path
) -> None:
    late = THEIRS.replace("sq-1", "Solve 4x = 28").replace("k3,lin-1", "k3,Solve 4x = 28")
    (course / "exports" / "late.csv").write_text(late)
    waiting = run_course(course)
    with (course / "items.csv").open("a", encoding="utf-8") as stream:
        stream.write("late-1,Linear,solve,4x = 28\n")
    listed = run_course(course)
    (course / "exports" / "later.csv").write_text(late + "k4,Solve 4x = 28,7,1\n")
    grown = run_course(course)
    shutil.copytree(course, tmp_path / "new", ignore=shutil.ignore_patterns(DATABASE))
    run_course(tmp_path / "new")

    assert any("Not judged: a few answers" in line for line in waiting.lines())
    assert listed.loads.again == ["exports/late.csv"]
    assert not any("Not judged" in line for line in listed.lines())
    assert (grown.loads.stored, grown.loads.duplicates) == (1, 3)
    assert rows(course) == rows(tmp_path / "new")


def test_a_map_for_a_new_form_touches_nothing_that_is_stored(course: Path) -> None:
    before = rows(course)
    shutil.move(course / "exports" / "theirs.csv", course / "theirs.csv")
    with (course / "course.toml").open("a") as stream:
        stream.write('[[exports]]\ncolumns = { student = "A", item = "B", answer = "C" }\n')
    (course / "exports" / "third.csv").write_text("A,B,C\nk9,sq-1,7\n")
    summary = run_course(course)

    assert summary.loads.files == ["exports/third.csv"]
    assert summary.loads.again == []
    assert set(before) < set(rows(course))


def test_a_backup_that_is_put_back_corrects_no_score(course: Path) -> None:
    path = course / "exports" / "theirs.csv"
    (course / "course.toml").write_text(
        SETTINGS + MAP.replace(" }", ', score = "Marks" }'), encoding="utf-8"
    )
    now = path.stat().st_mtime
    run_course(course)
    for text, time in ((THEIRS.replace("-7,0", "-7,1"), now + 60), (THEIRS + "\n", now - 60)):
        path.write_text(text)
        os.utime(path, (time, time))
        summary = run_course(course)
        scores = [row[4] for row in rows(course) if row[1] == "exports/theirs.csv"]
        assert scores == [1.0, 1.0, 1.0]

    assert summary.loads.scores.kept == 1


def test_another_time_of_a_known_answer_is_said(course: Path) -> None:
    def export(minute: int) -> str:
        return (
            "student,item,answer,attempt,score,answered_at\n"
            f"k1,sq-1,7,1,1,2026-02-03 10:00\nk2,sq-1,-7,1,0,2026-02-03 10:{minute}\n"
        )

    (course / "exports" / "timed.csv").write_text(export(10))
    run_course(course)
    before = rows(course)
    (course / "exports" / "timed-2.csv").write_text(export(25))
    summary = run_course(course)

    assert rows(course) == before
    assert summary.loads.scores.moved == 1
    assert any("another time, whose first one stands: 1" in line for line in summary.lines())


TIMES = {
    "time": ["2026-02-03 10:00", "2026-02-03 10:25", "2026-02-04 09:00"],
    "day": ["2026-02-03", "2026-02-03", "2026-02-04"],
}


@pytest.mark.parametrize(("first", "then"), [("time", "day"), ("day", "time")])
@pytest.mark.parametrize("number", ["", "1"])
def test_a_download_without_the_time_of_day_is_known(
    course: Path, first: str, then: str, number: str
) -> None:
    """The answer of another day, and another one of the same day, are new whatever is stored."""

    def export(days: list[str], *more: str) -> str:
        told = [f"k1,sq-1,7,{number},{days[0]},1", f"k2,sq-1,-7,{number},{days[1]},0",
                f"k3,sq-1,-7,{number},{days[2]},0", *more]  # fmt: skip
        return "\n".join(["student,item,answer,attempt,answered_at,score", *told]) + "\n"

    (course / "exports" / "a.csv").write_text(export(TIMES[first]))
    run_course(course)
    before = rows(course)
    again = export(TIMES[then], "k1,sq-1,8,2,2026-02-03,0", "k2,sq-1,-7,3,2026-02-05,0")
    (course / "exports" / "b.csv").write_text(again)
    summary = run_course(course)

    assert summary.loads.duplicates == 3
    assert [row for row in rows(course) if row in before] == before
    assert len(rows(course)) == len(before) + 2


def test_an_answer_given_twice_on_one_day_stays_twice(course: Path) -> None:
    def export(*times: str) -> str:
        lines = (f"k1,sq-1,7,2026-02-03{time}" for time in times)
        return "\n".join(["student,item,answer,answered_at", *lines]) + "\n"

    for name, times in (("a", (" 10:00", " 10:05")), ("b", ("",)), ("c", (" 10:05", " 10:00"))):
        (course / "exports" / f"{name}.csv").write_text(export(*times))
        summary = run_course(course)
    assert summary.loads.duplicates == 2
    assert len([row for row in rows(course) if row[1] == "exports/a.csv"]) == 2


def test_an_unknown_form_waits_for_a_map_and_names_the_command(course: Path) -> None:
    (course / "exports" / "third.csv").write_text("Aa,Bb,Cc\nx,y,z\n")
    summary = run_course(course)
    said = "\n".join(summary.lines())

    assert int(summary.exit_code) == 1
    assert "exports/third.csv, line 1" in said
    assert "seen: Aa, Bb, Cc" in said
    assert "`lostroot check DIR --write`" in said


def test_what_no_export_holds_any_more_outlives_a_rebuild(course: Path) -> None:
    path = course / "exports" / "theirs.csv"
    path.write_text(THEIRS.replace("k2,sq-1,-7,0\n", ""))
    summary = run_course(course)
    before = rows(course)
    text = (course / "course.toml").read_text()
    (course / "course.toml").write_text(text.replace("weeks = 15", "weeks = 14", 1))
    run_course(course)
    with reading(course / DATABASE) as warehouse:
        told = len(warehouse.frame("store.vanished"))

    assert summary.loads.vanished == 1
    assert len(before) == 39
    assert rows(course) == before
    assert told == 1
