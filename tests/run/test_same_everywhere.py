"""The same edition whatever the number of processes: no order of theirs reaches a page."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from pipeline.run import workers
from tests.run.disturbed import run_with_pages
from tests.student.small_course import FALL, SPRING, export_text, small_course

pytestmark = pytest.mark.thorough


@pytest.mark.parametrize("edition", ["shared", "own"])
def test_one_process_and_two_write_the_same_edition(written: list[Path], edition: str) -> None:
    one, two = (files(folder / "reports" / edition) for folder in written)

    assert len(one) > 10
    assert one == two


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """One course, run by one process and by two."""
    privacy = "[privacy]\nshared_every = 'week'\nlimit = 3\n"
    texts = {"a.csv": export_text(SPRING), "b.csv": export_text(FALL)}
    first = small_course(tmp_path_factory.mktemp("same") / "one", privacy, texts)
    second = first.with_name("two")
    shutil.copytree(first, second)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(workers, "MANY_ANSWERS", 0)
        for folder, cores in ((first, 1), (second, 2)):
            patched.setattr(workers.os, "cpu_count", lambda cores=cores: cores)
            run_with_pages(folder)
    return [first, second]


def files(folder: Path) -> dict[str, bytes]:
    """File -> its bytes; of the own edition without those that tell when a file was loaded."""
    clock = ("all-tables.xlsx", "loads.csv", "datapackage.json", "edition.json")
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not (folder.name == "own" and path.name in clock)
    }
