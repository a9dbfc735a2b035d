"""All own tables of a course in which few did this and that: no number of few, nor by a difference.

The rule is that of the course's limit: `[privacy] limit`, 10 unless the institution says otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
import pytest

from pipeline.run import run_course
from pipeline.warehouse import reading
from tests.student.small_course import FALL, IDS, SPRING, export_text, items_text, small_course

pytestmark = pytest.mark.thorough

LIMIT = 10
OF_PEOPLE = (
    "students", "students_before", "students_after", "recent_students", "chosen", "rows",
    "rows_read", "stored", "duplicates", "rejected", "unreadable", "blank", "right_if_meant",
)  # fmt: skip
"""Columns that count students, or answers of some kind."""

ODD = {(IDS[n], "sq-1"): "?? what" for n in range(3)} | {(IDS[4], "sq-2"): ""}
MORE = """\
sq-3,roots,solve,x^2 = 25,,,
line-1,lines,judge,Slope of y = 3x - 4,3,,
draw-1,lines,skip,Draw y = 3x - 4,,,
"""
RIGHT = ("right", "right-other-form")
EXAM, LATER = "2026-02-04T15:00Z", "2026-02-05T15:00Z"


def further(setting: str) -> str:
    """A quiz with two riddles, a drawing of all, a question that four students met, three who
    tried one again, and an exam of which two have no score."""
    rows = ["student,item,answer,answered_at,section,setting,score"]
    for place, student in enumerate(IDS):
        quiz = "?? odd" if place in (7, 9) else "5, -5" if place % 2 else "5"
        score = int(place % 2 and place > 3)  # twice not as we judge
        rows.append(f'{student},sq-3,"{quiz}",{SPRING},A,quiz,{score}')
        rows.append(f"{student},draw-1,,{SPRING},A,{setting},")
        if place < 4:
            rows.append(f"{student},line-1,{3 + place % 2},{SPRING},A,{setting},")
        exam, score = ("7, -1", 1) if place % 2 else ("7", 0)
        rows.append(f'{student},sq-2,"{exam}",{EXAM},A,exam,{score if place < 10 else ""}')
        if place in (3, 5, 6):
            rows.append(f'{student},sq-2,"{"7, -1" if place == 3 else 7}",{LATER},A,quiz,')
    rows.append(f'{IDS[0]},sq-1,"7, -7",{EXAM},A,lab,')  # one student alone in a setting
    rows.append(f'{IDS[0]},sq-2,"7, -1",{EXAM},A,lab,some')
    return "\n".join(rows) + "\n"


@pytest.fixture(scope="module", params=["practice", "quiz"])
def tables(
    tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> dict[str, pd.DataFrame]:
    """Own tables of 12 students, of whom a few left blanks, wrote riddles or met odd questions."""
    spring = export_text(SPRING, ODD) + "".join(
        f"{student},,unlisted-{n},7,{SPRING},Jane's own\n" for n, student in enumerate(IDS[:2])
    )
    spring += f"{IDS[0]},,sq-1,9,soon,A\n"  # a row to be mended
    spring += f"{IDS[1]},,draw-1,,2026-01-13T15:00Z,A\n{IDS[2]},,draw-1,,2026-11-20T15:00Z,A\n"
    folder = small_course(
        tmp_path_factory.mktemp("few") / "course",
        exports={"a.csv": spring, "b.csv": export_text(FALL), "c.csv": further(request.param)},
    )
    (folder / "items.csv").write_text(items_text(more=MORE), encoding="utf-8")
    run_course(folder)
    with reading(folder / "course.duckdb") as warehouse:
        names = [model.table for model in warehouse.models.values() if model.schema == "main"]
        found = {name: warehouse.frame(name) for name in names if name.startswith("own_")}
        return found | {"answer": warehouse.frame("staging.answer")}


def own(tables: dict[str, pd.DataFrame]) -> dict[str, pd.DataFrame]:
    return {name: frame for name, frame in tables.items() if name.startswith("own_")}


def test_no_table_counts_few(tables: dict[str, pd.DataFrame]) -> None:
    few = {
        f"{name}.{column}"
        for name, frame in own(tables).items()
        for column in set(OF_PEOPLE) & set(frame.columns)
        if pd.to_numeric(frame[column]).between(1, LIMIT - 1).any()
    }

    assert len(tables) > 30
    assert few == set()


def kinds(answers: pd.DataFrame) -> pd.DataFrame:
    """What tables group or count answers by, one column each."""
    verdict, first = answers["verdict"], answers["first_try"]
    wrong, right = verdict == "wrong", verdict.isin(RIGHT)
    unread = (answers["place"] == "task") & (verdict == "no-key")
    sort = verdict.fillna(answers["place"]).mask(wrong | right, "judged")
    by = [answers["term"], answers["setting"], sort]
    told = answers.groupby(by)["student"].transform("nunique") >= LIMIT
    again = answers.groupby([*by[:2], first])["student"].transform("nunique") >= LIMIT
    told &= first | again
    judged = wrong | right
    scored, both = answers["score"] > 0.5, judged & told & answers["score"].notna()
    scored &= both
    tries = answers.groupby(["term", "setting", "item", "student"])
    more = tries["first_try"].transform("size") > 1
    return answers.assign(
        kind=answers["place"].mask(unread, "unread"), told=told, first_told=first & told,
        right=right & told, wrong=wrong & told,
        first_right=first & right, first_wrong=first & wrong,
        tellable=wrong & told & answers["covered"], unreadable=verdict == "unreadable",
        blank=verdict == "blank", right_if_meant=verdict == "right-if-meant",
        first_judged=first & judged, last_judged=answers["last_try"] & judged,
        last_wrong=answers["last_try"] & wrong, all=True,
        unlisted=answers["place"] == "unlisted", both=both, both_right=both & right, scored=scored,
        alike=both & (scored == right), differs=both & (scored != right),
        tried_again=more & judged, later=judged & ~first,
        unscored=judged & answers["score"].isna(),
    )  # fmt: skip


PLAIN = ("right", "wrong", "first_right", "first_wrong", "tellable", "unreadable", "blank",
         "right_if_meant")  # fmt: skip
COUNTS = {
    "own_headline": (["term", "setting"],
                     {"answers": "told", "first_attempts": "first_told"} | {p: p for p in PLAIN}),
    "own_term": (["term"], {"answers": "told"}),
    "own_coverage": (["term", "kind", "covered"], {"answers": "told"}),
    "own_unlisted": (["term", "item"], {"answers": "unlisted"}),
    "own_unreadable": (["term", "reason"], {"answers": "unreadable"}),
    "own_agreement": (["term", "setting"],
                      {"answers": "both", "our_right": "both_right", "source_right": "scored",
                       "agreeing": "alike"}),
    "own_item_statistics": (["term", "setting", "item"],
                            {"answers": "first_judged", "right": "first_right"}),
    "own_wrong_by_topic_week": (["term", "setting", "topic", "week"],
                                {"answers": "first_judged", "wrong": "first_wrong"}),
    "own_loads": (["file"], {"stored": "told"}),
}  # fmt: skip
"""Table -> what its rows are of, and what its columns count of these."""


def printed(
    tables: dict[str, pd.DataFrame], answers: pd.DataFrame
) -> Iterator[tuple[str, pd.Series, float]]:
    """Each printed count: where, which answers it counts, and the number."""
    for name, (keys, columns) in COUNTS.items():
        frame = tables[name].rename(columns={"place": "kind"})
        for _, row in frame.iterrows():
            mine = pd.Series(True, answers.index)
            for key in keys:
                mine &= (answers[key] == row[key]) | (answers[key].isna() & pd.isna(row[key]))
            for column, what in columns.items():
                if pd.notna(row[column]) and not (len(keys) > 1 and pd.isna(row[keys[-1]])):
                    yield f"{name}.{column}", mine & answers[what], row[column]
    tries = tables["own_wrong_by_try"]
    for _, row in tries[tries["answers"].notna() & (tries["grouped_by"] != "outcome")].iterrows():
        mine = (answers["term"] == row["term"]) & (answers["setting"] == row["setting"])
        for key in ("topic", "week", "item"):
            mine &= pd.isna(row[key]) | (answers[key] == row[key])
        for column, what in (("answers", "judged"), ("wrong", "wrong")):
            counted = mine & answers[f"{row['grain']}_{what}"]
            yield f"own_wrong_by_try.{column}", counted, row[column]


def of_few(answers: pd.DataFrame) -> dict[tuple[object, ...], np.ndarray]:
    """What few students did, as weights of the answers, by what it is."""
    hidden: dict[tuple[object, ...], np.ndarray] = {}
    for keys in (["setting", "verdict"], ["setting", "differs"], ["kind"], ["item"],
                 ["kind", "verdict"], ["setting"], ["topic", "week", "setting"]):  # fmt: skip
        for name, rows in answers.groupby(["term", *keys]):
            if rows["student"].nunique() < LIMIT and not {"wrong", "right"} & {*name}:
                hidden[name] = answers.index.isin(rows.index).astype(float)
    step = answers["last_wrong"].astype(int) - answers["first_wrong"].astype(int)
    right = answers["verdict"].isin(RIGHT).astype(int)
    for what, keys, weight in (
        ("unscored", ["setting"], right), ("later", ["setting"], right),
        ("tried_again", ["setting"], step), ("tried_again", ["setting", "item"], step),
        ("tried_again", ["setting", "topic"], step),
    ):  # fmt: skip
        for name, rows in answers[answers[what]].groupby(["term", *keys]):
            if rows["student"].nunique() < LIMIT:
                hidden[what, *name] = weight.where(answers.index.isin(rows.index), 0).to_numpy(
                    float
                )
    return hidden


def test_no_count_of_few_is_the_sum_or_difference_of_printed_ones(
    tables: dict[str, pd.DataFrame],
) -> None:
    """Printed counts are equations in the answers: none may settle what few of them add up to.

    300 answers in one table and 297 in another told that three were blank; last tries less first
    ones, or all answers less those with a score, told what one student did.
    """
    answers = kinds(tables["answer"])
    cells = list(printed(tables, answers))
    for where, counted, number in cells:
        assert counted.sum() == number, (where, number)  # else the equations are not these
    equations = np.array([counted for _, counted, _ in cells], dtype=float)
    hidden, told = of_few(answers), {}
    for name, group in hidden.items():
        weights, *_ = np.linalg.lstsq(equations.T, group, rcond=None)
        if np.allclose(weights @ equations, group):
            told[name] = [
                (cells[n][0], round(w, 3)) for n, w in enumerate(weights) if abs(w) > 1e-3
            ]

    assert len(cells) > 50
    assert {"unscored", "later", "tried_again"} < {name[0] for name in hidden}
    assert told == {}


def test_no_day_and_no_line_is_that_of_one_student(tables: dict[str, pd.DataFrame]) -> None:
    """One began three weeks before all others, one handed something in ten weeks after them."""
    course = tables["own_course"].iloc[0]
    days = [f"{day:%Y-%m-%d}" for day in course[["first_answer", "last_answer"]]]

    assert days == [SPRING[:10], FALL[:10]]
    assert tables["own_rejected"]["first_line"].isna().tolist() == [True]
    few = tables["own_note"]["sentence"].loc[lambda said: said.str.contains("fewer than 10")]
    assert len(few) > 0
    assert not few.str.contains("line").any()


def test_a_setting_of_few_is_named_without_any_number(tables: dict[str, pd.DataFrame]) -> None:
    """How many questions it asks is how many one student answered there."""
    rows = tables["own_headline"].set_index(["term", "setting"])
    alone = rows.loc[("2026-spring", "another setting")].drop(["term_title", "note"])

    assert alone.isna().all()


def test_no_name_that_one_students_rows_bear_is_printed(tables: dict[str, pd.DataFrame]) -> None:
    named = {
        name
        for name, frame in own(tables).items()
        if any(text in frame.to_csv() for text in ("Jane's own", "unlisted-1"))
    }

    assert named == set()
