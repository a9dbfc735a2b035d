"""The database is built beside and swapped; its promises are checked before it is published."""

from __future__ import annotations

import shutil
from pathlib import Path

import pandas as pd
import pytest

from pipeline.errors import CourseError, InternalError
from pipeline.warehouse import Warehouse, building, reading
from tests.warehouse.stored_course import fill


def break_off(path: Path) -> None:
    with building(path) as warehouse:
        warehouse.put("store.erased", pd.DataFrame({"student": ["b"]}))
        raise KeyboardInterrupt


def test_a_build_that_breaks_off_leaves_the_last_good_file(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    with building(path) as warehouse:
        warehouse.put("store.erased", pd.DataFrame({"student": ["a"]}))
    good = path.read_bytes()
    with pytest.raises(KeyboardInterrupt):
        break_off(path)

    assert path.read_bytes() == good
    assert list(tmp_path.iterdir()) == [path]


def test_what_a_killed_run_left_beside_is_cleared(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    (tmp_path / "course.duckdb.building").write_bytes(b"half a file")
    (tmp_path / "course.duckdb.building.wal").write_bytes(b"half a log")
    with building(path):
        pass

    assert list(tmp_path.iterdir()) == [path]


def test_a_second_build_starts_from_what_is_stored(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    for student in "ab":
        with building(path) as warehouse:
            warehouse.put("store.erased", pd.DataFrame({"student": [student]}), replace=False)
    with reading(path) as warehouse:
        assert list(warehouse.frame("store.erased")["student"]) == ["a", "b"]
    with building(path, afresh=True):
        pass
    with reading(path) as warehouse:
        assert warehouse.frame("store.erased").empty


def test_a_damaged_file_is_reported_with_the_way_out(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    path.write_bytes(b"not a database" * 1000)

    with pytest.raises(CourseError, match="move it away and run again"), reading(path):
        pass


def test_a_directory_in_place_of_the_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "course.duckdb"
    path.mkdir()

    with pytest.raises(CourseError, match="this is a directory"), reading(path):
        pass
    with pytest.raises(CourseError, match="this is a directory"), building(path):
        pass


def test_a_missing_file_says_what_makes_it(tmp_path: Path) -> None:
    with pytest.raises(CourseError, match="lostroot run"), reading(tmp_path / "course.duckdb"):
        pass


def test_a_frame_with_a_strange_column_is_refused(tmp_path: Path) -> None:
    with building(tmp_path / "course.duckdb") as warehouse:
        with pytest.raises(InternalError, match="nickname"):
            warehouse.put("store.erased", pd.DataFrame({"nickname": ["a"]}))
        with pytest.raises(InternalError, match=r"no table main\.nowhere"):
            warehouse.frame("nowhere")


def test_every_table_of_the_pages_can_be_read(stored: Path) -> None:
    with reading(stored) as warehouse:
        names = [m.table for m in warehouse.models.values() if m.schema == "main"]
        for name in names:
            frame = warehouse.frame(name)
            assert set(frame.columns) == set(warehouse.columns(name))
            assert warehouse.sql_file(name) == f"sql/marts/{name}.sql"


def test_shares_sum_to_one_and_only_on_wrong_answers(stored: Path) -> None:
    with reading(stored) as warehouse:
        tags, answers = warehouse.frame("tags"), warehouse.frame("answers")
    wrong = set(answers.loc[answers["verdict"] == "wrong", "response"])

    assert set(tags["response"]) == wrong
    assert tags.groupby("response")["share"].sum().to_numpy() == pytest.approx(1.0)
    assert (
        tags.groupby("response")["pattern"].agg(lambda p: (p == "unexplained").sum()) == 1
    ).all()


def test_patterns_that_no_question_parts_have_one_row(stored: Path) -> None:
    with reading(stored) as warehouse:
        names = set(warehouse.frame("pattern_prevalence")["pattern"])

    assert "roots-negated / sign-of-b-lost" in names
    assert not {"roots-negated", "sign-of-b-lost"} & names


def test_a_weekly_rate_agrees_with_its_counts(stored: Path) -> None:
    with reading(stored) as warehouse:
        rates = warehouse.frame("error_by_topic_week")

    assert rates["expected_errors"].to_numpy() == pytest.approx(
        (rates["rate"] * rates["opportunities"]).to_numpy()
    )
    assert (rates["opportunities"] >= rates["students"]).all()


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two terms of eight students each, under the limit of ten."""
    path = tmp_path_factory.mktemp("small") / "course.duckdb"
    with building(path) as warehouse:
        fill(warehouse, students=8)
        assert warehouse.check() == []
    return path


SHOWN_KEYS = {
    "own_error_by_topic_week": "rate",
    "own_wrong_by_topic_week": "rate",
    "own_pattern_prevalence": "rate",
    "own_item_statistics": "difficulty",
    "own_outcome_results": "share",
    "own_term_comparison": "difference",
    "own_headline": "wrong",
    "own_agreement": "our_right",
}


@pytest.mark.parametrize("name", SHOWN_KEYS)
def test_a_small_class_is_hidden(small: Path, stored: Path, name: str) -> None:
    """Every figure of a page is hidden for eight students and shown for sixty."""
    figure = SHOWN_KEYS[name]
    with reading(small) as warehouse:
        hidden = warehouse.frame(name)
    with reading(stored) as warehouse:
        shown = warehouse.frame(name)

    assert len(hidden)
    assert hidden[figure].isna().all()
    if name != "own_outcome_results":
        assert hidden["note"].str.startswith("hidden: fewer than 10 students").all()
    assert shown[figure].notna().any()


def test_pages_sum_rare_values_without_naming_them(stored: Path) -> None:
    with reading(stored) as warehouse:
        table = warehouse.frame("own_unexplained")
    rare = table[table["item"].isna()]

    assert len(rare)
    assert rare["read_as"].isna().all()


def broken_share(warehouse: Warehouse) -> None:
    shares = warehouse.frame("store.share")
    shares.loc[0, "share"] += 0.5
    warehouse.put("store.share", shares)


def test_a_broken_promise_is_found(small: Path, tmp_path: Path) -> None:
    shutil.copy(small, tmp_path)
    with building(tmp_path / "course.duckdb") as warehouse:
        broken_share(warehouse)
        broken = warehouse.check()

    assert len(broken) == 1
    assert "sum to 1" in broken[0]


@pytest.mark.thorough
def test_the_same_course_gives_the_same_database(tmp_path: Path) -> None:
    frames = []
    for name in ("one", "two"):
        path = tmp_path / f"{name}.duckdb"
        with building(path) as warehouse:
            fill(warehouse, students=15)
        with reading(path) as warehouse:
            names = [m.name for m in warehouse.models.values() if m.schema == "main"]
            frames.append({table: warehouse.frame(table) for table in names})
    for table, frame in frames[0].items():
        pd.testing.assert_frame_equal(frame, frames[1][table], obj=table)
