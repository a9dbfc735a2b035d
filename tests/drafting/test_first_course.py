"""From a worksheet and the sheet of its answers to a course that can run, with nothing to edit."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from pipeline.check import CheckReport, check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import new_course

WORKSHEET = """\
# Worksheet 6: Quadratics
Name: ________  Section: ____
Show all work. Each problem is worth 4 points.
Solve each equation by factoring.
1. x^2 + 2x - 15 = 0
2. 3x^2 = 12x
Simplify each radical expression.
3. √98
4. Find the larger root of x^2 - 7x + 10 = 0
5. Solve the system: x + 2y = 8, 3x - y = 3
6. Simplify (x^2 - 9)/(x^2 + 5x + 6)
7. A garden is 3 m longer than wide. Its area is 40 square meters. How wide is the garden?
"""
ANSWERS = {
    "1. x²+2x−15=0": ("3, -5", "-3, 5", "3"),
    "2. 3x²=12x": ("0, 4", "4", "4"),
    "3. √98": ("7√2", "2√7", "2"),
    "4. Find the larger root of x²−7x+10=0": ("5", "2", "3"),
    "5. Solve the system: x+2y=8, 3x−y=3": ("(2, 3)", "(3, 2)", "4"),
    "6. Simplify (x²−9)/(x²+5x+6)": ("(x-3)/(x+2)", "-9/(5x+6)", "1"),
    "7. A garden is 3 m longer than wide. Its area is 40 square meters. How wide is the garden?": (
        "5", "8", "5 m",
    ),
}  # fmt: skip
"""Header -> a right answer and two others; several of them are also numbers of questions."""


def results(path: Path) -> None:
    """Title rows, headers merged over `Answer` and `Points`, a row of averages."""
    book = Workbook()
    sheet = book.active
    sheet.append(["Hillview College, Mathematics 105"])
    sheet.append([])
    sheet.append(["Last name", "Student ID", "Section", *(c for h in ANSWERS for c in (h, None))])
    for place in range(4, 4 + 2 * len(ANSWERS), 2):
        sheet.merge_cells(start_row=3, end_row=3, start_column=place, end_column=place + 1)
    sheet.append([None, None, None, *["Answer", "Points"] * len(ANSWERS)])
    for number in range(15):
        cells: list[str | int] = [f"Last{number}", f"A{1000 + 7 * number}", f"0{1 + number % 2}"]
        for place, texts in enumerate(ANSWERS.values()):
            which = (number + place) % 5
            cells += [texts[max(0, which - 2)], 4 if which < 3 else which % 3]
        sheet.append(cells)
    sheet.append(["Average", None, None, *[None, 2.9] * len(ANSWERS)])
    book.save(path)


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> CheckReport:
    folder = tmp_path_factory.mktemp("first") / "course"
    new_course(folder)
    (folder / "questions" / "worksheet.txt").write_text(WORKSHEET, encoding="utf-8")
    results(folder / "exports" / "results.xlsx")
    return check_course(
        folder, write=True, untaggable=lambda *_: None, unseen=lambda _: BlindSpots()
    )


def test_all_that_can_be_told_is_sure_and_the_story_waits(report: CheckReport) -> None:
    assert "6 sure, 0 look, 1 cannot" in report.drafts[0]
    assert [one for one in report.problems if "no question yet" in one] == [report.problems[-1]]


def test_the_header_is_found_above_answers_that_are_numbers_of_questions(
    report: CheckReport,
) -> None:
    (file,) = report.files
    taken = [one.taken_for for one in file.columns]

    assert (file.header_line, file.layout) == (4, "wide")
    assert taken[:3] == ["not used", "student", "section"]
    assert taken[3:15] == [
        told for number in "123456" for told in (f"answers to {number}", f"score of {number}")
    ]


def test_every_answer_is_stored_and_the_row_of_averages_left_out(report: CheckReport) -> None:
    (file,) = report.files

    assert file.counts == (105, 105, 0, 0)
    assert any("rows of totals" in note for note in file.notes)
    assert report.unlisted == {}


def test_a_screen_holds_the_first_report(report: CheckReport) -> None:
    assert len(list(report.lines())) <= 50
