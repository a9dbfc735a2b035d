"""The edition for everyone: nothing under the limit, in no file, and nothing exact."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

import reports
from pipeline.warehouse import building, reading
from tests.reports.forbidden_words import forbidden_words
from tests.warehouse.stored_course import fill

pytestmark = pytest.mark.thorough

FILES = ["index.html", "errors.html", "outcomes.html", "terms.html", "quality.html"]
LIMIT = 10
DAYS = (date(2024, 2, 1), date(2024, 2, 8))


def before(answers: pd.DataFrame) -> pd.DataFrame:
    """Two weeks of the spring, some answers of its second week still to come."""
    late = (answers["week"] == 2) & (answers["student"].str.endswith(("01", "02", "03")))
    return answers[(answers["term"] == "fall") | ((answers["week"] < 3) & ~late)]


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course of 20 students that was written twice, the second time with more answers."""
    folder = tmp_path_factory.mktemp("course")
    printed = None
    for day, keep in zip(DAYS, (before, None), strict=True):
        with building(folder / "course.duckdb", afresh=True) as warehouse:
            fill(warehouse, students=20, keep=keep, printed=printed)
            assert warehouse.check() == []
        with reading(folder / "course.duckdb") as warehouse:
            reports.write(folder, warehouse, edition="shared", day=day)
            printed = warehouse.frame("store.shared_printed")
    return folder


def text_of(page: str) -> str:
    without = re.sub(r"<(script|style).*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", without))


ANSWERS = ("response", "examined", "candidate", "prediction", "share", "source_file")


def test_every_file_is_made_from_printed_counts_and_the_courses_lists_alone(
    course: Path, tmp_path: Path
) -> None:
    """Without any answer the same counts make the same files: so these tell no more than they."""
    database = tmp_path / "course.duckdb"
    shutil.copyfile(course / "course.duckdb", database)
    with building(database) as warehouse:
        counts = warehouse.frame("computed.shared_figure")
        for table in ANSWERS:
            warehouse.put(f"store.{table}", warehouse.frame(f"store.{table}").iloc[:0])
        warehouse.build(computed=False)
        warehouse.build(computed=True)
        assert warehouse.frame("own_headline").empty
        pd.testing.assert_frame_equal(warehouse.frame("computed.shared_figure"), counts)
    with reading(database) as warehouse:
        reports.write(tmp_path, warehouse, edition="shared", day=DAYS[1])
    with_answers, without = (folder / "reports" / "shared" for folder in (course, tmp_path))
    files = {path.relative_to(with_answers) for path in with_answers.rglob("*") if path.is_file()}
    other = {
        name
        for name in files
        if (with_answers / name).read_bytes() != (without / name).read_bytes()
    }

    assert len(files) > 15
    assert other == set()


def test_both_editions_are_kept_under_their_dates(course: Path) -> None:
    names = sorted(path.name for path in (course / "reports" / "kept").iterdir())

    assert names == [f"{day}-shared" for day in DAYS]


def test_something_is_told(course: Path) -> None:
    table = pd.read_csv(course / "reports" / "shared" / "tables" / "wrong.csv")

    assert table.loc[table["grain"] == "topic", "rate"].notna().sum() == 2  # a topic, two terms


def test_a_week_that_is_not_closed_is_not_counted(course: Path) -> None:
    first = course / "reports" / "kept" / f"{DAYS[0]}-shared" / "tables"
    facts = pd.read_csv(first / "course.csv")

    assert facts["current_week"].tolist() == [1]  # the second week waits for the third


def test_no_count_in_any_file_is_under_the_limit(course: Path) -> None:
    folder = course / "reports" / "shared"
    for name in ("wrong.csv", "outcome-results.csv", "pattern-prevalence.csv"):
        table = pd.read_csv(folder / "tables" / name)
        counts = table[[c for c in ("answers", "students", "laid") if c in table]]
        assert not (counts < LIMIT).any(axis=None), name
    package = json.loads((folder / "tables" / "datapackage.json").read_text(encoding="utf-8"))
    names = {field["name"] for one in package["resources"] for field in one["schema"]["fields"]}
    assert not names & {"student", "section", "item", "read_as", "expected_errors", "exports"}


def test_charts_hold_only_rows_with_a_figure(course: Path) -> None:
    for path in (course / "reports" / "shared").glob("*.html"):
        for block in re.findall(r'<script type="application/json"[^>]*>(.*?)</script>',
                                path.read_text(encoding="utf-8"), re.DOTALL):  # fmt: skip
            for rows in json.loads(block).get("datasets", {}).values():
                for row in rows:
                    value = next(row[n] for n in ("rate", "difference", "share") if n in row)
                    assert value is not None
                    assert row.get("students") is None or row["students"] >= LIMIT


def test_the_five_pages_speak_plainly(course: Path) -> None:
    folder = course / "reports" / "shared"
    terms = re.compile(r"p-value|95%|Wilson|variance|perturb|cell-key|Benjamini", re.I)
    for name in FILES:
        page = (folder / name).read_text(encoding="utf-8")
        front = re.sub(r'<details class="behind">.*?</details>', " ", page, flags=re.DOTALL)
        assert forbidden_words(text_of(page)) == [], name
        assert terms.findall(text_of(front)) == [], name
        assert "Not to be passed on" not in page
        assert "appear nowhere in this edition" in page


@pytest.mark.parametrize("limit", [3, 1000])
def test_pages_are_written_whatever_is_hidden(limit: int, tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    with building(path, afresh=True) as warehouse:
        fill(warehouse, students=20, limit=limit)
    with reading(path) as warehouse:
        written = reports.write(tmp_path, warehouse, edition="shared", day=DAYS[0])
    pages = [file for file in written if file.suffix == ".html"]
    text = text_of(pages[0].read_text(encoding="utf-8"))

    assert [page.name for page in pages] == FILES
    assert ("not enough answers" in text) == (limit == 1000)
