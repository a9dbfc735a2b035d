"""Who may read what a run writes: the owner alone, the pages for everyone apart."""

from __future__ import annotations

import os
import stat
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from pipeline.database_file import opened_beside
from reports.editions import keep, only_for_owner, withdraw_shared


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture
def reports_folder(tmp_path: Path) -> Path:
    for edition in ("own", "shared"):
        (tmp_path / edition / "tables").mkdir(parents=True)
        (tmp_path / edition / "index.html").write_text("a page")
    return tmp_path


def test_a_database_is_its_owners_while_it_is_built_and_after(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    with opened_beside(path, b"") as connection:
        connection.execute("create table one as select 1")
        during = {mode(one) for one in tmp_path.iterdir()}

    assert during == {0o600}
    assert mode(path) == 0o600


def test_rights_are_as_before_once_it_is_built(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        with opened_beside(tmp_path / "course.duckdb", b""):
            pass
        (tmp_path / "page.html").touch()
    finally:
        os.umask(before)

    assert mode(tmp_path / "page.html") == 0o644


@pytest.mark.parametrize("edition", ["own", "shared"])
def test_kept_editions_are_the_owners(reports_folder: Path, edition: str) -> None:
    kept = keep(reports_folder, edition, date(2024, 2, 1))

    assert kept is not None
    assert {mode(kept.parent), mode(kept), mode(kept / "tables")} == {0o700}
    assert mode(kept / "index.html") == 0o600


def test_a_folder_is_taken_from_everybody_else(reports_folder: Path) -> None:
    only_for_owner(reports_folder / "own")

    assert mode(reports_folder / "own") == 0o700
    assert mode(reports_folder / "own" / "index.html") == 0o600
    assert mode(reports_folder / "shared" / "index.html") & 0o400


class Erased:
    """A database that knows who is erased."""

    def __init__(self, *students: str) -> None:
        self.students = list(students)

    def frame(self, _: str) -> pd.DataFrame:
        return pd.DataFrame({"student": self.students}, dtype="object")


def test_only_kept_editions_for_everyone_are_withdrawn(reports_folder: Path) -> None:
    for edition in ("own", "shared"):
        keep(reports_folder, edition, date(2024, 2, 1))

    assert withdraw_shared(reports_folder, Erased()) == ()
    assert withdraw_shared(reports_folder, Erased("stone")) == ("2024-02-01-shared",)
    assert [one.name for one in (reports_folder / "kept").glob("2*")] == ["2024-02-01-own"]
    assert {mode(one) for one in (reports_folder / "kept").glob(".*")} == {0o600}


def test_editions_that_were_kept_after_an_erasure_stay_until_the_next(
    reports_folder: Path,
) -> None:
    withdraw_shared(reports_folder, Erased("stone"))
    keep(reports_folder, "shared", date(2024, 2, 1))

    assert withdraw_shared(reports_folder, Erased("stone")) == ()
    assert withdraw_shared(reports_folder, Erased("another", "stone")) == ("2024-02-01-shared",)
