"""The extract for research: random codes, nothing typed, nothing that leads back."""

from __future__ import annotations

import os
import shutil
import stat
from pathlib import Path

import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.student import forget_student, prove_gone
from pipeline.student.prove import bytes_hold
from tests.student.small_course import (
    FALL,
    IDS,
    MAILS,
    PROBLEMS,
    SPRING,
    export_text,
    items_text,
    small_course,
)

pytestmark = pytest.mark.thorough

RELEASE = "[privacy]\nrelease = true\n"


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    few = "".join(f"{one},late,4,{FALL}\n" for one in MAILS[:3])
    exports = {"a.csv": export_text(SPRING), "few.csv": f"student,item,answer,answered_at\n{few}"}
    folder = small_course(tmp_path_factory.mktemp("released") / "course", RELEASE, exports)
    rows = {**PROBLEMS, "late": "2x + 1 = 8"}
    (folder / "items.csv").write_text(items_text(rows), encoding="utf-8")
    run_course(folder)
    return folder


@pytest.fixture
def changing(released: Path, tmp_path: Path) -> Path:
    """A copy, to be changed."""
    shutil.copytree(released, tmp_path / "course")
    return tmp_path / "course"


def codes(folder: Path) -> dict[str, str]:
    table = pd.read_csv(folder / "release-codes.csv", dtype=str)
    return dict(zip(table["student"], table["code"], strict=True))


def test_no_extract_is_written_unless_the_course_says_so(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course")
    run_course(folder)

    assert not (folder / "release").exists()
    assert not (folder / "release-codes.csv").exists()


def test_codes_are_random_and_kept_apart(released: Path) -> None:
    table = codes(released)
    answers = pd.read_csv(released / "release" / "answers.csv", dtype=str)
    files = list((released / "release").iterdir())
    needles = [one.encode() for one in (*IDS, *table)]

    assert set(answers["code"]) == set(table.values())
    assert len(set(table.values())) == len(IDS)
    assert not any(code in student for student, code in table.items())
    assert [path.name for path in files if bytes_hold(path, needles)] == []
    mode = (released / "release-codes.csv").stat().st_mode
    assert os.name != "posix" or stat.S_IMODE(mode) == 0o600


def test_it_holds_neither_what_was_typed_nor_questions_of_few(released: Path) -> None:
    answers = pd.read_csv(released / "release" / "answers.csv", dtype=str)
    tags = pd.read_csv(released / "release" / "tags.csv")

    assert not {"answer", "read_as", "section", "answered_at", "file", "line"} & set(answers)
    assert set(answers["term"]) == {"2026-spring"}
    assert len(answers) == 3 * len(IDS)
    sums = tags.groupby(["code", "item", "attempt"])["share"].sum()
    assert sums.round(6).eq(1).all()
    assert len(sums) == (answers["verdict"] == "wrong").sum()


def test_a_later_extract_keeps_the_codes(changing: Path) -> None:
    before = codes(changing)
    (changing / "exports" / "b.csv").write_text(export_text(FALL), encoding="utf-8")
    run_course(changing)

    assert codes(changing) == before
    assert "2026-fall" in (changing / "release" / "answers.csv").read_text()


def test_a_forgotten_student_leaves_the_extract_too(changing: Path) -> None:
    known = codes(changing)
    forgotten = forget_student(changing, MAILS[0])
    gone = set(known.items()) - set(codes(changing).items())

    answers = pd.read_csv(changing / "release" / "answers.csv", dtype=str)

    assert len(gone) == 1
    assert next(iter(gone))[1] not in set(answers["code"])
    assert len(answers) == 3 * (len(IDS) - 1)
    assert prove_gone(changing, forgotten).found == ()
