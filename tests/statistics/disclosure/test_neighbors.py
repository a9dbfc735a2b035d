"""Two courses that differ in what one student answered: what everyone sees but changed counts."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from pipeline.warehouse import building, reading
from tests.warehouse.stored_course import FOLLOWS, fill

pytestmark = pytest.mark.thorough

STUDENT = "s" + "0" * 30 + "7"
PRINTED = "store.shared_printed"
PLACE = ["term", "setting", "topic", "first"]
WHERE = ["subject", "term", "setting", "topic", "pattern", "first", "last"]
SAME = ["answers", "doublings", "fewest", "most"]
BESIDE = ("course", "coverage", "default", "pattern", "outcome_topics")


def other_answers(answers: pd.DataFrame) -> pd.DataFrame:
    """The same, but what one student had right is wrong and the other way round."""
    mine = answers["student"] == STUDENT
    right = answers["answer"] == "ok"
    assert mine.sum() > 5
    assert 0 < (mine & right).sum() < mine.sum()
    turned = answers["answer"].mask(mine & ~right, "ok").mask(mine & right, "stray")
    return answers.assign(answer=turned)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("neighbors")
    paths = [folder / "one.duckdb", folder / "other.duckdb"]
    for path, keep in zip(paths, (None, other_answers), strict=True):
        with building(path, afresh=True) as warehouse:
            fill(warehouse, students=20, keep=keep)
    return paths


def frames(both: list[Path], name: str) -> list[pd.DataFrame]:
    found = []
    for path in both:
        with reading(path) as warehouse:
            found.append(warehouse.frame(name))
    return found


def test_what_is_printed_where_and_how_wide_is_the_same(both: list[Path]) -> None:
    one, other = (f.set_index(WHERE).sort_index() for f in frames(both, PRINTED))

    assert len(one) > 10
    pd.testing.assert_frame_equal(one[SAME], other[SAME])


def test_every_count_of_what_the_student_did_is_drawn_anew(both: list[Path]) -> None:
    one, other = (f.set_index(WHERE).sort_index() for f in frames(both, PRINTED))
    wrong = one.index.get_level_values("subject") == "wrong"
    spring = one.index.get_level_values("term") == "spring"

    assert (one["hits"] != other["hits"])[wrong & spring].mean() > 0.5
    assert (one["hits"] == other["hits"])[wrong & ~spring].all()


@pytest.mark.parametrize("name", BESIDE)
def test_what_stands_beside_the_counts_is_the_same(both: list[Path], name: str) -> None:
    one, other = frames(both, f"shared_{name}")

    pd.testing.assert_frame_equal(one, other)


@pytest.mark.parametrize("answer", ["", FOLLOWS])
def test_what_is_printed_where_tells_of_no_blank_and_no_part_that_follows(
    both: list[Path], tmp_path: Path, answer: str
) -> None:
    """Of each error the number of chances told which questions had been left blank."""
    path = tmp_path / "unmarked.duckdb"
    with building(path, afresh=True) as warehouse:
        fill(warehouse, students=20, keep=lambda rows: rows.assign(
            answer=rows["answer"].mask(rows["student"] == STUDENT, answer)
        ))  # fmt: skip
    one, _, other = (f.set_index(WHERE).sort_index() for f in frames([*both, path], PRINTED))
    places = [f.reset_index().groupby(PLACE)["answers"].nunique() for f in (one, other)]

    assert one.index.equals(other.index)
    assert all((place == 1).all() for place in places)  # one count of first tries for all errors
