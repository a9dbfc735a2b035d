"""The edition for everyone: nothing under the limit, in no file, and not by comparing editions."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

import reports
from pipeline.run.earlier import shared_earlier
from pipeline.warehouse import building, reading
from reports.everyone import build_shared_pages
from reports.everyone.common import WITHHELD
from reports.source import Book
from reports.words import forbidden_words
from tests.statistics.disclosure.outsider import Outsider
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
    for day, keep in zip(DAYS, (before, None), strict=True):
        with building(folder / "course.duckdb", afresh=True) as warehouse:
            fill(warehouse, students=20, keep=keep, earlier=shared_earlier(folder))
            assert warehouse.check() == []
        with reading(folder / "course.duckdb") as warehouse:
            reports.write(folder, warehouse, edition="shared", day=day)
    return folder


@pytest.fixture(scope="module")
def truth(course: Path) -> pd.DataFrame:
    with reading(course / "course.duckdb") as warehouse:
        return warehouse.frame("staging.student_week")


def kept(course: Path, number: int) -> pd.DataFrame:
    path = course / "reports" / "kept" / f"{DAYS[number]}-shared" / "tables" / "wrong.csv"
    table = pd.read_csv(path, keep_default_na=False, na_values=[""], dtype={"topic": str})
    renamed = table.rename(columns={"answers": "total", "wrong": "part", "right": "rest"})
    return renamed.assign(topic=renamed["topic"].fillna(""))


def text_of(page: str) -> str:
    without = re.sub(r"<(script|style).*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", without))


def test_both_editions_are_kept_under_their_dates(course: Path) -> None:
    names = sorted(path.name for path in (course / "reports" / "kept").iterdir())

    assert names == [f"{day}-shared" for day in DAYS]


def test_what_is_read_back_is_what_was_printed(course: Path) -> None:
    told = shared_earlier(course)
    last = told[told["edition"] == f"{DAYS[1]}-shared"]
    with reading(course / "course.duckdb") as warehouse:
        printed = warehouse.frame("computed.shared_count")
    whole = printed[(printed["subject"] == "wrong") & (printed["week_from"] == 0)]
    for row in whole.to_dict("records"):
        place = (last["term"] == row["term"]) & (last["setting"] == row["setting"])
        mine = last[place & (last["topic"] == row["topic"]) & (last["week_from"] == 0)]
        values = mine.set_index("part")["value"]
        assert values["answers"] == row["total"] or pd.isna(row["total"])
        assert pd.isna(values["wrong"]) == pd.isna(row["part"])


def test_two_editions_pin_down_no_hidden_count_and_no_small_change(
    course: Path, truth: pd.DataFrame
) -> None:
    editions = [kept(course, 0), kept(course, 1)]
    attacked = 0
    for term in ("fall", "spring"):
        mine = truth[truth["term"] == term]
        places = sorted(
            {(str(t), int(w)) for t, w in zip(mine["topic"], mine["week"], strict=True)}
        )
        ours = [table[table["term"] == term] for table in editions]
        outsider = Outsider(places, ours)
        for row in ours[1].to_dict("records"):
            for part in ("answers", "wrong", "right"):
                rows = mine
                if row["week_from"]:
                    rows = rows[rows["week"].between(row["week_from"], row["week_to"])]
                count = {"answers": rows["n"], "wrong": rows["y"], "right": rows["n"] - rows["y"]}
                students = rows.loc[count[part] > 0, "student"].nunique()
                line = outsider.line(1, row, part)
                if students < LIMIT:
                    attacked += 1
                    assert outsider.largest(line) >= LIMIT - 1e-6
                change = line - outsider.line(0, row, part)
                low, high = outsider.smallest(change), outsider.largest(change)
                attacked += 1
                assert high >= LIMIT - 1e-6 or high < 1e-6 or low < -1e-6
    assert attacked > 20


def test_late_answers_of_three_students_are_not_shown(course: Path) -> None:
    second = kept(course, 1)
    week = second[(second["term"] == "spring") & (second["week_from"] == 2)]

    assert len(week) > 0
    assert (week["total"].isna() | week["as_of"].notna()).all()


def test_no_count_in_any_file_is_under_the_limit(course: Path) -> None:
    folder = course / "reports" / "shared"
    for name in ("wrong.csv", "outcome-results.csv"):
        table = pd.read_csv(folder / "tables" / name)
        counts = table[[c for c in ("answers", "wrong", "right", "students", "meeting", "below",
                                    "too_little") if c in table]]  # fmt: skip
        assert not (counts < LIMIT).any(axis=None), name
    package = json.loads((folder / "tables" / "datapackage.json").read_text(encoding="utf-8"))
    names = {field["name"] for one in package["resources"] for field in one["schema"]["fields"]}
    assert not names & {"student", "section", "item", "read_as", "expected_errors"}


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
    terms = re.compile(r"p-value|95%|Wilson|linear program|integer program|Benjamini", re.I)
    for name in FILES:
        page = (folder / name).read_text(encoding="utf-8")
        front = re.sub(r'<details class="behind">.*?</details>', " ", page, flags=re.DOTALL)
        assert forbidden_words(text_of(page)) == [], name
        assert terms.findall(text_of(front)) == [], name
        assert "Not to be passed on" not in page
        assert "appear nowhere in this edition" in page


class Changed:
    """A database of which one view is another."""

    def __init__(self, source: object, name: str, frame: pd.DataFrame) -> None:
        self._source, self._name, self._frame = source, name, frame

    def frame(self, view: str) -> pd.DataFrame:
        found: pd.DataFrame = self._source.frame(view)  # type: ignore[attr-defined]
        return self._frame.copy() if view == self._name else found

    def columns(self, view: str) -> dict[str, str]:
        found: dict[str, str] = self._source.columns(view)  # type: ignore[attr-defined]
        return found

    def sql_file(self, view: str) -> str:
        return str(self._source.sql_file(view))  # type: ignore[attr-defined]


def test_a_failed_audit_withholds_the_page_and_says_so(course: Path) -> None:
    with reading(course / "course.duckdb") as warehouse:
        audits = warehouse.frame("shared_audit")
        failed = audits.assign(passed=audits["subject"] != "wrong")
        pages = build_shared_pages(Book(Changed(warehouse, "shared_audit", failed), "shared"))
    by_name = {page.file: page for page in pages}

    assert by_name["index.html"].finding.startswith(WITHHELD)
    assert by_name["index.html"].figures == ()
    assert by_name["terms.html"].finding.startswith(WITHHELD)
    assert not by_name["outcomes.html"].finding.startswith(WITHHELD)
    assert "withheld" in by_name["quality.html"].finding


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
