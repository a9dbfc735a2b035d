"""Names that exports bring reach no page for everyone, and no id of a student the database."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

import reports
from pipeline.run import run_course
from pipeline.student.prove import bytes_hold
from pipeline.warehouse import reading
from tests.student.small_course import (
    FALL,
    IDS,
    NUMBERS,
    PROBLEMS,
    RIGHT,
    SETTINGS,
    SPRING,
    WRONG,
    items_text,
    small_course,
)

pytestmark = pytest.mark.thorough

NAMED = ("Jane Roe autumn", "asked Jane Roe", "Roe group", "Roe quiz", "riddle of Roe")
"""A semester, a setting, a section, a quiz and a question, in an export's own words."""

MORE = {f"more-{n}": f"x^2 = {n * n}" for n in range(2, 8)}


def export() -> str:
    """Two semesters that the course does not list, with names in every column that has texts."""
    lines = ["student,item,answer,answered_at,term,setting,section,quiz"]
    for place, student in enumerate(IDS):
        for item in (*RIGHT, *MORE):
            root = item[-1]
            right, wrong = RIGHT.get(item, f"{root}, -{root}"), WRONG.get(item, root)
            typed = wrong if place % 2 else right
            for when, term in ((SPRING, ""), (FALL, NAMED[0])):
                lines.append(f'{student},{item},"{typed}",{when},{term},{",".join(NAMED[1:4])}')
    lines += [
        f"{IDS[0]},{NAMED[4]},7,{SPRING},,,,",
        f"{IDS[0]},ask {NUMBERS[1]},7,{SPRING},,,,",
        f"{IDS[0]},sq-1,7,{SPRING},term of {NUMBERS[2]},,,",
    ]
    return "\n".join(lines) + "\n"


def parts(path: Path) -> Iterator[bytes]:
    """What a file holds, or each part of a zipped one."""
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            yield from map(archive.read, archive.namelist())
    else:
        yield path.read_bytes()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    privacy = "[privacy]\nlimit = 3\nshared_every = 'week'\n"
    found = small_course(tmp_path_factory.mktemp("names") / "course", exports={"a.csv": export()})
    (found / "items.csv").write_text(items_text(PROBLEMS | MORE), encoding="utf-8")
    terms = SETTINGS.partition("[[terms]]")[0]
    (found / "course.toml").write_text(terms + privacy, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("reports.figures.export_figures", lambda *_: ())
        run_course(found)
        with reading(found / "course.duckdb") as warehouse:
            reports.write(found, warehouse, edition="shared")
    return found


def test_no_name_of_an_export_is_in_the_edition_for_everyone(folder: Path) -> None:
    files = [path for path in (folder / "reports").rglob("*") if path.is_file()]

    assert len(files) > 10
    for name in NAMED:
        assert [path.name for path in files if bytes_hold(path, [name.encode()])] == [], name


def test_no_day_of_an_export_is_in_the_edition_for_everyone(folder: Path) -> None:
    """A fingerprint may hold the digits of a year by chance, but not as a word."""
    dated = re.compile(rb"(?<!\w)2026(?!\w)")
    files = [path for path in (folder / "reports").rglob("*") if path.is_file()]

    assert [one.name for one in files if any(map(dated.search, parts(one)))] == []


def test_answers_of_semesters_that_are_not_listed_are_counted_as_one(folder: Path) -> None:
    tables = folder / "reports" / "shared" / "tables"
    terms = pd.read_csv(tables / "term.csv")
    wrong = pd.read_csv(tables / "wrong.csv")

    assert terms["title"].tolist() == ["All answers"]
    assert terms[["first_day", "last_day"]].isna().all(axis=None)
    assert set(wrong["setting"]) <= {"another setting", "quiz"}
    assert wrong["rate"].notna().any()


def test_ids_in_names_of_questions_and_semesters_are_not_stored(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        rejected = warehouse.frame("store.rejected")
        assert warehouse.holding([NUMBERS[1], NUMBERS[2]]) == []
        assert "withheld, it names a person" in warehouse.distinct("store.response", "item")

    assert rejected["column"].tolist() == ["term"]
    assert rejected["reason"].str.contains("names a person").all()
