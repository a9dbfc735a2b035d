"""Tags by hand, choices and own patterns through the whole run, on a course counted by hand."""

from __future__ import annotations

import csv
import shutil
import stat
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import load_workbook

from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError, ExitCode
from pipeline.run import run_course
from pipeline.run.tag import TagReport, tag_course
from pipeline.run.to_tag import identifying
from pipeline.warehouse import reading

ITEMS = """item,topic,task,problem,answer,options
S1,squares,solve,x^2 + 10x = 11,,
J1,lines,judge,Slope of y = 3x - 4,3,
C1,squares,choice,x^2 + 10x = 11,"1, -11","1, -11 | -1, -9 | 0, 3"
"""
SETTINGS = """
title = "Small"
[[terms]]
id = "t1"
first_day = 2026-01-12
weeks = 10
"""
OWN = """
[[patterns]]
id = "intercept-for-slope"
sentence = "Gives the number behind the unknown in place of the slope."
task = "judge"
wrong = "q"
"""


def answers() -> list[tuple[str, str, int, str]]:
    """Student, item, attempt, answer: twelve students, a third of them wrong in a strange way."""
    rows = []
    for n in range(12):
        name = f"s{n:03}"
        rows.append((name, "S1", 1, "1, -11" if n < 5 else "-1, -9" if n < 7 else "40, 70"))
        rows.append((name, "J1", 1, "3" if n < 6 else "-4" if n < 10 else str(8005551230 + n)))
        rows.append((name, "C1", 1, "-1, -9" if n < 4 else "1, -11"))
        rows.append((name, "C1", 2, "0, 3" if n < 3 else "1, -11"))
    rows.append(("s000", "S1", 2, "55"))
    return rows


@pytest.fixture(scope="module")
def tagged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, TagReport]:
    """The course after `tag`, with what it told; not to be changed."""
    folder = tmp_path_factory.mktemp("tagged") / "course"
    (folder / "exports").mkdir(parents=True)
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    write_key(folder / "pseudonym.key")
    with (folder / "exports" / "a.csv").open("w", encoding="utf-8", newline="") as stream:
        rows = csv.writer(stream)
        rows.writerow(("student", "item", "attempt", "answer", "answered_at"))
        rows.writerows((*row, f"2026-01-14T10:{row[2]:02}") for row in answers())
    return folder, tag_course(folder)


@pytest.fixture
def course(tagged: tuple[Path, TagReport], tmp_path: Path) -> Path:
    shutil.copytree(tagged[0], tmp_path / "course")
    return tmp_path / "course"


