"""Answers that are right only if brackets were meant, from the export to the figures."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.run.summary import RunSummary
from pipeline.student.show import show_student
from pipeline.warehouse import reading
from tests.student.small_course import IDS, SETTINGS, SPRING, small_course

ITEMS = """\
item,topic,task,problem
formula,roots,solve,2x^2 - 9x + 2 = 0
root,roots,solve,(x + 9)^2 = 7/4
"""
TYPED = {"formula": "9±√65/4", "root": "-9 ± √7/4"}
RIGHT = {"formula": "(9±√65)/4", "root": "-9 ± √7/2"}


def export() -> str:
    """Ten of twelve type the formula without brackets, one the root; the eleventh goes wrong."""
    rows = [
        (student, item, TYPED if place < {"formula": 10, "root": 1}[item] else RIGHT)
        for place, student in enumerate(IDS)
        for item in TYPED
    ]
    lines = [f"{student},{item},{texts[item]},{SPRING}" for student, item, texts in rows]
    lines[20] = f"{IDS[10]},formula,9 ± √65,{SPRING}"
    return "\n".join(["student,item,answer,answered_at", *lines]) + "\n"


def ran(folder: Path, settings: str) -> RunSummary:
    small_course(folder, exports={"spring.csv": export()})
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS + settings, encoding="utf-8")
    return run_course(folder)


def frames(folder: Path) -> dict[str, pd.DataFrame]:
    names = ("answers", "tags", "item_statistics", "own_meant", "own_headline", "store.candidate")
    with reading(folder / "course.duckdb") as warehouse:
        return {name: warehouse.frame(name) for name in names}


def difficulty(found: dict[str, pd.DataFrame]) -> Any:
    rows = found["item_statistics"].set_index("item")
    return rows.loc["formula", "students"], rows.loc["formula", "difficulty"]


def test_they_are_neither_right_nor_wrong_and_say_what_hangs_on_them(tmp_path: Path) -> None:
    summary = ran(tmp_path / "course", "")
    found = frames(tmp_path / "course")

    assert summary.verdicts == {"right": 12, "right-if-meant": 11, "wrong": 1}
    assert found["own_headline"][["right", "right_if_meant", "wrong"]].values.tolist() == [
        [12, 11, 1]
    ]
    # One answer to the other question is too few to be shown, and 11 less 10 would tell it.
    meant = found["own_meant"]
    assert meant["item"].isna().tolist() == [True]
    assert meant["answers"].tolist() == [11]
    assert "together" in meant["note"].iloc[0]
    assert difficulty(found)[0] == 2
    brackets = found["answers"].groupby("item")["brackets"].agg(lambda names: set(names.dropna()))
    assert brackets.to_dict() == {"formula": {"numerator-span"}, "root": {"root-over-quotient"}}
    assert "only-root-divided" in set(found["store.candidate"]["pattern"])

    page = show_student(tmp_path / "course", IDS[0]).read_text(encoding="utf-8")
    assert "right if brackets were meant" in page


ELSEWHERE = {
    "x^2 - 6x + 7 = 0": ("3+sqrt(2), 3-sqrt(2)", "6+sqrt(2), 6-sqrt(2)"),
    "x^2 - 10x + 22 = 0": ("5+sqrt(3), 5-sqrt(3)", "10+sqrt(3), 10-sqrt(3)"),
    "x^2 + 4x - 3 = 0": ("-2+sqrt(7), -2-sqrt(7)", "-4+sqrt(7), -4-sqrt(7)"),
}
"""Where nothing needs a bracket: the right answer, and that with only the root divided."""


@pytest.mark.parametrize("divides", [False, True])
def test_what_the_same_students_do_elsewhere_says_how_likely_brackets_were_meant(
    tmp_path: Path, divides: bool
) -> None:
    """All twelve answer one question without brackets; elsewhere all are right, or none is."""
    folder = tmp_path / "course"
    answers = {f"q{at}": typed[divides] for at, typed in enumerate(ELSEWHERE.values())}
    answers["formula"] = TYPED["formula"]
    lines = [
        f'{student},{item},"{text}",{SPRING}' for student in IDS for item, text in answers.items()
    ]
    export_ = "\n".join(["student,item,answer,answered_at", *lines]) + "\n"
    items = "".join(f"q{at},roots,solve,{text}\n" for at, text in enumerate(ELSEWHERE))
    small_course(folder, exports={"spring.csv": export_})
    (folder / "items.csv").write_text(ITEMS + items, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
    run_course(folder)
    (meant,) = frames(folder)["own_meant"].to_dict("records")

    assert (meant["answers"], round(meant["told"])) == (12, 12)
    assert meant["otherwise"] == "only-root-divided"
    assert meant["meant"] < 2 if divides else meant["meant"] > 10


@pytest.mark.parametrize(("how", "wrong"), [("meant", 1), ("literal", 11)])
def test_the_course_may_say_which(tmp_path: Path, how: str, wrong: int) -> None:
    summary = ran(tmp_path / "course", f'[reading]\nmissing_brackets = "{how}"\n')
    found = frames(tmp_path / "course")

    assert "right-if-meant" not in summary.verdicts
    assert found["own_meant"].empty
    assert difficulty(found)[0] == 12
    formula = found["answers"].query("item == 'formula'")
    assert (formula["verdict"] == "wrong").sum() == wrong
    tagged = found["tags"].query("item == 'formula' and pattern == 'only-root-divided'")
    assert len(tagged) == (10 if how == "literal" else 0)
