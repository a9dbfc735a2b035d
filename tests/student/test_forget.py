from __future__ import annotations

import io
import shutil
import sys
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from pipeline.cli import main
from pipeline.course import read_course, read_key
from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError, ExitCode, UsageError
from pipeline.ingest import Pseudonyms
from pipeline.ingest.withheld import WITHHELD
from pipeline.run import run_course
from pipeline.statistics.disclosure.noise import student_number
from pipeline.student import forget_student, prove_gone, show_student
from pipeline.student.prove import Proof, bytes_hold
from pipeline.warehouse import reading
from tests.run.disturbed import without_figures
from tests.student.small_course import (
    FALL,
    IDS,
    MAILS,
    NUMBERS,
    SPRING,
    export_text,
    open_to_others,
    small_course,
)

pytestmark = pytest.mark.thorough

GONE = MAILS[1]
ONLY_HERS = "x = 271/828"


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    text = export_text(SPRING, {(GONE, "sq-2"): ONLY_HERS})
    folder = small_course(tmp_path_factory.mktemp("small") / "course", exports={"a.csv": text})
    (folder / "exports" / "again.csv").write_text(text + "\n")
    run_course(folder)
    return folder


@pytest.fixture(scope="module")
def forgotten(ran: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("forgotten") / "course"
    shutil.copytree(ran, folder)
    forget_student(folder, GONE)
    return folder


def pseudonym(folder: Path, student: str) -> str:
    course = read_course(folder)
    return Pseudonyms(read_key(course.privacy.key_file), course.privacy).of(student)


def frame(folder: Path, name: str) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def test_the_search_finds_a_student_who_is_there(ran: Path) -> None:
    code = pseudonym(ran, GONE)
    with reading(ran / "course.duckdb") as warehouse:
        assert "store.response.student" in warehouse.holding([code])
    assert bytes_hold(ran / "course.duckdb", [code.encode()])


def test_nothing_of_an_erased_student_is_in_the_database(forgotten: Path) -> None:
    code = pseudonym(forgotten, GONE)
    content = (forgotten / "course.duckdb").read_bytes()

    assert code.encode() not in content
    assert b"271/828" not in content  # a text that nobody else typed
    with reading(forgotten / "course.duckdb") as warehouse:
        assert warehouse.holding([code, "271/828"]) == []
    assert code not in (forgotten / "erased-students.txt").read_text()


def test_no_bytes_of_a_mark_of_an_erased_student_are_in_the_file(
    ran: Path, forgotten: Path
) -> None:
    """What was printed is known by marks of its students: they go with their bytes."""
    number = student_number(pseudonym(ran, GONE)) >> 32
    mark = int(number).to_bytes(4, sys.byteorder)

    assert (ran / "course.duckdb").read_bytes().count(mark) > 0
    assert (forgotten / "course.duckdb").read_bytes().count(mark) == 0


def test_the_others_keep_every_answer(ran: Path, forgotten: Path) -> None:
    before, after = frame(ran, "store.response"), frame(forgotten, "store.response")
    others = before[before["student"] != pseudonym(ran, GONE)].reset_index(drop=True)

    assert len(before) - len(after) == 3
    pd.testing.assert_frame_equal(others, after)


def test_rows_are_still_accounted_for(forgotten: Path) -> None:
    loads = frame(forgotten, "store.source_file")
    rejected = frame(forgotten, "store.rejected")

    assert (loads["rows_read"] == loads[["stored", "duplicates", "rejected"]].sum(axis=1)).all()
    assert loads["stored"].sum() == len(frame(forgotten, "store.response"))
    assert loads["rejected"].sum() == 6
    assert rejected["reason"].str.contains("erased").sum() == 6
    assert rejected["value"].isna().all()
    assert not rejected["needs_look"].any()


@without_figures()
@pytest.mark.parametrize("from_nothing", [False, True])
def test_later_runs_obey_the_tombstone(forgotten: Path, tmp_path: Path, from_nothing: bool) -> None:
    folder = tmp_path / "course"
    shutil.copytree(forgotten, folder)
    (folder / "exports" / "fall.csv").write_text(export_text(FALL), encoding="utf-8")
    if from_nothing:
        (folder / "course.duckdb").unlink()
    summary = run_course(folder)
    students = set(frame(folder, "store.response")["student"])

    assert summary.exit_code is ExitCode.DONE
    assert pseudonym(folder, GONE) not in students
    assert len(students) == len(IDS) - 1


@without_figures()
def test_the_files_that_still_hold_the_student_are_named(ran: Path, tmp_path: Path) -> None:
    shutil.copytree(ran, tmp_path / "course")
    said = "\n".join(forget_student(tmp_path / "course", f" {GONE.upper()} ").lines())

    assert "exports/a.csv: lines 5, 6, 7" in said
    assert "exports/again.csv: lines 5, 6, 7" in said
    assert GONE not in said.casefold()


def test_an_unknown_student_is_told_so_and_nothing_changes(ran: Path) -> None:
    before = (ran / "course.duckdb").read_bytes()
    with pytest.raises(UsageError, match="No stored answer"):
        forget_student(ran, "nobody@larkfield.example")
    with pytest.raises(UsageError, match="No stored answer"):
        show_student(ran, "nobody@larkfield.example")

    assert (ran / "course.duckdb").read_bytes() == before
    assert not (ran / "erased-students.txt").exists()


def test_a_new_key_cannot_pass_over_tombstones(forgotten: Path, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(forgotten, folder)
    (folder / "pseudonym.key").unlink()
    write_key(folder / "pseudonym.key")
    (folder / "course.duckdb").unlink()

    with pytest.raises(CourseError, match="erased students would come back"):
        run_course(folder)


def test_the_command_erases_and_proves_it(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "course"
    shutil.copytree(ran, folder)
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: ())
    show_student(folder, NUMBERS[0])
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{NUMBERS[0]}\n{NUMBERS[0]}\n"))
    code = main(["forget", str(folder)])
    said = capsys.readouterr()

    assert code == ExitCode.DONE, said
    assert "legal hold" in said.out
    assert "Proved" in said.out
    assert NUMBERS[0] not in said.out + said.err
    assert not (folder / "one-student.html").exists()
    assert open_to_others(folder) == []


def test_kept_editions_for_everyone_are_withdrawn_and_it_is_said(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "course"
    shutil.copytree(ran, folder)
    old = [folder / "reports" / "kept" / f"2026-02-{day}-shared" for day in ("08", "15")]
    for one in old:
        one.mkdir(parents=True)
    (old[0] / "published").touch()
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: ())
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{NUMBERS[0]}\n{NUMBERS[0]}\n"))
    main(["forget", str(folder)])

    assert not any(one.exists() for one in old)
    assert "2 kept editions for everyone, 2026-02-08-shared to 2026-02-15" in (
        capsys.readouterr().out
    )


@without_figures()
def test_the_id_is_taken_out_of_what_others_typed_before_the_course_knew_it(
    tmp_path: Path,
) -> None:
    spaced = f"{NUMBERS[2][:4]} {NUMBERS[2][4:]}"
    early = (
        "student,item,answer,answered_at\n"
        f"early.bird@x.example,sq-1,{NUMBERS[2]} says 7,{SPRING}\n"
        f"early.bird@x.example,sq-2,7 by {spaced},{SPRING}\n"
    )
    folder = small_course(tmp_path / "course", exports={"a.csv": early})
    run_course(folder)
    typed = f"{NUMBERS[2]}|{spaced}"
    assert frame(folder, "store.response")["answer"].str.contains(typed).sum() == 2
    (folder / "exports" / "b.csv").write_text(export_text(SPRING), encoding="utf-8")
    run_course(folder)
    forget_student(folder, NUMBERS[2])

    assert not frame(folder, "store.response")["answer"].str.contains(typed).any()


@without_figures()
def test_a_student_who_comes_later_is_looked_for_in_what_was_stored(tmp_path: Path) -> None:
    """The text was stored raw; a download of the same rows then counted it as another answer."""
    early = (
        f"student,item,answer,answered_at\nearly.bird@x.example,sq-1,{NUMBERS[2]} says 7,{SPRING}\n"
    )
    folder = small_course(tmp_path / "course", exports={"a.csv": early})
    run_course(folder)
    (folder / "exports" / "b.csv").write_text(export_text(SPRING), encoding="utf-8")
    run_course(folder)
    first = frame(folder, "store.response")
    assert not bytes_hold(folder / "course.duckdb", [f"{NUMBERS[2]} says 7".encode()])
    (folder / "exports" / "a.csv").write_text(
        early + f"early.bird@x.example,sq-2,3,{SPRING}\n", encoding="utf-8"
    )
    run_course(folder)
    again = frame(folder, "store.response")

    with reading(folder / "course.duckdb") as warehouse:
        assert warehouse.holding([f"{NUMBERS[2]} says 7"]) == []
    assert (first["answer"] == WITHHELD).sum() == (again["answer"] == WITHHELD).sum() == 1
    assert len(again) == len(first) + 1
    assert frame(folder, "store.rejected").empty


def test_no_page_counts_the_rows_of_one_erased_student(forgotten: Path) -> None:
    assert frame(forgotten, "own_rejected").empty
    assert not frame(forgotten, "store.rejected").empty


def test_two_different_ids_erase_nothing(
    ran: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{NUMBERS[0]}\n{NUMBERS[1]}\n"))

    assert main(["forget", str(ran)]) == ExitCode.WRONG_USE
    assert "nothing was erased" in capsys.readouterr().err
    assert not (ran / "erased-students.txt").exists()


@without_figures()
def test_a_page_that_still_holds_the_pseudonym_is_named(forgotten: Path, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(forgotten, folder)
    again = forget_student(folder, GONE)
    (folder / "reports").mkdir()
    (folder / "reports" / "old.html").write_text(f"<p>{pseudonym(folder, GONE)}</p>")
    proof = prove_gone(folder, again)

    assert proof.exit_code is ExitCode.NEEDS_A_LOOK
    assert proof.found == ("reports/old.html",)


def test_an_id_that_comes_through_a_pipe_is_given_once(
    ran: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("nobody-of-ours\n"))

    assert main(["forget", str(ran)]) == ExitCode.WRONG_USE
    assert "No stored answer and no export has this id" in capsys.readouterr().err


@without_figures()
def test_odd_ids_typed_by_others_are_gone_as_they_stand_and_with_other_signs(
    tmp_path: Path,
) -> None:
    """Where a later file names them, too: then the tombstones alone tell them."""
    ids = ("Oakes, Jane00", "80412377")
    typed = [*ids, "oakes jane00", "80*412377", "8041(2377)", "80,412,377", "8041&#50;377"]
    rows = ["student,item,answer,answered_at", *(f'"{one}",sq-1,7,{SPRING}' for one in ids)]
    says = [f'early{n}.bird@x.example,sq-2,"{one}",{SPRING}' for n, one in enumerate(typed)]
    later = [f'late{n}.bird@x.example,sq-2,"{one}",{SPRING}' for n, one in enumerate(typed)]
    folder = small_course(tmp_path / "course", exports={"a.csv": "\n".join(rows + says) + "\n"})
    run_course(folder)
    gone = [forget_student(folder, one) for one in ids]
    proofs = ["\n".join(prove_gone(folder, one).lines()) for one in gone]
    (folder / "exports" / "b.csv").write_text("\n".join([rows[0], *later]) + "\n")
    run_course(folder)
    kept = frame(folder, "store.response")

    assert all(proof.startswith("Proved: pseudonym and id") for proof in proofs), proofs
    assert [one.exports for one in gone] == [
        {"exports/a.csv": [2, 4, 6]}, {"exports/a.csv": [3, 5, 7, 8, 9, 10]}
    ]  # fmt: skip
    assert set(kept["answer"]) == {WITHHELD}
    assert len(kept) == 2 * len(typed)


@without_figures()
def test_an_export_that_cannot_be_opened_needs_a_look(tmp_path: Path) -> None:
    rows = f"student,item,answer,answered_at\ngone-away-12,sq-1,7,{SPRING}\n"
    folder = small_course(tmp_path / "course", exports={"a.csv": rows})
    run_course(folder)
    (folder / "exports" / "b.xlsx").write_bytes(b"PK\x03\x04 cut off")
    gone = forget_student(folder, "gone-away-12")

    assert "  exports/b.xlsx: could not be opened; look through it by hand" in gone.lines()
    assert prove_gone(folder, gone).exit_code is ExitCode.NEEDS_A_LOOK
    assert prove_gone(folder, replace(gone, exports={})).exit_code is ExitCode.DONE


@without_figures()
def test_an_id_that_may_be_an_answer_is_not_proved_gone(tmp_path: Path) -> None:
    rows = f"student,item,answer,answered_at\n4711,sq-1,7,{SPRING}\nother1,sq-2,4711,{SPRING}\n"
    folder = small_course(tmp_path / "course", exports={"a.csv": rows})
    run_course(folder)
    proof = prove_gone(folder, forget_student(folder, "4711"))
    said = "\n".join(proof.lines())

    assert list(frame(folder, "store.response")["answer"]) == ["4711"]
    assert "Proved" not in said
    assert "so short that it may be an answer" in said
    assert proof.exit_code is ExitCode.NEEDS_A_LOOK


@pytest.mark.parametrize(
    ("place", "way_out"),
    [("course.toml", "take the id out of it"), ("items.xlsx", "take the id out of it"),
     ("reports/own/index.html", "Delete it"), ("column store.response.answer", "Delete it")],
)  # fmt: skip
def test_a_file_of_the_course_itself_is_never_to_be_deleted(place: str, way_out: str) -> None:
    proof = Proof(files=3, columns=40, found=(place,), by_id=True)

    (line,) = proof.lines()
    assert place in line
    assert way_out in line
