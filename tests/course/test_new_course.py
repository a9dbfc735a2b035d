from __future__ import annotations

import os
import secrets
import stat
import subprocess
from pathlib import Path

import pytest
from openpyxl import load_workbook

from pipeline.course import key_fingerprint, key_warnings, new_course, read_course, read_key
from pipeline.course.items import ITEM_COLUMNS
from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError, ExitCode


def test_a_new_course_runs_once_a_question_is_typed_in(tmp_path: Path):
    made = new_course(tmp_path / "algebra")
    assert (tmp_path / "algebra" / "questions").is_dir()
    book = load_workbook(made[0])
    for column, text in enumerate(("q1", "roots", "solve", "-x^2 + 3/4 = 0"), 1):
        cell = book["items"].cell(2, column, text)
        assert cell.number_format == "@"
    book.save(made[0])

    assert all(path.exists() for path in made)
    assert read_course(tmp_path / "algebra").items[0].problem == "-x^2 + 3/4 = 0"


def test_the_second_sheet_explains_every_column(tmp_path: Path):
    made = new_course(tmp_path / "algebra")
    sheet = load_workbook(made[0])["explanation"]

    assert tuple(row[0].value for row in sheet.iter_rows(2)) == ITEM_COLUMNS


def test_settings_come_commented_and_every_comment_is_valid_once_uncommented(tmp_path: Path):
    folder = tmp_path / "algebra"
    new_course(folder)
    (folder / "items.xlsx").unlink()
    (folder / "items.csv").write_text(
        "item,topic,task,problem\nq,quadratics,solve,x=1\nr,factoring,skip,\n"
    )
    text = (folder / "course.toml").read_text()
    plain = [
        line[2:] if line.startswith("# ") and ("=" in line or line.startswith("# [")) else line
        for line in text.splitlines()
    ]
    plain = [line for line in plain if not line[:1].isupper()]
    (folder / "course.toml").write_text("\n".join(plain))
    course = read_course(folder)

    assert course.terms[0].id == "2026-spring"
    assert course.exports[0].columns["answer"] == ("First box", "Second box")
    assert course.patterns[0].wrong == ("b^2",)


def test_nothing_is_overwritten(tmp_path: Path):
    folder = tmp_path / "algebra"
    folder.mkdir()
    (folder / "items.csv").write_text("mine")
    with pytest.raises(CourseError, match=r"holds items\.csv already"):
        new_course(folder)

    assert [path.name for path in folder.iterdir()] == ["items.csv"]
    write_key(tmp_path / "k.key")
    before = (tmp_path / "k.key").read_bytes()
    with pytest.raises(CourseError, match="stays as it is"):
        write_key(tmp_path / "k.key")
    assert before == (tmp_path / "k.key").read_bytes()


def test_the_key_is_the_owners_alone_and_says_what_it_is(tmp_path: Path):
    path = new_course(tmp_path / "algebra")[3]
    text = path.read_text()

    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert "Keep a copy" in text
    assert text.startswith("# The pseudonym key")
    assert len(read_key(path)) == 32
    assert key_warnings(path) == ()
    path.chmod(0o644)
    assert "chmod 600" in key_warnings(path)[0]


def test_keys_differ_and_fingerprints_tell_them_apart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pipeline.course.keyfile.secrets", secrets)
    write_key(tmp_path / "a.key")
    write_key(tmp_path / "b.key")
    first, second = read_key(tmp_path / "a.key"), read_key(tmp_path / "b.key")

    assert first != second
    assert key_fingerprint(first) != key_fingerprint(second)
    assert first.hex() not in key_fingerprint(first)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("# only a comment\n", "the key is empty"),
        ("", "the key is empty"),
        ("ab" * 16, "16 bytes long; expected at least 32"),
        ("00" * 32, "follows a pattern"),
        ("ff" * 40, "follows a pattern"),
        (bytes(range(32)).hex(), "follows a pattern"),
        ("0123456789abcdef" * 4, "follows a pattern"),
        ("secret", "not hexadecimal"),
    ],
)
def test_a_key_that_protects_nobody_is_refused_and_not_shown(tmp_path: Path, text: str, words: str):
    (tmp_path / "k.key").write_text(text)

    with pytest.raises(CourseError, match=words) as caught:
        read_key(tmp_path / "k.key")
    assert "Restore the copy" in str(caught.value)
    assert not text.strip() or text.strip() not in str(caught.value)


def test_a_missing_key_is_told(tmp_path: Path):
    with pytest.raises(CourseError, match=r"`.privacy. key_file` says where it lies"):
        read_key(tmp_path / "none.key")


def test_the_scripts_are_for_a_double_click(tmp_path: Path):
    *_, command, script = new_course(tmp_path / "algebra")

    assert os.access(script, os.X_OK)
    assert subprocess.run(["sh", "-n", script], check=False).returncode == 0
    assert b"\r\n" in command.read_bytes()
    assert b"\r\n" not in script.read_bytes()
    assert b"pause" in command.read_bytes()


def test_a_double_click_finds_the_program_that_is_not_on_the_search_path(tmp_path: Path):
    folder = tmp_path / "a folder's name"
    new_course(folder)
    (folder / "items.xlsx").unlink()
    bare = {"PATH": "/usr/bin:/bin", "HOME": str(tmp_path)}
    done = subprocess.run(
        ["sh", folder / "run.sh"],
        env=bare,
        check=False,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )

    assert done.returncode == ExitCode.WRONG_USE
    assert "there is no items file" in done.stderr
