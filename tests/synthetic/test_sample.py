"""The sample that a person can check by hand agrees with the wrong rules and with its truth."""

from __future__ import annotations

import csv
import re
import shutil
from pathlib import Path

import pytest

import synthetic_data
from pipeline.course import read_course
from synthetic_data.problems import Problem
from synthetic_data.typing_habits import spellings
from synthetic_data.wrong_rules.expanding import expand_square
from synthetic_data.wrong_rules.linear import linear_two_steps
from synthetic_data.wrong_rules.parabola import formula
from synthetic_data.wrong_rules.squares import complete_square, root_shifted_square

SAMPLE = Path(synthetic_data.__file__).parent / "sample"
PROBLEMS = {
    "LIN-1": linear_two_steps(4, 6, 14),
    "EXP-1": expand_square(1, 5),
    "SRP-1": root_shifted_square(-3, 16),
    "CSQ-1": complete_square(6, 16),
    "QFO-1": formula(3, -5, -2),
}
# plus-minus before a whole number, which the generator never types
BY_HAND = {"x = 3 ± 4", "(5 ± 7)/6", "x = -3 +- 5"}


def table(name: str) -> list[dict[str, str]]:
    with (SAMPLE / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _bare(text: str) -> tuple[str, ...]:
    """The parts of an answer, without blanks, labels, braces and their order."""
    text = text.replace("²", "^2").replace("−", "-")
    text = re.sub(r"[ {}]|x=", "", text)
    return tuple(sorted(re.split(r",|;|or|and", text)))


def _spelled(problem: Problem, cause: str) -> set[tuple[str, ...]]:
    values = (problem.right,) if cause == "right" else problem.wrong.get(cause, ())
    return {_bare(text) for value in values for _, text, _ in spellings(value)}


def test_every_planted_answer_follows_its_rule() -> None:
    checked = 0
    for row in table("truth/answers.csv"):
        if row["item"] in PROBLEMS and row["answer"] not in BY_HAND:
            problem = PROBLEMS[row["item"]]
            if row["planted"] == "right" or row["planted"] in problem.wrong:
                assert _bare(row["answer"]) in _spelled(problem, row["planted"]), row
                checked += 1
    assert checked == 52


def test_the_questions_are_the_ones_of_the_items_file() -> None:
    texts = {row["item"]: row["problem"] for row in table("items.csv")}
    assert {item: problem.text for item, problem in PROBLEMS.items()} == {
        item: text for item, text in texts.items() if item in PROBLEMS
    }


def test_truth_and_planted_rows_cover_the_export() -> None:
    export = table("exports/answers.csv")
    places = [
        int(row["line"])
        for name in ("answers", "planted_rows_to_reject", "planted_duplicates")
        for row in table(f"truth/{name}.csv")
    ]
    assert sorted(places) == list(range(2, len(export) + 2))
    for row in table("truth/answers.csv"):
        written = export[int(row["line"]) - 2]
        assert written["answer"] == row["answer"]
        marked_right = written["score"] == "1"
        assert marked_right == ((row["planted"] == "right") != (row["score_is_wrong"] == "yes"))


def test_it_stays_small_enough_to_check() -> None:
    export = table("exports/answers.csv")
    assert len({row["student"] for row in export}) <= 12
    assert len(table("items.csv")) <= 6
    assert not list(SAMPLE.rglob("*.key"))


def test_the_folder_can_be_read(tmp_path: Path) -> None:
    shutil.copytree(SAMPLE, tmp_path / "sample")
    course = read_course(tmp_path / "sample")
    assert [item.id for item in course.items] == [row["item"] for row in table("items.csv")]


@pytest.mark.parametrize("item", PROBLEMS)
def test_each_question_shows_at_least_two_wrong_rules(item: str) -> None:
    planted = {row["planted"] for row in table("truth/answers.csv") if row["item"] == item}
    assert len(planted & set(PROBLEMS[item].wrong)) >= 2
