"""Attacks on the edition for everyone: those that once worked, and one that knows almost all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.disclosure import cells, without_students
from pipeline.statistics.disclosure.cells import UNIT, Rules, counted, settle
from tests.calibration import outsider
from tests.calibration.outsider import (
    MANY,
    RECOVERED,
    InMemory,
    Told,
    attack,
    course,
    kept_from,
    pseudonyms,
    responses,
    summed_up,
    together,
)
from tests.statistics.disclosure.test_cells import WIDE, part, some

KEYS = [bytes([number]) * 32 for number in range(60)]
BY_CHANCE = 0.2
"""Share of keys under which a difference of two changed counts may come out right by chance."""

FIGURES = ["subject", "term", "setting", "topic", "pattern", "first", "last", "answers", "hits"]
Change: TypeAlias = Callable[[InMemory], None]


def test_a_count_and_the_counts_of_its_parts_do_not_add_up_exactly() -> None:
    """53 - 14 - 18 - 16 was the hidden count, and 60 of three errors bounded one another."""
    rows = part({week: some(range(30), 9, 3) for week in (1, 2, 3)})
    exact = []
    for key in KEYS:
        rules = Rules(key, 10)
        weeks = [
            counted(one, "", one.part.y * UNIT, WIDE, rules) for one in settle(rows, 0, 3, rules)
        ]
        exact.append(sum(week["hits"] for week in weeks) == 270)

    assert len(weeks) == 3
    assert np.mean(exact) <= BY_CHANCE


@pytest.fixture(scope="module")
def ended() -> tuple[pd.DataFrame, pd.DataFrame]:
    """Answers of a class of 30 after its semester, and what was printed of them for everyone."""
    one = course(30, np.random.default_rng(1))
    warehouse = InMemory.of_class(1)
    warehouse.put("store.response", answers := responses(one, 20))
    printed, _ = warehouse.publish(KEYS[0])
    return answers, printed


def published_again(
    ended: tuple[pd.DataFrame, pd.DataFrame], change: Change, before: pd.DataFrame | None = None
) -> pd.DataFrame:
    """What is printed once something has changed in the database, with what was printed."""
    warehouse = InMemory.of_class(1)
    warehouse.put("store.response", ended[0])
    warehouse.put("store.shared_printed", ended[1] if before is None else before)
    change(warehouse)
    return warehouse.publish(KEYS[0])[0]


def changed(name: str, **columns: Callable[[pd.DataFrame], object] | object) -> Change:
    def change(warehouse: InMemory) -> None:
        table = f"store.{name}"
        warehouse.put(table, warehouse.frame(table).assign(**columns))

    return change


def renamed(warehouse: InMemory) -> None:
    """The course's own errors go by other names."""
    for name in ("pattern", "candidate", "prediction"):
        changed(name, pattern=lambda f: "own " + f["pattern"])(warehouse)
    for name in ("candidate", "prediction"):
        changed(name, faults=lambda f: [[one] for one in f["pattern"]])(warehouse)


def other_key(warehouse: InMemory) -> None:
    """Every answer to a question is right now."""
    right = changed(
        "examined", verdict=lambda f: f["verdict"].mask(f["problem"].str.contains("1"), "right")
    )
    right(warehouse)


def other_terms(warehouse: InMemory) -> None:
    """The semester is declared later, or gets another name."""
    changed("term", term="spring")(warehouse)
    changed("response", term="spring")(warehouse)


def other_topics(warehouse: InMemory) -> None:
    for name in ("topic", "item", "response"):
        changed(name, topic=lambda f: f["topic"] + " renamed")(warehouse)


LATER = {
    "weeks that move": changed("response", week=lambda f: f["week"] + 3,
                               answered_week=lambda f: f["answered_week"] + 3),
    "a first day that moves": changed("term", weeks=12),
    "quizzes that are exams": changed("response", setting="exam"),
    "months in place of weeks": changed("course", shared_weeks=4),
    "semesters by another name": other_terms,
    "topics by another name": other_topics,
    "errors by another name": renamed,
    "another key": other_key,
    "outcomes by another name": changed("outcome", outcome=lambda f: "o" + f["outcome"]),
}  # fmt: skip


