"""Editions are kept by date, published ones as they are, and figures that moved are told."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

import reports
from pipeline.errors import CourseError, ExitCode
from tests.reports.conftest import Views

pytestmark = pytest.mark.thorough

MAY = date(2026, 5, 3)
JUNE = date(2026, 6, 1)


@pytest.fixture(autouse=True)
def without_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out what takes longest and does not matter to how folders are kept."""
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: ())


def changed(views: Views, view: str, change: Callable[[pd.DataFrame], pd.DataFrame]) -> Views:
    return Views({**views.frames, view: change(views.frames[view].copy())})


def other_rules(views: Views) -> Views:
    """The same answers under other rules: one rate has moved."""
    ruled = changed(views, "own_course", lambda f: f.assign(rule_set="feedfacefeedface"))

    def moved(frame: pd.DataFrame) -> pd.DataFrame:
        return frame.assign(rate=frame["rate"].mask(frame["rank"] == 1, 0.31))

    return changed(ruled, "own_pattern_prevalence", moved)


def kept(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "reports" / "kept").iterdir())


def content(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def text_of(path: Path) -> str:
    page = re.sub(r"<(script|style).*?</\1>", " ", path.read_text("utf-8"), flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_an_edition_is_kept_under_its_date(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    facts = json.loads((tmp_path / "reports/kept/2026-05-03-own/edition.json").read_text("utf-8"))

    assert kept(tmp_path) == ["2026-05-03-own"]
    assert facts["limit"] == 10
    assert facts["rule_set"]


def test_the_same_pages_are_kept_once(views: Views, tmp_path: Path) -> None:
    for day in (MAY, JUNE):
        reports.write(tmp_path, views, day=day)

    assert kept(tmp_path) == ["2026-05-03-own"]


def test_other_pages_of_another_day_are_kept_beside(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    reports.write(tmp_path, other_rules(views), day=JUNE)

    assert kept(tmp_path) == ["2026-05-03-own", "2026-06-01-own"]


def test_the_last_pages_of_a_day_are_the_ones_kept(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    reports.write(tmp_path, other_rules(views), day=MAY)
    folder = tmp_path / "reports"

    assert kept(tmp_path) == ["2026-05-03-own"]
    assert content(folder / "kept" / "2026-05-03-own") == content(folder / "own")


def test_a_published_edition_is_never_rewritten(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    folder = tmp_path / "reports" / "kept" / "2026-05-03-own"
    (folder / "published").touch()
    before = content(folder)
    reports.write(tmp_path, other_rules(views), day=MAY)
    reports.write(tmp_path, views, day=MAY)

    assert kept(tmp_path) == ["2026-05-03-own", "2026-05-03-own-2"]
    assert content(folder) == before


def test_figures_that_moved_are_told_with_the_reason(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    (tmp_path / "reports" / "kept" / "2026-05-03-own" / "published").touch()
    reports.write(tmp_path, other_rules(views), day=JUNE)
    page = text_of(tmp_path / "reports" / "own" / "quality.html")
    section = page.split("What moved since the published edition")[1].split("What was taken")[0]

    assert "published on 2026-05-03" in section
    assert "31%" in section
    assert "new rules for reading and explaining answers" in section
    assert "1 figure moved" in section


def test_nothing_moved_is_said_too(views: Views, tmp_path: Path) -> None:
    reports.write(tmp_path, views, day=MAY)
    (tmp_path / "reports" / "kept" / "2026-05-03-own" / "published").touch()
    reports.write(tmp_path, views, day=JUNE)
    page = text_of(tmp_path / "reports" / "own" / "quality.html")

    assert "No figure of the edition published on 2026-05-03 has moved." in page


def test_the_foot_names_rules_inputs_and_limit(views: Views, tmp_path: Path) -> None:
    marked = changed(views, "own_course", lambda f: f.assign(items="aa11", exports="bb22"))
    reports.write(tmp_path, marked, day=MAY)
    for path in (tmp_path / "reports" / "own").glob("*.html"):
        foot = text_of(path)
        assert "questions aa11, exports bb22" in foot
        assert "Groups of fewer than 10 students are hidden." in foot


def failing(number: int) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number), "index.html")

    return fail


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS])
def test_a_full_disk_or_locked_folder_is_named_and_loses_nothing(
    number: int, views: Views, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reports.write(tmp_path, views, day=MAY)
    before = content(tmp_path)
    monkeypatch.setattr(Path, "write_bytes", failing(number))
    with pytest.raises(CourseError) as caught:
        reports.write(tmp_path, other_rules(views), day=JUNE)

    assert os.strerror(number) in str(caught.value)
    assert "nothing that was there is lost" in str(caught.value)
    assert caught.value.exit_code == ExitCode.WRONG_USE
    assert content(tmp_path) == before


def test_a_copy_that_cannot_be_kept_is_named_and_the_pages_stand(
    views: Views, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "copytree", failing(errno.ENOSPC))
    with pytest.raises(CourseError, match="could not be kept by date"):
        reports.write(tmp_path, views, day=MAY)

    assert (tmp_path / "reports" / "own" / "index.html").is_file()


def test_half_a_copy_is_cleared_by_the_next_run(views: Views, tmp_path: Path) -> None:
    half = tmp_path / "reports" / "kept" / ".2026-05-03-own"
    half.mkdir(parents=True)
    (half / "index.html").write_text("half", encoding="utf-8")
    reports.write(tmp_path, views, day=MAY)

    assert kept(tmp_path) == ["2026-05-03-own"]
