"""A question that cannot be read is an error of every run, named with the way out."""

from __future__ import annotations

from pathlib import Path

from pipeline.check import check_course
from pipeline.errors import ExitCode
from pipeline.run import run_course
from tests.run.disturbed import without_figures
from tests.student.small_course import IDS, SETTINGS, SPRING, small_course

ITEMS = """\
item,topic,task,problem,answer
good,roots,solve,x^2 = 49,
bare,roots,solve,the riddle of x,
keyed,roots,solve,another riddle of x,5
own,roots,solve,2x = 6,
"""


def export() -> str:
    rows = [f"{one},{item},5,{SPRING}," for one in IDS for item in ("good", "bare", "keyed")]
    rows += [f"{one},own,5,{SPRING},what is x" for one in IDS]
    return "\n".join(["student,item,answer,answered_at,problem", *rows]) + "\n"


@without_figures()
def test_check_and_run_name_it_with_the_way_out(tmp_path: Path) -> None:
    folder = tmp_path / "course"
    small_course(folder, exports={"spring.csv": export()})
    (folder / "items.csv").write_text(ITEMS, encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS, encoding="utf-8")

    checked, ran = check_course(folder), run_course(folder)

    assert checked.exit_code is ran.exit_code is ExitCode.NEEDS_A_LOOK
    assert sum("riddle" in one and "write it like" in one for one in checked.problems) == 2
    assert [one.split(" ")[0] for one in ran.unread] == ["bare", "keyed", "own"]
    assert all("cannot be read" in one for one in ran.unread)
    assert run_course(folder).exit_code is ExitCode.NEEDS_A_LOOK

    (folder / "items.csv").write_text(ITEMS.split("bare", maxsplit=1)[0], encoding="utf-8")
    assert not run_course(folder).unread
