"""A small invented course as literal views, one file each under `views/`.

The figures are invented and only have to be told apart; no number here is checked against a course.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pandas as pd
import pytest

from reports.source import Book

FOLDER = Path(__file__).parent / "views"
LISTS = (
    "cannot_show",
    "topics_ahead",
    "joint_with",
    "shown_by",
    "evidence",
    "needs",
    "example_wrong_work",
    "example_right_work",
    "typed",
    "meanings",
    "readings",
    "example_problems",
    "example_answers",
)
DAYS = ("first_day", "last_day", "day", "first_answer", "last_answer")


def read_view(path: Path) -> pd.DataFrame:
    """Read a view with the types that the database gives it."""
    frame = pd.read_csv(path, dtype={"rule_set": str})
    for name in set(LISTS) & set(frame.columns):
        texts = frame[name].astype(object).where(frame[name].notna(), "")
        frame[name] = pd.Series([_list(text) for text in texts], dtype=object)
    for name in set(DAYS) & set(frame.columns):
        frame[name] = pd.to_datetime(frame[name])
    return frame


def _list(text: str) -> list[str]:
    """Entries of a list; a hyphen stands for an empty one."""
    return ["" if entry == "-" else entry for entry in text.split(" | ")] if text else []


class Views:
    """Literal views with the interface of a read-only connection."""

    def __init__(self, frames: Mapping[str, pd.DataFrame]) -> None:
        self.frames = dict(frames)

    def frame(self, view: str) -> pd.DataFrame:
        return self.frames[view].copy()

    def columns(self, view: str) -> Mapping[str, str]:
        return {name: f"the {name}" for name in self.frames[view].columns}

    def sql_file(self, view: str) -> str:
        return f"sql/marts/{view}.sql"

    def fingerprint(self) -> str:
        return repr([(name, frame.to_csv()) for name, frame in sorted(self.frames.items())])


@pytest.fixture(scope="session")
def views() -> Views:
    return Views({path.stem: read_view(path) for path in FOLDER.glob("*.csv")})


@pytest.fixture
def book(views: Views) -> Book:
    return Book(views)


@pytest.fixture
def empty_book(views: Views) -> Book:
    """A course before its first answer: every view without rows, the course's own row apart."""
    kept = {name: f if name == "own_course" else f.iloc[:0] for name, f in views.frames.items()}
    return Book(Views(kept))
