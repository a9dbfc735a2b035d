"""The processes of a run end with it, however it ends."""

from __future__ import annotations

import gc
import multiprocessing
import os
import time
from functools import partial
from multiprocessing.connection import Client, Listener
from pathlib import Path
from unittest import mock

import pytest

from pipeline.records import Explanation, Request
from pipeline.run.conduct import held
from pipeline.run.workers import MANY_ANSWERS, workers
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predicted


def hold(told: tuple[Path, str]) -> None:
    """Hold a lock, which falls with the process; say so, and at last that it was not ended."""
    lock, address = told
    with held(lock, lambda: None), Client(address) as test:
        test.send("held")
        time.sleep(300)
        test.send("not ended")


def work(lock: Path, address: str) -> None:
    with mock.patch.object(os, "cpu_count", return_value=2), workers(MANY_ANSWERS + 1) as run_map:
        list(run_map(hold, [(lock, address)]))


def test_workers_end_with_a_run_that_is_killed(tmp_path: Path) -> None:
    """The worker's line to the test breaks when its process ends; no clock is asked."""
    lock = tmp_path / "lock"
    with Listener() as listener:
        run = multiprocessing.get_context("spawn").Process(
            target=work, args=(lock, listener.address)
        )
        run.start()
        with listener.accept() as worker:
            assert worker.recv() == "held"
            run.kill()
            run.join()
            with pytest.raises((EOFError, ConnectionResetError)):
                worker.recv()

    with held(lock, lambda: None):
        pass


def threshold(_: int) -> tuple[int, ...]:
    return gc.get_threshold()


def test_workers_look_for_rubbish_as_seldom_as_the_run(request: pytest.FixtureRequest) -> None:
    request.addfinalizer(partial(gc.set_threshold, *gc.get_threshold()))
    gc.set_threshold(12_345, 6, 7)
    with mock.patch.object(os, "cpu_count", return_value=2), workers(MANY_ANSWERS + 1) as run_map:
        assert list(run_map(threshold, [1])) == [(12_345, 6, 7)]


def told(answer: str) -> tuple[Explanation, list[object]]:
    problem = "x^2 + 10x = 11"
    return examine(Request("solve", problem, answer)), list(predicted("solve", problem))


def test_a_worker_tells_what_the_run_itself_would_tell() -> None:
    answers = ["-1, -9", "-10 + sqrt(11)", "1", "1, -11"]
    with mock.patch.object(os, "cpu_count", return_value=2), workers(MANY_ANSWERS + 1) as run_map:
        assert list(run_map(told, answers)) == list(map(told, answers))


def test_little_work_needs_no_workers() -> None:
    with workers(MANY_ANSWERS) as run_map:
        assert run_map is map
