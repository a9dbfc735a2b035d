"""Files written whole or not at all."""

from __future__ import annotations

import errno
import stat
from pathlib import Path

import pytest

from pipeline.errors import CourseError
from pipeline.storage import written_whole


def test_a_file_takes_the_place_of_the_one_that_stands(tmp_path: Path) -> None:
    path = tmp_path / "codes.csv"
    path.write_text("old")

    with written_whole(path) as fresh:
        fresh.write_text("new")
        assert path.read_text() == "old"

    assert path.read_text() == "new"
    assert list(tmp_path.iterdir()) == [path]


def test_a_body_that_fails_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "codes.csv"
    path.write_text("old")

    def write_half(fresh: Path) -> None:
        fresh.write_text("ne")
        raise OSError(errno.ENOSPC, "No space left on device")

    said = r"codes.csv: cannot be written \(No space left on device\)"
    with pytest.raises(CourseError, match=said), written_whole(path) as fresh:
        write_half(fresh)

    assert path.read_text() == "old"


def test_what_a_killed_run_left_beside_it_is_in_nobodys_way(tmp_path: Path) -> None:
    path = tmp_path / "codes.csv"
    (tmp_path / ".codes.csv.new").write_text("half of what was to be written")

    with written_whole(path, for_owner=True) as fresh:
        fresh.write_text("new")

    assert path.read_text() == "new"


def test_only_the_owner_may_read_it_from_the_first_byte_on(tmp_path: Path) -> None:
    path = tmp_path / "codes.csv"
    with written_whole(path, for_owner=True) as fresh:
        assert stat.S_IMODE(fresh.stat().st_mode) == 0o600
        fresh.write_text("new")

    assert stat.S_IMODE(path.stat().st_mode) == 0o600
