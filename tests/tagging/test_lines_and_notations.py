"""Lines along the axes, slopes that are none, mixed numbers, divisions and percents in words.

The kinds of question are those of OpenStax Intermediate Algebra 2e, 3.2 and 3.3, and Prealgebra
2e, 4.1 and 6.2, with numbers of our own, worked by hand.
"""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT = """
slope | (1, 2), (1, 8) | infinite
slope | (1, 2), (1, 8) | the slope is ∞
slope | (1, 2), (1, 8) | 6/0
slope | x = 3 | vertical line
line | x-intercept 4, y-intercept -2 | y = x/2 - 2
line | x-intercept 4, slope 2 | y = 2x - 8
line | through (3, 5), vertical | x = 3
line | horizontal line through (3, 5) | y = 5
line | through (3, 5), slope undefined | x - 3 = 0
line | through (3, 5), horizontal | f(x) = 5
line | parallel to 2x - y = 3 through (4, 1) | y = 2x - 7
line | perpendicular to y = 2x - 3 and through (4, 1) | y = -x/2 + 3
line | through (4, 1), perpendicular to the x-axis | x = 4
convert | 0.333... to fraction | 1/3
convert | 7/3 to mixed number | 2 1/3
convert | 2 1/3 to an improper fraction | 7/3
divide | x^3 + 2x - 3 by x - 1 | x^2 + x + 3
divide | x^2 + 5x + 7 divided by x + 2 | x + 3 R 1
evaluate | 15% of 240 | 36
domain | (x - 2)/(x - 5) | x != 5
"""
WRONG = """
line | through (3, 5), slope undefined | y = 3
line | through (3, 5), horizontal | x = 5
slope | (1, 2), (3, 8) | infinite
"""
OTHER = """
convert | 7/3 to a mixed number | 7/3
convert | 2 1/3 to improper fraction | 2 1/3
"""


def lines(text: str) -> list[str]:
    return text.strip().splitlines()


def verdict(line: str) -> Verdict:
    found = examine(Request(*line.split(" | ")))
    assert found.verdict is Verdict.WRONG or found.patterns == ()
    return found.verdict


@pytest.mark.parametrize("line", lines(RIGHT))
def test_right_in_any_notation(line: str) -> None:
    assert verdict(line) is Verdict.RIGHT


@pytest.mark.parametrize("line", lines(WRONG))
def test_the_other_letter_is_wrong(line: str) -> None:
    assert verdict(line) is Verdict.WRONG


@pytest.mark.parametrize("line", lines(OTHER))
def test_the_number_in_another_notation(line: str) -> None:
    assert verdict(line) is Verdict.RIGHT_OTHER_FORM


def test_one_answer_of_two_errors_names_both() -> None:
    found = examine(Request("divide", "x^2 + 5x + 7 by x + 2", "x + 7 R 21"))

    assert {one.id for one in found.patterns} == {
        "rows-added-in-division",
        "synthetic-division-with-opposite-number",
    }
