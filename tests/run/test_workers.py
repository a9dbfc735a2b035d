"""The processes of a run end with it, however it ends."""

from __future__ import annotations

import multiprocessing
import os
import time
from pathlib import Path
from unittest import mock

from pipeline.run.lock import held
from pipeline.run.workers import MANY_ANSWERS, workers


def hold(lock: Path) -> None:
    """Hold a lock, which falls with the process, for longer than the test waits."""
    with held(lock, lambda: None):
        lock.with_suffix(".held").touch()
        time.sleep(300)


def work(lock: Path) -> None:
    with mock.patch.object(os, "cpu_count", return_value=2), workers(MANY_ANSWERS + 1) as run_map:
        list(run_map(hold, [lock]))


def test_workers_end_with_a_run_that_is_killed(tmp_path: Path) -> None:
    lock = tmp_path / "lock"
    run = multiprocessing.get_context("spawn").Process(target=work, args=(lock,))
    run.start()
    end = time.monotonic() + 60
    while not lock.with_suffix(".held").exists() and time.monotonic() < end:
        time.sleep(0.1)
    assert lock.with_suffix(".held").exists()
    run.kill()
    run.join()

    with held(lock, lambda: None, patience=60):
        pass


def test_little_work_needs_no_workers() -> None:
    with workers(MANY_ANSWERS) as run_map:
        assert run_map is map
