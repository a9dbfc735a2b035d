"""Long and wide exports give the same database in every format that is read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.calibration.formats_agree import outcomes
from tests.tables.written import WRITERS

LONG = (
    "Summary of the week\nstudent,item,answer,answered_at,attempt,score\n"
    'ann,root-1,"x = 2, x = -2",2026-02-03 10:05,1,1\n'
    "bob,root-1,3/4,2026-02-03 10:06,1,0\n007,root-1,1e2,2026-02-03,1,0\n"
    "bob,fact-1,03-04,2026-02-04,1,0\nbob,fact-1,5,2026-02-04,1,0\nbob,quad-1,TRUE,soon,1,0\n"
    "cy,quad-1,2,2026-02-04\nann,root-1,2-Jan,2026-02-03,2,0\n"
)
WIDE = "student,root-1,quad-1\neve,-2,=1\nfay,,½\n,3,\n"


@pytest.fixture(scope="module")
def found(build_course: Callable, tmp_path_factory: pytest.TempPathFactory) -> dict:
    folder: Path = tmp_path_factory.mktemp("formats")
    course = build_course(folder / "course", {"long.csv": LONG, "wide.csv": WIDE})
    return dict(outcomes(course, folder / "copies", WRITERS))


@pytest.mark.parametrize("kind", WRITERS)
def test_a_format_gives_the_database_of_plain_csv(found: dict, kind: str):
    assert found[kind].counts == found["a.csv"].counts
    assert found[kind].stored.equals(found["a.csv"].stored)


def test_answers_stay_as_typed_and_all_rows_are_accounted_for(found: dict):
    assert found["a.csv"].counts == (11, 7, 0, 4)
    assert set(found["a.ods"].stored["answer"]) == {
        "x = 2, x = -2", "3/4", "1e2", "03-04", "-2", "=1", "½",
    }  # fmt: skip
