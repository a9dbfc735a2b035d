"""A later part judged by the student's own earlier value, from the export to the figures."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from pipeline.course import read_course
from pipeline.course.earlier_parts import put_in
from pipeline.errors import ListErrors
from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.student.small_course import IDS, SETTINGS, SPRING, small_course

ITEMS = """\
item,topic,task,problem,follows
5a,parts,solve,2x = 8,
5b,parts,evaluate,3(a) + 1,5a
5c,parts,solve,x + (5b) = 20,5b
"""
TYPED = {
    "a slip goes on": ("5", "16", "4"),
    "all right": ("4", "13", "7"),
    "a is right, b is not": ("4", "16", "4"),
    "a is wrong, b is right": ("5", "13", "7"),
    "neither fits": ("6", "16", "7"),
}
VERDICTS = {
    "a slip goes on": ("wrong", "wrong 5a", "wrong 5b"),
    "all right": ("right", "right", "right"),
    "a is right, b is not": ("right", "wrong", "wrong 5b"),
    "a is wrong, b is right": ("wrong", "right", "right"),
    "neither fits": ("wrong", "wrong", "right"),
}


def export() -> str:
    lines = ["student,item,answer,answered_at"]
    for student, texts in zip(IDS, TYPED.values(), strict=False):
        parts = zip(("5a", "5b", "5c"), texts, strict=True)
        lines += [f"{student},{item},{text},{SPRING}" for item, text in parts]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("parts") / "course"
    small_course(folder, exports={"spring.csv": export()})
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    run_course(folder)
    return folder


def frame(folder: Path, name: str) -> pd.DataFrame:
    with reading(folder / "course.duckdb") as warehouse:
        return warehouse.frame(name)


def test_the_right_answer_takes_the_right_earlier_value(folder: Path) -> None:
    problems = [item.problem for item in read_course(folder).items]

    assert problems == ["2x = 8", "3(4) + 1", "x + (13) = 20"]


def test_verdicts_stay_and_what_follows_is_said(folder: Path) -> None:
    answers = frame(folder, "answers").sort_values(["line"])
    told = [
        f"{row.verdict} {row.follows_from}" if isinstance(row.follows_from, str) else row.verdict
        for row in answers.itertuples()
    ]

    assert told == [verdict for three in VERDICTS.values() for verdict in three]


def test_no_error_is_laid_to_what_follows(folder: Path) -> None:
    answers, tags = frame(folder, "answers"), frame(folder, "tags")
    follows = answers["follows_from"].notna()
    wrong = answers["verdict"] == "wrong"

    assert not set(answers.loc[follows, "response"]) & set(tags["response"])
    assert set(answers.loc[wrong & ~follows, "response"]) == set(tags["response"])


def test_a_small_group_is_not_counted_on_the_page(folder: Path) -> None:
    (row,) = frame(folder, "own_following").to_dict("records")

    assert pd.isna(row["answers"])
    assert row["note"].startswith("hidden: fewer than")


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("5b,t,evaluate,3(a) + 1,5a\n", "`follows` is 5a; expected the id of a question above"),
        ("5a,t,solve,x^2 = 4,\n5b,t,evaluate,3(a) + 1,5a\n", "one number or one expression"),
        ("5a,t,solve,2x = 4,\n5b,t,evaluate,3 + 1,5a\n", "expected the earlier part in it"),
    ],
)
def test_a_part_that_cannot_follow_is_named(tmp_path: Path, rows: str, said: str) -> None:
    (tmp_path / "items.csv").write_text("item,topic,task,problem,follows\n" + rows, "utf-8")
    with pytest.raises(ListErrors, match=r"items\.csv, line") as caught:
        read_course(tmp_path)

    assert said in caught.value.each[0]


@pytest.mark.parametrize(
    ("problem", "earlier", "put"),
    [
        ("2(a) + 1", "5a", "2(-3) + 1"),
        ("2(5a) + 1", "5a", "2(-3) + 1"),
        ("2(part a) + 1", "5a", "2(-3) + 1"),
        ("(Q3)^2", "Q3", "(-3)^2"),
        ("2(b) + 1", "5a", None),
        ("f(a + h)", "5a", None),
    ],
)
def test_a_part_is_named_by_its_id_or_its_letter(problem: str, earlier: str, put: str) -> None:
    assert put_in(problem, earlier, "-3") == put
