"""Looks that are counted over names, erasures and absences, and which rows are shown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.disclosure import without_students
from pipeline.statistics.disclosure.cells import NAMES, Cell, Part
from pipeline.statistics.disclosure.everyone import _changes, _figures, _settled
from pipeline.statistics.disclosure.noise import added, student_number
from tests.statistics.disclosure.test_cells import RULES, part, some

CLOSED = {"fall": 1}
ROWS = part({1: some(range(30))})
NOBODY = np.zeros(0, dtype=np.uint64)


def rows_of(*places: tuple[str, str, str, str], student: str = "a student") -> pd.DataFrame:
    """`staging.shared_answer` of a student's term, setting, topic and question."""
    rows = pd.DataFrame(places, columns=["term", "setting", "topic", "item"])
    return rows.assign(student=np.uint64(student_number(student)))


def edition(parts: list[Part], printed: pd.DataFrame | None = None) -> pd.DataFrame:
    before: dict[tuple[str, ...], list[Cell]] = {}
    for row in [] if printed is None else printed.to_dict("records"):
        names = tuple(str(row[name]) for name in NAMES)
        before[names] = [*before.get(names, []), Cell.of(row)]
    return _settled({one.names: one for one in parts}, before, CLOSED, RULES)


def test_a_renamed_topic_is_no_first_look() -> None:
    renamed = replace(ROWS, names=("wrong", "fall", "quiz", "straight lines", ""))
    printed = edition([renamed], edition([ROWS])).set_index("topic")

    assert printed["prints"].to_dict() == {"lines": 1, "straight lines": 2}
    assert printed["answers"].isna().to_dict() == {"lines": True, "straight lines": False}


def test_an_error_that_leaves_for_one_edition_comes_back_with_its_looks() -> None:
    error = replace(ROWS, names=("error", "fall", "quiz", "lines", "sign"))
    left = edition([ROWS], edition([ROWS, error]))
    back = edition([ROWS, error], left).set_index("subject")

    assert left.set_index("subject")["answers"].isna().to_dict() == {"wrong": False, "error": True}
    assert back["prints"].to_dict() == {"wrong": 1, "error": 2}


@pytest.mark.parametrize(("asked", "prints"), [("q1", 2), ("q9", 1)])
def test_a_quiz_that_is_moved_to_another_setting_is_no_first_look(asked: str, prints: int) -> None:
    """Its answers were counted in the setting that they leave, where others stay."""
    moved = replace(
        ROWS, names=("wrong", "fall", "exam", "lines", ""), questions=frozenset({asked})
    )
    printed = edition([ROWS, moved], edition([ROWS])).set_index("setting")

    assert printed["prints"].to_dict() == {"quiz": 1, "exam": prints}


def test_another_row_of_the_same_term_is_a_first_look() -> None:
    other = replace(
        part({1: some(range(40, 70))}, "q3"), names=("wrong", "fall", "quiz", "slopes", "")
    )
    printed = edition([other], edition([ROWS])).set_index("topic")

    assert printed.loc["slopes", "prints"] == 1


def test_an_erased_student_leaves_no_mark_but_the_looks_stay() -> None:
    names = [f"student {number}" for number in range(30)]
    numbers = np.array([student_number(name) for name in names], dtype=np.uint64)
    printed = edition([replace(ROWS, student=numbers)])
    kept = without_students(printed, names[:1], lambda _name: rows_of())
    rest = replace(ROWS, week=ROWS.week[1:], student=numbers[1:], n=ROWS.n[1:], y=ROWS.y[1:])
    again = edition([rest], kept)

    assert len(kept["marks"][0]) == 29
    assert numbers[0] >> np.uint64(32) not in kept["marks"][0] >> np.uint64(32)
    assert kept[["answers", "hits", "students"]].isna().all(axis=None)
    assert again["prints"].tolist() == [2]
    assert again["doublings"][0] > printed["doublings"][0]


def test_a_cell_that_did_not_count_the_erased_student_stays_as_it_was_printed() -> None:
    """A second look at it would be drawn with four times the deviation for nothing."""
    printed = edition([ROWS])
    kept = without_students(
        printed,
        ["somebody else"],
        lambda _name: pd.concat([
            rows_of(("fall", "quiz", "lines", "q1")),
            rows_of(("spring", "quiz", "lines", "q1"), ("fall", "exam", "lines", "q9"),
                    student="somebody else"),
        ]),
    )  # fmt: skip

    pd.testing.assert_frame_equal(edition([ROWS], kept), printed)


@pytest.mark.parametrize(
    ("row", "anew"),
    [
        (("fall", "quiz", "lines", "q8"), {"wrong", "error", "reading"}),
        (("fall", "exam", "moved", "q1"), {"wrong", "error", "reading", "outcome"}),
        (("fall", "quiz", "slopes", "q8"), {"reading"}),
        (("spring", "quiz", "lines", "q1"), set()),
    ],
)
def test_a_student_who_left_all_blank_has_the_same_cells_printed_anew(
    row: tuple[str, str, str, str], anew: set[str]
) -> None:
    """No mark of a blank stands in them: by marks alone none would change."""
    others = [("error", "quiz", "lines"), ("reading", "quiz", "blank"), ("outcome", "", "solves")]
    names = [(subject, "fall", setting, topic, "") for subject, setting, topic in others]
    printed = edition([ROWS, *(replace(ROWS, names=one) for one in names)])
    kept = without_students(printed, ["a student"], lambda _name: rows_of(row))

    assert set(kept["subject"][kept["answers"].isna()]) == anew


