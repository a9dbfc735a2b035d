from __future__ import annotations

import doctest

import pytest

from reports import words
from tests.reports.forbidden_words import forbidden_words


def test_the_examples_in_the_module_hold() -> None:
    assert doctest.testmod(words).failed == 0


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0%"),
        (1.0, "100%"),
        (0.099, "9.9%"),
        (0.0996, "10%"),
        (0.004, "0.4%"),
        (0.0404, "4.0%"),
        (0.04, "4%"),
        (None, ""),
        (float("nan"), ""),
    ],
)
def test_percentages(value: float | None, text: str) -> None:
    assert words.percent(value) == text


def test_a_difference_always_carries_its_sign() -> None:
    assert [words.points(value) for value in (-0.1, 0.0, 0.0204, 0.01, -0.0001)] == [
        "−10 points",
        "±0 points",
        "+2.0 points",
        "+1 point",
        "±0.0 points",
    ]


def test_a_rate_without_interval_still_says_its_chances() -> None:
    assert words.rate_words(0.5, None, None, 1200) == "50% of 1,200 chances to show it"


@pytest.mark.parametrize("text", ["Mastery of skills", "students at risk", "Insights", "on track"])
def test_forbidden_words_are_found(text: str) -> None:
    assert forbidden_words(text)


@pytest.mark.parametrize("text", ["a risky step", "the track record", "bricklaying", ""])
def test_other_words_are_left_alone(text: str) -> None:
    assert forbidden_words(text) == []