@pytest.mark.parametrize("change", LATER.values(), ids=[*LATER])
def test_what_was_printed_is_not_looked_at_again(
    ended: tuple[pd.DataFrame, pd.DataFrame], change: Change
) -> None:
    """Each of these was a look of the first strength, or one drawn wider."""
    assert set(ended[1]["subject"]) == {"wrong", "error", "outcome"}
    pd.testing.assert_frame_equal(published_again(ended, change), ended[1])


@pytest.mark.parametrize("days", [-1, 1])
def test_a_time_zone_that_is_set_later_gives_no_second_look(
    ended: tuple[pd.DataFrame, pd.DataFrame], days: int
) -> None:
    """What was answered in the evening was answered on another day then, and counted again."""
    dated = changed("response", answered_on=lambda f: f["answered_at"].dt.date)
    printed = published_again(ended, dated, ended[1].iloc[:0])
    moved = changed(
        "response", answered_on=lambda f: (f["answered_at"] + pd.Timedelta(days=days)).dt.date
    )

    assert len(printed) > 10
    pd.testing.assert_frame_equal(published_again(ended, moved, printed), printed)


def test_dates_that_come_later_give_no_second_look(
    ended: tuple[pd.DataFrame, pd.DataFrame],
) -> None:
    dated = changed("response", answered_on=lambda f: f["answered_at"].dt.date)

    pd.testing.assert_frame_equal(published_again(ended, dated), ended[1])


def test_a_student_who_is_erased_or_hands_in_late_is_no_difference_of_two_editions(
    ended: tuple[pd.DataFrame, pd.DataFrame],
) -> None:
    """Edition 1 less edition 3 was the erased record, or that of twenty late answers."""
    answers, printed = ended
    (gone,) = pseudonyms(np.array([29]))
    kept = without_students(printed, [gone])
    without = published_again(
        ended, lambda w: w.put("store.response", answers[answers["student"] != gone]), kept
    )
    back = published_again(ended, changed("response"), kept)

    assert kept["marks"].map(len).sum() < printed["marks"].map(len).sum()
    for again in (without, back):
        pd.testing.assert_frame_equal(again[FIGURES], printed[FIGURES])


def test_each_answer_stands_in_one_cell_of_its_table(
    ended: tuple[pd.DataFrame, pd.DataFrame],
) -> None:
    answers, printed = ended
    for subject, most in (("wrong", len(answers)), ("error", 0)):
        marks = np.concatenate([*printed.loc[printed["subject"] == subject, "marks"]])

        assert len(np.unique(marks)) == len(marks) <= most


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("students", "editions", "weeks"), [(18, (4, 9), 1), (30, (9, 13), 4), (18, (15,), 100)]
)
def test_an_outsider_who_knows_all_but_one_student_learns_no_count(
    students: int, editions: tuple[int, ...], weeks: int
) -> None:
    for told in attack(students, editions, weeks, 1).values():
        assert_nothing_is_told(told)


@pytest.mark.thorough
def test_nor_from_the_files_of_three_courses_of_a_department_together(tmp_path: Path) -> None:
    """Tables, workbook and charts of every edition that was kept."""
    each = [attack(18, (5,), 1, start, tmp_path / str(start))[5] for start in (1, 2, 3)]

    assert len(list(tmp_path.glob("*/reports/kept/*-shared"))) == 12
    assert_nothing_is_told([told for courses in each for told in courses])
    for courses in zip(*each, strict=True):
        assert_nothing_is_told(together(courses), MANY)


def assert_nothing_is_told(courses: list[Told], fewest: int = 1) -> None:
    rows = summed_up(courses)
    rows = rows[rows["answers"] >= fewest]

    assert len(rows) > 10
    assert kept_from(rows)
    assert not (rows["true"] > RECOVERED).any()


@pytest.mark.thorough
def test_the_same_outsider_learns_every_count_where_nothing_is_added(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Else the attack would prove nothing."""
    monkeypatch.setattr(cells, "added", lambda *_: 0)
    monkeypatch.setattr(outsider, "_weights", lambda _: np.ones(1))
    told = [summed_up(one[:1]) for one in attack(18, (9, 13), 1, 1).values()]

    assert {len(rows) > 50 for rows in told} == {True}
    assert all((rows["true"] > RECOVERED).all() for rows in told)