def test_columns_of_another_version_make_no_first_look() -> None:
    """All that it had printed was forgotten, and printed anew as if for the first time."""
    before = edition([ROWS])
    other = before.drop(columns=["students", "marks", "questions"]).assign(variance=128.0)
    again = edition([ROWS], without_students(other, [], lambda _name: rows_of()))

    assert again["prints"].tolist() == [2]
    assert again["doublings"][0] > before["doublings"][0]


@pytest.mark.parametrize(
    ("answers", "hits", "shown", "code"),
    [
        (100, 0, False, None),  # under 5 % by adding alone
        (100, -9, False, None),
        (1000, 0, True, "under 5%"),
        (1000, -9, True, "under 5%"),
        (1000, 1004, True, "over 95%"),
        (1000, 40, False, None),  # 4 %, with what was added up to 5.6 %
        (100, 12, False, None),  # adding to none gives 12 at times
        (100, 40, True, None),
        (100, 93, False, None),
    ],
)
def test_a_row_is_shown_by_its_perturbed_counts_alone(
    answers: int, hits: int, shown: bool, code: str | None
) -> None:
    cell = Cell(0, 1, float(answers), float(hits), 30.0, 6.0, 1, frozenset(), NOBODY)
    row = dict(zip(NAMES, ("reading", "fall", "quiz", "blank", ""), strict=True))
    table = pd.DataFrame([row | {name: getattr(cell, name) for name in Cell.__slots__}])
    figures = _figures(table, 10)

    assert (len(figures) == 1) == shown
    assert figures["code"].tolist() == ([code] if shown else [])


@pytest.mark.parametrize(
    ("hits", "answers", "chances", "laid"),
    [
        pytest.param((100, 3), (500, 700), 500, 100, id="at a fifth, 140 would be laid to it"),
        pytest.param((100, 3), (500, 90), 590, 103, id="of 90, 18 would be: adding may hide these"),
        pytest.param(
            (100, 30), (500, 700), 1200, 130, id="rarer there, yet more than adding makes"
        ),
    ],
)
def test_a_topic_that_shows_an_error_in_theory_alone_dilutes_no_rate(
    hits: tuple[int, int], answers: tuple[int, int], chances: int, laid: int
) -> None:
    """By perturbed counts alone: no exact one decides what counts."""
    cells = [
        Cell(0, 1, float(n), float(y), 30.0, 6.0, 1, frozenset(), NOBODY)
        for n, y in zip(answers, hits, strict=True)
    ]
    rows = [
        dict(zip(NAMES, ("error", "fall", "quiz", topic, "e"), strict=True))
        | {name: getattr(cell, name) for name in Cell.__slots__}
        for topic, cell in zip(("a", "b"), cells, strict=True)
    ]
    figures = _figures(pd.DataFrame(rows), 10)
    whole = figures[figures["topic"] == ""].iloc[0]

    assert (whole["answers"], whole["hits"]) == (chances, laid)
    assert whole["rate"] == pytest.approx(laid / chances)


def test_dozens_of_errors_that_nobody_made_are_hardly_ever_listed() -> None:
    """Forty counts of none: at 1.96 deviations of each, one would stand in every edition."""
    listed = 0
    for edition_ in range(40):
        rows = [
            dict(zip(NAMES, ("error", "fall", "quiz", "a", f"e{at}"), strict=True))
            | {"first": 0, "last": 1, "answers": 180.0, "students": 60.0, "doublings": 6.0}
            | {"hits": float(added(b"key", f"{edition_}", at, 6))}
            for at in range(40)
        ]
        figures = _figures(pd.DataFrame(rows), 10)
        listed += len(figures) > 0 and figures["rate"].notna().any()

    assert listed <= 5


def test_among_forty_changes_one_as_large_as_chance_makes_is_not_settled() -> None:
    """Ranges of 10 points either way: -11 leaves out 0 and is one in 32; -33 is no chance."""
    after = {f"e{at}": 0.50 for at in range(38)} | {"little": 0.42, "much": 0.20}
    rows = [
        (term, subject, rate, rate - 0.0707, rate + 0.0707)
        for subject, late in after.items()
        for term, rate in (("fall", 0.53), ("spring", late))
    ]
    columns = ["term", "pattern", "rate", "rate_low", "rate_high"]
    figures = pd.DataFrame(rows, columns=columns).assign(subject="error", topic="", setting="quiz")
    found = _changes(figures, ["fall", "spring"]).set_index("subject")

    assert found.loc["little", "difference_high"] < 0
    assert list(found.index[found["p_adjusted"] < 0.05]) == ["much"]
