"""A sentence that tells its formula in words and then writes it: the formula is the problem.

Sentences in plain words of ours, as a list of questions kept by hand has them.
"""

from __future__ import annotations

import pytest

from pipeline.wording.spoken import formula_said_again
from pipeline.wording.vocabulary import meant_task


@pytest.mark.parametrize(
    ("sentence", "formula"),
    [
        ("Three more than twice x is 9, so 2x + 3 = 9", "2x + 3 = 9"),
        ("The one with bars again: |x - 5| > 2", "|x - 5| > 2"),
        ("The cube of the sum, i.e. (x + 1)^3.", "(x + 1)^3"),
        ("y squared = 16, that is y^2 = 16", "y^2 = 16"),
        ("With a root this time: sqrt(x - 1) = 4", "sqrt(x - 1) = 4"),
        # Something else is asked for, the words hold what the formula leaves out, or it is no end.
        ("The positive root of this one: x^2 = 16", ""),
        ("Solve x + y = 10, x - y = 4", ""),
        ("x + y = 10, x - y = 4", ""),
        ("The line through (1, 2), (4, 11)", ""),
        ("2x + 3 = 9: which number is x", ""),
        ("Some numbers: 4", ""),
    ],
)
def test_a_formula_said_again_is_the_problem(sentence: str, formula: str):
    assert formula_said_again(sentence) == formula


@pytest.mark.parametrize(
    ("words", "task"),
    [("take it apart", "factor"), ("multiply it out", "expand"), ("how steep is it", "slope"),
     ("take it home", None), ("multiply it", None)],
)  # fmt: skip
def test_plain_words_mean_a_task(words: str, task: str | None):
    assert meant_task(words) == task
