"""Guessed factor pairs in word problems: listed, but weighing little where one root is kept."""

from __future__ import annotations

import pytest

from pipeline.records import Request
from pipeline.tagging.examine import examine


@pytest.mark.parametrize("answer", ["4", "24"])
def test_a_guessed_pair_is_listed_but_stays_doubtful(answer: str) -> None:
    found = examine(Request("solve", "w(w + 4) = 96", answer, keep="w > 0"))
    shares = {one.faults: one.share for one in found.patterns}

    assert 0 < shares["factor-pair-misses-sum",] < 0.01
    assert [faults for faults in shares if len(faults) == 1] == [("factor-pair-misses-sum",)]


def test_it_weighs_as_any_other_error_where_no_solution_is_dropped() -> None:
    found = examine(Request("solve", "n(n + 1) = 56", "4, 5, -14, -13", asked="n, n + 1"))

    assert found.patterns[0].faults == ("factor-pair-misses-sum",)
    assert found.patterns[0].share > 0.5


def test_the_right_answer_of_a_story_shows_nothing() -> None:
    assert examine(Request("solve", "w(w + 4) = 96", "8", keep="w > 0")).patterns == ()
