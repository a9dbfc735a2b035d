"""Every file that a run writes, and all that it says, searched for every raw id of a course."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.cli import main
from pipeline.errors import ExitCode
from pipeline.student.prove import bytes_hold
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

SPACED = f"{NUMBERS[3][:3]}-{NUMBERS[3][3:6]} {NUMBERS[3][6:]}"
TYPED = {
    (MAILS[1], "sq-1"): f"this is {MAILS[1]}",
    (MAILS[2], "sq-1"): f"my friend is {MAILS[3]}",
    (NUMBERS[1], "lin-1"): f"id {NUMBERS[1]} x = 5",
    (NUMBERS[2], "lin-1"): f"{SPACED} told me 5",
}


@pytest.fixture(scope="module")
def said_and_folder(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    broken = export_text(FALL).replace(FALL, "soon", 4) + f'"{MAILS[0]},sq-1\n'
    exports = {"spring.csv": export_text(SPRING, TYPED), "fall.csv": broken}
    folder = small_course(tmp_path_factory.mktemp("searched") / "course", exports=exports)
    with pytest.MonkeyPatch.context() as patch:
        said: list[str] = []
        patch.setattr("sys.stdout.write", said.append, raising=False)
        patch.setattr("sys.stderr.write", said.append, raising=False)
        assert main(["run", str(folder)]) == ExitCode.NEEDS_A_LOOK
        main(["check", str(folder)])
    return "".join(said), folder


def written(folder: Path) -> list[Path]:
    raw = folder / "exports"
    return [path for path in folder.rglob("*") if path.is_file() and raw not in path.parents]


def test_the_run_wrote_what_is_searched(said_and_folder: tuple[str, Path]) -> None:
    said, folder = said_and_folder
    kinds = {path.suffix for path in written(folder)}

    assert {".duckdb", ".html", ".csv", ".xlsx", ".json", ".svg", ".png"} <= kinds
    assert "rejected" in said


@pytest.mark.parametrize("student", IDS)
def test_no_file_holds_a_raw_id(said_and_folder: tuple[str, Path], student: str) -> None:
    needles = [student.encode(), student.partition("@")[0].encode()]
    guilty = [path.name for path in written(said_and_folder[1]) if bytes_hold(path, needles)]

    assert guilty == []


def test_no_file_holds_an_id_with_signs_between_its_digits(
    said_and_folder: tuple[str, Path],
) -> None:
    guilty = [one.name for one in written(said_and_folder[1]) if bytes_hold(one, [SPACED.encode()])]

    assert guilty == []


def test_no_name_beside_an_id_is_kept(said_and_folder: tuple[str, Path]) -> None:
    guilty = [path.name for path in written(said_and_folder[1]) if bytes_hold(path, [b"Person 1"])]

    assert guilty == []


def test_no_file_but_the_pages_for_everyone_is_open_to_others(
    said_and_folder: tuple[str, Path],
) -> None:
    folder = said_and_folder[1]
    closed = [folder / "reports" / name for name in ("own", "kept")]

    assert open_to_others(folder) == []
    assert {path.stat().st_mode & 0o777 for path in closed} == {0o700}


def test_nothing_said_names_a_student(said_and_folder: tuple[str, Path]) -> None:
    said = said_and_folder[0].casefold()

    assert [one for one in (*IDS, "person 1") if one in said] == []
