"""Courses for measuring: the size asked for, no answer twice, the truth of every text."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pipeline.course import read_course
from pipeline.errors import UsageError
from synthetic_data import synth
from synthetic_data.benchmark import add_answers
from synthetic_data.randomized import synth_randomized


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_it_has_the_size_that_was_asked_for(tmp_path: Path) -> None:
    written = synth(tmp_path, students=50, items=30, answers=2000)
    rows = table(tmp_path / "exports" / "answers.csv")
    assert written.answers == len(rows) == 2000
    assert {row["item"] for row in rows} == {item.id for item in read_course(tmp_path).items}
    assert len({row["item"] for row in rows}) == 30
    assert len({row["student"] for row in rows}) == 50
    assert len({(row["student"], row["item"], row["attempt"]) for row in rows}) == 2000


def test_further_answers_are_other_answers(tmp_path: Path) -> None:
    synth(tmp_path, students=50, items=30, answers=1999)
    add_answers(tmp_path / "exports" / "more.csv", students=50, items=30, answers=(1999, 2100))
    rows = [row for path in (tmp_path / "exports").iterdir() for row in table(path)]
    assert len(rows) == 2100
    assert len({(row["student"], row["item"], row["attempt"]) for row in rows}) == 2100


def test_the_truth_knows_every_text(tmp_path: Path) -> None:
    written = synth(tmp_path, students=50, items=30, answers=2000)
    truth = {(row["item"], row["answer"]) for row in table(tmp_path / "truth" / "texts.csv")}
    given = {(row["item"], row["answer"]) for row in table(tmp_path / "exports" / "answers.csv")}
    assert given <= truth
    assert len(truth) == written.pairs


def test_the_same_seed_writes_the_same_rows(tmp_path: Path) -> None:
    for name in ("one", "two"):
        synth(tmp_path / name, students=20, items=10, answers=300, seed=8)
    one, two = (tmp_path / name / "exports" / "answers.csv" for name in ("one", "two"))
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize("sizes", [(0, 10, 10), (10, 10, 0), (10, 100_000, 10)])
def test_sizes_that_cannot_be_are_refused(tmp_path: Path, sizes: tuple[int, int, int]) -> None:
    students, items, answers = sizes
    with pytest.raises(UsageError, match="synth"):
        synth(tmp_path, students=students, items=items, answers=answers)


def test_randomized_answers_each_have_numbers_of_their_own(tmp_path: Path) -> None:
    assert synth_randomized(tmp_path, problems=301) == 301
    rows = table(tmp_path / "exports" / "answers.csv")
    assert len({row["problem"] for row in rows}) == 301
    assert len({(row["student"], row["item"], row["attempt"]) for row in rows}) == 301
    assert {row["item"] for row in rows} == {item.id for item in read_course(tmp_path).items}
