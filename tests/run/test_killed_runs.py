"""A run that is killed at any moment leaves the last good database and pages."""

from __future__ import annotations

import random
import shutil
import signal
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.run.conduct import LOCK, held
from tests.run.disturbed import (
    add_fall,
    assert_same,
    broken_promises,
    pages,
    running,
    seconds_of_run,
    tables,
)

pytestmark = pytest.mark.thorough

GROUPS, PER_GROUP = 4, 5


@dataclass(frozen=True)
class Undisturbed:
    """A course before and after a run that nobody disturbs.

    Args:
        before: the folder, a new export waiting.
        seconds: of CPU that the run took.
    """

    before: Path
    seconds: float
    old_pages: dict[str, bytes]
    new_pages: dict[str, bytes]
    old: dict[str, pd.DataFrame]
    new: dict[str, pd.DataFrame]


@pytest.fixture(scope="module")
def undisturbed(with_pages: Path, tmp_path_factory: pytest.TempPathFactory) -> Undisturbed:
    before = tmp_path_factory.mktemp("killed") / "course"
    shutil.copytree(with_pages, before)
    add_fall(before)
    after = before.with_name("after")
    shutil.copytree(before, after)
    seconds = seconds_of_run(after)
    return Undisturbed(before, seconds, pages(before), pages(after), tables(before), tables(after))


def moments(group: int) -> Iterator[float]:
    """Parts of a run's duration, drawn one in each twentieth, the groups taking turns."""
    rng = random.Random(group)
    count = GROUPS * PER_GROUP
    return ((GROUPS * n + group + rng.random()) / count for n in range(PER_GROUP))


@pytest.mark.parametrize("group", range(GROUPS))
def test_a_killed_run_leaves_the_last_good_state(
    undisturbed: Undisturbed, tmp_path: Path, group: int
) -> None:
    """Twenty moments over the four groups; the next run ends as if nothing had happened."""
    killed = 0
    for moment in moments(group):
        folder = tmp_path / f"{moment:.4f}"
        shutil.copytree(undisturbed.before, folder)
        with running(folder, moment * undisturbed.seconds) as process:
            process.join()
        killed += process.exitcode == -signal.SIGPROF

        assert broken_promises(folder) == []
        left = tables(folder)
        is_new = len(left["store.response"]) == len(undisturbed.new["store.response"])
        assert_same(undisturbed.new if is_new else undisturbed.old, left)
        assert_whole(pages(folder), undisturbed)
        run_course(folder)
        assert_same(undisturbed.new, tables(folder))
        assert not list(folder.glob("course.duckdb?*"))
        shutil.rmtree(folder)

    assert killed


def assert_whole(found: dict[str, bytes], undisturbed: Undisturbed) -> None:
    """Each edition is the old one whole or the new one whole."""
    for edition in ("reports/own/", "reports/shared/"):
        mine = {name for name in found if name.startswith(edition)}
        old = {name for name in undisturbed.old_pages if name.startswith(edition)}
        new = {name for name in undisturbed.new_pages if name.startswith(edition)}
        assert mine in (old, new)
        assert mine
        assert all(found[name].rstrip().endswith(b"</html>") for name in mine)


def test_two_runs_at_once_end_as_one(undisturbed: Undisturbed, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(undisturbed.before, folder)
    with running(folder) as first, running(folder) as second:
        first.join()
        second.join()

    assert (first.exitcode, second.exitcode) == (0, 0)
    assert_same(undisturbed.new, tables(folder))
    assert pages(folder).keys() == undisturbed.new_pages.keys()


def test_the_second_run_says_that_it_waits(undisturbed: Undisturbed, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(undisturbed.before, folder)
    said: list[str] = []
    with held(folder / LOCK, lambda: None), running(folder) as process:
        process.join(1.0)
        waits = process.exitcode is None
        left = tables(folder)
    run_course(folder, lambda sentence, _: said.append(sentence))

    assert waits
    assert_same(undisturbed.old, left)
    assert not any("waiting" in sentence for sentence in said)


def test_a_killed_run_leaves_no_lock(undisturbed: Undisturbed, tmp_path: Path) -> None:
    folder = tmp_path / "course"
    shutil.copytree(undisturbed.before, folder)
    with running(folder, 0.3 * undisturbed.seconds) as process:
        process.join()
    assert process.exitcode == -signal.SIGPROF
    with held(folder / LOCK, lambda: pytest.fail("the lock outlived its run"), patience=0.0):
        pass
