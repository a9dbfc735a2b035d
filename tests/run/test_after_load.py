"""What becomes of raw exports, and what a change of key or of the rules of identity means."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError, ExitCode
from pipeline.run import run_course
from pipeline.student import forget_student, prove_gone
from pipeline.student.prove import bytes_hold
from pipeline.warehouse import reading
from tests.run.disturbed import without_figures
from tests.student.small_course import FALL, IDS, MAILS, SPRING, export_text, small_course

pytestmark = pytest.mark.thorough

MOVE = '[privacy]\nafter_load = "move"\n'
COPY = '[privacy]\nafter_load = "pseudonymize"\n'
TYPED = {(MAILS[1], "sq-1"): f"{MAILS[1]} said 7", (MAILS[2], "sq-2"): 'x = 7,\r\nor "-1"'}


@pytest.fixture(scope="module", autouse=True)
def _stored_alone() -> Iterator[None]:
    with without_figures():
        yield


def responses(folder: Path) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame("store.response")


def workbook(path: Path, text: str) -> None:
    """The same rows as a workbook, a title above them, numbers as numbers, a sheet of names."""
    book = openpyxl.Workbook()
    page = book.active
    page.title = "answers"
    page.append([f"exported by {MAILS[0]}"])
    for cells in pd.read_csv(io.StringIO(text), header=None, dtype=str).values:
        page.append([int(c) if c.isdigit() else c for c in cells])
    book.create_sheet("people").append([MAILS[0], "Person 0 Oakes"])
    book.save(path)


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_copy_without_ids_takes_the_place_of_an_export(tmp_path: Path, kind: str) -> None:
    folder = small_course(tmp_path / "course", COPY, {"b.csv": export_text(SPRING, TYPED)})
    raw = folder / "exports" / "b.csv"
    if kind == "xlsx":
        workbook(folder / "exports" / "b.xlsx", raw.read_text())
        raw.unlink()
        raw = folder / "exports" / "b.xlsx"
    assert run_course(folder).exit_code is ExitCode.DONE
    first = responses(folder)

    assert not bytes_hold(raw, [one.encode() for one in (*IDS, "Oakes")])
    assert [path.name for path in (folder / "exports").iterdir()] == [raw.name]
    assert run_course(folder).changed is False
    shutil.copy(raw, raw.with_stem("again"))
    summary = run_course(folder)
    assert (summary.loads.stored, summary.loads.duplicates) == (0, 36)
    raw.with_stem("again").unlink()
    (folder / "course.duckdb").unlink()
    run_course(folder)
    pd.testing.assert_frame_equal(first, responses(folder))


def test_a_copy_is_its_owners_and_names_nobody_in_a_setting(tmp_path: Path) -> None:
    rows = [line.split(",") for line in export_text(SPRING).splitlines()]
    text = "\n".join(",".join([*row, "setting" if not at else f"quiz {MAILS[0]}"])
                     for at, row in enumerate(rows))  # fmt: skip
    folder = small_course(tmp_path / "course", COPY, {"b.csv": text})
    copy = folder / "exports" / "b.csv"
    copy.chmod(0o644)
    run_course(folder)

    assert not bytes_hold(copy, [MAILS[0].encode()])
    assert copy.stat().st_mode & 0o777 == 0o600


def test_the_target_of_a_link_is_named_as_still_raw(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", COPY)
    raw = folder / "exports" / "spring.csv"
    elsewhere = shutil.move(raw, tmp_path / "elsewhere.csv")
    raw.symlink_to(elsewhere)
    warnings = " ".join(run_course(folder).lines())

    assert str(elsewhere) in warnings
    assert bytes_hold(elsewhere, [MAILS[0].encode()])
    assert not bytes_hold(raw, [MAILS[0].encode()])


def test_an_export_with_rows_to_mend_stays(tmp_path: Path) -> None:
    text = export_text(SPRING).replace(SPRING, "soon", 1)
    folder = small_course(tmp_path / "course", COPY, {"b.csv": text})
    summary = run_course(folder)

    assert (folder / "exports" / "b.csv").read_text() == text
    assert any("still holds ids" in line for line in summary.lines())


def test_raw_exports_stay_as_they_are_unless_told(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course")
    before = (folder / "exports" / "spring.csv").read_bytes()
    run_course(folder)

    assert (folder / "exports" / "spring.csv").read_bytes() == before
    assert not (folder / "loaded").exists()


def test_loaded_exports_are_moved_byte_for_byte(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", MOVE)
    before = (folder / "exports" / "spring.csv").read_bytes()
    run_course(folder)
    (folder / "exports" / "spring.csv").write_text(export_text(FALL), encoding="utf-8")
    run_course(folder)

    assert (folder / "loaded" / "spring.csv").read_bytes() == before
    assert (folder / "loaded" / "spring (2).csv").exists()
    assert not list((folder / "exports").iterdir())
    assert len(responses(folder)) == 72


def test_moved_exports_are_missed_when_all_has_to_be_read_anew(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", MOVE)
    run_course(folder)
    settings = (folder / "course.toml").read_text()
    (folder / "course.toml").write_text(settings.replace("weeks = 15", "weeks = 16", 1))
    assert run_course(folder).changed is True  # weeks alone shift no stored answer
    (folder / "course.toml").write_text(settings.replace("America/Chicago", "America/Denver"))

    with pytest.raises(CourseError, match=r"spring\.csv.*Put them back"):
        run_course(folder)
    shutil.copy(folder / "loaded" / "spring.csv", folder / "exports")
    assert len(responses(folder)) == 36
    assert run_course(folder).answers == 36


def test_a_forgotten_student_is_named_in_moved_exports(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", MOVE)
    run_course(folder)

    forgotten = forget_student(folder, MAILS[0])

    assert forgotten.exports == {"loaded/spring.csv": [2, 3, 4]}
    assert prove_gone(folder, forgotten).found == ()


def test_a_copy_obeys_the_tombstone(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", COPY)
    run_course(folder)
    forgotten = forget_student(folder, MAILS[0])
    (folder / "course.duckdb").unlink()
    run_course(folder)

    assert forgotten.exports == {"exports/spring.csv": [2, 3, 4]}
    assert len(responses(folder)) == 33


def test_a_new_key_means_reading_all_raw_exports_again(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course")
    run_course(folder)
    before = responses(folder)
    (folder / "pseudonym.key").unlink()
    write_key(folder / "pseudonym.key")
    with pytest.raises(CourseError, match="another pseudonym key"):
        run_course(folder)
    (folder / "course.duckdb").unlink()
    run_course(folder)
    after = responses(folder)

    assert len(before) == len(after)
    assert not set(before["student"]) & set(after["student"])
    assert not set(before["response"]) & set(after["response"])


def test_a_copy_made_under_another_key_is_refused(tmp_path: Path) -> None:
    folder = small_course(tmp_path / "course", COPY)
    run_course(folder)
    (folder / "pseudonym.key").unlink()
    write_key(folder / "pseudonym.key")
    (folder / "course.duckdb").unlink()
    summary = run_course(folder)

    assert (summary.answers, summary.rejected) == (0, 36)
    assert summary.exit_code is ExitCode.NEEDS_A_LOOK
    assert any("another key" in line for line in summary.lines())


@pytest.mark.parametrize(("linked", "students"), [("true", 12), ("false", 24)])
def test_terms_are_linked_or_kept_apart(tmp_path: Path, linked: str, students: int) -> None:
    exports = {"a.csv": export_text(SPRING), "b.csv": export_text(FALL)}
    folder = small_course(
        tmp_path / "course", f"[privacy]\nlink_terms = {linked}\nafter_load = 'pseudonymize'\n",
        exports,
    )  # fmt: skip
    run_course(folder)
    before = responses(folder)
    by_term = before.groupby("student")["term"].nunique()

    assert len(by_term) == students
    assert set(by_term) == {2 if linked == "true" else 1}
    forget_student(folder, MAILS[0])
    assert len(responses(folder)) == 66
