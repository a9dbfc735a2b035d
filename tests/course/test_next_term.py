"""The next semester goes on with the questions of another folder, without its dates."""

from __future__ import annotations

from argparse import Namespace
from datetime import date
from pathlib import Path
from typing import Any, cast

import pytest
from openpyxl import Workbook

from pipeline.cli import main
from pipeline.cli_commands import COMMANDS
from pipeline.course import Term, key_fingerprint, new_course, next_term, read_course, read_key
from pipeline.errors import CourseError, UsageError

ITEMS = """\
item,topic,task,problem,from,correction
q1,roots,solve,x^2 = 4,,
q1,roots,solve,x^2 = 9,2026-spring,
q2,roots,solve,x + 1 = 3,,
q2,roots,solve,x + 1 = 2,,yes
"""
SETTINGS = """\
title = "Algebra"
[[terms]]
id = "2026-spring"
first_day = 2026-01-12
weeks = 15
[[topics]]
id = "roots"
outcome = "solving"
[[lessons]]
date = 2026-02-02
title = "Roots"
[[exports]]
term = "2026-spring"
columns = { student = "Login", item = "Task", answer = "Typed" }
[[patterns]]
id = "forgot-half"
sentence = "Takes all of b."
task = "square-constant"
wrong = "b^2"
"""
FALL = Term("2026-fall", "2026-fall", date(2026, 8, 24), 14)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    folder = tmp_path / "spring"
    new_course(folder)
    (folder / "items.xlsx").unlink()
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    (folder / "erased-students.txt").write_text("rules 00\n")
    return folder


def test_what_is_no_date_is_kept(old: Path, tmp_path: Path):
    next_term(tmp_path / "fall", old, lambda: FALL)
    before, after = read_course(old), read_course(tmp_path / "fall")

    assert [(one.id, one.problem, one.start, one.correction) for one in after.items] == [
        ("q1", "x^2 = 9", "", False),
        ("q2", "x + 1 = 2", "", False),
    ]
    assert after.terms == (FALL,)
    assert (after.topics, after.outcomes, after.patterns) == (
        before.topics, before.outcomes, before.patterns,
    )  # fmt: skip
    assert after.lessons == ()
    assert [one.term for one in after.exports] == [None]
    assert after.exports[0].columns == before.exports[0].columns
    assert after.key_fingerprint == before.key_fingerprint
    assert (tmp_path / "fall" / "pseudonym.key").stat().st_mode & 0o077 == 0
    assert (tmp_path / "fall" / "erased-students.txt").exists()


def test_a_key_that_lies_elsewhere_is_named_and_not_copied(old: Path, tmp_path: Path):
    (tmp_path / "vault").mkdir()
    (old / "pseudonym.key").rename(tmp_path / "vault" / "ours.key")
    with (old / "course.toml").open("a") as stream:
        stream.write('[privacy]\nkey_file = "../vault/ours.key"\n')
    deep = tmp_path / "years" / "fall"
    next_term(deep, old, lambda: None)

    assert not (deep / "pseudonym.key").exists()
    key = read_key(tmp_path / "vault" / "ours.key")
    assert read_course(deep).key_fingerprint == key_fingerprint(key)


def test_workbooks_go_on_too(old: Path, tmp_path: Path):
    book, settings = Workbook(), Workbook()
    for line in ITEMS.splitlines():
        book.active.append(line.split(","))
    book.save(old / "items.xlsx")
    (old / "items.csv").unlink()
    settings.active.title = "terms"
    settings.active.append(["id", "first_day", "weeks"])
    settings.active.append(["2026-spring", "2026-01-12", "15"])
    settings.save(old / "course.xlsx")
    (old / "course.toml").unlink()
    next_term(tmp_path / "fall", old, lambda: FALL)
    course = read_course(tmp_path / "fall")

    assert course.terms == (FALL,)
    assert [one.problem for one in course.items] == ["x^2 = 9", "x + 1 = 2"]


def test_without_a_terminal_the_dates_are_left_open_and_said_so(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    new = tmp_path / "fall"
    code = main(["new", str(new), "--from", str(old)])

    assert code == 0
    assert "write the semester's dates into [[terms]]" in capsys.readouterr().out
    assert "# [[terms]]" in (new / "course.toml").read_text()
    assert not read_course(new).terms


class Person:
    """Somebody at the keyboard, with answers ready."""

    def __init__(self, *answers: str) -> None:
        self.answers = list(answers)

    def is_answered(self) -> bool:
        return True

    def ask(self, prompt: str) -> str:
        return self.answers.pop(0)


def begun(folder: Path, old: Path, person: Person) -> None:
    list(COMMANDS["new"](Namespace(dir=folder, old=old), cast("Any", person)))


def test_a_date_typed_wrongly_is_asked_for_again(old: Path, tmp_path: Path):
    person = Person("2027-spring", "1/11/2027", "2027-13-11", "2027-01-11", "fifteen", "15")
    begun(tmp_path / "next", old, person)
    (term,) = read_course(tmp_path / "next").terms

    assert (term.id, term.first_day, term.weeks) == ("2027-spring", date(2027, 1, 11), 15)


def test_dates_that_stay_wrong_make_nothing(old: Path, tmp_path: Path):
    with pytest.raises(UsageError, match="year first, such as 2026-08-24; nothing was made"):
        begun(tmp_path / "next", old, Person("2027-spring", "soon", "later", "11.1.2027"))

    assert not (tmp_path / "next").exists()


def test_nothing_is_asked_about_folders_that_cannot_be_used(old: Path, tmp_path: Path):
    (tmp_path / "next").mkdir()
    (tmp_path / "next" / "items.csv").write_text("item\n")
    for target, source in (("next", old), ("fall", tmp_path / "nowhere")):
        with pytest.raises(CourseError):
            begun(tmp_path / target, source, Person())


def test_a_folder_that_is_none_begins_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["new", str(tmp_path / "fall"), "--from", str(tmp_path / "nowhere")]) == 2
    assert not (tmp_path / "fall").exists()


@pytest.mark.parametrize("same", ["q1", "nowhere", "q3"])
def test_same_names_another_question_of_the_list(old: Path, same: str):
    items = f"item,topic,task,problem,same\nq1,t,solve,x = 1,{same}\nq2,t,solve,x = 2,\n"
    (old / "items.csv").write_text(items + "q3,t,solve,x = 3,q2\n")
    with pytest.raises(CourseError, match="line 2: column `same` is"):
        read_course(old)
