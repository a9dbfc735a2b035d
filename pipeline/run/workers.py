"""Processes that judge chunks of answers, and that never outlive their run."""

from __future__ import annotations

import gc
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
    rubbish = gc.get_threshold()
    with ProcessPoolExecutor(cores, fresh, initializer=_begin, initargs=rubbish) as pool:
        yield pool.map


def _begin(*rubbish: int) -> None:
    """End with the run, and look for rubbish as seldom as it does: that is a fifth of the work.

    A run that is killed cannot end its workers, which would wait for work for ever.
    """
    gc.set_threshold(*rubbish)
    Thread(target=_wait_for_the_end, daemon=True).start()


def _wait_for_the_end() -> None:
    run = parent_process()
    if run is not None:
        run.join()
        os.kill(os.getpid(), signal.SIGTERM)
