"""A small course that ran once for all tests."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from pipeline.run import run_course
from tests.run.disturbed import run_with_pages
from tests.student.small_course import small_course


@pytest.fixture(scope="session")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twelve students whose spring is in the database; not to be changed."""
    folder = small_course(tmp_path_factory.mktemp("spring") / "course")
    run_course(folder)
    return folder


@pytest.fixture(scope="session")
def with_pages(ran: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with its pages; not to be changed."""
    folder = shutil.copytree(ran, tmp_path_factory.mktemp("pages") / "course")
    run_with_pages(folder)
    return folder


@pytest.fixture
def course(ran: Path, tmp_path: Path) -> Path:
    """A copy of the course that ran, to be changed."""
    return shutil.copytree(ran, tmp_path / "course")