def frame(course: Path, name: str) -> pd.DataFrame:
    with reading(course / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def sheet(course: Path) -> list[dict[str, str]]:
    page = load_workbook(course / "to-tag.xlsx")["to tag"]
    rows = list(page.iter_rows(values_only=True))
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def fill_in(course: Path, answer: str, tag: str) -> None:
    book = load_workbook(course / "to-tag.xlsx")
    page = book["to tag"]
    places = {cell.value: cell.column for cell in page[1]}
    for row in range(2, page.max_row + 1):
        if page.cell(row, places["answer"]).value == answer:
            page.cell(row, places["your tag"]).value = tag
    book.save(course / "to-tag.xlsx")


def shares(course: Path, answer: str) -> dict[str, float]:
    both = frame(course, "tags").merge(frame(course, "answers")[["response", "answer"]])
    mine = both[both["answer"] == answer]
    return mine.groupby("pattern")["share"].max().to_dict()


def test_the_sheet_lists_doubtful_answers(tagged: tuple[Path, TagReport]) -> None:
    course, first = tagged
    listed = [row["answer"] for row in sheet(course)]

    assert listed[0] == "40 or 70"
    assert "−4" in listed
    assert "55" not in listed  # one student alone gave it
    assert not any("800555" in str(row) for row in sheet(course))
    assert first.to_tag.alone == 3
    assert first.tags == ()
    assert sheet(course)[0]["students"] == "fewer than 10"
    assert {row["answers"] for row in sheet(course)} == {"fewer than 10"}


def test_a_sheet_that_is_filled_in_gives_its_tags_back(course: Path) -> None:
    fill_in(course, "40 or 70", "Half-not-squared")
    fill_in(course, "−4", "none")
    second = tag_course(course)
    assert stat.S_IMODE((course / "tagged.csv").stat().st_mode) & 0o077 == 0

    assert shares(course, "40, 70") == {"half-not-squared": 1.0, "unexplained": 0.0}
    assert shares(course, "-4") == {"unexplained": 1.0}
    assert "40 or 70" not in [row["answer"] for row in sheet(course)]
    assert (second.agreement.answers, second.agreement.alike) == (2, 1)
    assert any("Guess and tag agree on 1 of 2" in line for line in second.lines())
    assert any("half-not-squared: " in line for line in second.lines())

    third = tag_course(course)
    assert len(third.tags) == 2
    assert not third.run.changed


def test_a_run_uses_tags_from_the_sheet_at_once(course: Path) -> None:
    fill_in(course, "40 or 70", "half-not-squared")
    summary = run_course(course)

    assert shares(course, "40, 70")["half-not-squared"] == 1.0
    assert any("half-not-squared: " in line and "->" in line for line in summary.lines())


def test_a_tag_that_is_no_error_keeps_the_sheet_and_says_the_way_out(course: Path) -> None:
    fill_in(course, "40 or 70", "half-not-squard")
    sheet = (course / "to-tag.xlsx").read_bytes()

    with pytest.raises(CourseError, match=r"to-tag.xlsx, line 2.*Did you mean half-not-squared"):
        tag_course(course)
    assert (course / "to-tag.xlsx").read_bytes() == sheet


def test_a_tag_that_is_no_error_does_not_stop_a_run(course: Path) -> None:
    fill_in(course, "40 or 70", "half-not-squard")
    first, second = run_course(course), run_course(course)

    for summary in (first, second):
        assert summary.exit_code == ExitCode.NEEDS_A_LOOK
        assert any("to-tag.xlsx, line 2" in line for line in summary.lines())
    assert shares(course, "40, 70").get("half-not-squared", 0.0) < 1.0


def test_only_its_owner_may_read_the_sheet(tagged: tuple[Path, TagReport]) -> None:
    course, _ = tagged

    assert stat.S_IMODE((course / "to-tag.xlsx").stat().st_mode) & 0o077 == 0


def test_no_raw_id_stands_on_the_sheet(tagged: tuple[Path, TagReport]) -> None:
    book = load_workbook(tagged[0] / "to-tag.xlsx")
    text = "\n".join(str(c.value) for page in book for row in page.iter_rows() for c in row)

    assert not any(f"s{n:03}" in text for n in range(12))


@pytest.mark.parametrize(
    ("text", "problem", "expected"),
    [
        ("8005551234", "x = 1", True),
        ("ann@example.org", "x = 1", True),
        ("x + anna", "x = 1", True),
        ("800-555-1234", "x = 1", True),
        ("sqrt(21) + 3", "x = 1", False),
        ("1234567", "1234567 + 1", False),
        ("no real solution", "x^2 = -1", False),
        ("-1 or -9", "x^2 + 10x = 11", False),
        ("2abx", "abx", False),
        ("25x¹⁵y¹²", "x^15 y^3", False),
        ("Zoë Müller", "x = 1", True),
    ],
)
def test_what_looks_like_a_person_is_withheld(text: str, problem: str, expected: bool) -> None:
    assert identifying(text, problem) is expected


def test_a_new_rule_tags_all_anew_and_the_summary_says_what_moved(
    course: Path, tagged: tuple[Path, TagReport]
) -> None:
    first = tagged[1].run
    before = frame(course, "tags")
    (course / "course.toml").write_text(SETTINGS + OWN, encoding="utf-8")
    second = run_course(course)
    after = frame(course, "tags")
    moved = [line for line in second.lines() if "->" in line and "intercept" in line]

    assert first.loads.moved == []
    assert len(moved) == 1
    assert moved[0].startswith("  intercept-for-slope: 0.0 -> ")
    assert set(before["rule_set"]) != set(after["rule_set"])
    assert after["rule_set"].nunique() == 1
    assert shares(course, "-4")["intercept-for-slope"] > 0.5
    known = frame(course, "own_pattern").set_index("pattern").loc["intercept-for-slope"]
    assert known["example_wrong"] == "-4"
    assert run_course(course).changed is False


def test_options_are_tagged_and_changes_of_mind_are_kept(tagged: tuple[Path, TagReport]) -> None:
    changes = frame(tagged[0], "answer_changes")
    mine = changes[changes["item"] == "C1"]

    assert len(mine) == 3
    assert set(mine["answer_before"]) == {"-1, -9"}
    assert set(mine["answer_after"]) == {"0, 3"}
    assert set(mine["attempt_before"]) == {1}
    assert "unexplained" not in set(mine["pattern_before"])
    assert set(mine["place"]) == {"choice"}
    assert (mine["response_before"] != mine["response_after"]).all()
    assert "S1" not in set(changes["item"])  # right first, wrong then: no change between errors
