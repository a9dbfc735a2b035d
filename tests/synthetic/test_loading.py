"""The written course through ingest: exactly the planted rows fall out, whatever the shape."""

from __future__ import annotations

import csv
from pathlib import Path

import pandas as pd
import pytest

from pipeline.course import read_course
from pipeline.ingest import KnownResponses, load_exports, settle_terms
from synthetic_data import WrittenCourse, write_course

pytestmark = pytest.mark.thorough


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def load(folder: Path) -> dict[str, pd.DataFrame]:
    """All responses, rejected rows and duplicates of a course folder."""
    known = KnownResponses.empty()
    frames: dict[str, list[pd.DataFrame]] = {"responses": [], "rejected": [], "duplicates": []}
    for loaded in load_exports(settle_terms(read_course(folder), known), known):
        assert loaded.error is None
        for batch in loaded.batches():
            for name, parts in frames.items():
                parts.append(getattr(batch, name))
    return {name: pd.concat(parts, ignore_index=True) for name, parts in frames.items()}


def places(frame: pd.DataFrame) -> list[tuple[str, int]]:
    return sorted(zip(frame["file"], map(int, frame["line"]), strict=True))


def planted(truth: Path, *names: str) -> list[tuple[str, int]]:
    rows = [row for name in names for row in table(truth / f"{name}.csv")]
    return sorted((row["file"], int(row["line"])) for row in rows)


Loaded = tuple[WrittenCourse, dict[str, pd.DataFrame]]


@pytest.fixture(scope="module", params=["csv", "xlsx"])
def loaded(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    """A written course and what came out of its exports."""
    folder = tmp_path_factory.mktemp(request.param)
    return write_course(folder, students_per_term=30, file_kind=request.param), load(folder)


def test_exactly_the_planted_rows_fall_out(loaded: Loaded) -> None:
    written, found = loaded
    rejected = planted(written.truth, "planted_rows_to_reject", "planted_test_account")
    assert places(found["rejected"]) == rejected
    assert len(rejected) == written.rows_to_reject
    assert places(found["duplicates"]) == planted(written.truth, "planted_duplicates")
    assert places(found["responses"]) == planted(written.truth, "answers")


def test_only_the_test_account_needs_no_look(loaded: Loaded) -> None:
    written, found = loaded
    rejected = found["rejected"]
    unlooked = rejected[~rejected["needs_look"].astype(bool)]
    assert places(unlooked) == planted(written.truth, "planted_test_account")
    assert len(rejected) - len(unlooked) == written.broken


def test_shape_and_kind_of_file_do_not_matter(tmp_path: Path) -> None:
    """Only where an answer stood differs between wide and long, text file and workbook."""
    found = []
    for layout in ("wide", "long-plain"):
        for kind in ("csv", "xlsx"):
            folder = tmp_path / f"{layout}-{kind}"
            write_course(folder, students_per_term=20, layout=layout, file_kind=kind)
            stored = load(folder)["responses"].sort_values("response")
            found.append(stored.drop(columns=["file", "line"]).reset_index(drop=True))
    assert len(found[0]) > 3000
    for other in found[1:]:
        pd.testing.assert_frame_equal(found[0], other)


def test_no_raw_id_is_stored(loaded: Loaded) -> None:
    written, found = loaded
    ids = {row["student"] for row in table(written.truth / "answers.csv")}
    for frame in found.values():
        text = frame.astype(str).to_csv()
        assert [one for one in ids if one in text] == []


def test_the_stored_answer_is_the_typed_one(loaded: Loaded) -> None:
    """Outer blanks included; texts of questions that are not read are not stored."""
    written, found = loaded
    typed = {(row["file"], int(row["line"])): row for row in table(written.truth / "answers.csv")}
    stored = found["responses"]
    for row in stored[stored["place"] != "skip"].itertuples():
        truth = typed[row.file, int(row.line)]
        answer = "" if pd.isna(row.answer) else row.answer
        assert answer == truth["answer"]
        assert (row.item, row.term) == (truth["item"], truth["term"])
