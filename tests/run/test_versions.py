"""Answers stay with their question: ten questions change between two terms."""

from __future__ import annotations

import shutil
from pathlib import Path

import pandas as pd
import pytest

from pipeline.cli import main
from pipeline.errors import CourseError, ExitCode
from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.run.disturbed import without_figures
from tests.student.small_course import FALL, IDS, SPRING, items_text, small_course

pytestmark = pytest.mark.thorough

OLD = {f"q-{n}": f"x^2 + {2 * n}x = {n}" for n in range(1, 13)}
NEW = {f"q-{n}": f"x^2 + {2 * n}x = {n + 30}" for n in range(1, 11)}


def answers(when: str, term: str) -> str:
    """Half of the students leave the half of x unsquared, half get it right."""
    rows = ["student,item,answer,answered_at"]
    for place, student in enumerate(IDS):
        for item in OLD:
            n = int(item.removeprefix("q-"))
            side = n + 30 if term == "fall" and item in NEW else n
            under = side + n if place % 2 else side + n * n
            rows.append(f'{student},{item},"{-n} ± sqrt({under})",{when}')
    return "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    exports = {"spring.csv": answers(SPRING, "spring")}
    folder = small_course(tmp_path_factory.mktemp("versions") / "course", exports=exports)
    (folder / "items.csv").write_text(items_text(OLD), encoding="utf-8")
    assert run_course(folder).exit_code is ExitCode.DONE
    return folder


@pytest.fixture
def course(ran: Path, tmp_path: Path) -> Path:
    shutil.copytree(ran, tmp_path / "course")
    return tmp_path / "course"


def frame(folder: Path, name: str) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def of_spring(folder: Path, name: str) -> pd.DataFrame:
    table = frame(folder, name)
    return table[table["term"] == "2026-spring"].reset_index(drop=True)


def write_items(folder: Path, rows: dict[str, str], more: str = "") -> None:
    (folder / "items.csv").write_text(items_text(rows, more), encoding="utf-8")


def test_ten_new_versions_leave_every_earlier_tag_as_it_was(course: Path) -> None:
    before = {name: of_spring(course, name) for name in ("answers", "tags")}
    more = "".join(f"{name},roots,solve,{text},,2026-fall,\n" for name, text in NEW.items())
    write_items(course, OLD, more)
    (course / "exports" / "fall.csv").write_text(answers(FALL, "fall"), encoding="utf-8")
    run_course(course)
    fall = frame(course, "answers")
    fall = fall[(fall["term"] == "2026-fall") & fall["item"].isin(list(NEW))]

    assert set(before["tags"]["pattern"]) >= {"half-not-squared"}
    for name, table in before.items():
        # The same topic in another term steadies the shares of ambiguous answers a little.
        pd.testing.assert_frame_equal(table, of_spring(course, name), obj=name, atol=0.002)
    assert set(fall["problem"]) == set(NEW.values())
    assert (fall["verdict"] == "right").sum() == 10 * 6 + 6  # one squared or not is one


@pytest.mark.parametrize(
    "edited",
    [
        pytest.param(lambda text: text.replace(OLD["q-3"], NEW["q-3"]), id="another problem"),
        pytest.param(lambda text: text.replace("x = 3,,", "x = 3,-9,"), id="another key"),
        pytest.param(lambda text: text.replace("solve,x^2 + 6x", "judge,x^2 + 6x").replace(
            "x = 3,,", "x = 3,-9,"), id="another task"),
        pytest.param(lambda text: text.replace(
            f"{OLD['q-3']},,,", f"{NEW['q-3']},,2026-fall,"), id="the old row replaced"),
    ],
)  # fmt: skip
def test_a_question_that_reads_otherwise_stops_the_run(course: Path, edited: object) -> None:
    before = (course / "course.duckdb").read_bytes()
    text = (course / "items.csv").read_text(encoding="utf-8")
    assert callable(edited)
    changed = edited(text)
    assert changed != text
    (course / "items.csv").write_text(changed, encoding="utf-8")

    with pytest.raises(CourseError, match=r"q-3 \(line 4\): .* was .*; 12 answers"):
        run_course(course)
    assert (course / "course.duckdb").read_bytes() == before


def test_it_stops_even_when_all_is_read_anew(course: Path) -> None:
    settings = (course / "course.toml").read_text(encoding="utf-8")
    (course / "course.toml").write_text(settings.replace("weeks = 15", "weeks = 14"))
    write_items(course, {**OLD, "q-3": NEW["q-3"]})

    with pytest.raises(CourseError, match="x = 33"):
        run_course(course)


def test_the_command_shows_both_texts_and_the_way_out(
    course: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_items(course, {**OLD, **NEW})
    status = main(["run", str(course)])
    said = capsys.readouterr().err

    assert status == ExitCode.WRONG_USE
    assert "120 stored answers" in said
    assert "problem was 'x^2 + 6x = 3', is now 'x^2 + 6x = 33'" in said
    assert "`from`" in said
    assert "`correction`" in said


@without_figures()
def test_a_correction_judges_old_answers_anew_and_says_so(course: Path) -> None:
    write_items(course, OLD, f"q-3,roots,solve,{NEW['q-3']},,,yes\n")
    summary = run_course(course)
    mended = of_spring(course, "answers").query("item == 'q-3'")

    assert "Correction of q-3: 12 stored answers are judged anew" in summary.lines()
    assert set(mended["problem"]) == {NEW["q-3"]}
    assert set(mended["verdict"]) == {"wrong"}
    assert run_course(course).changed is False


@without_figures()
@pytest.mark.parametrize("change", ["a week", "a new question", "one taken out", "a later version"])
def test_other_changes_go_through(course: Path, change: str) -> None:
    text = (course / "items.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    match change:
        case "a week":
            lines = [line + (",week" if at == 0 else ",4") for at, line in enumerate(lines)]
        case "a new question":
            lines.append("q-99,roots,solve,x^2 = 1,,,")
        case "one taken out":
            lines = lines[:-1]
        case _:
            lines.append(f"q-3,roots,solve,{NEW['q-3']},,2026-08-24,")
    (course / "items.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")

    assert run_course(course).exit_code is ExitCode.DONE
