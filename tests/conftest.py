"""What holds for all tests: none fails because the clock went on, or chance drew another case.

Property tests draw the same cases each time, so that one commit gives one result. To hunt with
fresh cases: `.venv/bin/pytest --hypothesis-profile hunt tests/reading`.
"""

from __future__ import annotations

import gc
import random
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, settings

_BUSY = [HealthCheck.too_slow]
settings.register_profile("hunt", deadline=None, suppress_health_check=_BUSY)
settings.register_profile("steady", settings.get_profile("hunt"), derandomize=True)
settings.load_profile("steady")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files that take long come first: at the end none keeps one worker while others wait."""
    long = {item.path for item in items if item.get_closest_marker("thorough")}
    items.sort(key=lambda item: item.path not in long)


def pytest_collection_finish() -> None:
    """Ten thousand tests stay to the end: to look through them for garbage takes a tenth of CPU."""
    gc.freeze()


def _drawn_keys(request: pytest.FixtureRequest) -> Iterator[None]:
    """The first course that a test or its module begins has the same key each time.

    The key decides how the edition for everyone is perturbed: with 12 students and a limit of 3,
    about one key in ten shows nothing at all.
    """
    draw = random.Random(request.scope).randbytes
    with pytest.MonkeyPatch.context() as patched:
        fixed = SimpleNamespace(token_hex=lambda size: draw(size).hex())
        patched.setattr("pipeline.course.keyfile.secrets", fixed)
        yield


keys_of_a_test = pytest.fixture(_drawn_keys, autouse=True)
keys_of_a_module = pytest.fixture(_drawn_keys, autouse=True, scope="module")


@pytest.fixture(scope="session")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database of a simulated course of two terms; not to be changed."""
    from pipeline.warehouse import building
    from tests.warehouse.stored_course import fill

    path = tmp_path_factory.mktemp("stored") / "course.duckdb"
    with building(path) as warehouse:
        fill(warehouse)
        assert warehouse.check() == []
    return path
