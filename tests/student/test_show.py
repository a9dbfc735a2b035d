from __future__ import annotations

import io
import os
import shutil
import stat
import sys
from pathlib import Path

import pytest

from pipeline.cli import main
from pipeline.errors import ExitCode
from pipeline.run import run_course
from pipeline.student import forget_student, show_student
from tests.run.disturbed import without_figures
from tests.student.small_course import IDS, MAILS, SPRING, export_text, small_course

SLY = MAILS[2]


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    text = export_text(SPRING, {(SLY, "sq-1"): "<script>alert(1)</script>"})
    folder = small_course(tmp_path_factory.mktemp("small") / "course", exports={"a.csv": text})
    run_course(folder)
    return folder


def test_each_answer_stands_with_its_reading_verdict_and_source(ran: Path) -> None:
    page = show_student(ran, MAILS[0]).read_text(encoding="utf-8")

    assert page.count("<article>") == 3
    assert "(x - 3)^2 = 16" in page
    assert page.count("<dt>Judged</dt><dd>wrong") == 3
    assert "exports/a.csv, line 2" in page
    assert "No known error fits" in page
    assert "not a person" in page
    assert "local law" in page


def test_a_right_answer_has_no_reasons(ran: Path) -> None:
    page = show_student(ran, MAILS[1]).read_text(encoding="utf-8")

    assert page.count("<dt>Judged</dt><dd>right") == 3
    assert "Possible reasons" not in page


def test_only_this_student_is_on_the_page_and_no_id(ran: Path) -> None:
    page = show_student(ran, MAILS[0]).read_text(encoding="utf-8")

    assert not [one for one in IDS if one in page]
    assert "Oakes" not in page


def test_what_was_typed_cannot_run(ran: Path) -> None:
    page = show_student(ran, SLY).read_text(encoding="utf-8")

    assert "<script>" not in page
    assert "&lt;script&gt;" in page


@pytest.mark.parametrize("before", [None, 0o644])
def test_only_the_owner_may_read_it(ran: Path, before: int | None) -> None:
    if before is not None:
        path = ran / "one-student.html"
        path.write_text("older")
        path.chmod(before)
    mode = show_student(ran, MAILS[0]).stat().st_mode

    assert os.name != "posix" or stat.S_IMODE(mode) == 0o600


def test_the_command_asks_and_says_where_the_page_is(
    ran: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{MAILS[0]}\n"))

    assert main(["show", str(ran)]) == ExitCode.DONE
    said = capsys.readouterr()
    assert "one-student.html" in said.out
    assert MAILS[0] not in said.out + said.err


@pytest.mark.parametrize("typed", ["", "\n", "nobody@larkfield.example\n"])
def test_no_or_an_unknown_id_gives_one_clear_line(
    ran: Path, typed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))

    assert main(["show", str(ran)]) == ExitCode.WRONG_USE
    said = capsys.readouterr().err
    assert said.startswith("lostroot: No ") or "no id was given" in said
    assert "nobody@" not in said


@without_figures()
def test_an_erased_student_is_said_to_be_erased(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "course"
    shutil.copytree(ran, folder)
    forget_student(folder, MAILS[0])
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{MAILS[0]}\n"))

    assert main(["show", str(folder)]) == ExitCode.WRONG_USE
    assert "was erased" in capsys.readouterr().err
