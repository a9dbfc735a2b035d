"""An error that half a class shows stands on every page, whatever the questions leave together."""

from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
import pytest

from pipeline.errors import ExitCode
from pipeline.run import run_course
from pipeline.warehouse import reading
from reports import write
from tests.reports import sentences
from tests.student.small_course import SPRING, items_text, small_course

PROBLEMS = {"q-1": "x^2 - 6x = 0", "q-2": "2x^2 = 18x", "q-3": "x^2 + 7x = 0"}
RIGHT = {"q-1": "0, 6", "q-2": "0, 9", "q-3": "0, -7"}
WRONG = {"q-1": "6", "q-2": "9", "q-3": "-7"}
JOINT = "divided-out-unknown / second-root-left-out"
ALONE = "plus-minus-dropped"
SQUARES = {"q-4": "x^2 = 49", "q-5": "(x - 4)^2 = 25"}
ROOTS = {"q-4": "7, -7", "q-5": "9, -1"}
FIRST_ROOT = {"q-4": "7", "q-5": "9"}
WEEK_LATER = "2026-02-10T15:00Z"


def course_of_sixty(folder: Path, day: str, squares: str = "") -> Path:
    """Sixty students, of whom every other one loses the root 0 each time.

    With a day for them, roots are taken of two squares as well: 21 of 120 times of one sign alone,
    an error that leads to `2x^2 = 18x` -> 9 by the formula, too.
    """
    rows = [
        f'student-{place},{item},"{(WRONG if place % 2 else RIGHT)[item]}",{day}'
        for place in range(60)
        for item in PROBLEMS
    ]
    asked = PROBLEMS | (SQUARES if squares else {})
    if squares:
        rows += [
            f'student-{place},{item},"{(FIRST_ROOT if place < last else ROOTS)[item]}",{squares}'
            for item, last in (("q-4", 11), ("q-5", 10))
            for place in range(60)
        ]
    export = "\n".join(["student,item,answer,answered_at", *rows]) + "\n"
    small_course(folder, exports={"a.csv": export})
    (folder / "items.csv").write_text(items_text(asked), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = course_of_sixty(tmp_path_factory.mktemp("root") / "course", SPRING)
    run_course(folder)
    return folder


@pytest.fixture(scope="module")
def with_squares(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("squares") / "course"
    run_course(course_of_sixty(folder, SPRING, WEEK_LATER))
    return folder


def written(folder: Path) -> dict[str, str]:
    """The words of the own pages, by file."""
    with reading(folder / "course.duckdb") as warehouse:
        write(folder, warehouse)
    return {
        path.name: re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8"))
        for path in (folder / "reports" / "own").glob("*.html")
    }


def frame(folder: Path, name: str) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def test_it_has_one_row_under_all_its_names(course: Path) -> None:
    found = frame(course, "pattern_prevalence").set_index("pattern")
    others = found.drop(index=JOINT)

    assert found.loc[JOINT, "rate"] == pytest.approx(0.5, abs=0.01)
    assert found.loc[JOINT, "opportunities"] == 180
    assert others["rate"].max() < 0.02
    assert others["rate_low"].max() == 0


@pytest.mark.parametrize(("pattern", "made", "chances"), [(JOINT, 90, 180), (ALONE, 21, 120)])
def test_an_error_that_another_could_be_by_an_unusual_method_keeps_its_rate(
    with_squares: Path, pattern: str, made: int, chances: int
) -> None:
    """Nor does a week say of the same answers what its semester does not, or of what none asked."""
    whole = frame(with_squares, "pattern_prevalence").set_index("pattern").loc[pattern]
    weeks = frame(with_squares, "computed.pattern_rate").query("pattern == @pattern")

    assert whole["opportunities"] == chances
    assert 0.03 < whole["rate_low"] < made / chances < whole["rate_high"]
    assert whole["rate"] == pytest.approx(made / chances, abs=0.04)
    assert list(weeks["opportunities"]) == [chances]
    assert weeks["rate"].iloc[0] == pytest.approx(whole["rate"], abs=0.02)


def test_an_error_that_was_not_made_may_be_none(with_squares: Path) -> None:
    found = frame(with_squares, "pattern_prevalence").set_index("pattern")

    assert found.drop(index=[JOINT, ALONE])["rate_low"].max() == 0


def test_pages_ask_about_each_error_apart_from_those_that_its_answers_could_be(
    with_squares: Path,
) -> None:
    """7 of x² = 49 may be the one root of a factor that is given; no answer of those asked may."""
    lesson = written(with_squares)["next-lesson.html"]
    found = frame(with_squares, "own_check_question")
    meant = {
        pattern: {names for row in part["meanings"] for names in row if names}
        for pattern, part in found.groupby("pattern")
    }

    assert sentences.main(with_squares) == 0
    assert "Besides, only “plus minus dropped” was made." in lesson
    assert meant[ALONE] == {ALONE}
    for names in meant[JOINT]:
        assert names == JOINT or not set(names.split(" / ")) & {*JOINT.split(" / "), ALONE}


def test_it_is_ranked_first(course: Path) -> None:
    ranked = frame(course, "own_pattern_prevalence").sort_values("rank")

    assert ranked["pattern"].iloc[0] == JOINT
    assert frame(course, "own_next_lesson_summary")["verdict"].iloc[0] == "clear"


def test_the_summary_and_the_pages_name_it(course: Path) -> None:
    said = "\n".join(run_course(course).lines())
    pages = written(course)

    assert "Divides both sides by the unknown" in said
    for name in ("index.html", "next-lesson.html"):
        assert "Nothing stands out" not in pages[name]
        assert "No known error was made often enough" not in pages[name]
        assert "divided out unknown" in pages[name].lower()
        assert "second root left out" in pages[name].lower()


def test_answers_without_any_date_show_it_all_the_same(tmp_path: Path) -> None:
    folder = course_of_sixty(tmp_path / "course", "")
    (folder / "course.toml").write_text('title = "Algebra"\n', encoding="utf-8")
    said = list(run_course(folder).lines())
    ranked = frame(folder, "own_pattern_prevalence").sort_values("rank")

    assert ranked["pattern"].iloc[0] == JOINT
    assert ranked["rate"].iloc[0] == pytest.approx(0.5, abs=0.01)
    assert any("50.0%  Divides both sides by the unknown" in line for line in said), said


def test_answers_that_no_semester_holds_are_named(tmp_path: Path) -> None:
    """Two semesters are declared, and no date tells which one it was."""
    summary = run_course(course_of_sixty(tmp_path / "course", ""))
    said = list(summary.lines())

    assert any("In no page: 180 answers of exports/a.csv" in line for line in said), said
    assert summary.exit_code == ExitCode.NEEDS_A_LOOK
