"""The written course: the same every time, its truth complete, its broken rows known."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import numpy as np
import openpyxl
import pytest

from pipeline.course import read_course
from pipeline.errors import CourseError
from synthetic_data import WrittenCourse, write_course
from synthetic_data.answer_texts import RIGHT, all_texts
from synthetic_data.calendar import CLINICS, TERMS
from synthetic_data.classroom import class_answers
from synthetic_data.question_bank import PLACES, question_bank
from synthetic_data.roster import enroll
from synthetic_data.tendencies import (
    CAUSES,
    RULES,
    base_rates,
    draw_students,
    expected_rates,
    rule_chances,
    rule_mask,
)

STUDENTS = 40


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def rows(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> WrittenCourse:
    return write_course(tmp_path_factory.mktemp("long"), students_per_term=STUDENTS, seed=3)


@pytest.fixture(scope="module")
def truth(course: WrittenCourse) -> list[dict[str, str]]:
    return table(course.truth / "answers.csv")


def test_the_same_seed_writes_the_same_bytes(course: WrittenCourse, tmp_path: Path) -> None:
    again = write_course(tmp_path, students_per_term=STUDENTS, seed=3)
    assert contents(again.folder) == contents(course.folder)


def test_another_seed_writes_other_answers(course: WrittenCourse, tmp_path: Path) -> None:
    other = write_course(tmp_path, students_per_term=STUDENTS, seed=4)
    names = [f"exports/{name}" for name in course.files]
    ours, theirs = contents(course.folder), contents(other.folder)
    assert all(ours[name] != theirs[name] for name in names)
    assert ours["items.csv"] == theirs["items.csv"]


def test_a_course_of_our_own_is_written_over(tmp_path: Path) -> None:
    write_course(tmp_path, students_per_term=20, file_kind="xlsx", layout="wide")
    write_course(tmp_path, students_per_term=20)
    assert {path.suffix for path in (tmp_path / "exports").iterdir()} == {".csv"}
    assert not (tmp_path / "items.xlsx").exists()


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CourseError, match="Nothing was changed"):
        write_course(tmp_path, students_per_term=20)
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


def test_the_course_is_as_large_as_promised() -> None:
    questions = question_bank()
    assert len(PLACES) >= 12
    assert len(questions) >= 80
    assert {question.kind for question in questions} >= {"judge", "choice", "skip"}
    assert any(not question.listed for question in questions)
    sizes = [len(question.problems) for question in questions if question.is_randomized]
    assert len(sizes) > 20
    assert sum(size >= 30 for size in sizes) > len(sizes) / 2
    assert {question.attempts for question in questions if question.listed} == {1, 2, 3}
    assert {term.weeks for term in TERMS} == {15}


def test_the_lessons_come_in_an_order_of_their_own() -> None:
    order = [place.topic for place in sorted(PLACES.values(), key=lambda place: place.week)]
    usual = ["factoring", "square-root-property", "completing-the-square", "quadratic-formula"]
    assert sorted(usual, key=order.index) != usual


def test_the_course_folder_can_be_read(course: WrittenCourse) -> None:
    read = read_course(course.folder)
    listed = [question for question in question_bank() if question.listed]
    assert {item.id for item in read.items} == {question.id for question in listed}
    assert [term.id for term in read.terms] == [term.id for term in TERMS]
    assert 3 <= len(read.outcomes) <= 5
    for ours, theirs in zip(TERMS, read.terms, strict=True):
        days = [theirs.week_days(week)[0] for week in range(1, 16)]
        assert days == [ours.monday(week) for week in range(1, 16)]
    clinics = {(lesson.title, lesson.date) for lesson in read.lessons if lesson.patterns}
    assert clinics == {(one.title, term.monday(one.week)) for one in CLINICS for term in TERMS}


def test_every_row_of_the_exports_is_accounted_for(
    course: WrittenCourse, truth: list[dict[str, str]]
) -> None:
    planted = [
        (row["file"], int(row["line"]))
        for name in ("planted_rows_to_reject", "planted_duplicates", "planted_test_account")
        for row in table(course.truth / f"{name}.csv")
    ]
    good = [(row["file"], int(row["line"])) for row in truth]
    written = [
        (f"exports/{name}", line)
        for name in course.files
        for line in range(2, len(rows(course.folder / "exports" / name)) + 1)
    ]
    assert sorted(planted + good) == sorted(written)
    assert len(good) == course.answers
    assert len(planted) == course.rows_to_reject + course.duplicates
    assert len(table(course.truth / "planted_rows_to_reject.csv")) == course.broken > 20
    assert course.left_out > 0


def test_the_truth_stands_where_it_says(course: WrittenCourse, truth: list[dict[str, str]]) -> None:
    exports = {f"exports/{name}": rows(course.folder / "exports" / name) for name in course.files}
    for row in truth:
        cells = exports[row["file"]][int(row["line"]) - 1]
        head = exports[row["file"]][0]
        answer = cells[head.index("Response" if "Response" in head else "answer")]
        student = cells[head.index("Student number" if "Response" in head else "student")]
        assert (answer, student) == (row["answer"], row["student"])


def test_each_broken_row_is_broken_in_the_way_that_was_written_down(course: WrittenCourse) -> None:
    for mishap in table(course.truth / "planted_rows_to_reject.csv"):
        lines = rows(course.folder / mishap["file"])
        head, cells = lines[0], lines[int(mishap["line"]) - 1]
        wide_enough = len(cells) == len(head)
        match mishap["kind"]:
            case "too few cells":
                assert len(cells) < len(head)
            case "too many cells":
                assert len(cells) > len(head)
            case "no student":
                assert wide_enough
                assert cells[0] == ""
            case "no such date":
                assert wide_enough
                assert any(cell.startswith("2025-13-41") for cell in cells)
            case "another answer to the same try":
                earlier = [
                    line
                    for line in lines[1 : int(mishap["line"]) - 1]
                    if [a for a, b in zip(line, cells, strict=False) if a != b] != []
                    and sum(a != b for a, b in zip(line, cells, strict=False)) == 1
                ]
                assert wide_enough
                assert len(earlier) >= 1
            case "an answer turned into a date":
                assert "4-Mar" in cells
            case "an answer turned into an error":
                assert "#VALUE!" in cells
            case other:
                pytest.fail(f"unknown kind {other}")


def test_every_planted_answer_is_one_that_its_cause_leads_to(truth: list[dict[str, str]]) -> None:
    problems = {
        (question.id, problem.text): problem
        for first in question_bank()
        for question in (first, first.later)
        if question
        for problem in question.problems
    }
    for row in truth:
        problem = problems[row["item"], row["problem"]]
        assert row["answer"] in all_texts(problem)[row["planted"]].texts


def test_many_wrong_rules_are_planted(truth: list[dict[str, str]]) -> None:
    found = Counter(row["planted"] for row in truth)
    assert sum(found[rule] > 0 for rule in RULES) > 40
    assert {"slip", "outside", "blank", "dont-know", "unreadable", "too-coarse"} <= set(found)
    assert found[RIGHT] > len(truth) / 2


def test_a_few_scores_are_wrong_and_no_others(
    course: WrittenCourse, truth: list[dict[str, str]]
) -> None:
    exports = {f"exports/{name}": rows(course.folder / "exports" / name) for name in course.files}
    wrong = 0
    for row in truth:
        score = exports[row["file"]][int(row["line"]) - 1][-1]
        is_right = row["planted"] in {RIGHT, "right-other-form"}
        assert (score == str(int(is_right))) == (row["score_is_wrong"] == "no")
        wrong += row["score_is_wrong"] == "yes"
    assert 0.002 < wrong / len(truth) < 0.03


def test_answers_fall_into_their_week_or_are_a_week_late(truth: list[dict[str, str]]) -> None:
    """No answer is given before its week, and only practice comes late."""
    weeks = {question.id: question.week for question in question_bank()}
    terms = {term.id: term for term in TERMS}
    for row, moment in zip(truth, _moments(truth), strict=True):
        days = (moment.date() - terms[row["term"]].monday(weeks[row["item"]])).days
        assert 0 <= days < (14 if row["setting"] == "practice" else 7)


def _moments(truth: list[dict[str, str]]) -> Iterator[datetime]:
    """Not in the truth itself, so drawn from the same plan again."""
    random = np.random.default_rng(3)
    answers = [
        answer
        for roster in enroll(random, STUDENTS)
        for answer in class_answers(random, roster, question_bank(), plain=False)
    ]
    found = {(a.student, a.term, a.question.id, a.attempt): a.moment for a in answers}
    terms = [term.id for term in TERMS]
    for row in truth:
        key = (row["student"], terms.index(row["term"]), row["item"], int(row["attempt"]))
        yield found[key]


def test_ids_look_like_ids_and_name_nobody(truth: list[dict[str, str]]) -> None:
    ids = {row["student"] for row in truth}
    numbers = {one for one in ids if one.isdigit()}
    assert all(one.endswith(".vellumbrook.example") for one in ids - numbers)
    assert 0.4 < len(numbers) / len(ids) < 0.6


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> dict[str, WrittenCourse]:
    """The smaller course in four shapes."""
    return {
        f"{layout} {kind}": write_course(
            tmp_path_factory.mktemp("plain"), students_per_term=20, layout=layout, file_kind=kind
        )
        for layout in ("wide", "long-plain")
        for kind in ("csv", "xlsx")
    }


def test_wide_and_long_hold_the_same_answers(plain: dict[str, WrittenCourse]) -> None:
    columns = ("term", "student", "item", "attempt", "problem", "answer", "planted")
    found = {
        name: sorted(
            tuple(row[column] for column in columns) for row in table(course.truth / "answers.csv")
        )
        for name, course in plain.items()
    }
    first = found["wide csv"]
    assert len(first) > 3000
    assert all(others == first for others in found.values())


def test_a_wide_sheet_has_a_row_for_each_student(plain: dict[str, WrittenCourse]) -> None:
    course = plain["wide csv"]
    for name in course.files:
        head, *body = rows(course.folder / "exports" / name)
        assert head[:3] == ["Student", "Section", "Submitted"]
        assert len({row[0] for row in body}) == len(body)
        assert {len(row) for row in body} == {len(head)}


@pytest.mark.parametrize("layout", ["wide", "long-plain"])
def test_a_workbook_holds_the_same_cells_as_the_text_file(
    plain: dict[str, WrittenCourse], layout: str
) -> None:
    text, book = plain[f"{layout} csv"], plain[f"{layout} xlsx"]
    for name in text.files:
        path = book.folder / "exports" / f"{Path(name).stem}.xlsx"
        workbook = openpyxl.load_workbook(path)
        cells = [["" if one is None else one for one in row] for row in workbook.active.values]
        workbook.close()
        expected = rows(text.folder / "exports" / name)
        assert [row + [""] * (len(expected[0]) - len(row)) for row in cells] == expected


def test_the_smaller_course_has_nothing_that_must_be_rejected(
    plain: dict[str, WrittenCourse],
) -> None:
    assert {course.rows_to_reject + course.duplicates for course in plain.values()} == {0}


def test_expected_rates_are_what_students_do_on_average() -> None:
    """A question of fourteen rules, 200,000 students, five standard errors."""
    question = next(one for one in question_bank() if one.id == "QFO-E1")
    expected = expected_rates(0, question.week, question.problems)
    students = draw_students(np.random.default_rng(11), 200_000)
    mask = np.broadcast_to(rule_mask(question.problems[0]), (len(students), len(CAUSES)))
    chances = rule_chances(students, base_rates(0, question.week), mask, 1)
    error = chances.std(axis=0) / np.sqrt(len(students))
    assert np.all(np.abs(chances.mean(axis=0) - expected) <= 5 * error + 2e-4)


def test_a_clinic_makes_its_errors_rarer_in_both_terms() -> None:
    for clinic in CLINICS:
        for pattern in clinic.patterns:
            place = CAUSES.index(pattern)
            for term in (0, 1):
                before = base_rates(term, clinic.week - 1)[place]
                after = base_rates(term, clinic.week)[place]
                assert after == pytest.approx(before * clinic.kept[term])


def test_the_terms_do_not_overlap() -> None:
    first, second = TERMS
    assert first.monday(15) < second.first_day
    assert all(term.first_day.weekday() == 0 for term in TERMS)
    assert first.monday(14) == date(2025, 12, 1)
