"""What one export says that matters to others: voided statements, grades, addresses."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from pipeline.course import new_course, read_course
from pipeline.run.load import Loads, load_course
from pipeline.warehouse import building, reading

HOME = "https://northfold.example"
ITEMS = "item,topic,task,problem\nroot-1,roots,solve,x^2 = 4\n"
COLUMNS = ["file", "answer", "score", "points"]


def statement(name: str, verb: str, about: Any, **more: Any) -> dict[str, Any]:
    actor = {"account": {"homePage": HOME, "name": f"s-{name}"}}
    return {"id": name, "actor": actor, "verb": {"id": f"http://adlnet.gov/expapi/verbs/{verb}"},
            "object": about, "timestamp": "2026-02-03T10:15:00Z", **more}  # fmt: skip


def answered(name: str, response: str, item: str = "root-1") -> dict[str, Any]:
    return statement(name, "answered", {"id": item}, result={"response": response})


def event(attempt: str) -> dict[str, Any]:
    return {"type": "AssessmentItemEvent", "actor": f"{HOME}/users/{attempt}", "object": "root-1",
            "action": "Completed", "eventTime": "2026-02-03T10:15:00Z",
            "generated": {"type": "FillinBlankResponse", "values": ["2"],
                          "attempt": f"{HOME}/attempts/{attempt}"}}  # fmt: skip


def grade(attempt: str, given: float) -> dict[str, Any]:
    return {"type": "GradeEvent", "action": "Graded", "object": f"{HOME}/attempts/{attempt}",
            "generated": {"scoreGiven": given, "maxScore": 2}}  # fmt: skip


FIRST = {
    "a-statements.json": [answered("A", "2"), answered("b", "2, -2")],
    "a-events.json": [event("1"), event("2"), grade("2", 2)],
}
SECOND = {
    "b-statements.json": [
        statement("v", "voided", {"objectType": "StatementRef", "id": "a"}), answered("c", "4"),
    ],
    "b-events.json": [grade("1", 1), grade("9", 1)],
}  # fmt: skip


def stored(folder: Path) -> list[tuple[Any, ...]]:
    """Answers of a course after a load; every row read is accounted for."""
    course = read_course(folder)
    with building(folder / "course.duckdb") as warehouse:
        load_course(course, warehouse, Loads(), lambda _: None)
        frame = warehouse.part("store.response", COLUMNS)
        files = warehouse.frame("store.source_file")
    assert files["stored"].sum() == len(frame)
    assert (files["rows_read"] == files[["stored", "duplicates", "rejected"]].sum(axis=1)).all()
    rows = frame.astype(object).where(frame.notna(), None).itertuples(index=False, name=None)
    return sorted(rows, key=repr)


@pytest.fixture
def course(tmp_path: Path) -> Path:
    folder = tmp_path / "algebra"
    new_course(folder)
    (folder / "items.xlsx").unlink()
    (folder / "items.csv").write_text(ITEMS)
    (folder / "course.toml").write_text("")
    return folder


def put(folder: Path, files: dict[str, Any]) -> None:
    for name, content in files.items():
        (folder / "exports" / name).write_text(json.dumps(content))


def test_what_a_later_export_says_reaches_stored_answers(course: Path):
    """xAPI part 2, 2.3.2 (voiding); Caliper 1.2, Grading Profile: a grade names its attempt."""
    put(course, FIRST)
    before = stored(course)
    put(course, SECOND)
    after = stored(course)

    assert ("exports/a-statements.json", "2", None, None) in before
    assert after == [
        ("exports/a-events.json", "2", 1.0, 2.0),
        ("exports/a-events.json", "2", 2.0, 2.0),
        ("exports/a-statements.json", "2, -2", None, None),
        ("exports/b-statements.json", "4", None, None),
    ]
    with reading(course / "course.duckdb") as warehouse:
        notes = set(warehouse.frame("store.note")["sentence"])
        told = warehouse.frame("store.rejected")
        assert HOME not in " ".join(warehouse.part("store.response", ["source_id"])["source_id"])
    assert any("taken back by a later statement" in one for one in notes)
    assert "scores that came in later than their answers: 1" in notes
    assert not told["needs_look"].any()


def test_what_was_taken_back_stays_so_when_a_third_export_brings_it_again(course: Path):
    """xAPI part 2, 2.3.2: a voided statement is voided for good."""
    put(course, FIRST)
    stored(course)
    put(course, SECOND)
    before = stored(course)
    put(course, {"c-statements.json": [answered("a", "2"), answered("d", "7")]})

    assert stored(course) == sorted([*before, ("exports/c-statements.json", "7", None, None)])


def test_the_order_in_which_files_come_does_not_matter(course: Path):
    put(course, {name.replace("b-", "0-"): content for name, content in SECOND.items()})
    put(course, FIRST)
    together = stored(course)
    (course / "course.duckdb").unlink()
    shutil.move(course / "exports" / "0-events.json", course / "exports" / "z-events.json")

    assert stored(course) == together
    assert ("exports/a-events.json", "2", 1.0, 2.0) in together
    assert ("exports/a-statements.json", "2", None, None) not in together


def test_an_address_that_ends_as_an_earlier_one_is_another_question(course: Path):
    """Two quizzes may number their questions alike; what is told by an end is said and kept."""
    put(course, {"a.json": [answered("a", "2", f"{HOME}/quiz/1/root-1")]})
    stored(course)
    put(course, {
        "b.json": [answered("b", "4", f"{HOME}/quiz/2/root-1")],
        "c.json": [answered("c", "8", f"{HOME}/quiz/1/root-1")],
    })  # fmt: skip
    stored(course)

    with reading(course / "course.duckdb") as warehouse:
        items = warehouse.part("store.response", ["answer", "item"])
        notes = warehouse.frame("store.note")
    assert dict(items.itertuples(index=False, name=None)) == {
        "2": "root-1", "4": f"{HOME}/quiz/2/root-1", "8": "root-1",
    }  # fmt: skip
    said = notes.loc[notes["file"] == "exports/b.json", "sentence"].tolist()
    assert any("ends as that of another one in an earlier export" in one for one in said)
