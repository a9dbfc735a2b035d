"""Processes that judge chunks of answers, and that never outlive their run."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context, parent_process
from threading import Thread

from pipeline.run.classify import Map

MANY_ANSWERS = 2_000
"""Distinct answers from which on several processes pay."""


@contextmanager
def workers(size: int) -> Iterator[Map]:
    """The plain map for little work, that of a process pool for much."""
    cores = os.cpu_count() or 1
    if size <= MANY_ANSWERS or cores == 1:
        yield map
        return
    # Forking a process whose database has threads running can hang; a fresh one cannot.
    fresh = get_context("spawn")
    with ProcessPoolExecutor(cores, mp_context=fresh, initializer=_end_with_the_run) as pool:
        yield pool.map


def _end_with_the_run() -> None:
    """A run that is killed cannot end its workers, which would wait for work for ever."""
    Thread(target=_wait_for_the_end, daemon=True).start()


def _wait_for_the_end() -> None:
    run = parent_process()
    if run is not None:
        run.join()
        os.kill(os.getpid(), signal.SIGTERM)
