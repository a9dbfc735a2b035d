"""From answers that nothing explains to an error of the course's own, on the sheet alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from pipeline.course import read_course
from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError
from pipeline.run import run_course
from pipeline.run.tag import tag_course
from pipeline.warehouse import reading

pytestmark = pytest.mark.thorough

QUADRATICS = ((2, -7, 3), (1, 5, -6), (3, 2, -4), (1, -9, 2), (4, 3, -5), (2, 8, 1))
SETTINGS = """
title = "Small"  # stays
[[terms]]
id = "t1"
first_day = 2026-01-12
weeks = 10
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course of 24, of whom twelve take b^2 - 3ac for the discriminant; run once."""
    folder = tmp_path_factory.mktemp("unnamed") / "course"
    (folder / "exports").mkdir(parents=True)
    items, rows = ["item,topic,task,problem"], ["student,item,answer,answered_at"]
    for place, (a, b, c) in enumerate(QUADRATICS):
        problem = f"{a}x^2 + {b}x + {c} = 0".replace("+ -", "- ")
        items.append(f"d{place},discriminants,discriminant,{problem}")
        for student in range(24):
            value = b * b - (3 if student < 12 else 4) * a * c
            rows.append(f"s{student:03},d{place},{value},2026-01-20")
    (folder / "items.csv").write_text("\n".join(items) + "\n", encoding="utf-8")
    (folder / "exports" / "quiz.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    write_key(folder / "pseudonym.key")
    tag_course(folder)
    return folder


def sheet_rows(folder: Path) -> list[dict[str, str]]:
    book = load_workbook(folder / "to-tag.xlsx")
    if "new errors" not in book.sheetnames:
        return []
    header, *rows = book["new errors"].values
    return [dict(zip(header, row, strict=True)) for row in rows]


def fill(folder: Path, *cells: str) -> None:
    book = load_workbook(folder / "to-tag.xlsx")
    for place, text in enumerate(cells, start=1):
        book["new errors"].cell(2, place, text)
    book.save(folder / "to-tag.xlsx")


def tagged(folder: Path) -> set[str]:
    with reading(folder / "course.duckdb") as warehouse:
        return set(warehouse.frame("tags")["pattern"])


def test_the_rule_is_proposed_and_nothing_is_tagged_by_it(folder: Path) -> None:
    (row,) = sheet_rows(folder)

    assert (row["answers"], row["students"], row["questions"]) == ("72", "12", "6")
    assert row["rule"].startswith("four_a_c: ")
    assert "4ac" in row["what these answers have in common"]
    assert tagged(folder) == {"unexplained"}


def test_the_page_on_trust_rounds_its_figures_down(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        (row,) = warehouse.frame("own_proposal").to_dict("records")

    assert (row["answers"], row["students"], row["questions"]) == (70, 10, 6)


def test_a_name_without_a_sentence_is_refused_by_line(folder: Path) -> None:
    fill(folder, "three-for-four", "")

    with pytest.raises(CourseError, match="line 2: 'three-for-four' has no sentence"):
        tag_course(folder)
    fill(folder, "", "")


def test_named_it_is_an_error_of_the_course_that_the_next_run_tags(
    folder: Path, tmp_path: Path
) -> None:
    fill(folder, "three-for-four", "Takes three times ac in place of four times.")
    report = tag_course(folder)

    (own,) = read_course(folder).patterns
    assert (own.id, own.task) == ("three-for-four", "discriminant")
    assert any("three-for-four" in line for line in report.lines())
    assert "# stays" in (folder / "course.toml").read_text("utf-8")
    assert "three-for-four" in tagged(folder)
    assert sheet_rows(folder) == []


def test_refused_it_does_not_come_back(folder: Path) -> None:
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    tag_course(folder)
    assert len(sheet_rows(folder)) == 1
    fill(folder, "no")
    tag_course(folder)

    run_course(folder)
    assert sheet_rows(folder) == []
    assert tagged(folder) == {"unexplained"}
