"""What is added to a count: the table has the properties by which it is defined, the draw its own.

Checked on the definition of the cell-key method in the Handbook on Statistical Disclosure Control,
chapter 5.4: bounded, mean 0, fixed variance, greatest entropy; the same records, the same noise.
"""

from __future__ import annotations

import hashlib
from importlib.resources import files

import duckdb
import numpy as np
import pytest
from scipy.optimize import minimize

from pipeline.statistics.disclosure.cells import doublings
from pipeline.statistics.disclosure.noise import (
    BOUND,
    FEWER,
    added,
    cell_key,
    few_less,
    student_number,
    table,
)

SECRET = bytes(range(32))
STUDENTS = np.array([11, 22, 33], dtype=np.uint64)
ONES = np.ones(3, dtype=np.int64)


def drawn_from(doublings: int) -> tuple[np.ndarray, np.ndarray]:
    """What may be added, and the probability of each."""
    weights = np.array(table(doublings), dtype=float)
    most = len(weights) // 2
    return np.arange(-most, most + 1), weights / weights.sum()


@pytest.mark.parametrize("doublings", [1, 2, 5, 6, 8])
def test_the_table_is_bounded_with_mean_0_and_the_variance_asked_for(doublings: int) -> None:
    values, chances = drawn_from(doublings)

    assert abs(chances @ values) < 1e-9
    assert abs(chances @ values**2 / 2**doublings - 1) < 1e-4
    assert values.max() == -values.min() <= BOUND * 2 ** (doublings / 2)


@pytest.mark.parametrize("doublings", [2, 5])
def test_no_draw_however_far_out_tells_neighbors_further_apart(doublings: int) -> None:
    _, chances = drawn_from(doublings)
    ratio = chances[1:] / chances[:-1]

    assert np.allclose(np.maximum(ratio, 1 / ratio), max(ratio[0], 1 / ratio[0]))


def told_at_most(answers: int, outcome: bool = False) -> float:
    """The largest probability that any draws give to one of so many answers' numbers of wrong ones.

    All numbers are as likely beforehand, and an answer that is not wrong may be blank; whether the
    bar is met, and whether enough answers count, parts one number from the others.
    """

    def moves(what: str) -> float:
        _, chances = drawn_from(doublings(what, 1))
        return float(np.log(max(chances[:-1] / chances[1:])))

    # A share s of an answer moves a count by one with chance s, its odds by 1 + s (e^d - 1).
    each = 2 * moves("wrong") + np.expm1(moves("wrong"))
    rest = np.exp(-each * np.arange(1, answers + 1) - outcome * 2 * moves("outcome")).sum()
    return float(1 / (1 + rest))


@pytest.mark.parametrize("answers", [2, 3, 4, 6, 12, 100])
def test_no_draw_takes_a_count_past_a_half(answers: int) -> None:
    """The least that the definition of the table allows; whatever comes out, and to whomever."""
    assert told_at_most(answers) < 0.47
    assert told_at_most(1) < 0.6


def test_nor_does_whether_the_bar_is_met() -> None:
    known = duckdb.connect()
    known.execute("create schema store")
    known.execute("create table store.outcome as select '' as outcome, 0.7 as bar, 3 as fewest")
    text = files("sql").joinpath("staging/shared_bar.sql").read_text("utf-8")
    fewest = known.execute(text).fetchall()[0][2]

    assert told_at_most(fewest, outcome=True) < 0.5


def test_no_other_table_of_the_same_mean_size_has_more_entropy() -> None:
    """Greatest entropy, found by a general optimizer on a small table."""
    values = np.arange(-4, 5)
    weights = np.exp(-0.7 * np.abs(values))
    ours = weights / weights.sum()
    size = float(ours @ np.abs(values))
    limits = [
        {"type": "eq", "fun": lambda p: p.sum() - 1},
        {"type": "eq", "fun": lambda p: p @ np.abs(values) - size},
        {"type": "eq", "fun": lambda p: p @ values},
    ]
    found = minimize(
        lambda p: float(p @ np.log(p)), np.full(9, 1 / 9), bounds=[(1e-9, 1)] * 9,
        constraints=limits, options={"maxiter": 500},
    )  # fmt: skip

    assert np.allclose(found.x, ours, atol=2e-3)


def test_the_same_records_get_the_same_in_any_order() -> None:
    assert cell_key(STUDENTS, ONES) == cell_key(STUDENTS[::-1], ONES)


@pytest.mark.parametrize(
    ("students", "facts"),
    [
        (np.array([11, 22], dtype=np.uint64), np.ones(2, dtype=np.int64)),
        (np.array([11, 22, 33, 44], dtype=np.uint64), np.ones(4, dtype=np.int64)),
        (STUDENTS, np.array([1, 1, 2])),
        (STUDENTS, np.array([2, 1, 1])),
    ],
    ids=["one less", "one more", "one changed", "another changed"],
)
def test_one_student_less_more_or_changed_has_another_key(
    students: np.ndarray, facts: np.ndarray
) -> None:
    assert cell_key(students, facts) != cell_key(STUDENTS, ONES)


def test_draws_follow_the_table() -> None:
    draws = np.array([added(SECRET, "place", key, 4) for key in range(20_000)])

    assert abs(draws.mean()) < 0.12  # four standard errors
    assert abs(draws.std() / 4.0 - 1) < 0.05


def test_another_key_of_the_course_draws_something_else() -> None:
    other = [added(bytes(32), "place", key, 4) for key in range(200)]

    assert other != [added(SECRET, "place", key, 4) for key in range(200)]


def test_a_draw_is_the_same_for_ever() -> None:
    """A regression value: another one would be a second look at all that is printed."""
    assert [added(SECRET, "fall|quiz|lines", key, 5) for key in range(6)] == DRAWN


DRAWN = [2, 2, -1, 0, 1, 10]


def test_students_are_numbered_as_the_database_does() -> None:
    name = hashlib.sha256(b"one").hexdigest()[:32]
    number = duckdb.sql(f"select md5_number_lower('{name}')").fetchall()[0][0]

    assert student_number(name) == number


def test_a_group_is_never_taken_for_larger_than_it_is_and_seldom_for_what_it_is() -> None:
    less = [few_less(SECRET, f"place {at}") for at in range(7_000)]

    assert min(less) == 0
    assert abs(np.mean(less) - FEWER) < 0.15
    assert less.count(0) / 7_000 < 0.05
