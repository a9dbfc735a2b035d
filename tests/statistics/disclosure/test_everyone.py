"""What is left of an erased student, and which rows are shown."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.disclosure import marks_students, without_students
from pipeline.statistics.disclosure.cells import NAMES
from pipeline.statistics.disclosure.everyone import _changes, _figures
from pipeline.statistics.disclosure.noise import added, student_number


def cell(topic: str, answers: float, hits: float, subject: str = "error") -> dict[str, object]:
    """A row of `store.shared_printed` of an error, each count with a variance of 64."""
    names = (subject, "fall", "quiz", topic, "e" if subject == "error" else "")
    return dict(zip(NAMES, names, strict=True)) | {
        "first": 0, "last": 1, "answers": answers, "hits": hits, "doublings": 6.0,
        "fewest": 10, "most": 3, "marks": np.zeros(0, dtype=np.uint64),
    }  # fmt: skip


def test_an_erased_student_leaves_no_mark_and_what_was_printed_stays() -> None:
    """Printed anew, it would be a second look: one less the other was the student's record."""
    names = [f"student {number}" for number in range(30)]
    marks = np.array([student_number(name) + 7 for name in names], dtype=np.uint64)
    printed = pd.DataFrame([cell("lines", 90.0, 30.0, "wrong") | {"marks": marks}])
    kept = without_students(printed, names[:1])

    assert marks_students(printed, names[:1])
    assert not marks_students(kept, names[:1])
    assert marks_students(kept, names[1:2])
    assert len(kept["marks"][0]) == 29
    pd.testing.assert_frame_equal(kept.drop(columns="marks"), printed.drop(columns="marks"))


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
    figures = _figures(pd.DataFrame([cell("solves", answers, hits, "outcome")]), 10)

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
    rows = [cell(*one) for one in zip(("a", "b"), answers, hits, strict=True)]
    figures = _figures(pd.DataFrame(rows), 10)
    whole = figures[figures["topic"] == ""].iloc[0]

    assert (whole["answers"], whole["hits"]) == (chances, laid)
    assert whole["rate"] == pytest.approx(laid / chances)


def test_dozens_of_errors_that_nobody_made_are_hardly_ever_listed() -> None:
    """Forty counts of none: at 1.96 deviations of each, one would stand in every edition."""
    listed = 0
    for edition_ in range(40):
        rows = [
            cell("a", 180.0, float(added(b"key", f"{edition_}", at, 6))) | {"pattern": f"e{at}"}
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


def test_an_error_is_shown_by_its_figure_though_few_of_all_first_tries_are_laid_to_it() -> None:
    """That the rest is laid to something else says nothing of everyone."""
    figures = _figures(pd.DataFrame([cell("a", 4000.0, 120.0)]), 10)

    assert figures["rate"].tolist() == pytest.approx([0.03, 0.03])  # of the topic, and of all


def test_what_was_printed_under_a_lower_limit_is_no_longer_shown() -> None:
    rows = pd.DataFrame([cell("a", 400.0, 120.0), cell("b", 400.0, 120.0) | {"fewest": 5}])

    assert set(_figures(rows[rows["fewest"] >= 10], 10)["topic"]) == {"a", ""}
